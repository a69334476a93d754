"""One column of a recipe checked: its field, unit, scale and codes must go together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from bodycond.codes import AGE_CODE_SYSTEMS
from bodycond.legacy.notation import (
    DATE_ORDERS,
    MASS_UNITS,
    SLASHES,
)
from bodycond.legacy.recipes.cell_templates import list_template_fields
from bodycond.legacy.recipes.code_checking import check_code_values
from bodycond.legacy.recipes.recipe_keys import (
    Problems,
    check_keys,
    read_number,
    suggest,
    take_constants,
    take_flag,
    take_number,
    take_row,
    take_text,
    take_texts,
)
from bodycond.legacy.recipes.recipe_rules import CodeValue, ColumnRule
from bodycond.legacy.recipes.record_checking import LABEL_PLACES, PART_KINDS, check_record_keys
from bodycond.legacy.recipes.targets import (
    ORIGIN_FIELDS,
    OWN_KINDS,
    TABLES,
    FieldKind,
    find_kind,
    known_columns,
)
from bodycond.legacy.recipes.yaml_nodes import Node
from bodycond.scales import KEEL_SCALE, ScoreScale
from bodycond.units import MILLIMETRES_PER_UNIT

_COLUMN_KEYS = (
    "field", "unit", "unit_from", "scale", "date_order", "year", "short_years_to", "part",
    "split", "decimal", "codes", "system", "kind", "low", "high", "digits", "prefixes", "slash",
    "fill_down", "ditto", "also", "with", "into", "exact", "set_aside", "ask", "confidence",
    "evidence",
)  # fmt: skip
_LABEL_KEYS = (*_COLUMN_KEYS, "where")
_WORDS: dict[str, tuple[str, ...]] = {
    "date_order": DATE_ORDERS,
    "part": tuple(PART_KINDS),
    "decimal": ("point", "comma"),
    "system": tuple(AGE_CODE_SYSTEMS),
    "kind": OWN_KINDS,
    "slash": SLASHES,
    "exact": ("csv", "cells"),
    "into": tuple(TABLES),
    "where": LABEL_PLACES,
}
# Which kinds of field a key says something about.
_BELONGS: dict[str, tuple[str, ...]] = {
    "unit": ("mass", "length", "number"),
    "scale": ("score",),
    "prefixes": ("score",),
    "slash": ("score",),
    "unit_from": ("mass", "length"),
    "date_order": ("date",),
    "year": ("date",),
    "short_years_to": ("date",),
    "digits": ("text",),
    "system": ("age",),
    "decimal": ("mass", "length", "number", "count", "score", "grade"),
    "low": ("number", "count", "grade"),
    "high": ("number", "count", "grade"),
}


def check_column(
    heading: str, node: Node, table: str, scales: Mapping[str, ScoreScale], problems: Problems, *,
    is_label: bool = False,
) -> ColumnRule:  # fmt: skip
    """Check one column's entry.

    Parameters
    ----------
    heading : str
        The column's heading, or a label's text.
    node : Node
        The entry.
    table : {"exams", "ratings"}
        The sheet's table.
    scales : mapping of str to ScoreScale
        The recipe's scales.
    problems : list of (int, str)
        Added to.
    is_label : bool, default False
        The entry is a label's.

    Returns
    -------
    ColumnRule
        The rule, of use where nothing was added.
    """
    if not isinstance(node.value, dict):
        problems.append((node.line, f"{heading!r} needs a mapping, for example {{field: wing_mm}}"))
        return ColumnRule(heading=heading, line=node.line)
    keys = _LABEL_KEYS if is_label else _COLUMN_KEYS
    check_keys(node, keys, problems, what=f"the column {heading!r}")
    rule = _take_rule(heading, node, problems)
    _check_decision(rule, problems)
    table = rule.into or table
    kinds = [_check_field(rule, field, table, scales, problems) for field in rule.fields]
    known = [kind for kind in kinds if kind]
    _check_keys_fit(rule, node, known, problems)
    check_record_keys(rule, node, known, table, problems)
    return rule


def _take_rule(heading: str, node: Node, problems: Problems) -> ColumnRule:
    words = {key: _take_word(node, key, problems) for key in _WORDS}
    plain = ("unit", "unit_from", "scale", "year", "set_aside", "ask", "evidence")
    texts = {key: take_text(node, key, problems) for key in plain}
    templates = take_texts(node, "split", problems)
    keys: dict[str, Any] = {**words, **texts}
    return ColumnRule(
        heading=heading,
        line=node.line,
        fields=take_texts(node, "field", problems) or list_template_fields(templates),
        split=templates,
        low=take_number(node, "low", problems),
        high=take_number(node, "high", problems),
        confidence=take_number(node, "confidence", problems),
        digits=take_row(node, "digits", problems),
        short_years_to=take_row(node, "short_years_to", problems),
        prefixes=take_texts(node, "prefixes", problems),
        fill_down=take_flag(node, "fill_down", problems, default=False),
        ditto=take_flag(node, "ditto", problems, default=True),
        also=take_texts(node, "also", problems),
        values={
            name: str(item.text) for name, item in take_constants(node, "with", problems).items()
        },
        codes=_take_codes(node, problems),
        **keys,
    )


def _take_word(node: Node, key: str, problems: Problems) -> str | None:
    word = take_text(node, key, problems)
    if word is not None and word not in _WORDS[key]:
        known = ", ".join(_WORDS[key])
        problems.append((node.value[key].line, f"{key!r} is one of {known}, not {word!r}"))
        return None
    return word


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
            low, high = read_pair(item.value)
            if low is None or high is None or low > high:
                problems.append((item.line, f"the code {raw!r} needs two numbers, low and high"))
                continue
            codes[raw] = (low, high)
        elif isinstance(item.value, dict) or not item.text.strip():
            message = f"the code {raw!r} needs one value; null stands for no value"
            problems.append((item.line, message))
        else:
            codes[raw] = str(item.text)
    return codes


def read_pair(items: Sequence[Node]) -> tuple[float | None, float | None]:
    """Read two numbers of a list.

    Parameters
    ----------
    items : sequence of Node
        The list.

    Returns
    -------
    low, high : float or None
        None where it has other items, or more or fewer.
    """
    if len(items) != 2:
        return None, None
    return read_number(items[0].value), read_number(items[1].value)


def _check_decision(rule: ColumnRule, problems: Problems) -> None:
    line = rule.line or 1
    if len(set(rule.fields)) < len(rule.fields):
        problems.append((line, f"{rule.heading!r} names a field twice"))
    derived = [name for name in ("split", "part", "codes", "unit", "unit_from")
               if getattr(rule, name)]  # fmt: skip
    if rule.exact and (len(rule.fields) != 1 or derived):
        problems.append((line, f"{rule.heading!r} is 'exact': one field, and nothing of "
                         "split, part, codes, unit and unit_from"))  # fmt: skip
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
    if rule.exact and field not in known_columns(table):
        problems.append(
            (line, f"'exact' is for columns that bodycond wrote, and {field!r} is none")
        )
    if kind == "score" and not rule.exact:
        _check_scale(rule, field, scales, problems)
    if not field.isidentifier():
        problems.append((line, f"the field {field!r} must be one word of letters, digits and _"))
    check_code_values(rule, field, kind, table, scales, problems)
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
        if entry is None or entry.value is None or entry.value == [] or not kinds:
            continue
        if key == "unit_from" and {"mass", "length"} <= set(kinds):
            message = "'unit_from' gives the unit of a mass or of a length, and not of both"
            problems.append((entry.line, message))
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
