"""Cells that hold several values, such as 'ASY/M' or '6/27, 3.9g', and how to split them."""

from __future__ import annotations

import re
from collections.abc import Sequence

from bodycond.legacy.drafting.column_contents import ColumnContents
from bodycond.legacy.drafting.drafted_columns import DraftedColumn, ask
from bodycond.legacy.headings.headings import CERTAIN, HeadingMatch, match_heading
from bodycond.legacy.recipes.cell_templates import split_text
from bodycond.legacy.recipes.recipe_rules import ColumnRule
from bodycond.legacy.recipes.targets import known_columns

_BETWEEN = ("/", ", ", "; ", " x ", " - ", "-", "+", "&", " ")
_PARTED = re.compile(r"[/&+;,]| and | und | et | y ")
_FORMS = {
    "measure": re.compile(r"[~<>]?\d+([.,]\d+)? ?[a-z]{0,3}[*?]?", re.IGNORECASE),
    "sex": re.compile(r"[a-z?]|[a-z]{3,8}", re.IGNORECASE),
    "age_code": re.compile(r"[a-z]{1,10}\.?|\d[a-z]?", re.IGNORECASE),
    "exam_date": re.compile(r"[\d./-]{3,10}|\d{1,2}[-. ][a-z]{3,9}[-. ]?\d{0,4}", re.IGNORECASE),
    "keel": re.compile(r"\d([.,]\d+)?[+-]?"),
}
# Share of the cells that a template must fit to be proposed.
_FITS = 0.5


def draft_split(column: DraftedColumn) -> ColumnRule | None:
    """Propose how a column of several values is taken apart.

    Parameters
    ----------
    column : DraftedColumn
        The column.

    Returns
    -------
    ColumnRule or None
        None where heading and cells speak of one value.
    """
    named = _read_pair(column.heading, column.table)
    contents = column.contents
    if named:
        return _draft_named(column, named)
    if contents.n_used and contents.share("age and sex") > _FITS:
        return _propose(column, ("age_code", "sex"), "its cells hold an age and a sex")
    if contents.n_used and contents.share("date and mass") > _FITS:
        return _propose(column, ("exam_date", "mass_g"), "its cells hold a day and a mass")
    return None


def _read_pair(heading: str, table: str) -> list[HeadingMatch]:
    """Read a heading of two fields, as 'Male Age/Sex'."""
    whole = match_heading(heading)
    if whole.confidence >= CERTAIN or whole.unit == "lb.oz":
        return []
    parts = [part for part in _PARTED.split(re.sub(r"\(.*?\)", " ", heading)) if part.strip()]
    if len(parts) != 2:
        return []
    matches = [match_heading(part.strip()) for part in parts]
    known = known_columns(table)
    if any(match.field not in known for match in matches) or matches[0].field == matches[1].field:
        return []
    long_enough = all(len(part.strip()) > 1 for part in parts)
    if not long_enough or max(match.confidence for match in matches) < 0.6:
        return []
    return matches


def _draft_named(column: DraftedColumn, named: Sequence[HeadingMatch]) -> ColumnRule | None:
    contents = column.contents
    fields = tuple(match.field for match in named)
    system = "BBL" if "age_code" in fields and re.search(
        r"\b(AHY|ASY|HY|SY)\b", " ".join(text for text, _ in contents.cells).upper()
    ) else None  # fmt: skip
    template = _find_template(contents, fields)
    if template is None and contents.n_used:
        return None
    evidence = f"the heading names {' and '.join(fields)}"
    split = template or f"{{{fields[0]}}}/{{{fields[1]}}}"
    rule = ColumnRule(
        heading=column.heading, fields=fields, split=(split,),
        system=system, confidence=CERTAIN, evidence=f"{evidence}; {contents.show(limit=3)}",
    )  # fmt: skip
    plain = set(fields) == {"age_code", "sex"} and contents.share("age and sex") >= 0.9
    if plain and system == "BBL":
        return rule
    question = f"Does each cell hold {' and '.join(fields)}? {contents.show()}"
    if "age_code" in fields and system is None:
        question += " Name the system of the age codes (BBL, EURING), or explain them."
    return ask(column, question, rule=rule, confidence=0.7)


def _find_template(contents: ColumnContents, fields: Sequence[str]) -> str | None:
    """Find what stands between the values in most cells, so that each can be its field's."""
    total = sum(contents.sample.values())
    best: tuple[int, str | None] = (0, None)
    for between in _BETWEEN:
        template = between.join(f"{{{field}}}" for field in fields)
        fitting = sum(
            count for (text, _), count in contents.sample.items()
            if (parts := split_text(text, [template])) is not None
            and all(_can_be(field, part) for field, part in parts.parts.items())
        )  # fmt: skip
        if fitting > best[0]:
            best = (fitting, template)
    return best[1] if best[0] > _FITS * total else None


def _can_be(field: str, text: str) -> bool:
    form = _FORMS.get("measure" if field.endswith(("_mm", "_g")) else field)
    return form is None or form.fullmatch(text.strip()) is not None


def _propose(column: DraftedColumn, fields: tuple[str, ...], said: str) -> ColumnRule | None:
    template = _find_template(column.contents, fields)
    if template is None or any(field not in known_columns(column.table) for field in fields):
        return None
    system = "BBL" if "age_code" in fields and column.contents.share("age and sex") else None
    rule = ColumnRule(
        heading=column.heading, fields=fields, split=(template,), system=system,
        evidence=f"{column.match.evidence}; {said}",
    )  # fmt: skip
    question = f"May each cell be split as {template!r}? It looks so: {said}."
    if "exam_date" in fields:
        question += " Of which year are the days (year: four digits, file or sheet)?"
    return ask(column, f"{question} {column.contents.show()}", rule=rule, confidence=0.6)
