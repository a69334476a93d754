"""Keys of a column that make one record of several cells, or several of one, checked."""

from __future__ import annotations

import re

from bodycond.legacy.notation import FIRST_SHORT_LIMIT, LAST_SHORT_LIMIT
from bodycond.legacy.recipes.cell_templates import find_template_fault, list_template_fields
from bodycond.legacy.recipes.constant_checking import check_constant
from bodycond.legacy.recipes.recipe_keys import Problems, take_constants
from bodycond.legacy.recipes.recipe_rules import ColumnRule
from bodycond.legacy.recipes.targets import FieldKind
from bodycond.legacy.recipes.yaml_nodes import Node

PART_KINDS: dict[str, tuple[FieldKind, ...]] = {
    "year": ("date",),
    "month": ("date",),
    "day": ("date",),
    "pounds": ("mass",),
    "ounces": ("mass",),
    "gross": ("mass",),
    "tare": ("mass",),
    "prefix": ("text",),
    "suffix": ("text",),
    "genus": ("species",),
    "epithet": ("species",),
}
"""Parts of a value that can stand in columns of their own, with the kinds of field they make."""

LABEL_PLACES = ("right", "below", "same")

_YEAR = re.compile(r"(18|19|20)\d\d|file|sheet", re.ASCII)


def check_record_keys(
    rule: ColumnRule, node: Node, kinds: list[FieldKind], table: str, problems: Problems
) -> None:
    """Check the keys of a column that say how cells make records.

    Parameters
    ----------
    rule : ColumnRule
        The column's rule.
    node : Node
        Its entry.
    kinds : list of str
        Kinds of its fields.
    table : {"exams", "ratings"}
        The table of its record.
    problems : list of (int, str)
        Added to.
    """
    line = rule.line or 1
    if rule.part is not None and kinds and kinds[0] not in PART_KINDS[rule.part]:
        problems.append((line, f"the part {rule.part!r} says nothing about a {kinds[0]} field"))
    if rule.part in {"genus", "epithet"} and rule.codes:
        message = f"'codes' say nothing about the part {rule.part!r}: they are whole names"
        problems.append((node.value["codes"].line, message))
    if rule.year is not None and not _YEAR.fullmatch(rule.year):
        problems.append((line, f"'year' is four digits, file or sheet, not {rule.year!r}"))
    last = rule.short_years_to
    if last is not None and not FIRST_SHORT_LIMIT <= last <= LAST_SHORT_LIMIT:
        limits = f"{FIRST_SHORT_LIMIT} to {LAST_SHORT_LIMIT}"
        problems.append((line, f"'short_years_to' is a year from {limits}, not {last}"))
    if rule.digits is not None and not 2 <= rule.digits <= 20:
        problems.append((line, f"'digits' is a count from 2 to 20, not {rule.digits}"))
    if rule.unit is not None and rule.unit_from is not None:
        problems.append((line, f"{rule.heading!r} has both 'unit' and 'unit_from'"))
    if rule.into is not None and rule.into == "exams" and not rule.values:
        problems.append((line, "'into: exams' needs 'with': what tells its record from the row's"))
    _check_split(rule, problems)
    for name, item in take_constants(node, "with", problems).items():
        if name in rule.fields:
            problems.append((item.line, f"{name!r} is filled by the cell and by 'with'"))
        else:
            check_constant(name, item, table, problems)


def _check_split(rule: ColumnRule, problems: Problems) -> None:
    if not rule.split:
        return
    line = rule.line or 1
    for template in rule.split:
        fault = find_template_fault(template)
        if fault:
            problems.append((line, f"the split {template!r}: {fault}"))
    if set(rule.fields) != set(list_template_fields(rule.split)):
        problems.append(
            (line, "'field' and 'split' name different fields; 'split' alone is enough")
        )
    if rule.part is not None:
        problems.append((line, f"{rule.heading!r} has both 'split' and 'part'"))
