"""One column drafted: filled in where heading and cells leave no doubt, asked about elsewhere."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from bodycond.errors import name_first_few
from bodycond.legacy.cell_readers import make_reader
from bodycond.legacy.headings import CERTAIN, HeadingMatch
from bodycond.legacy.notation import (
    MASS_UNITS,
    NumberReading,
    Reading,
    fold_text,
    parse_length,
    parse_mass,
    plain_text,
    says_missing,
)
from bodycond.legacy.recipe_rules import ColumnRule
from bodycond.legacy.targets import FieldKind, find_kind
from bodycond.scales import KEEL_SCALE

# A column of which fewer cells than this can be read is asked about.
READABLE_SHARE = 0.9

_DENOMINATOR = re.compile(r"\d(?:[.,]\d)? ?(?:/|of) ?(\d{1,2})", re.ASCII | re.IGNORECASE)
_DITTO = frozenset({'"', "''", "ditto", "do."})

Texts = npt.NDArray[np.object_]
Kinds = npt.NDArray[np.str_]


def draft_column(
    heading: str, match: HeadingMatch, texts: Texts, kinds: Kinds, *, table: str
) -> ColumnRule:
    """Draft the rule of one column.

    Parameters
    ----------
    heading : str
        The column's heading as the recipe names it.
    match : HeadingMatch
        What the heading says, completed from a row of units.
    texts, kinds : ndarray, shape (rows,)
        The cells of the rows of data.
    table : {"exams", "ratings"}
        The sheet's table.

    Returns
    -------
    ColumnRule
        With a question where anything is open.
    """
    used = [
        (str(text), str(kind))
        for text, kind in zip(texts, kinds, strict=True)
        if kind != " " and not says_missing(str(text)) and plain_text(str(text)) not in _DITTO
    ]
    if not match.field:
        return _ask(heading, match, _ask_what(match, used))
    kind = find_kind(match.field, table=table, own_kind=None, has_scale=False)
    drafters: dict[FieldKind, Callable[[str, HeadingMatch, list[tuple[str, str]]], ColumnRule]] = {
        "mass": _draft_measure,
        "length": _draft_measure,
        "score": _draft_score,
        "date": _draft_date,
    }
    if kind in drafters:
        rule = drafters[kind](heading, match, used)
    else:
        named = re.search(r"\b(EURING|BBL)\b", heading, re.IGNORECASE) if kind == "age" else None
        rule = ColumnRule(
            heading=heading, fields=(match.field,), confidence=match.confidence,
            system=named[1].upper() if named else None,
        )  # fmt: skip
    if not rule.ask and kind is not None:
        rule = _check_cells(rule, match, kind, used)
    if not rule.ask and match.confidence < CERTAIN:
        question = f"Is this {match.field}? ({match.evidence}.) {_show(used)}"
        rule = _ask(heading, match, question, rule)
    return rule


def _ask(
    heading: str, match: HeadingMatch, question: str, rule: ColumnRule | None = None
) -> ColumnRule:
    known = rule or ColumnRule(heading=heading, fields=(match.field,) if match.field else ())
    return ColumnRule(
        heading=heading, fields=known.fields, unit=known.unit, scale=known.scale,
        date_order=known.date_order, decimal=known.decimal, system=known.system, ask=question,
        confidence=min(match.confidence, 0.6),
    )  # fmt: skip


def _show(used: list[tuple[str, str]]) -> str:
    if not used:
        return "It is empty."
    common = [text.strip() for text, _ in Counter(used)]
    return f"It holds {name_first_few((repr(text) for text in common), limit=6)}."


def _ask_what(match: HeadingMatch, used: list[tuple[str, str]]) -> str:
    why = "" if match.evidence == "heading not known" else f" {match.evidence.capitalize()}."
    return f"What does it hold?{why} {_show(used)} Give it a field, or set it aside with a reason."


def _find_decimal(used: list[tuple[str, str]]) -> str | None:
    """Find the decimal mark from cells that leave no doubt; None where none or both occur."""
    marks = Counter(
        found[1]
        for text, kind in used
        if kind == "t" and (found := re.fullmatch(r"\D*\d*([.,])(?:\d{1,2}|\d{4,})\D*", text))
    )
    if len(marks) != 1:
        return None
    return "comma" if "," in marks else "point"


def _draft_measure(heading: str, match: HeadingMatch, used: list[tuple[str, str]]) -> ColumnRule:
    is_mass = match.field == "mass_g"
    parse: Callable[..., NumberReading] = parse_mass if is_mass else parse_length
    decimal = _find_decimal(used)
    rule = ColumnRule(
        heading=heading, fields=(match.field,), unit=match.unit, decimal=decimal,
        confidence=match.confidence,
    )  # fmt: skip
    if match.unit == "lb.oz":
        question = (
            "Is 2.5 here 2 lb 5 oz (unit: lb.oz) or two and a half pounds (unit: lb)? "
            f"{_show(used)}"
        )
        return _ask(heading, match, question, rule)
    if match.unit is not None:
        return rule
    own = [parse(text, unit=None, decimal=decimal).value is not None for text, _ in used]
    if used and all(own):
        return rule
    base = "g" if is_mass else "mm"
    read = [parse(text, unit=base, decimal="point" if kind == "n" else decimal)
            for text, kind in used]  # fmt: skip
    values = [reading.value for reading in read if reading.value is not None]
    seen = f"{len(values)} numbers from {min(values):g} to {max(values):g}" if values else "none"
    units = ", ".join(MASS_UNITS if is_mass else ("mm", "cm", "in"))
    question = f"In which unit are bare numbers ({units})? Nothing says so; {seen}."
    return _ask(heading, match, question, rule)


def _draft_score(heading: str, match: HeadingMatch, used: list[tuple[str, str]]) -> ColumnRule:
    rule = ColumnRule(
        heading=heading, fields=(match.field,), scale=KEEL_SCALE.name, confidence=match.confidence
    )
    ends = Counter(
        int(found[1])
        for text, _ in used
        if (found := _DENOMINATOR.fullmatch(plain_text(text))) and int(found[1]) >= 4
    )
    stated = match.scale_limits
    whole = (int(KEEL_SCALE.low), int(KEEL_SCALE.high))
    if stated == whole and not set(ends) - {whole[1]}:
        return rule
    if stated is None and set(ends) == {whole[1]}:
        return rule
    open_rule = ColumnRule(heading=heading, fields=(match.field,))
    said = f"The heading says {stated[0]} to {stated[1]}. " if stated else ""
    others = f"Some cells end in /{name_first_few(sorted(ends))}. " if ends else ""
    question = (
        f"Which score scale is this, and which chart? {said}{others}{_show(used)} Write scale: "
        f'"{KEEL_SCALE.name}" only if the scorers used that chart; describe another under '
        "'scales:'."
    )
    return _ask(heading, match, question, open_rule)


def _draft_date(heading: str, match: HeadingMatch, used: list[tuple[str, str]]) -> ColumnRule:
    rule = ColumnRule(heading=heading, fields=(match.field,), confidence=match.confidence)
    pairs = [
        (int(found[1]), int(found[2]))
        for text, _ in used
        if (found := re.match(r"(\d{1,2})[-/. ]+(\d{1,2})[-/. ]+\d", fold_text(text)))
    ]
    if not pairs:
        return rule
    day_first = sum(first > 12 for first, _ in pairs)
    month_first = sum(second > 12 for _, second in pairs)
    if day_first and not month_first:
        return ColumnRule(
            heading=heading, fields=rule.fields, date_order="dmy", confidence=match.confidence
        )
    if month_first and not day_first:
        return ColumnRule(
            heading=heading, fields=rule.fields, date_order="mdy", confidence=match.confidence
        )
    found_both = (
        f"{day_first} cells can only be day first and {month_first} only month first"
        if day_first
        else f"all {len(pairs)} dates can be read both ways"
    )
    question = f"Is the day or the month first (date_order: dmy or mdy)? {found_both}."
    return _ask(heading, match, question, rule)


def _check_cells(
    rule: ColumnRule, match: HeadingMatch, kind: FieldKind, used: list[tuple[str, str]]
) -> ColumnRule:
    """Ask where too few cells can be read: codes to explain, a column under the wrong heading."""
    scale = KEEL_SCALE if rule.scale else None
    reader = make_reader(match.field, kind, rule, scale)
    read: dict[tuple[str, str], Reading] = {cell: reader(cell[0], cell[1] == "n")
                                            for cell in set(used)}  # fmt: skip
    held = [text.strip() for text, letter in used
            if read[text, letter].outcome == "quarantined"]  # fmt: skip
    if len(held) <= (1.0 - READABLE_SHARE) * len(used):
        return rule
    codes = name_first_few((repr(text) for text, _ in Counter(held).most_common()), limit=10)
    hints = sorted(
        {reading.reason for reading in read.values() if reading.outcome == "quarantined"}
    )
    how = {
        "age": "Name the system (BBL, EURING) or explain the codes under 'codes:'.",
        "mass": "Check unit and decimal mark.",
        "length": "Check unit and decimal mark.",
        "score": "Check the scale, or explain the texts under 'codes:'.",
        "date": "Check the heading, or set the column aside.",
    }.get(kind, "Explain them under 'codes:', as in codes: {RT: Buteo jamaicensis}.")
    question = f"{len(held)} of {len(used)} cells cannot be read: {codes} ({hints[0]}). {how}"
    return _ask(match.heading, match, question, rule)
