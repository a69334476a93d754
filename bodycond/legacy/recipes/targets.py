"""What a recipe can fill: each field's kind, and the columns that it fills."""

from __future__ import annotations

from typing import Literal

from bodycond.columns import EXAM_COLUMNS, RATING_COLUMNS, Column, score_columns

TableName = Literal["exams", "ratings"]
FieldKind = Literal[
    "mass", "length", "score", "grade", "number", "count", "date", "sex", "age", "crop",
    "species", "flag", "code", "text", "time",
]  # fmt: skip

TABLES: dict[str, tuple[Column, ...]] = {"exams": EXAM_COLUMNS, "ratings": RATING_COLUMNS}
OWN_KINDS: tuple[str, ...] = ("number", "count", "text", "date", "flag", "time")
"""Kinds that a field of the user's own can have; a score of the user's own has a scale instead."""

# The import writes these itself.
ORIGIN_FIELDS = frozenset({"source_file", "source_sheet", "source_row"})

# Several columns can add to the same remark; every other field has one source.
SHARED_FIELDS = frozenset({"remarks"})

_SPECIAL: dict[str, FieldKind] = {
    "sex": "sex",
    "age_class": "age",
    "age_code": "age",
    "crop_fill": "crop",
    "species": "species",
    "mass_g": "mass",
}
_BY_KIND: dict[str, FieldKind] = {
    "text": "text",
    "code": "code",
    "number": "number",
    "grade": "grade",
    "count": "count",
    "date": "date",
    "flag": "flag",
    "time": "time",
}


def known_columns(table: str) -> dict[str, Column]:
    """Give the columns of a table by name.

    Parameters
    ----------
    table : {"exams", "ratings"}
        The table.

    Returns
    -------
    dict of str to Column
        In the table's order.
    """
    return {column.name: column for column in TABLES[table]}


def find_kind(field: str, *, table: str, own_kind: str | None, has_scale: bool) -> FieldKind | None:
    """Tell what a field's cells hold.

    Parameters
    ----------
    field : str
        The field.
    table : {"exams", "ratings"}
        The table that it belongs to.
    own_kind : str or None
        The kind that the recipe gives a field of the user's own.
    has_scale : bool
        The recipe gives the field a score scale.

    Returns
    -------
    FieldKind or None
        None where the field is neither known nor described.

    Examples
    --------
    >>> find_kind("wing_mm", table="exams", own_kind=None, has_scale=False)
    'length'
    >>> find_kind("keel_fat", table="exams", own_kind=None, has_scale=True)
    'score'
    """
    column = known_columns(table).get(field)
    if column is None:
        if has_scale:
            return "score"
        return _BY_KIND[own_kind] if own_kind in OWN_KINDS else None
    if field in _SPECIAL:
        return _SPECIAL[field]
    if column.kind == "grade" and f"{field}_scale" in known_columns(table):
        return "score"
    if column.unit == "mm":
        return "length"
    return _BY_KIND[column.kind]


def list_outputs(field: str, *, kind: FieldKind, table: str) -> tuple[Column, ...]:
    """Give the columns that a field fills, the field itself first.

    Parameters
    ----------
    field : str
        The field.
    kind : FieldKind
        Its kind.
    table : {"exams", "ratings"}
        The table that it belongs to.

    Returns
    -------
    tuple of Column
        For a mass also the text as written, for a score its interval, text and scale.

    Examples
    --------
    >>> [column.name for column in list_outputs("mass_g", kind="mass", table="exams")]
    ['mass_g', 'mass_text']
    """
    known = known_columns(table)
    if kind == "score":
        made = score_columns(field, what=field.replace("_", " "))
        return tuple(known.get(column.name, column) for column in made)
    names = {
        "mass_g": ["mass_g", "mass_text"],
        "exam_date": ["exam_date", "exam_date_precision"],
        "age_code": ["age_code", "age_code_system", "age_class"],
    }.get(field, [field])
    if field in known:
        return tuple(known[name] for name in names if name in known)
    plain: dict[str, Literal["number", "count", "text", "date", "flag"]] = {
        "number": "number", "count": "count", "text": "text", "date": "date", "flag": "flag",
        "time": "text",
    }  # fmt: skip
    return (Column(name=field, kind=plain[kind], meaning="a field of the recipe's own"),)
