"""Where a slip of the pen lands among the rings of a table: alone, or amid a series."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

_SAMPLED = 600
_SEED = 20240501
_DIGITS = "0123456789"


def sample_slip_crowds(
    forms: Sequence[str], *, degree: npt.NDArray[np.intp], kind: str
) -> npt.NDArray[np.intp]:
    """Make slips of rings of the table and count how many of its rings each one resembles.

    Parameters
    ----------
    forms : sequence of str
        The rings, each once.
    degree : ndarray of int
        How many rings lie within a slip of each.
    kind : {"slip", "swap"}
        One digit mistyped, or two neighbouring characters swapped.

    Returns
    -------
    ndarray of int
        For each slip that is no ring of the table, the number of rings around it or around the
        ring that was meant, whichever is smaller; at least 1.
    """
    generator = np.random.default_rng(_SEED)
    table = set(forms)
    found = []
    for place in generator.integers(0, len(forms), size=_SAMPLED if forms else 0).tolist():
        slipped = _slip(forms[place], generator, kind=kind)
        if slipped is not None and slipped not in table:
            around = sum(other in table for other in _list_neighbours(slipped))
            found.append(max(min(around, int(degree[place]) + 1), 1))
    return np.array(found, dtype=np.intp)


def _slip(form: str, generator: np.random.Generator, *, kind: str) -> str | None:
    if kind == "swap":
        at = int(generator.integers(0, max(len(form) - 1, 1)))
        swapped = f"{form[:at]}{form[at : at + 2][::-1]}{form[at + 2 :]}"
        return swapped if swapped != form else None
    digits = [place for place, letter in enumerate(form) if letter in _DIGITS]
    if not digits:
        return None
    at = int(generator.choice(digits))
    other = str((int(form[at]) + int(generator.integers(1, 10))) % 10)
    return f"{form[:at]}{other}{form[at + 1 :]}"


def _list_neighbours(form: str) -> set[str]:
    n = len(form)
    mistyped = {
        f"{form[:at]}{other}{form[at + 1 :]}"
        for at in range(n)
        for other in (_DIGITS if form[at] in _DIGITS else "ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    }
    swapped = {f"{form[:at]}{form[at : at + 2][::-1]}{form[at + 2 :]}" for at in range(n - 1)}
    lost = {f"{form[:at]}{form[at + 1 :]}" for at in range(n)}
    doubled = {f"{form[:at]}{digit}{form[at:]}" for at in range(n + 1) for digit in _DIGITS}
    return (mistyped | swapped | lost | doubled) - {form}
