"""The order of day and month of a column, from its own cells alone, or asked."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from bodycond.legacy.drafting.century_drafting import find_century_doubt
from bodycond.legacy.drafting.column_contents import ColumnContents
from bodycond.legacy.drafting.drafted_columns import DraftedColumn, ask
from bodycond.legacy.notation import fold_text
from bodycond.legacy.recipes.recipe_rules import ColumnRule

_PAIR = re.compile(r"(\d{1,2}) ?[-/. ] ?(\d{1,2}) ?[-/. ] ?('?\d{2}|\d{4})\b", re.ASCII)
# Of days, three in five lie above 12: where far fewer do, those few are more likely slips.
_ENOUGH = 10
_LEAST_PROOF = 0.1
_SERIAL = re.compile(r"[34]\d{4}(\.\d+)?", re.ASCII)
_YEAR = re.compile(r"(?<!\d)(?:19|20)\d\d(?!\d)")


def count_orders(contents: ColumnContents) -> tuple[int, int, int]:
    """Count the dates that say which of day and month stands first.

    Parameters
    ----------
    contents : ColumnContents
        The column.

    Returns
    -------
    n_pairs, day_first, month_first : int
        Cells of two numbers and a year; those whose first number is above 12; those whose second
        is.

    Examples
    --------
    >>> count_orders(ColumnContents(cells={("22/2/19", "t"): 2, ("1/2/19", "t"): 1}, missing={},
    ...                             n_rows=3))
    (3, 2, 0)
    """
    n_pairs = day_first = month_first = 0
    for (text, kind), count in contents.cells.items():
        found = _PAIR.match(text.strip()) if kind == "t" else None
        if found:
            n_pairs += count
            day_first += count * (int(found[1]) > 12)
            month_first += count * (int(found[2]) > 12)
    return n_pairs, day_first, month_first


def draft_date(column: DraftedColumn) -> ColumnRule:
    """Draft a column of dates.

    Parameters
    ----------
    column : DraftedColumn
        The column.

    Returns
    -------
    ColumnRule
        With a question where the order of day and month is open or the cells are no dates.
    """
    match, contents = column.match, column.contents
    rule = ColumnRule(
        heading=column.heading, fields=(match.field,), kind=match.kind, confidence=match.confidence
    )
    for doubt in (_doubt_numbers, _doubt_missing_years, _doubt_centuries):
        asked = doubt(column, rule)
        if asked is not None:
            return asked
    n_pairs, day_first, month_first = count_orders(contents)
    if not n_pairs:
        return replace(rule, evidence=f"{match.evidence}; {_describe(contents)}")
    order, evidence = _choose_order(n_pairs, day_first, month_first)
    stated = match.date_order
    if stated in {"dmy", "mdy"} and stated != order and (order or day_first or month_first):
        question = (
            f"The heading says {stated}, but {day_first} cells can only be day first and "
            f"{month_first} only month first. Which is it (date_order: dmy or mdy)?"
        )
        return ask(column, question, rule=rule, confidence=0.5)
    if order is None and stated in {"dmy", "mdy"}:
        order, evidence = stated, "the heading says so"
    turned = _count_turned_round(contents, order)
    if turned:
        question = (
            f"{turned} date cells all have days up to 12, and the dates left as text all have days "
            f"above 12 ({contents.show()}): a spreadsheet set to another order of day and month "
            "does this, and swaps the two in every cell that it takes for a date. Is 4 March there "
            "a 3 April? If so turn those cells round in the file; if not, delete this line."
        )
        return ask(column, question, rule=replace(rule, date_order=order), confidence=0.5)
    if order is not None:
        return replace(rule, date_order=order, evidence=f"{match.evidence}; {evidence}")
    likely = None
    if day_first or month_first:
        likely = "dmy" if day_first > month_first else "mdy" if month_first > day_first else None
    question = f"Is the day or the month first (date_order: dmy or mdy)? {evidence}."
    return ask(column, question, rule=replace(rule, date_order=likely))


def _count_turned_round(contents: ColumnContents, order: str | None) -> int:
    """Count the date cells that a spreadsheet may have made with day and month swapped.

    Set to month first it makes dates of 3/4/2019 and leaves 22/4/2019 as text: then no date cell
    has a day above 12, and every text has.
    """
    days = {text: n for (text, kind), n in contents.cells.items() if kind == "d"}
    place = {"dmy": 1, "mdy": 2}.get(order or "", 0)
    pairs = [found for text, kind in contents.cells if kind == "t"
             if (found := _PAIR.match(text.strip()))]  # fmt: skip
    if not place or not pairs or any(int(found[place]) <= 12 for found in pairs):
        return 0
    if any(int(text[8:10]) > 12 for text in days):
        return 0
    return sum(days.values())


def _choose_order(n_pairs: int, day_first: int, month_first: int) -> tuple[str | None, str]:
    few = n_pairs >= _ENOUGH and max(day_first, month_first) < _LEAST_PROOF * n_pairs
    if few and bool(day_first) != bool(month_first):
        said = "day" if day_first else "month"
        return None, f"of {n_pairs} dates only {day_first + month_first} must have the {said} first"
    if day_first and not month_first:
        return "dmy", f"{day_first} of {n_pairs} dates can only be day first, none month first"
    if month_first and not day_first:
        return "mdy", f"{month_first} of {n_pairs} dates can only be month first, none day first"
    if day_first:
        said = f"{day_first} cells can only be day first and {month_first} only month first"
        return None, said
    return None, f"all {n_pairs} dates can be read both ways"


def _describe(contents: ColumnContents) -> str:
    kinds = {kind for _, kind in contents.cells}
    if kinds == {"d"}:
        return "all are date cells"
    return "its dates need no order" if contents.cells else "it is empty"


def _doubt_numbers(column: DraftedColumn, rule: ColumnRule) -> ColumnRule | None:
    contents = column.contents
    bare = sum(
        count
        for (text, _), count in contents.cells.items()
        if re.fullmatch(r"\d+(\.0+)?", text.strip())
    )
    if 2 * bare <= contents.n_used:
        return None
    serial = sum(
        count for (text, _), count in contents.cells.items() if _SERIAL.fullmatch(text.strip())
    )
    low, high = contents.quantile(0.0), contents.quantile(1.0)
    if 10 * serial >= 9 * bare:
        question = (
            f"Are these days as a spreadsheet counts them (date_order: serial)? {contents.show()}"
        )
        return ask(column, question, rule=replace(rule, date_order="serial"), confidence=0.6)
    if low is not None and high is not None and low >= 19_000_101 and high <= 20_991_231:
        question = f"Are these dates written as YYYYMMDD? {contents.show()}"
        return ask(column, question, rule=replace(rule, date_order="ymd"), confidence=0.6)
    question = (
        f"The heading speaks of a date, but the cells are numbers from {low:g} to {high:g}. Is it "
        "one part of a date (part: day, month or year), or something else? "
        f"{contents.show()}"
    )
    return ask(column, question, rule=rule, confidence=0.3)


def _doubt_missing_years(column: DraftedColumn, rule: ColumnRule) -> ColumnRule | None:
    contents = column.contents
    if not contents.n_used or contents.share("date without year") <= 0.1:
        return None
    share = contents.share("date without year")
    if contents.share("date") > share:
        return None
    years = sorted(set(_YEAR.findall(column.place)))
    file, _, sheet = column.place.partition("\n")
    source = next((name for name, text in (("sheet", sheet), ("file", file))
                   if len(set(_YEAR.findall(text))) == 1), None)  # fmt: skip
    proposal = f" The name of the {source} holds {years[0]} (year: {source})." if source else ""
    order = _order_without_year(contents)
    question = (
        f"The dates name no year: which is it (year: four digits, file or sheet)?{proposal} "
        f"Is the day or the month first (date_order)? {contents.show()}"
    )
    return ask(column, question, rule=replace(rule, year=source, date_order=order), confidence=0.7)


def _doubt_centuries(column: DraftedColumn, rule: ColumnRule) -> ColumnRule | None:
    doubt = find_century_doubt(column.contents)
    if doubt is None:
        return None
    question, last = doubt
    order = _choose_order(*count_orders(column.contents))[0] or column.match.date_order
    order = order if order in {"dmy", "mdy"} else None
    asked = "" if order else " Is the day or the month first (date_order: dmy or mdy)?"
    made = replace(rule, short_years_to=last, date_order=order)
    return ask(column, f"{question}{asked}", rule=made, confidence=0.6)


def _order_without_year(contents: ColumnContents) -> str | None:
    pairs = [
        (int(found[1]), int(found[2]))
        for text, _ in contents.cells
        if (found := re.match(r"(\d{1,2})[-/.](\d{1,2})\.?$", fold_text(text)))
    ]
    day = any(first > 12 for first, _ in pairs)
    month = any(second > 12 for _, second in pairs)
    return None if day == month else ("dmy" if day else "mdy")


def compare_parts(dates: Sequence[str], parts: Sequence[tuple[str, str, str]]) -> dict[str, int]:
    """Count in how many rows a date agrees with day, month and year beside it, by order.

    Parameters
    ----------
    dates : sequence of str
        The dates as written.
    parts : sequence of (str, str, str)
        Year, month and day of the same rows.

    Returns
    -------
    dict of str to int
        Agreeing rows under ``dmy``, ``mdy`` and ``any`` (dates that need no order).

    Examples
    --------
    >>> compare_parts(["1/2/2019", "12-Oct-20"], [("2019", "2", "1"), ("2020", "10", "12")])
    {'dmy': 1, 'mdy': 0, 'any': 1}
    """
    from bodycond.legacy.notation import parse_date

    counts = {"dmy": 0, "mdy": 0, "any": 0}
    for text, (year, month, day) in zip(dates, parts, strict=True):
        try:
            meant = (int(float(year)), int(float(month)), int(float(day)))
        except ValueError:
            continue
        plain = parse_date(text).value
        if plain is not None and (plain.year, plain.month, plain.day) == meant:
            counts["any"] += 1
            continue
        for order in ("dmy", "mdy"):
            value = parse_date(text, order=order).value
            if value is not None and (value.year, value.month, value.day) == meant:
                counts[order] += 1
    return counts
