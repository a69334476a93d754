"""Columns that belong together: parts of a ring number, of a mass or of a date."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from bodycond.errors import name_first_few
from bodycond.legacy.drafting.drafted_columns import DraftedColumn, ask
from bodycond.legacy.drafting.incomplete_dates import draft_incomplete_dates
from bodycond.legacy.drafting.sexing_drafting import draft_sexing
from bodycond.legacy.drafting.table_data import TableData
from bodycond.legacy.headings.heading_units import fold_heading
from bodycond.legacy.headings.headings import CERTAIN, match_heading
from bodycond.legacy.headings.plain_words import (
    GROSS_WORDS,
    NET_WORDS,
    PREFIX_WORDS,
    SUFFIX_WORDS,
    TARE_WORDS,
    WITH_WORDS,
)
from bodycond.legacy.notation import parse_number
from bodycond.legacy.recipes.recipe_rules import ColumnRule

Rules = dict[str, ColumnRule]
_SUFFIX_DIGITS = 5
_MOST_CELLS = 0.95
# Differences of masses that scales and people round.
_ROUNDED = 0.11
_LEAST_ROWS = 3
_BIRD = frozenset({"bird", "hawk", "vogel", "oiseau", "ave"})


def draft_together(data: TableData) -> Rules:
    """Draft the columns of a table that say something only together.

    Parameters
    ----------
    data : TableData
        The table.

    Returns
    -------
    dict of str to ColumnRule
        The rules of those columns by heading.
    """
    rules: Rules = {}
    for drafter in (
        draft_incomplete_dates,
        draft_sexing,
        _draft_ring_parts,
        _draft_pounds,
        _draft_bags,
    ):
        rules |= drafter(data)
    return rules


def _draft_ring_parts(data: TableData) -> Rules:
    """Propose prefix and suffix of a ring number, with the digits that a suffix has."""
    words = {column.heading: set(fold_heading(column.heading).split()) for column in data.columns}
    prefixes = [column for column in data.columns if words[column.heading] & PREFIX_WORDS]
    suffixes = [column for column in data.columns if words[column.heading] & SUFFIX_WORDS]
    if not suffixes:
        rings = [column for column in data.columns if column.match.field == "ring_number"]
        suffixes = [column for column in rings if column not in prefixes][:1]
    if not prefixes or not suffixes:
        return {}
    prefix, suffix = prefixes[0], suffixes[0]
    lengths: Counter[int] = Counter()
    for (text, _), count in suffix.contents.cells.items():
        if re.fullmatch(r"\d+", text.strip()):
            lengths[len(text.strip())] += count
    digits = lengths.most_common(1)[0][0] if lengths else None
    short = sum(count for length, count in lengths.items() if digits and length < digits)
    question = (
        f"Does the ring number stand in two columns, {prefix.heading!r} before "
        f"{suffix.heading!r}? A part alone names no bird."
    )
    lost = (
        f" Most of the numbers have {digits} digits (digits: {digits}); {short} have fewer and may "
        "have lost a zero in front." if short else ""
    )  # fmt: skip
    made: Rules = {}
    for column, part in ((prefix, "prefix"), (suffix, "suffix")):
        rule = ColumnRule(
            heading=column.heading, fields=("ring_number",), part=part,
            digits=digits if part == "suffix" and digits and digits >= 2 else None,
            evidence=f"headings {prefix.heading!r} and {suffix.heading!r}",
        )  # fmt: skip
        if _is_ring_of_two_parts(prefix, suffix, digits):
            held = f"; {short} numbers have fewer and are held" if short else ""
            told = f"{rule.evidence}; 3 or 4 digits before {digits}{held}"
            made[column.heading] = replace(rule, evidence=told, confidence=CERTAIN)
            continue
        said = f"{question}{lost if part == 'suffix' else ''} {column.contents.show()}"
        made[column.heading] = ask(column, said, rule=rule, confidence=0.8)
    return made


def _is_ring_of_two_parts(prefix: DraftedColumn, suffix: DraftedColumn, digits: int | None) -> bool:
    """Tell the numbering of North American bands: three or four digits, then five."""

    def share(column: DraftedColumn, form: str) -> float:
        cells = column.contents.cells
        fitting = sum(n for (text, _), n in cells.items() if re.fullmatch(form, text.strip()))
        return fitting / max(sum(cells.values()), 1)

    return (
        digits == _SUFFIX_DIGITS
        and share(prefix, r"\d{3,4}") >= _MOST_CELLS
        and share(suffix, r"\d{1,5}") >= _MOST_CELLS
    )


def _draft_pounds(data: TableData) -> Rules:
    """Tell pounds and ounces of one mass from the same mass in two units."""
    pounds = [c for c in data.columns if _is_mass_in(c, "lb")]
    ounces = [c for c in data.columns if _is_mass_in(c, "oz")]
    if len(pounds) != 1 or len(ounces) != 1:
        return {}
    whole = all(value.is_integer() for value, _ in pounds[0].contents.numbers)
    most = ounces[0].contents.quantile(1.0)
    made: Rules = {}
    for column, part in ((pounds[0], "pounds"), (ounces[0], "ounces")):
        evidence = f"{pounds[0].heading!r} and {ounces[0].heading!r} stand side by side"
        rule = ColumnRule(
            heading=column.heading, fields=("mass_g",), part=part, confidence=0.9, evidence=evidence
        )
        if not whole or most is None or most >= 16:
            question = (
                f"Are {pounds[0].heading!r} and {ounces[0].heading!r} pounds and ounces of one "
                f"mass, or the same mass in two units? {column.contents.show()}"
            )
            rule = ask(column, question, rule=rule, confidence=0.6)
        else:
            rule = replace(rule, evidence=f"{evidence}; pounds are whole, ounces below 16")
        made[column.heading] = rule
    return made


def _is_mass_in(column: DraftedColumn, unit: str) -> bool:
    words = fold_heading(column.heading)
    alone = {"lb": {"lb", "lbs", "pounds"}, "oz": {"oz", "ounces"}}[unit]
    return words in alone or (column.match.field == "mass_g" and column.match.unit == unit)


def _find_bags(data: TableData) -> dict[str, DraftedColumn]:
    """Find columns for a mass with its bag, the bag, and the mass without it."""
    found: dict[str, DraftedColumn] = {}
    for column in data.columns:
        words = set(fold_heading(column.heading).split())
        about_mass = column.match.field == "mass_g" or "mass_g" in {
            match_heading(word).field for word in words
        }
        with_bag = words & TARE_WORDS and ((words & WITH_WORDS and about_mass) or words & _BIRD)
        kinds = (("tare", TARE_WORDS), ("gross", GROSS_WORDS), ("net", NET_WORDS))
        for part, known in (("gross", TARE_WORDS),) if with_bag else kinds:
            alone = words <= known | {"g", "weight", "mass", "wt"}
            if (
                words & known
                and (about_mass or alone or with_bag)
                and column.contents.share("number") > 0.5
            ):
                found.setdefault(part, column)
                break
    if "tare" not in found:
        return {}
    rest = [c for c in data.columns if c.match.field == "mass_g" and c not in found.values()]
    if "gross" not in found and "net" not in found:
        if len(rest) == 1:
            found["gross"] = rest[0]
        else:
            found |= _find_by_difference(data, rest, found["tare"])
    elif "gross" not in found and len(rest) == 1 and _is_difference(
        data, rest[0], found["tare"], found["net"]
    ):  # fmt: skip
        found["gross"] = rest[0]
    elif "net" not in found and len(rest) == 1 and _is_difference(
        data, found["gross"], found["tare"], rest[0]
    ):  # fmt: skip
        found["net"] = rest[0]
    return found if len(found) > 1 else {}


def _find_by_difference(
    data: TableData, masses: Sequence[DraftedColumn], tare: DraftedColumn
) -> dict[str, DraftedColumn]:
    """Find two masses of which one is the other without the bag, by their numbers."""
    pairs = [(gross, net) for gross in masses for net in masses
             if gross is not net and _is_difference(data, gross, tare, net)]  # fmt: skip
    return {"gross": pairs[0][0], "net": pairs[0][1]} if len(pairs) == 1 else {}


def _is_difference(
    data: TableData, gross: DraftedColumn, tare: DraftedColumn, net: DraftedColumn
) -> bool:
    agreeing, total = _count_differences(data, gross, tare, net)
    return total >= _LEAST_ROWS and agreeing >= _MOST_CELLS * total


def _count_differences(
    data: TableData, gross: DraftedColumn, tare: DraftedColumn, net: DraftedColumn
) -> tuple[int, int]:
    """Count the rows in which gross less tare is net, and those with three numbers."""
    agreeing = total = 0
    for line in data.sample_rows([column.heading for column in (gross, tare, net)]):
        values = [parse_number(text, decimal=None).value for text in line]
        if any(value is None for value in values):
            continue
        whole, bag, rest = (float(value or 0.0) for value in values)
        total += 1
        agreeing += abs(whole - bag - rest) <= _ROUNDED
    return agreeing, total


def _draft_bags(data: TableData) -> Rules:
    """Propose gross and tare of a mass, or the net mass beside them."""
    found = _find_bags(data)
    if "net" in found:
        return _draft_net(data, found)
    made: Rules = {}
    for part, column in found.items():
        rule = ColumnRule(
            heading=column.heading, fields=("mass_g",), part=part, unit=column.match.unit,
            evidence=f"beside {found['tare'].heading!r}",
        )  # fmt: skip
        unit = "" if column.match.unit else " In which unit?"
        others = [other.heading for other in found.values() if other is not column]
        question = (
            f"Is the mass {part} here (part: {part}), beside "
            f"{name_first_few(map(repr, others))}?{unit}"
        )
        made[column.heading] = ask(
            column, f"{question} {column.contents.show()}", rule=rule, confidence=0.8
        )
    return made


def _draft_net(data: TableData, found: Mapping[str, DraftedColumn]) -> Rules:
    """Propose the mass without its bag, and to set the other masses aside."""
    net, tare, gross = found["net"], found["tare"], found.get("gross")
    said = ""
    if gross is not None:
        agreeing, total = _count_differences(data, gross, tare, net)
        said = (
            f" {gross.heading!r} less {tare.heading!r} gives {net.heading!r} in {agreeing} of "
            f"{total} rows looked at."
        )
    made: Rules = {}
    for part, column in found.items():
        if column is net:
            rule = ColumnRule(
                heading=column.heading, fields=("mass_g",), unit=column.match.unit,
                evidence=f"beside {tare.heading!r}",
            )  # fmt: skip
            unit = "" if column.match.unit else " In which unit?"
            asked = f"Is this the mass without its bag, so that the others can be set aside?{unit}"
        else:
            rule = ColumnRule(heading=column.heading, evidence=f"beside {net.heading!r}")
            what = "the bag" if part == "tare" else "the mass with its bag"
            asked = (
                f"May it be set aside? {net.heading!r} seems to be the mass without its bag, and "
                f"this {what}."
            )
        question = f"{asked}{said} {column.contents.show()}"
        made[column.heading] = ask(column, question, rule=rule, confidence=0.8)
    return made
