"""One column of cells read: every different text once, then laid out on the rows."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, cast

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.legacy import notation
from bodycond.legacy.cell_readers import Reader, make_reader
from bodycond.legacy.recipe_rules import ColumnRule
from bodycond.legacy.targets import FieldKind, find_kind, list_outputs
from bodycond.scales import ScoreScale

_DITTO_MARKS = frozenset({'"', "''", ",,", "〃", "ditto", "do.", '-"-', "-''-", '""', '" "'})
_ERROR_VALUE = re.compile(
    r"#(REF|DIV/0|VALUE|NAME|NUM|NULL|SPILL|CALC|FIELD|BLOCKED|CONNECT|BUSY|UNKNOWN)[!?]|"
    r"#(REF|DIV/0|VALUE|NAME|NUM|NULL|SPILL|CALC|GETTING_DATA)|##+"  # ##: the column was narrow
)


@dataclass(frozen=True, kw_only=True, eq=False)
class ColumnReading:
    """A column's cells, read.

    Parameters
    ----------
    outcomes, values, reasons, likely, flags : ndarray of object, shape (rows,)
        What the ledger says of each cell; empty texts for empty cells. ``flags`` holds what was
        written beside a measure.
    target : str
        The columns filled, as the ledger names them.
    outputs : mapping of str to ndarray of object, shape (rows,)
        Values by column of the table; None where missing.
    """

    outcomes: npt.NDArray[np.object_]
    values: npt.NDArray[np.object_]
    reasons: npt.NDArray[np.object_]
    likely: npt.NDArray[np.object_]
    flags: npt.NDArray[np.object_]
    target: str
    outputs: Mapping[str, npt.NDArray[np.object_]]


def read_column(
    texts: npt.NDArray[np.object_],
    kinds: npt.NDArray[np.str_],
    *,
    rule: ColumnRule,
    scale: ScoreScale | None,
    table: str,
) -> ColumnReading:
    """Read a column's cells by its rule.

    Parameters
    ----------
    texts : ndarray of object, shape (rows,)
        Texts of the rows of data, ditto marks already resolved.
    kinds : ndarray of str, shape (rows,)
        Their kinds, as in `Sheet.kinds`.
    rule : ColumnRule
        The column's rule, with at least one field.
    scale : ScoreScale or None
        The scale that the rule names.
    table : {"exams", "ratings"}
        The sheet's table.

    Returns
    -------
    ColumnReading
        One reading a row.
    """
    fields = [(field, _kind_of(field, rule, table)) for field in rule.fields]
    readers = [(field, kind, make_reader(field, kind, rule, scale)) for field, kind in fields]
    keys = pd.Series(kinds, dtype=object).where(np.isin(kinds, ["n", "e", "f", " "]), "t")
    codes, uniques = pd.factorize(pd.MultiIndex.from_arrays([keys, texts]))
    read = [_read_unique(str(text), str(kind), readers, scale=rule.scale) for kind, text in uniques]
    outputs: dict[str, npt.NDArray[np.object_]] = {}
    for field, kind in fields:
        for column in list_outputs(field, kind=kind, table=table):
            unique_values = _to_objects([item.outputs.get(column.name) for item in read])
            outputs[column.name] = unique_values[codes]
    target = "; ".join(f"{table}.{field}" for field in rule.fields)
    return ColumnReading(
        outcomes=_to_objects([item.outcome for item in read])[codes],
        values=_to_objects([item.value for item in read])[codes],
        reasons=_to_objects([item.reason for item in read])[codes],
        likely=_to_objects([item.likely for item in read])[codes],
        flags=_to_objects([item.flags for item in read])[codes],
        target=target,
        outputs=outputs,
    )


def _kind_of(field: str, rule: ColumnRule, table: str) -> FieldKind:
    kind = find_kind(field, table=table, own_kind=rule.kind, has_scale=rule.scale is not None)
    # A recipe is checked before it comes here; text holds anything.
    return kind if kind is not None else "text"


def _to_objects(values: list[Any]) -> npt.NDArray[np.object_]:
    array = np.empty(len(values), dtype=object)
    array[:] = values
    return array


@dataclass(frozen=True, kw_only=True, slots=True)
class _CellReading:
    outcome: str
    value: str
    reason: str
    likely: str
    flags: str
    outputs: Mapping[str, Any]


_EMPTY = _CellReading(outcome="", value="", reason="", likely="", flags="", outputs={})


def _read_unique(
    text: str, kind: str, readers: list[tuple[str, FieldKind, Reader]], *, scale: str | None
) -> _CellReading:
    if kind == " ":
        return _EMPTY
    if kind == "f":
        return _hold_cell(
            "a formula whose stored result is absent or empty", "open and save it to store one"
        )
    is_error = kind == "e" and not notation.says_missing(text)
    if is_error or _ERROR_VALUE.fullmatch(text.strip()):
        return _hold_cell("an error value of the spreadsheet", "")
    read = [(field, what, reader(text, kind == "n")) for field, what, reader in readers]
    outcomes = {reading.outcome for _, _, reading in read}
    outcome = next(name for name in ("quarantined", "converted", "accepted") if name in outcomes)
    held = outcome == "quarantined"
    outputs: dict[str, Any] = {}
    for field, what, reading in read:
        outputs |= _give_outputs(field, what, reading, held=held, scale=scale)
    # An age code stays a value where it leaves the class open.
    code = str(outputs.get("age_code") or "")
    return _CellReading(
        outcome=outcome,
        value="" if held else code or _word_value(read[0][2]),
        reason="; ".join(dict.fromkeys(r.reason for _, _, r in read if r.reason)),
        likely="; ".join(dict.fromkeys(r.likely for _, _, r in read if r.likely)),
        flags="; ".join(dict.fromkeys(flag for _, what, r in read for flag in r.flags
                                      if what in {"mass", "length"})),
        outputs=outputs,
    )  # fmt: skip


def _hold_cell(reason: str, likely: str) -> _CellReading:
    return _CellReading(
        outcome="quarantined", value="", reason=reason, likely=likely, flags="", outputs={}
    )


def _word_number(number: float) -> str:
    # Every digit that tells the number from its neighbours.
    return repr(float(number)).removesuffix(".0")


def _word_value(reading: notation.Reading) -> str:
    if isinstance(reading, notation.NumberReading):
        if reading.value is not None:
            return _word_number(reading.value)
        if reading.low is None or reading.high is None:
            return ""
        return f"{_word_number(reading.low)} to {_word_number(reading.high)}"
    value = getattr(reading, "value", None)
    return "" if value is None else str(value)


def _give_outputs(
    field: str, kind: FieldKind, reading: notation.Reading, *, held: bool, scale: str | None
) -> dict[str, Any]:
    """Give the values by column; a held cell keeps its text where a column is there for it."""
    raw = reading.raw
    if kind == "score":
        score = cast(notation.NumberReading, reading)
        if held:
            return {f"{field}_text": raw}
        known = score.low is not None
        return {
            field: score.value, f"{field}_low": score.low, f"{field}_high": score.high,
            f"{field}_text": raw, f"{field}_scale": scale if known else None,
        }  # fmt: skip
    if kind == "mass":
        mass = cast(notation.NumberReading, reading)
        return {field: None if held else mass.value, "mass_text": raw}
    if held:
        return {}
    value = getattr(reading, "value", None)
    if field == "exam_date":
        precision = cast(notation.DateReading, reading).precision
        return {field: value, "exam_date_precision": precision}
    if field == "age_code":
        missing = value is None and reading.reason.endswith(notation.NO_VALUE)
        return {"age_class": value, field: None if missing else raw.strip()}
    return {field: value}


def resolve_dittos(
    texts: npt.NDArray[np.object_],
    kinds: npt.NDArray[np.str_],
    *,
    rule: ColumnRule,
    places: list[str],
) -> tuple[npt.NDArray[np.object_], npt.NDArray[np.str_], dict[int, str]]:
    """Put the cell above in the place of ditto marks, and of empty cells where the rule says so.

    Parameters
    ----------
    texts, kinds : ndarray, shape (rows,)
        The column's rows of data, in order.
    rule : ColumnRule
        The column's rule.
    places : list of str
        Address of each cell, for the reasons.

    Returns
    -------
    texts, kinds : ndarray
        New arrays.
    repeats : dict of int to str
        Position of each ditto mark and what it repeats; the empty text where nothing is above.
    """
    tidy = [notation.plain_text(str(text)).casefold() for text in texts]
    marks = {i for i, text in enumerate(tidy) if text in _DITTO_MARKS} if rule.ditto else set()
    if not marks and not rule.fill_down:
        return texts, kinds, {}
    new_texts, new_kinds = texts.copy(), kinds.copy()
    repeats: dict[int, str] = {}
    origin: int | None = None
    for position in range(len(texts)):
        empty = kinds[position] == " "
        if position in marks or (empty and rule.fill_down):
            if origin is not None:
                new_texts[position], new_kinds[position] = texts[origin], kinds[origin]
            if position in marks:
                above = f"{places[origin]} {texts[origin]!r}" if origin is not None else ""
                repeats[position] = above
        else:
            origin = None if empty else position
    return new_texts, new_kinds, repeats
