"""One column of a recipe checked: its field, unit, scale and codes must go together."""

from __future__ import annotations

from collections.abc import Mapping

from bodycond.codes import AGE_CLASSES, AGE_CODE_SYSTEMS, CROP_CODES, SEX_CODES
from bodycond.legacy.notation import (
    DATE_ORDERS,
    MASS_UNITS,
    SLASHES,
    parse_date,
    parse_flag,
    parse_number,
    parse_species,
)
from bodycond.legacy.recipe_keys import Problems, check_keys, suggest, take_number, take_text
from bodycond.legacy.recipe_rules import CodeValue, ColumnRule
from bodycond.legacy.targets import (
    ORIGIN_FIELDS,
    OWN_KINDS,
    FieldKind,
    find_kind,
    known_columns,
)
from bodycond.legacy.yaml_nodes import Node
from bodycond.scales import KEEL_SCALE, ScoreScale
from bodycond.units import MILLIMETRES_PER_UNIT

SCIENTIFIC_NAME = "a scientific name such as Buteo buteo"
"""What a recipe must give for a species, since nothing may be guessed from a code or nickname."""

_COLUMN_KEYS = (
    "field", "unit", "scale", "date_order", "part", "decimal", "codes", "system", "kind", "low",
    "high", "prefixes", "slash", "fill_down", "ditto", "set_aside", "ask", "confidence",
)  # fmt: skip
_WORDS: dict[str, tuple[str, ...]] = {
    "date_order": DATE_ORDERS,
    "part": ("year", "month", "day"),
    "decimal": ("point", "comma"),
    "system": tuple(AGE_CODE_SYSTEMS),
    "kind": OWN_KINDS,
    "slash": SLASHES,
}
# Which kinds of field a key says something about.
_BELONGS: dict[str, tuple[str, ...]] = {
    "unit": ("mass", "length", "number"),
    "scale": ("score",),
    "prefixes": ("score",),
    "slash": ("score",),
    "date_order": ("date",),
    "part": ("date",),
    "system": ("age",),
    "decimal": ("mass", "length", "number", "count", "score", "grade"),
}
_CODED: dict[str, Mapping[str, str]] = {"sex": SEX_CODES, "age": AGE_CLASSES, "crop": CROP_CODES}


def check_column(
    heading: str, node: Node, table: str, scales: Mapping[str, ScoreScale], problems: Problems
) -> ColumnRule:
    """Check one column's entry.

    Parameters
    ----------
    heading : str
        The column's heading.
    node : Node
        The entry.
    table : {"exams", "ratings"}
        The sheet's table.
    scales : mapping of str to ScoreScale
        The recipe's scales.
    problems : list of (int, str)
        Added to.

    Returns
    -------
    ColumnRule
        The rule, of use where nothing was added.
    """
    if not isinstance(node.value, dict):
        problems.append((node.line, f"{heading!r} needs a mapping, for example {{field: wing_mm}}"))
        return ColumnRule(heading=heading, line=node.line)
    check_keys(node, _COLUMN_KEYS, problems, what=f"the column {heading!r}")
    words = {key: _take_word(node, key, problems) for key in _WORDS}
    rule = ColumnRule(
        heading=heading,
        line=node.line,
        fields=_take_texts(node, "field", problems),
        unit=take_text(node, "unit", problems),
        scale=take_text(node, "scale", problems),
        low=take_number(node, "low", problems),
        high=take_number(node, "high", problems),
        confidence=take_number(node, "confidence", problems),
        prefixes=_take_texts(node, "prefixes", problems),
        fill_down=_take_flag(node, "fill_down", problems, default=False),
        ditto=_take_flag(node, "ditto", problems, default=True),
        set_aside=take_text(node, "set_aside", problems),
        ask=take_text(node, "ask", problems),
        codes=_take_codes(node, problems),
        **words,
    )
    _check_decision(rule, problems)
    kinds = [_check_field(rule, field, table, scales, problems) for field in rule.fields]
    _check_keys_fit(rule, node, [kind for kind in kinds if kind], problems)
    return rule


def _take_word(node: Node, key: str, problems: Problems) -> str | None:
    word = take_text(node, key, problems)
    if word is not None and word not in _WORDS[key]:
        known = ", ".join(_WORDS[key])
        problems.append((node.value[key].line, f"{key!r} is one of {known}, not {word!r}"))
        return None
    return word


def _take_texts(node: Node, key: str, problems: Problems) -> tuple[str, ...]:
    entry = node.value.get(key)
    if entry is None or entry.value is None:
        return ()
    if isinstance(entry.value, list):
        return tuple(str(item.text) for item in entry.value if item.text)
    text = take_text(node, key, problems)
    return (text,) if text else ()


def _take_flag(node: Node, key: str, problems: Problems, *, default: bool) -> bool:
    entry = node.value.get(key)
    if entry is None or entry.value is None:
        return default
    if not isinstance(entry.value, bool):
        problems.append((entry.line, f"{key!r} takes true or false"))
        return default
    return entry.value


def _take_codes(node: Node, problems: Problems) -> dict[str, CodeValue]:
    entry = node.value.get("codes")
    if entry is None or entry.value is None:
        return {}
    if not isinstance(entry.value, dict):
        problems.append((entry.line, "'codes' is a mapping of what is written to what it means"))
        return {}
    codes: dict[str, CodeValue] = {}
    for raw, item in entry.value.items():
        if item.value is None:
            codes[raw] = None
        elif isinstance(item.value, list):
            numbers = [part.value for part in item.value]
            if len(numbers) != 2 or not all(isinstance(part, int | float) for part in numbers):
                problems.append((item.line, f"the code {raw!r} needs two numbers, low and high"))
                continue
            codes[raw] = (float(numbers[0]), float(numbers[1]))
        elif isinstance(item.value, dict):
            problems.append((item.line, f"the code {raw!r} needs one value"))
        else:
            codes[raw] = str(item.text)
    return codes


