"""Values whose parts stand in columns of their own: dates, pounds and ounces, rings, names."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import numpy.typing as npt

from bodycond.legacy import notation
from bodycond.legacy.reading.block_accounts import BlockAccount, Mask, Objects
from bodycond.legacy.reading.cell_columns import CellColumn
from bodycond.legacy.reading.ditto_marks import read_repeated
from bodycond.legacy.reading.name_joining import join_name
from bodycond.legacy.recipes.recipe_rules import ColumnRule
from bodycond.units import GRAMS_PER_UNIT

Texts = Mapping[str, str]
Composer = Callable[[Texts, Mapping[str, bool]], notation.Reading]

_YEAR_GIVEN = "the recipe gives the year"
_DATE = ("year", "month", "day")
_JOINED = ("prefix", "suffix")
_NAMED = ("genus", "epithet")
_WITH = {"pounds": "ounces", "ounces": "pounds", "tare": "gross", "gross": "tare",
         "prefix": "suffix", "suffix": "prefix", "genus": "epithet",
         "epithet": "genus"}  # fmt: skip


def compose_parts(
    block: BlockAccount, table: str, field: str, columns: Mapping[str, CellColumn]
) -> dict[str, Objects]:
    """Compose a field from columns that hold a part of it each.

    Parameters
    ----------
    block : BlockAccount
        The block; what became of the parts is written into its account.
    table : {"exams", "ratings"}
        The table.
    field : str
        The field.
    columns : mapping of str to CellColumn
        The columns by the part that they hold.

    Returns
    -------
    dict of str to ndarray of object
        Values by column of the table; None where missing.
    """
    rules = {part: column.rule for part, column in columns.items()}
    if set(columns) <= set(_DATE):
        years = [rule.year for rule in rules.values() if rule.year and rule.year.isdigit()]
        known = {"year": years[0]} if years and "year" not in rules else {}
        lasts = [rule.short_years_to for rule in rules.values() if rule.short_years_to]
        last = lasts[0] if lasts else notation.LAST_SHORT_YEAR
        compose: Composer = lambda texts, _: _compose_date(texts, known, last)  # noqa: E731
    elif set(columns) <= set(_NAMED):
        compose = lambda texts, _: join_name(texts)  # noqa: E731
    elif set(columns) <= set(_JOINED):
        compose = lambda texts, numbers: _join_parts(texts, numbers, rules)  # noqa: E731
    else:
        compose = lambda texts, numbers: _compose_mass(texts, numbers, rules)  # noqa: E731
    read = {part: _read_shown(block, part, column) for part, column in columns.items()}
    cells = {part: (texts, kinds) for part, (texts, kinds, _) in read.items()}
    readings = _read_records(cells, compose)
    _hold_dittos(readings, [repeats for _, _, repeats in read.values()], cells)
    for record in np.flatnonzero(_find_settled(block, columns)):
        readings[record] = notation.TextReading(
            raw=_word_parts(cells, int(record)), outcome="quarantined",
            reason="another part of it is struck through or set aside",
        )  # fmt: skip
    _hold_lonely(readings, columns, cells)
    _write_parts(block, f"{table}.{field}", columns, readings)
    return _give_values(field, readings, [_word_parts(cells, i) for i in range(len(readings))])


def _read_shown(
    block: BlockAccount, part: str, column: CellColumn
) -> tuple[Objects, npt.NDArray[np.str_], dict[int, str]]:
    """Read a part; of a ring or case number what the sheet shows, with its zeros in front."""
    shown = column.find_shown(block) if part in _JOINED else {}
    return read_repeated(block, column, shown=shown)


def _hold_dittos(
    readings: list[notation.Reading], repeats: Sequence[Mapping[int, str]],
    cells: Mapping[str, tuple[Objects, Any]],
) -> None:  # fmt: skip
    """Hold what has a ditto mark with nothing above it, and say what the others repeat."""
    for marks in repeats:
        for record, above in marks.items():
            reading = readings[record]
            if not above:
                readings[record] = notation.TextReading(
                    raw=_word_parts(cells, record), outcome="quarantined",
                    reason="a ditto mark with nothing above it",
                )  # fmt: skip
            else:
                said = f"a ditto mark: repeats {above}"
                reason = f"{reading.reason}; {said}" if reading.reason else said
                readings[record] = replace(reading, reason=reason)


def _hold_lonely(
    readings: list[notation.Reading], columns: Mapping[str, CellColumn],
    cells: Mapping[str, tuple[Objects, Any]],
) -> None:  # fmt: skip
    """Hold parts whose counterpart has no column on the sheet, however whole they seem."""
    absent = [other for part in columns if (other := _WITH.get(part)) and other not in columns]
    for record in range(len(readings)) if absent else ():
        written = _word_parts(cells, record)
        if written:
            readings[record] = notation.TextReading(
                raw=written, outcome="quarantined",
                reason=f"the column of the {' and the '.join(absent)} is not on the sheet",
            )  # fmt: skip


def _find_settled(block: BlockAccount, columns: Mapping[str, CellColumn]) -> Mask:
    """Tell which records have a part that holds something and is settled already."""
    settled = np.zeros(len(next(iter(columns.values())).rows), dtype=bool)
    for column in columns.values():
        filled = block.sheet.kinds[column.place] != " "
        settled |= filled & ~column.find_open(block)
    return settled


def _read_records(
    cells: Mapping[str, tuple[Objects, Any]],
    compose: Composer,
) -> list[notation.Reading]:
    """Read each record's parts, equal ones once."""
    parts = list(cells)
    texts = [np.where(kinds == " ", "", texts) for texts, kinds in cells.values()]
    numbers = [kinds == "n" for _, kinds in cells.values()]
    cache: dict[tuple[Any, ...], notation.Reading] = {}
    readings = []
    for key in zip(*texts, *numbers, strict=True):
        if key not in cache:
            said, is_number = key[: len(parts)], key[len(parts) :]
            written = dict(zip(parts, map(str, said), strict=True))
            cache[key] = compose(written, dict(zip(parts, map(bool, is_number), strict=True)))
        readings.append(cache[key])
    return readings


