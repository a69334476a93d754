"""The ways in which one ring or case number gets written, and the slips between two of them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.codes import MISSING_TEXTS

FEWEST_FOR_SLIPS = 5
"""Shorter numbers lie so close together that a slip of one digit tells nothing."""

FEWEST_DIGITS_FOR_PREFIX = 4

NO_RING_TEXTS = frozenset({"unringed", "no ring", "not ringed", "unbanded", "no band", "0", "0.0"})

_FLOAT_END = re.compile(r"(?<=\d)[.,]0+$")
_SCIENTIFIC = re.compile(r"\d(?:\.\d+)?E\+?\d{1,2}")
_TOKENS = re.compile(r"[^\W\d_]+|\d+")

Positions = npt.NDArray[np.intp]


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


def write_text(column: pd.Series) -> pd.Series:
    """Give a column of numbers or texts as text, missing where nothing is named.

    Parameters
    ----------
    column : Series
        Case or ring numbers. Floats that are whole numbers lose their ``.0``, since it is
        pandas that wrote it.

    Returns
    -------
    Series of object
        Text as written, None where the cell is empty or says that there is nothing.
    """
    if pd.api.types.is_float_dtype(column):
        texts = [
            None if pd.isna(cell) else f"{cell:.0f}" if float(cell).is_integer() else str(cell)
            for cell in column
        ]
    else:
        texts = [None if pd.isna(cell) else str(cell) for cell in column]
    named = [
        None if text is None or text.strip().casefold() in MISSING_TEXTS else text for text in texts
    ]
    return pd.Series(named, index=column.index, dtype=object)


def clean_number(text: str) -> str:
    """Undo what spreadsheets and typists do to the form of a number.

    Parameters
    ----------
    text : str
        A case or ring number as written.

    Returns
    -------
    str
        In capitals, without outer blanks, a trailing ``.0`` or an exact power of ten.

    Examples
    --------
    >>> clean_number(" ab 0123 "), clean_number("1234567.0"), clean_number("1.234567E+6")
    ('AB 0123', '1234567', '1234567')
    """
    cleaned = unicodedata.normalize("NFKC", text).strip().upper()
    cleaned = _FLOAT_END.sub("", cleaned)
    if _SCIENTIFIC.fullmatch(cleaned):
        number = Decimal(cleaned)
        exponent = number.as_tuple().exponent
        # 1.23E+08 has lost digits that nobody can bring back, so it stays as it is.
        if exponent == 0:
            return str(int(number))
    return cleaned


def split_number(text: str) -> tuple[str, ...]:
    """Split a number into runs of letters and of digits, zeros in front taken off.

    Parameters
    ----------
    text : str
        A case or ring number as written.

    Returns
    -------
    tuple of str
        The runs.

    Examples
    --------
    >>> split_number("ab-0123"), split_number("04/17")
    (('AB', '123'), ('4', '17'))
    """
    return tuple(run.lstrip("0") or "0" for run in _TOKENS.findall(clean_number(text)))


def join_number(text: str) -> str:
    """Join all letters and digits of a number.

    Parameters
    ----------
    text : str
        A case or ring number as written.

    Returns
    -------
    str
        For example ``"AB0123"``.
    """
    return "".join(_TOKENS.findall(clean_number(text)))


def number_same(texts: Sequence[str]) -> Positions:
    """Number texts so that those which differ in form alone get one number.

    Form is case, blanks, punctuation, a trailing ``.0``, zeros lost in front of a run of digits.

    Parameters
    ----------
    texts : sequence of str
        Case or ring numbers, each once.

    Returns
    -------
    ndarray of int
        Numbers from 0, by first appearance.
    """
    if not texts:
        return np.empty(0, dtype=np.intp)
    joined = [join_number(text) or text for text in texts]
    parted = ["|".join(split_number(text)) or text for text in texts]
    labels = join_components(
        len(texts),
        first=np.concatenate([_point_to_first(joined), _point_to_first(parted)]),
        second=np.tile(np.arange(len(texts)), 2),
    )
    return np.asarray(pd.factorize(labels)[0], dtype=np.intp)


def _point_to_first(keys: Sequence[str]) -> Positions:
    codes, _ = pd.factorize(np.array(keys, dtype=object))
    _, first = np.unique(codes, return_index=True)
    return np.asarray(first[codes], dtype=np.intp)


def join_components(n: int, *, first: Positions, second: Positions) -> Positions:
    """Label the connected components of a graph.

    Parameters
    ----------
    n : int
        Nodes.
    first, second : ndarray of int
        Ends of the edges.

    Returns
    -------
    ndarray of int, shape (n,)
        A label a node.
    """
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    graph = coo_array((np.ones(first.size, dtype=np.int8), (first, second)), shape=(n, n))
    return np.asarray(connected_components(graph, directed=False)[1], dtype=np.intp)


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
