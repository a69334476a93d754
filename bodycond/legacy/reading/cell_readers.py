"""The parser for a field, with the recipe's own codes before it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import cast

from bodycond.legacy import notation
from bodycond.legacy.files.mojibake import may_hold_mojibake, repair_mojibake
from bodycond.legacy.recipes.cell_templates import split_text
from bodycond.legacy.recipes.code_checking import code_suits
from bodycond.legacy.recipes.recipe_rules import CodeValue, ColumnRule
from bodycond.legacy.recipes.targets import FieldKind, known_columns
from bodycond.scales import ScoreScale

Reader = Callable[[str, bool], notation.Reading]

# Of 2.1 and 2.10 a spreadsheet keeps 2.1; no other number of ounces below 16 loses a digit so.
_OUNCES_CUT = re.compile(r"\d+\.1")
IDENTIFIERS = frozenset({"ring_number", "bird_id", "exam_id"})
"""Fields that name a bird, a ring or an exam: texts, whatever a spreadsheet made of them."""

_NUMERIC = frozenset({"score", "mass", "length", "number", "grade", "count"})


def make_reader(field: str, kind: FieldKind, rule: ColumnRule, scale: ScoreScale | None) -> Reader:
    """Choose the parser for a field, with the recipe's codes before it.

    Parameters
    ----------
    field : str
        The field.
    kind : FieldKind
        Its kind.
    rule : ColumnRule
        The column's rule.
    scale : ScoreScale or None
        The score scale.

    Returns
    -------
    callable
        Takes a text and whether the cell is a number; gives the reading.
    """
    parse = _choose_parser(field, kind, rule, scale)
    codes = dict(rule.codes)
    if len(rule.fields) > 1 and rule.split:
        codes = {raw: code for raw, code in codes.items() if code_suits(kind, field, code)}
    if codes:
        parse = _put_codes_first(parse, codes, kind)
    if rule.split:
        parse = _read_part(parse, field, kind, rule.split)
    return parse if kind in _NUMERIC else _repair_letters_first(parse)


def _repair_letters_first(parse: Reader) -> Reader:
    def _read(text: str, is_number: bool) -> notation.Reading:
        if text.isascii() or not may_hold_mojibake(text):
            return parse(text, is_number)
        repaired = repair_mojibake(text)
        reading = parse(repaired, is_number)
        if repaired == text:
            return reading
        outcome = "converted" if reading.outcome == "accepted" else reading.outcome
        reason = f"letters repaired, read as {repaired!r}"
        reason += f"; {reading.reason}" if reading.reason else ""
        return replace(reading, raw=text, outcome=outcome, reason=reason)

    return _read


def _put_codes_first(parse: Reader, codes: Mapping[str, CodeValue], kind: FieldKind) -> Reader:
    exact = {raw.strip(): value for raw, value in codes.items()}
    folded = {raw.strip().casefold(): value for raw, value in codes.items()}

    def _read(text: str, is_number: bool) -> notation.Reading:
        plain = text.strip()
        if plain in exact:
            return _apply_code(text, exact[plain], kind)
        if plain.casefold() in folded:
            return _apply_code(text, folded[plain.casefold()], kind)
        return parse(text, is_number)

    return _read


def _read_part(parse: Reader, field: str, kind: FieldKind, templates: Sequence[str]) -> Reader:
    """Read the part of a cell's text that is the field's."""

    def _read(text: str, is_number: bool) -> notation.Reading:
        if notation.says_missing(text):
            return parse(text, is_number)
        split = split_text(text, templates)
        if split is None:
            return notation.Reading(
                raw=text, outcome="quarantined",
                reason=f"the cell does not fit {' or '.join(map(repr, templates))}",
            )  # fmt: skip
        if field not in split.parts:
            missing = _choose_reading(kind)
            return missing(raw=text, outcome="accepted", reason=notation.NO_VALUE)
        reading = parse(split.parts[field], False)
        said = f"{field} is {split.parts[field]!r}"
        unused = ", ".join(map(repr, split.unused))
        reason = "; ".join(filter(None, [said, reading.reason, unused and f"{unused} not used"]))
        outcome = "converted" if reading.outcome == "accepted" else reading.outcome
        return replace(reading, outcome=outcome, reason=reason)

    return _read


def _apply_code(text: str, value: CodeValue, kind: FieldKind) -> notation.Reading:
    reason = f"the recipe's code for {text.strip()!r}"
    if value is None:
        missing = _choose_reading(kind)
        return missing(raw=text, outcome="accepted", reason=f"{reason}: {notation.NO_VALUE}")
    if isinstance(value, tuple):
        return notation.NumberReading(
            raw=text, outcome="converted", reason=reason, low=value[0], high=value[1]
        )
    if kind in _NUMERIC:
        number = notation.parse_number(value, decimal="point").value
        base = {"mass": " g", "length": " mm"}.get(kind)
        reason += f": {value}{base}" if base else ""
        return notation.NumberReading(
            raw=text, outcome="converted", reason=reason, value=number, low=number, high=number
        )
    if kind == "date":
        return replace(notation.parse_date(value), raw=text, outcome="converted", reason=reason)
    if kind == "flag":
        return replace(notation.parse_flag(value), raw=text, outcome="converted", reason=reason)
    if kind == "time":
        return replace(notation.parse_time(value), raw=text, outcome="converted", reason=reason)
    if text.strip() == value:
        return notation.TextReading(raw=text, outcome="accepted", value=value)
    return notation.TextReading(raw=text, outcome="converted", value=value, reason=reason)


def _choose_reading(kind: FieldKind) -> type[notation.Reading]:
    if kind in _NUMERIC:
        return notation.NumberReading
    others = {
        "date": notation.DateReading, "flag": notation.FlagReading, "time": notation.TimeReading,
    }  # fmt: skip
    return others.get(kind, notation.TextReading)


def _choose_parser(
    field: str, kind: FieldKind, rule: ColumnRule, scale: ScoreScale | None
) -> Reader:
    if kind in _NUMERIC - {"score"}:
        return _choose_number_parser(kind, rule)
    if kind == "score":
        slash = cast("notation.Slash | None", rule.slash)
        return lambda text, _: (
            _read_coded_range(text, rule, scale)
            or notation.parse_score(text, scale=scale, prefixes=rule.prefixes, slash=slash)
        )
    if kind == "date":
        year = int(rule.year) if rule.year is not None and rule.year.isdigit() else None
        last = rule.short_years_to or notation.LAST_SHORT_YEAR
        return lambda text, _: notation.parse_date(
            text, order=rule.date_order, year=year, short_years_to=last
        )
    if kind == "time":
        return lambda text, _: notation.parse_time(text)
    if kind == "age":
        return lambda text, _: notation.parse_age(text, system=rule.system)
    if kind == "code":
        column = known_columns("exams")[field]
        return lambda text, _: notation.parse_code(text, codes=column.codes)
    simple: dict[str, Callable[[str], notation.Reading]] = {
        "sex": notation.parse_sex,
        "crop": notation.parse_crop,
        "flag": notation.parse_flag,
        "species": notation.parse_species,
    }
    if kind in simple:
        parser = simple[kind]
        return lambda text, _: parser(text)
    if field in IDENTIFIERS:
        return lambda text, is_number: notation.parse_identifier(
            text, is_number=is_number, digits=rule.digits
        )
    return lambda text, _: notation.parse_text(text)


def _read_coded_range(
    text: str, rule: ColumnRule, scale: ScoreScale | None
) -> notation.Reading | None:
    if not rule.codes or scale is None:
        return None
    return notation.parse_coded_range(text, codes=rule.codes, scale=scale)


def _choose_number_parser(kind: FieldKind, rule: ColumnRule) -> Reader:
    def _read(text: str, is_number: bool) -> notation.Reading:
        # A number cell has no decimal mark of its own; its text here always has a point.
        decimal = "point" if is_number else cast("notation.Decimal | None", rule.decimal)
        if kind == "mass":
            if rule.unit == "lb.oz" and is_number and _OUNCES_CUT.fullmatch(text):
                pounds = text.split(".")[0]
                return notation.NumberReading(
                    raw=text, outcome="quarantined",
                    reason="stored as a number: a zero at its end would be lost",
                    likely=f"{pounds} lb 1 oz or {pounds} lb 10 oz",
                )  # fmt: skip
            return notation.parse_mass(text, unit=rule.unit, decimal=decimal)
        if kind == "length":
            return notation.parse_length(text, unit=rule.unit, decimal=decimal)
        reading = notation.parse_number(text, decimal=decimal, low=rule.low, high=rule.high)
        if kind == "count" and reading.value is not None and not reading.value.is_integer():
            reason = f"{reading.value:g} is no whole number"
            return notation.NumberReading(raw=text, outcome="quarantined", reason=reason)
        return reading

    return _read
