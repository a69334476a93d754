"""Columns of which each holds one record: a column for each scorer, a column for each date."""

from __future__ import annotations

import re
from collections.abc import Sequence

from bodycond.errors import name_first_few
from bodycond.legacy.drafting.drafted_columns import DraftedColumn, ask
from bodycond.legacy.drafting.table_data import TableData
from bodycond.legacy.headings.heading_units import fold_heading, read_unit
from bodycond.legacy.headings.headings import HeadingMatch, match_heading
from bodycond.legacy.headings.own_words import OWN_BY_HEADING
from bodycond.legacy.headings.plain_words import HARMLESS
from bodycond.legacy.notation import parse_date
from bodycond.legacy.recipes.recipe_rules import ColumnRule
from bodycond.scales import KEEL_SCALE

_CODE = r"[A-Z]{1,3}\d{0,2}|[A-Z][a-z]{2,9}"
_BEHIND = re.compile(rf"(?P<base>.+?)[\s_.:/-]+\(?(?P<code>{_CODE})\)?")
_BEFORE = re.compile(rf"(?P<code>{_CODE})[\s_.:/-]+(?P<base>[^\d].*)")
_NUMBERED = re.compile(r"(?P<base>.+?)[\s_.#-]*(?P<code>[1-9])")
_DATE = r"\d{4}-\d{1,2}-\d{1,2}|\d{1,2}[-/.]\d{1,2}[-/.]\d{2,4}|\d{1,2}[- ][A-Za-z]{3,9}[- ]\d{2,4}"
_DATED = re.compile(rf"(?P<base>.*?)[\s_:(]*(?P<date>{_DATE})\)?")
_DATE_FIRST = re.compile(rf"(?P<date>{_DATE})[\s_:/-]+(?P<base>.+)")
# Letters behind a measure that mean a side or a direction, and no person.
_SIDES = frozenset({"L", "R", "W", "D", "H", "M", "F", "N", "G", "T", "MM", "CM", "KG", "ID", "NO"})
_SCORED = frozenset({"keel", "pectoral_muscle", "fat"})
_LARGEST_SCORE = 10.0


def draft_wide(data: TableData) -> dict[str, ColumnRule]:
    """Propose records for columns that repeat one field for scorers or dates.

    Parameters
    ----------
    data : TableData
        The table.

    Returns
    -------
    dict of str to ColumnRule
        The rules of those columns by heading, each with a question that holds the proposal.
    """
    made: dict[str, ColumnRule] = {}
    made |= _draft_dates(data)
    made |= _draft_scorers(data, taken=made)
    return made


def _draft_dates(data: TableData) -> dict[str, ColumnRule]:
    found: list[tuple[DraftedColumn, str, str]] = []
    for column in data.columns:
        heading = column.heading.strip()
        match = _DATED.fullmatch(heading) or _DATE_FIRST.fullmatch(heading)
        if match is not None:
            found.append((column, match["base"], match["date"]))
    if len(found) < 2:
        return {}
    texts = [date for _, _, date in found]
    order = _choose_order(texts)
    made: dict[str, ColumnRule] = {}
    for column, base, text in found:
        field, unit, said = _name_field(column, base)
        reading = parse_date(text, order=order)
        value = reading.value.isoformat() if reading.value is not None else ""
        rule = ColumnRule(
            heading=column.heading, fields=(field,) if field else (), unit=unit,
            values={"exam_date": value} if value else {}, into="exams" if value else None,
            kind="number" if field in {"pectoral_muscle", "fat"} else None,
            evidence=f"a column for each date, {said}",
        )  # fmt: skip
        when = f"the exam of {value}" if value else f"an exam (is {text} day or month first?)"
        what = f"Is each cell {field} at {when}, in a record of its own?" if field else (
            f"What was measured at {when}?"
        )  # fmt: skip
        tail = "" if unit or field in _SCORED else " In which unit?"
        made[column.heading] = ask(
            column, f"{what}{tail} {column.contents.show()}", rule=rule, confidence=0.6
        )
    return made


