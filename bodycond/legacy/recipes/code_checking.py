"""The codes of a recipe's column checked: what is written, and what it is said to mean."""

from __future__ import annotations

from collections.abc import Mapping

from bodycond.codes import AGE_CLASSES, CROP_CODES, SEX_CODES
from bodycond.legacy.notation import (
    parse_date,
    parse_flag,
    parse_number,
    parse_species,
    parse_time,
)
from bodycond.legacy.recipes.constant_checking import SCIENTIFIC_NAME
from bodycond.legacy.recipes.recipe_keys import Problems
from bodycond.legacy.recipes.recipe_rules import CodeValue, ColumnRule
from bodycond.legacy.recipes.targets import FieldKind, known_columns
from bodycond.scales import KEEL_SCALE, ScoreScale

_CODED: dict[str, Mapping[str, str]] = {"sex": SEX_CODES, "age": AGE_CLASSES, "crop": CROP_CODES}


def code_suits(kind: FieldKind, field: str, value: CodeValue) -> bool:
    """Tell whether a code's value can be meant for a field, in a column of several fields.

    Parameters
    ----------
    kind : str
        The field's kind.
    field : str
        The field.
    value : str, (float, float) or None
        The code's value.

    Returns
    -------
    bool
        True where the field can hold it.

    Examples
    --------
    >>> code_suits("sex", "sex", "F"), code_suits("mass", "mass_g", "F")
    (True, False)
    """
    if value is None:
        return True
    if isinstance(value, tuple):
        return kind == "score"
    if kind in {"score", "mass", "length", "number", "count", "grade"}:
        return parse_number(value, decimal="point").value is not None
    column = known_columns("exams").get(field)
    allowed = _CODED.get(kind) or (column.codes if column is not None else {})
    if kind == "species":
        return parse_species(value).value == value
    return value in allowed if allowed else kind in {"text", "date", "flag"}


def check_code_values(
    rule: ColumnRule, field: str, kind: FieldKind, table: str,
    scales: Mapping[str, ScoreScale], problems: Problems,
) -> None:  # fmt: skip
    """Check that each code of a column stands for something that its field can hold.

    Parameters
    ----------
    rule : ColumnRule
        The column's rule.
    field : str
        The field.
    kind : str
        Its kind.
    table : {"exams", "ratings"}
        Its table.
    scales : mapping of str to ScoreScale
        The recipe's scales.
    problems : list of (int, str)
        Added to.
    """
    line = rule.line or 1
    scale = {KEEL_SCALE.name: KEEL_SCALE, **scales}.get(rule.scale or "")
    column = known_columns(table).get(field)
    allowed = _CODED.get(kind) or (column.codes if column is not None else {})
    for raw, value in rule.codes.items():
        # A split column's codes are for one of its fields each.
        if value is None or (rule.split and len(rule.fields) > 1):
            continue
        if kind in {"score", "mass", "length", "number", "count", "grade"}:
            written = [value] if isinstance(value, str) else [repr(part) for part in value]
            read = [parse_number(part, decimal="point").value for part in written]
            grades = [grade for grade in read if grade is not None]
            if kind == "count" and any(not grade.is_integer() for grade in grades):
                problems.append(
                    (line, f"the code {raw!r} of {rule.heading!r} needs a whole number")
                )
                continue
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
        elif kind == "time" and parse_time(value).value is None:
            problems.append((line, f"the code {raw!r} gives {value!r}, no time of day"))
        elif allowed and value not in allowed:
            known = ", ".join(allowed)
            problems.append((line, f"the code {raw!r} gives {value!r}; {field} takes {known}"))
