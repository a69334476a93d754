"""Rings that differ and might stand for one: by a prefix, or by one slip of the pen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.legacy.birds.ring_forms import FEWEST_FOR_SLIPS, Positions, split_number

FEWEST_DIGITS_FOR_PREFIX = 4


@dataclass(frozen=True, kw_only=True, eq=False)
class RingRelations:
    """Pairs of rings that are not the same but might stand for one.

    Parameters
    ----------
    first, second : ndarray of int
        Numbers of the rings, ``first`` below ``second``.
    kind : ndarray of object
        "prefix" where only letters in front differ, "swap" where two neighbouring characters
        changed places, "slip" where one was mistyped, lost or doubled.
    forms : tuple of str
        The shortest form of each ring.
    numbers : ndarray of int
        The number of each form.
    """

    first: Positions
    second: Positions
    kind: npt.NDArray[np.object_]
    forms: tuple[str, ...]
    numbers: Positions


def relate_rings(texts: Sequence[str], *, same: Positions) -> RingRelations:
    """Find rings that differ by a prefix, or by one mistyped, lost or two transposed characters.

    Every form of a ring with one character masked, one pair swapped or one character lost is a
    key, and rings meet where they share one: work grows with the rings and not with their square.

    Parameters
    ----------
    texts : sequence of str
        Rings as written, each once.
    same : ndarray of int
        Result of `number_same`.

    Returns
    -------
    RingRelations
        The pairs, numbered as ``same`` numbers them.
    """
    shortest: dict[int, tuple[str, ...]] = {}
    for text, number in zip(texts, same.tolist(), strict=True):
        runs = split_number(text)
        held = shortest.get(number)
        if held is None or (len("".join(runs)), runs) < (len("".join(held)), held):
            shortest[number] = runs
    numbers = np.array(sorted(shortest), dtype=np.intp)
    forms = ["".join(shortest[number]) for number in numbers.tolist()]
    slips, swapped = _join_on_keys(*_list_slip_keys(forms))
    prefixes = _find_prefixes([shortest[number] for number in numbers.tolist()])
    pairs = np.concatenate([slips, prefixes]).reshape(-1, 2)
    # A pair that is both counts as a prefix, which comes last.
    kind = np.concatenate(
        [np.where(swapped, "swap", "slip"), np.full(len(prefixes), "prefix")]
    ).astype(object)
    table = pd.DataFrame({"first": pairs[:, 0], "second": pairs[:, 1], "kind": kind})
    table = table.drop_duplicates(["first", "second"], keep="last").sort_values(["first", "second"])
    return RingRelations(
        first=numbers[table["first"].to_numpy(dtype=np.intp)],
        second=numbers[table["second"].to_numpy(dtype=np.intp)],
        kind=table["kind"].to_numpy(dtype=object),
        forms=tuple(forms),
        numbers=numbers,
    )


def _list_slip_keys(forms: Sequence[str]) -> tuple[list[str], list[int], list[bool]]:
    """Keys under which rings meet, whose they are, and whether the key is the whole ring."""
    keys: list[str] = []
    owners: list[int] = []
    whole: list[bool] = []
    for owner, form in enumerate(forms):
        n = len(form)
        if n < FEWEST_FOR_SLIPS:
            continue
        made = {f"m{form[:at]}*{form[at + 1 :]}" for at in range(n)}
        for at in range(n - 1):
            one, two = form[at], form[at + 1]
            if one != two:
                made.add(f"t{at}:{form[:at]}{min(one, two)}{max(one, two)}{form[at + 2 :]}")
        lost = {f"d{form[:at]}{form[at + 1 :]}" for at in range(n)} if n > FEWEST_FOR_SLIPS else ()
        keys += [*made, *lost, f"d{form}"]
        owners += [owner] * (len(made) + len(lost) + 1)
        whole += [False] * (len(made) + len(lost)) + [True]
    return keys, owners, whole


def _join_on_keys(
    keys: list[str], owners: list[int], whole: list[bool]
) -> tuple[Positions, npt.NDArray[np.bool_]]:
    """Pairs that share a key, and whether two characters changed places between them."""
    codes, _ = pd.factorize(np.array(keys, dtype=object))
    initial = np.array([key[0] for key in keys], dtype=object)
    table = pd.DataFrame({"key": codes, "owner": owners})
    is_whole = np.array(whole, dtype=bool)
    found = []
    for letter in ("m", "t"):
        shared = table[initial == letter]
        shared = shared[shared["key"].duplicated(keep=False)]
        found.append(shared.merge(shared, on="key").query("owner_x < owner_y"))
    # A ring that lost a character meets the rings that are whole without it, not those that lost
    # another one: these would be two slips.
    lost = table[(initial == "d") & ~is_whole]
    found.append(lost.merge(table[is_whole], on="key"))
    pairs = np.concatenate([part[["owner_x", "owner_y"]].to_numpy(dtype=np.intp) for part in found])
    swapped = np.repeat([False, True, False], [len(part) for part in found])
    return np.sort(pairs, axis=1), swapped


def _find_prefixes(runs: Sequence[tuple[str, ...]]) -> Positions:
    digits = ["".join(run for run in ring if run.isdigit()) for ring in runs]
    letters = ["".join(run for run in ring if not run.isdigit()) for ring in runs]
    long_enough = np.array([len(run) >= FEWEST_DIGITS_FOR_PREFIX for run in digits], dtype=bool)
    table = pd.DataFrame({"digits": digits, "owner": np.arange(len(runs), dtype=np.intp)})
    table = table[long_enough]
    table = table[table["digits"].duplicated(keep=False)]
    met = table.merge(table, on="digits")[["owner_x", "owner_y"]].to_numpy(dtype=np.intp)
    ends = [
        len(letters[short]) < len(letters[long]) and letters[long].endswith(letters[short])
        for short, long in met.tolist()
    ]
    return np.sort(met[np.array(ends, dtype=bool)], axis=1)