def _choose_order(texts: Sequence[str]) -> str | None:
    pairs = [found for text in texts if (found := re.match(r"(\d{1,2})[-/.](\d{1,2})[-/.]", text))]
    day = any(int(pair[1]) > 12 for pair in pairs)
    month = any(int(pair[2]) > 12 for pair in pairs)
    return None if day == month else ("dmy" if day else "mdy")


def _name_field(column: DraftedColumn, base: str) -> tuple[str, str | None, str]:
    match = match_heading(base) if base.strip() else None
    if match is not None and match.field and match.field != "exam_date":
        return match.field, match.unit, f"heading {base.strip()!r}"
    highest = column.contents.quantile(0.95)
    if highest is None or not column.contents.holds("number"):
        return "", None, "no numbers below"
    if highest <= KEEL_SCALE.high:
        return "keel", None, "numbers that can be grades"
    return "mass_g", None, "numbers that can be masses"


def _draft_scorers(data: TableData, *, taken: dict[str, ColumnRule]) -> dict[str, ColumnRule]:
    groups: dict[str, list[tuple[DraftedColumn, HeadingMatch, str]]] = {}
    for column in data.columns:
        if column.heading in taken:
            continue
        named = _find_scorer(column)
        if named is not None:
            match, code = named
            groups.setdefault(match.field, []).append((column, match, code))
    made: dict[str, ColumnRule] = {}
    for field, group in groups.items():
        codes = [code for _, _, code in group]
        if len(group) < 2 or len(set(codes)) < len(codes):
            continue
        numbered = all(code.isdigit() for code in codes)
        for column, match, code in group:
            made[column.heading] = _propose_rating(column, match, code, field, codes, numbered)
    return made


def _find_scorer(column: DraftedColumn) -> tuple[HeadingMatch, str] | None:
    """Read 'Keel AB' or 'S1 score' as a graded field and a name."""
    heading = " ".join(column.heading.split())
    for form in (_BEHIND, _BEFORE, _NUMBERED):
        found = form.fullmatch(heading)
        if found is None:
            continue
        base, code = match_heading(found["base"]), found["code"]
        word = fold_heading(code)
        known = code.upper() in _SIDES or word in HARMLESS or word in OWN_BY_HEADING
        if base.field not in _SCORED or base.confidence < 0.6 or known or read_unit(code):
            continue
        if match_heading(code).field and len(code) > 2:
            continue
        if (column.contents.quantile(0.9) or 0.0) > _LARGEST_SCORE:
            continue
        return base, code
    return None


def _propose_rating(
    column: DraftedColumn, match: HeadingMatch, code: str, field: str, codes: Sequence[str],
    numbered: bool,
) -> ColumnRule:  # fmt: skip
    stated = match.scale_limits == (int(KEEL_SCALE.low), int(KEEL_SCALE.high))
    rule = ColumnRule(
        heading=column.heading, fields=(field,), values={} if numbered else {"scorer": code},
        into=None if numbered else "ratings", kind=None if field == "keel" else "number",
        scale=KEEL_SCALE.name if stated and field == "keel" else None,
        evidence=f"{match.evidence}; columns for {name_first_few(codes)}",
    )  # fmt: skip
    if numbered:
        question = (
            f"Is this grade number {code} of {len(codes)} of one bird, and by whom? As ratings "
            f"each needs 'with: {{scorer: ..., round: {code}}}' and 'into: ratings'; as the exam's "
            "own grade keep one column and set the others aside."
        )
    else:
        question = (
            f"Is {code!r} a scorer, and each cell a grade by {code} (with: {{scorer: {code}}}, "
            "into: ratings)?"
        )
    scale = "" if rule.scale else " On which scale?"
    return ask(column, f"{question}{scale} {column.contents.show()}", rule=rule, confidence=0.7)