def _word_parts(cells: Mapping[str, tuple[Objects, Any]], record: int) -> str:
    return " ".join(
        str(texts[record]).strip() for texts, kinds in cells.values() if kinds[record] != " "
    )


def _write_parts(
    block: BlockAccount, target: str, columns: Mapping[str, CellColumn],
    readings: list[notation.Reading],
) -> None:  # fmt: skip
    made = np.array([getattr(reading, "value", None) is not None for reading in readings], bool)
    outcomes, reasons, values, likely = (np.empty(len(readings), dtype=object) for _ in range(4))
    for i, reading in enumerate(readings):
        value = getattr(reading, "value", None)
        outcomes[i] = "converted" if made[i] else reading.outcome
        reasons[i] = reading.reason if not made[i] else _word_made(target, reading)
        values[i] = "" if value is None else _word_value(value)
        likely[i] = reading.likely
    for column in columns.values():
        column.write(block, column.find_open(block), outcomes=outcomes, reasons=reasons,
                     values=values, likely=likely, target=target)  # fmt: skip


def _word_made(target: str, reading: notation.Reading) -> str:
    if isinstance(reading, notation.DateReading):
        said = [word for word in reading.reason.split("; ")
                if word.startswith(("a ditto mark", _YEAR_GIVEN))]  # fmt: skip
        return "; ".join(["part of a date", *said])
    return f"part of {target.rsplit('.', maxsplit=1)[-1]}: {reading.reason}"


def _word_value(value: object) -> str:
    return repr(value).removesuffix(".0") if isinstance(value, float) else str(value)


def _give_values(
    field: str, readings: list[notation.Reading], written: list[str]
) -> dict[str, Objects]:
    values = np.empty(len(readings), dtype=object)
    values[:] = [getattr(reading, "value", None) for reading in readings]
    outputs = {field: values}
    if field == "exam_date":
        precisions = np.empty(len(readings), dtype=object)
        precisions[:] = [getattr(reading, "precision", None) for reading in readings]
        outputs["exam_date_precision"] = precisions
    if field == "mass_g":
        texts = np.empty(len(readings), dtype=object)
        texts[:] = [text or None for text in written]
        outputs["mass_text"] = texts
    return outputs


def _compose_date(texts: Texts, known_year: Mapping[str, str], last: int) -> notation.Reading:
    """Compose a date; the recipe can give the year that no column holds."""
    if known_year and any(texts.values()):
        reading = _compose_date({**texts, **known_year}, {}, last)
        said = f"{_YEAR_GIVEN} {known_year['year']}"
        return replace(reading, reason="; ".join(filter(None, [reading.reason, said])))
    year, month, day = (texts.get(part, "") for part in _DATE)
    absent = [notation.says_missing(text) for text in (year, month, day)]
    if absent in ([False, True, True], [False, False, True]):
        # The month or the year is all that is known, and the precision says so.
        written = f"{month} {year}".strip() if not absent[1] else year.strip()
        known = notation.parse_date(written, short_years_to=last)
        number = notation.read_month(month)
        if number is not None and re.fullmatch(r"\d{4}", year.strip(), re.ASCII):
            known = notation.parse_date(f"{year.strip()}-{number:02d}")
        return replace(known, raw=f"{day} {month} {year}".strip())
    reading = notation.compose_date(year, month, day, short_years_to=last)
    if reading.value is None and reading.outcome == "quarantined":
        return replace(reading, reason=f"{reading.reason}: {reading.raw!r}")
    return reading


