"""Entries of one layout put together: a sheet a year, a file a year, a form a bird."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product

from bodycond.legacy.drafting.name_patterns import mark_digits, name_pattern
from bodycond.legacy.recipes.recipe_rules import ColumnRule, SheetRule
from bodycond.legacy.recipes.sheet_areas import fold_blanks

# Keys of a column that two sheets must not give differently.
_AGREE = ("unit", "scale", "decimal", "part", "split", "unit_from", "system", "kind", "values",
          "into", "where", "year", "set_aside", "digits", "exact")  # fmt: skip
_FAR = "Far from the rest:"

Place = tuple[str, str]


@dataclass(frozen=True, kw_only=True, eq=False)
class DraftedEntry:
    """An entry with the sheets that it was drafted from.

    Parameters
    ----------
    rule : SheetRule
        The entry.
    places : tuple of (str, str)
        File and sheet of each.
    """

    rule: SheetRule
    places: tuple[Place, ...]


def group_entries(entries: Sequence[DraftedEntry], places: Sequence[Place]) -> list[SheetRule]:
    """Put entries of one layout together where every sheet agrees.

    Parameters
    ----------
    entries : sequence of DraftedEntry
        In the order of the files.
    places : sequence of (str, str)
        Every file and sheet of the draft.

    Returns
    -------
    list of SheetRule
        Fewer entries; one for several sheets names them by a pattern that fits no other.
    """
    groups: list[list[_Bundle]] = []
    merged: list[tuple[SheetRule, ...]] = []
    for bundle in _bundle(entries):
        for at, group in enumerate(groups):
            if not _same_family(group[0], bundle):
                continue
            together = _merge_bundle(merged[at], bundle)
            if together is not None:
                group.append(bundle)
                merged[at] = together
                break
        else:
            groups.append([bundle])
            merged.append(bundle.rules)
    made: list[SheetRule] = []
    for group, rules in zip(groups, merged, strict=True):
        made += _name_group(group, rules, places)
    return made


@dataclass(frozen=True, kw_only=True, eq=False)
class _Bundle:
    """The entries of one sheet, or those that several sheets share already."""

    rules: tuple[SheetRule, ...]
    places: tuple[Place, ...]


def _bundle(entries: Sequence[DraftedEntry]) -> list[_Bundle]:
    by_place: dict[tuple[Place, ...], list[SheetRule]] = {}
    for entry in entries:
        by_place.setdefault(entry.places, []).append(entry.rule)
    return [_Bundle(rules=tuple(rules), places=places) for places, rules in by_place.items()]


def _same_family(first: _Bundle, second: _Bundle) -> bool:
    if len(first.places) > 1 or len(second.places) > 1:
        return False
    if len(first.rules) != len(second.rules):
        return False
    # Areas stand where they stand on one sheet alone.
    if any(rule.area or rule.starts_at for rule in (*first.rules, *second.rules)):
        return False
    one, other = first.places[0], second.places[0]
    return one[0] == other[0] or name_pattern([one[0], other[0]]) is not None


def _merge_bundle(rules: tuple[SheetRule, ...], bundle: _Bundle) -> tuple[SheetRule, ...] | None:
    made = []
    for first, second in zip(rules, bundle.rules, strict=True):
        together = merge_rules(first, second, place=bundle.places[0])
        if together is None:
            return None
        made.append(together)
    return tuple(made)


def _name_group(
    group: Sequence[_Bundle], rules: tuple[SheetRule, ...], places: Sequence[Place]
) -> list[SheetRule]:
    if len(group) == 1:
        return list(group[0].rules)
    wanted = [place for bundle in group for place in bundle.places]
    files = list(dict.fromkeys(file for file, _ in wanted))
    sheets = list(dict.fromkeys(sheet for _, sheet in wanted))
    file_patterns = files if len(files) == 1 else [name_pattern(files)]
    sheet_patterns = sheets if len(sheets) == 1 else [
        mark_digits(sheets), name_pattern(sheets, least=1), "*"
    ]  # fmt: skip
    for file_pattern, sheet_pattern in product(file_patterns, sheet_patterns):
        if file_pattern is None or sheet_pattern is None:
            continue
        named = [replace(rule, file=file_pattern, sheet=sheet_pattern) for rule in rules]
        fitting = [place for place in places if named[0].matches(file=place[0], sheet=place[1])]
        if set(fitting) == set(wanted):
            return [_ask_for_bird(rule, sheets) if len(named) == 1 else rule for rule in named]
    return [rule for bundle in group for rule in bundle.rules]


def _ask_for_bird(rule: SheetRule, sheets: Sequence[str]) -> SheetRule:
    """Ask whether the sheets' names are the birds', where no column names a bird."""
    filled = {field for column in (*rule.columns, *rule.labels) for field in column.fields}
    years = [name for name in sheets if re.search(r"(?<!\d)(19|20)?\d\d(?!\d)", name)]
    measured = filled & {"mass_g", "keel", "wing_mm"}
    if filled & {"bird_id", "ring_number"} or not measured or rule.ask or len(sheets) < 2:
        return rule
    if 2 * len(years) > len(sheets):
        return rule
    question = (
        f"Which bird is each row about? No column says so; are the names of the {len(sheets)} "
        "sheets the birds' (constants: bird_id)? Delete this line if so."
    )
    return replace(rule, constants={**rule.constants, "bird_id": "{sheet}"}, ask=question)


def merge_rules(first: SheetRule, second: SheetRule, *, place: Place) -> SheetRule | None:
    """Merge the entry of another sheet of the same layout.

    Parameters
    ----------
    first, second : SheetRule
        The entries.
    place : (str, str)
        File and sheet of the second.

    Returns
    -------
    SheetRule or None
        None where they differ in layout, in a unit, in the order of dates or the like.
    """
    same = ("table", "why", "heading_rows", "units_row", "area", "needs", "constants")
    if any(getattr(first, name) != getattr(second, name) for name in same):
        return None
    if bool(first.ask) != bool(second.ask) or not (first.columns or first.labels):
        equal = first.ask == second.ask and not (second.columns or second.labels)
        return first if equal else None
    columns = _merge_columns(first.columns, second.columns, place)
    labels = _merge_columns(first.labels, second.labels, place)
    if columns is None or labels is None:
        return None
    return replace(first, columns=columns, labels=labels)


def _merge_columns(
    first: Sequence[ColumnRule], second: Sequence[ColumnRule], place: Place
) -> tuple[ColumnRule, ...] | None:
    if len(first) != len(second):
        return None
    left = {fold_blanks(rule.heading): rule for rule in first}
    right = {fold_blanks(rule.heading): rule for rule in second}
    for rule in first:
        key = fold_blanks(rule.heading)
        drifted_to = [fold_blanks(text) for text in rule.also if fold_blanks(text) in right]
        if key not in right and drifted_to:
            right[key] = replace(right.pop(drifted_to[0]), heading=rule.heading)
    drifted = _pair_drifted(
        [rule for key, rule in left.items() if key not in right],
        [rule for key, rule in right.items() if key not in left],
    )
    if drifted is None:
        return None
    made = []
    for key, rule in left.items():
        other = right.get(key) or drifted[key]
        together = _merge_column(rule, other, place)
        if together is None:
            return None
        made.append(together)
    return tuple(made)


def _pair_drifted(
    first: Sequence[ColumnRule], second: Sequence[ColumnRule]
) -> dict[str, ColumnRule] | None:
    """Pair columns whose heading has changed but that mean the same field."""
    pairs: dict[str, ColumnRule] = {}
    left = list(second)
    for rule in first:
        bare = re.sub(r"[\W_]+", "", rule.heading.casefold())
        fits = [other for other in left if re.sub(r"[\W_]+", "", other.heading.casefold()) == bare]
        if not fits and rule.fields:
            fits = [other for other in left
                    if other.fields == rule.fields and other.part == rule.part]  # fmt: skip
        if len(fits) != 1:
            return None
        pairs[fold_blanks(rule.heading)] = fits[0]
        left.remove(fits[0])
    return pairs


def _merge_column(first: ColumnRule, second: ColumnRule, place: Place) -> ColumnRule | None:
    if first.fields and second.fields and first.fields != second.fields:
        return None
    rule = first if first.fields or not second.fields else replace(second, heading=first.heading)
    for name in _AGREE:
        one, other = getattr(first, name), getattr(second, name)
        if one and other and one != other:
            return None
        if other and not one:
            rule = replace(rule, **{name: other})
    if first.set_aside != second.set_aside:
        return None
    also = rule.also
    if fold_blanks(second.heading) != fold_blanks(first.heading):
        also = tuple(dict.fromkeys([*first.also, second.heading, *second.also]))
    rule = replace(rule, also=also, codes={**second.codes, **first.codes})
    order = _merge_order(first, second)
    if order == "differ":
        return None
    question = first.ask
    if second.ask and not first.ask:
        question = f"{second.ask} (So in {place[1]!r} of {place[0]}; others leave no doubt.)"
    if first.ask and second.ask and _FAR in second.ask:
        far = second.ask[second.ask.index(_FAR) :].split(". ")[0].rstrip(".")
        question = f"{first.ask} In {place[1]!r} of {place[0]}: {far[:1].lower()}{far[1:]}."
    confidence = min(first.confidence or 0.0, second.confidence or 0.0)
    return replace(rule, date_order=order, ask=question, confidence=confidence)


def _merge_order(first: ColumnRule, second: ColumnRule) -> str | None:
    if first.date_order and second.date_order and first.date_order != second.date_order:
        return "differ"
    return first.date_order or second.date_order
