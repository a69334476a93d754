"""One column of cells read: every different text once, then laid out on the rows."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple, cast

import numpy as np
import numpy.typing as npt

from bodycond.legacy import notation
from bodycond.legacy.files.grids import CodedCells, code_cells
from bodycond.legacy.reading.cell_readers import IDENTIFIERS, Reader, make_reader
from bodycond.legacy.recipes.recipe_rules import ColumnRule
from bodycond.legacy.recipes.targets import FieldKind, find_kind, list_outputs
from bodycond.scales import ScoreScale

# Letters with digits behind them: no number, no marker for no value, no digits cut off.
_PLAIN_IDENTIFIER = re.compile(r"[A-Za-z]{1,4}[0-9]{3,}")
_GRAVEST_FIRST = ("quarantined", "converted", "accepted", "set_aside")

Objects = npt.NDArray[np.object_]


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
    cells = code_cells(texts, kinds)
    # A large table's many different cells are its numbers of birds and rings, and say just that.
    plain = _find_plain(cells, rule, fields)
    others = np.flatnonzero(~plain)
    read = [
        _read_unique(text, kind, readers, scale=rule.scale)
        for text, kind in zip(
            cells.texts[others].tolist(), cells.kinds[others].tolist(), strict=True
        )
    ]

    def _spread(same: npt.NDArray[np.object_] | str | None, rest: list[Any]) -> Objects:
        values = np.empty(len(plain), dtype=object)
        values[:] = same
        values[others] = _to_objects(rest)
        return values[cells.codes]

    outputs: dict[str, Objects] = {}
    for field, kind in fields:
        for column in list_outputs(field, kind=kind, table=table):
            name = column.name
            same = cells.texts if name == field else None
            outputs[name] = _spread(same, [item.outputs.get(name) for item in read])
    return ColumnReading(
        outcomes=_spread("accepted", [item.outcome for item in read]),
        values=_spread(cells.texts, [item.value for item in read]),
        reasons=_spread("", [item.reason for item in read]),
        likely=_spread("", [item.likely for item in read]),
        flags=_spread("", [item.flags for item in read]),
        target="; ".join(f"{table}.{field}" for field in rule.fields),
        outputs=outputs,
    )


def _find_plain(
    cells: CodedCells, rule: ColumnRule, fields: list[tuple[str, FieldKind]]
) -> npt.NDArray[np.bool_]:
    """Find the cells that any reader of this column accepts as they stand."""
    if rule.codes or rule.split or len(fields) != 1 or fields[0][0] not in IDENTIFIERS:
        return np.zeros(len(cells.texts), dtype=bool)
    match = _PLAIN_IDENTIFIER.fullmatch
    plain = [match(text) is not None for text in cells.texts.tolist()]
    return np.asarray(np.array(plain, dtype=bool) & (cells.kinds == "t"))


def _kind_of(field: str, rule: ColumnRule, table: str) -> FieldKind:
    kind = find_kind(field, table=table, own_kind=rule.kind, has_scale=rule.scale is not None)
    # A recipe is checked before it comes here; text holds anything.
    return kind if kind is not None else "text"


def _to_objects(values: list[Any]) -> npt.NDArray[np.object_]:
    array = np.empty(len(values), dtype=object)
    array[:] = values
    return array


class _CellReading(NamedTuple):
    """One different cell of a column; a plain tuple, since there can be a million of them."""

    outcome: str
    value: str
    reason: str
    likely: str
    flags: str
    outputs: Mapping[str, Any]


_EMPTY = _CellReading("", "", "", "", "", {})


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
    if is_error or _is_error(text):
        return _hold_cell("an error value of the spreadsheet", "")
    read = [(field, what, reader(text, kind == "n")) for field, what, reader in readers]
    if len(read) == 1:
        return _read_single(*read[0], scale=scale)
    outcomes = {reading.outcome for _, _, reading in read}
    outcome = next(name for name in _GRAVEST_FIRST if name in outcomes)
    held = outcome == "quarantined"
    outputs: dict[str, Any] = {}
    for field, what, reading in read:
        outputs |= _give_outputs(field, what, reading, held=held, scale=scale)
    # An age code stays a value where it leaves the class open.
    code = str(outputs.get("age_code") or "")
    words = [word for word in (_word_value(reading) for _, _, reading in read) if word]
    return _CellReading(
        outcome=outcome,
        value="" if held else code or next(iter(words), ""),
        reason="; ".join(dict.fromkeys(r.reason for _, _, r in read if r.reason)),
        likely="; ".join(dict.fromkeys(r.likely for _, _, r in read if r.likely)),
        flags="; ".join(dict.fromkeys(flag for _, what, r in read for flag in r.flags
                                      if what != "score")),
        outputs=outputs,
    )  # fmt: skip


def _read_single(
    field: str, kind: FieldKind, reading: notation.Reading, *, scale: str | None
) -> _CellReading:
    """Give what the joint reading gives, for the one field that nearly every column fills."""
    held = reading.outcome == "quarantined"
    outputs = _give_outputs(field, kind, reading, held=held, scale=scale)
    flags = "; ".join(dict.fromkeys(reading.flags)) if reading.flags and kind != "score" else ""
    code = outputs.get("age_code") if kind == "age" else None
    value = "" if held else str(code or "") or _word_value(reading)
    return _CellReading(reading.outcome, value, reading.reason, reading.likely, flags, outputs)


def _is_error(text: str) -> bool:
    special = notation.explain_special(text) if "#" in text else None
    return special is not None and special[0] == "quarantined"


def _hold_cell(reason: str, likely: str) -> _CellReading:
    return _CellReading("quarantined", "", reason, likely, "", {})


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
    if kind == "time":
        return {field: value.isoformat() if value is not None else None}
    if field == "exam_date":
        precision = cast(notation.DateReading, reading).precision
        return {field: value, "exam_date_precision": precision}
    if field == "age_code":
        missing = value is None and reading.reason.endswith(notation.NO_VALUE)
        return {"age_class": value, field: None if missing else raw.strip()}
    return {field: value}
