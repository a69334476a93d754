"""A value that a recipe gives to a field for every row, checked."""

from __future__ import annotations

from bodycond.columns import Column
from bodycond.legacy.notation import parse_date, parse_number, parse_species
from bodycond.legacy.recipes.recipe_keys import Problems, suggest
from bodycond.legacy.recipes.targets import ORIGIN_FIELDS, known_columns
from bodycond.legacy.recipes.yaml_nodes import Node

SCIENTIFIC_NAME = "a scientific name such as Buteo buteo"
"""What a recipe must give for a species, since nothing may be guessed from a code or nickname."""

NAME_PLACES = ("{file}", "{sheet}")
"""What stands in a constant for the name of the file or of the sheet."""


def check_constant(name: str, item: Node, table: str, problems: Problems) -> bool:
    """Check one constant.

    Parameters
    ----------
    name : str
        The field.
    item : Node
        The value.
    table : {"exams", "ratings"}
        The table of the field.
    problems : list of (int, str)
        Added to.

    Returns
    -------
    bool
        True where the field is one that a constant can fill.
    """
    known = known_columns(table)
    column = known.get(name)
    if column is None or name in ORIGIN_FIELDS:
        problems.append((item.line, f"unknown field {name!r}{suggest(name, known)}"))
        return False
    if column.kind == "grade":
        message = f"{name!r} is a grade, which needs a column with its scale, and no constant"
        problems.append((item.line, message))
        return False
    _check_value(column, item, problems)
    return True


def _check_value(column: Column, item: Node, problems: Problems) -> None:
    text, good = str(item.text), True
    if item.value is None or not text.strip():
        good = False  # no value is what a field has without a constant
    elif column.kind == "text" and column.name != "species":
        pass
    elif any(place in text for place in NAME_PLACES):
        good = False  # a name is text
    elif column.name == "species":
        good = parse_species(text).value == text
    elif column.kind == "code":
        good = text in column.codes
    elif column.kind in {"number", "grade", "count"}:
        number = parse_number(text).value
        good = number is not None and (column.kind != "count" or number.is_integer())
    elif column.kind == "date":
        good = parse_date(text).outcome == "accepted"
    elif column.kind == "flag":
        good = text.casefold() in {"true", "false"}
    if not good or isinstance(item.value, dict | list):
        takes = ", ".join(column.codes) or {"flag": "true or false"}.get(column.kind, column.kind)
        takes = SCIENTIFIC_NAME if column.name == "species" else takes
        problems.append((item.line, f"{column.name!r} cannot be {text!r}; it takes {takes}"))