def _join_parts(
    texts: Texts, numbers: Mapping[str, bool], rules: Mapping[str, ColumnRule]
) -> notation.Reading:
    given = {part: text.strip() for part, text in texts.items()
             if text.strip() and not notation.says_missing(text)}  # fmt: skip
    raw = " ".join(texts[part] for part in _JOINED if part in texts)
    if not given:
        return notation.TextReading(raw=raw, outcome="accepted", reason=notation.NO_VALUE)
    for part, text in given.items():
        digits = rules[part].digits
        if digits is not None and text.isdigit() and len(text) < digits:
            return notation.TextReading(
                raw=raw, outcome="quarantined",
                reason=f"the {part} has {len(text)} digits and not {digits}",
                likely=f"{part} {text.zfill(digits)}, zeros in front lost",
            )  # fmt: skip
    if set(given) != set(rules):
        absent = ", ".join(sorted(set(rules) - set(given)))
        return notation.TextReading(raw=raw, outcome="quarantined", reason=f"the {absent} is empty")
    joined = "-".join(given[part] for part in _JOINED if part in given)
    stored = any(numbers[part] and rules[part].digits is None for part in given)
    reason = "stored as a number: zeros in front would be lost" if stored else "joined by a hyphen"
    return notation.TextReading(raw=raw, outcome="converted", value=joined, reason=reason)


def _compose_mass(
    texts: Texts, numbers: Mapping[str, bool], rules: Mapping[str, ColumnRule]
) -> notation.Reading:
    raw = " ".join(texts.values()).strip()
    units = {"pounds": "lb", "ounces": "oz"}
    grams: dict[str, float] = {}
    for part, text in texts.items():
        unit = units.get(part, rules[part].unit)
        decimal: Any = "point" if numbers[part] else rules[part].decimal
        # An empty or '0' ounces beside pounds is none, and not a missing mass.
        if part in {"ounces", "tare"} and text.strip() in {"", "0", "0.0", "-"}:
            grams[part] = 0.0
            continue
        reading = notation.parse_mass(text, unit=unit, decimal=decimal)
        if reading.value is None:
            if part == "pounds" and text.strip() in {"", "0", "0.0", "-"}:
                grams[part] = 0.0
                continue
            reason = reading.reason or f"the {part} is empty"
            return notation.NumberReading(
                raw=raw, outcome=reading.outcome, reason=reason, likely=reading.likely
            )
        grams[part] = reading.value
    return _sum_mass(raw, texts, grams)


def _sum_mass(raw: str, texts: Texts, grams: Mapping[str, float]) -> notation.Reading:
    if "gross" in grams:
        mass = grams["gross"] - grams.get("tare", 0.0)
        said = f"gross {grams['gross']:g} g less tare {grams.get('tare', 0.0):g} g"
        if not texts.get("tare", "").strip():
            return notation.NumberReading(
                raw=raw, outcome="quarantined", reason="gross mass without a tare",
                likely=f"{grams['gross']:g} g in its wrap",
            )  # fmt: skip
    else:
        mass = sum(grams.values())
        ounces = grams.get("ounces", 0.0) / GRAMS_PER_UNIT["oz"]
        said = f"{texts.get('pounds', '').strip() or 0} lb {ounces:g} oz"
        if ounces >= 16.0:
            return notation.NumberReading(
                raw=raw, outcome="quarantined", reason=f"{ounces:g} oz is a pound or more",
                likely=f"{mass:.1f} g if both are meant",
            )  # fmt: skip
    if mass <= 0.0:
        if not raw or all(part == 0.0 for part in grams.values()):
            reason = f"nothing was weighed: {notation.NO_VALUE}"
            return notation.NumberReading(raw=raw, outcome="accepted", reason=reason)
        reason = f"{said} is not a mass"
        return notation.NumberReading(raw=raw, outcome="quarantined", reason=reason)
    return notation.NumberReading(
        raw=raw, outcome="converted", reason=said, value=mass, low=mass, high=mass
    )