def _check_decision(rule: ColumnRule, problems: Problems) -> None:
    line = rule.line or 1
    if rule.set_aside and rule.fields:
        problems.append((line, f"{rule.heading!r} has both a field and 'set_aside'"))
    if not rule.fields and not rule.set_aside and not rule.ask:
        problems.append((line, f"{rule.heading!r} needs 'field', 'set_aside' or 'ask'"))


def _check_field(
    rule: ColumnRule, field: str, table: str, scales: Mapping[str, ScoreScale], problems: Problems
) -> FieldKind | None:
    line = rule.line or 1
    if field in ORIGIN_FIELDS:
        problems.append((line, f"{field!r} is filled by the import itself"))
        return None
    kind = find_kind(field, table=table, own_kind=rule.kind, has_scale=rule.scale is not None)
    if kind is None:
        known = [name for name in known_columns(table) if name not in ORIGIN_FIELDS]
        near = suggest(field, known)
        hint = near if "did you mean" in near else ""
        own = f"a field of your own needs 'kind' ({', '.join(OWN_KINDS)}) or 'scale'"
        problems.append((line, f"unknown field {field!r} in {table}{hint}; {own}"))
        return None
    if kind == "score":
        _check_scale(rule, field, scales, problems)
    if not field.isidentifier():
        problems.append((line, f"the field {field!r} must be one word of letters, digits and _"))
    _check_code_values(rule, field, kind, table, scales, problems)
    return kind


def _check_scale(
    rule: ColumnRule, field: str, scales: Mapping[str, ScoreScale], problems: Problems
) -> None:
    line = rule.line or 1
    if rule.scale is None:
        if rule.codes:
            problems.append((line, f"the codes of {rule.heading!r} give grades: name their scale"))
        return
    scale = {KEEL_SCALE.name: KEEL_SCALE, **scales}.get(rule.scale)
    if scale is None:
        near = suggest(rule.scale, [KEEL_SCALE.name, *scales])
        problems.append((line, f"the scale {rule.scale!r} is not described{near}"))
    elif field == "keel" and (scale.low, scale.high) != (KEEL_SCALE.low, KEEL_SCALE.high):
        message = (
            f"'keel' is graded 1 to 5 and {scale.name!r} is {scale.low:g} to {scale.high:g}; give "
            "another score a field of its own, for example pectoral_muscle"
        )
        problems.append((line, message))


def _check_keys_fit(
    rule: ColumnRule, node: Node, kinds: list[FieldKind], problems: Problems
) -> None:
    for key, belongs in _BELONGS.items():
        entry = node.value.get(key)
        if entry is None or not entry.value or not kinds:
            continue
        if not set(kinds) & set(belongs):
            problems.append((entry.line, f"{key!r} says nothing about a {kinds[0]} field"))
    units = {"mass": MASS_UNITS, "length": tuple(MILLIMETRES_PER_UNIT)}
    for kind in kinds:
        if kind in units and rule.unit is not None and rule.unit not in units[kind]:
            line = node.value["unit"].line
            known = ", ".join(units[kind])
            problems.append((line, f"unknown unit {rule.unit!r} for a {kind}; known are {known}"))
    if rule.low is not None and rule.high is not None and rule.low > rule.high:
        problems.append((node.value["low"].line, f"low {rule.low:g} is above high {rule.high:g}"))


def _check_code_values(
    rule: ColumnRule, field: str, kind: FieldKind, table: str,
    scales: Mapping[str, ScoreScale], problems: Problems,
) -> None:  # fmt: skip
    line = rule.line or 1
    scale = {KEEL_SCALE.name: KEEL_SCALE, **scales}.get(rule.scale or "")
    column = known_columns(table).get(field)
    allowed = _CODED.get(kind) or (column.codes if column is not None else {})
    for raw, value in rule.codes.items():
        if value is None:
            continue
        if kind in {"score", "mass", "length", "number", "count", "grade"}:
            written = [value] if isinstance(value, str) else [repr(part) for part in value]
            read = [parse_number(part, decimal="point").value for part in written]
            grades = [grade for grade in read if grade is not None]
            if len(grades) != len(read) or (isinstance(value, tuple) and kind != "score"):
                problems.append((line, f"the code {raw!r} of {rule.heading!r} needs a number"))
            elif kind == "score" and scale is not None and not scale.contains(grades).all():
                message = f"the code {raw!r} gives {value!r}, no grade of {scale.name!r}"
                problems.append((line, message))
        elif isinstance(value, tuple):
            problems.append((line, f"the code {raw!r} of {rule.heading!r} needs one value"))
        elif kind == "species" and parse_species(value).value != value:
            problems.append((line, f"the code {raw!r} gives {value!r}, not {SCIENTIFIC_NAME}"))
        elif kind == "date" and parse_date(value).value is None:
            problems.append((line, f"the code {raw!r} gives {value!r}, no year-month-day"))
        elif kind == "flag" and parse_flag(value).value is None:
            problems.append((line, f"the code {raw!r} gives {value!r}; a flag is true or false"))
        elif allowed and value not in allowed:
            known = ", ".join(allowed)
            problems.append((line, f"the code {raw!r} gives {value!r}; {field} takes {known}"))
