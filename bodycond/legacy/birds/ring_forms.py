"""The ways in which one ring or case number gets written, and the slips between two of them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from decimal import Decimal

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.codes import MISSING_TEXTS

FEWEST_FOR_SLIPS = 5
"""Shorter numbers lie so close together that a slip of one digit tells nothing."""

NO_RING_TEXTS = frozenset({"unringed", "no ring", "not ringed", "unbanded", "no band", "0", "0.0"})

_FLOAT_END = re.compile(r"(?<=\d)[.,]0+$")
_SCIENTIFIC = re.compile(r"\d(?:\.\d+)?E\+?\d{1,2}")
_TOKENS = re.compile(r"[^\W\d_]+|\d+")

Positions = npt.NDArray[np.intp]


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
        known = column.notna().tolist()
        cells = column.to_numpy(dtype=object)
        texts = [str(cell) if said else None for cell, said in zip(cells, known, strict=True)]
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
