"""Entries of one layout put together: a sheet a year, a file a year, a form a bird."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import takewhile
from pathlib import PurePath

from bodycond.legacy.recipe_rules import ColumnRule, SheetRule, fits_pattern
from bodycond.legacy.sheet_areas import fold_blanks

# Keys of a column that two sheets must not give differently.
_AGREE = ("unit", "scale", "decimal", "part", "split", "unit_from", "system", "kind", "values",
          "into", "where", "year", "set_aside", "digits", "exact")  # fmt: skip
_FAR = "Far from the rest:"
# The least that the names of one family of files have in common.
_LEAST_NAME = 3

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
    # Parts of a sheet belong together and are left as they are.
    counts: dict[Place, int] = {}
    for entry in entries:
        for place in entry.places:
            counts[place] = counts.get(place, 0) + 1
    groups: list[list[DraftedEntry]] = []
    merged: list[SheetRule] = []
    for entry in entries:
        alone = len(entry.places) > 1 or counts[entry.places[0]] > 1 or entry.rule.is_part
        for at, group in enumerate(groups):
            if alone or len(group[0].places) > 1 or not _same_family(group[0], entry):
                continue
            together = merge_rules(merged[at], entry.rule, place=entry.places[0])
            if together is not None:
                group.append(entry)
                merged[at] = together
                break
        else:
            groups.append([entry])
            merged.append(entry.rule)
    made: list[SheetRule] = []
    for group, rule in zip(groups, merged, strict=True):
        made += _name_group(group, rule, places)
    return made


def _same_family(first: DraftedEntry, second: DraftedEntry) -> bool:
    one, other = first.places[0], second.places[0]
    if first.rule.is_part or second.rule.is_part:
        return False
    return one[0] == other[0] or _name_pattern([one[0], other[0]]) is not None


def _name_group(
    group: Sequence[DraftedEntry], rule: SheetRule, places: Sequence[Place]
) -> list[SheetRule]:
    wanted = [place for entry in group for place in entry.places]
    if len(wanted) == 1 or len(group) == 1:
        return [group[0].rule]
    files = list(dict.fromkeys(file for file, _ in wanted))
    sheets = list(dict.fromkeys(sheet for _, sheet in wanted))
    file_patterns = files if len(files) == 1 else [_name_pattern(files)]
    sheet_patterns = sheets if len(sheets) == 1 else [
        _mark_digits(sheets), _name_pattern(sheets, least=1), "*"
    ]  # fmt: skip
    for file_pattern in file_patterns:
        for sheet_pattern in sheet_patterns:
            if file_pattern is None or sheet_pattern is None:
                continue
            named = replace(rule, file=file_pattern, sheet=sheet_pattern)
            fitting = [place for place in places if named.matches(file=place[0], sheet=place[1])]
            if set(fitting) == set(wanted):
                return [_ask_for_bird(named, sheets)]
    return [entry.rule for entry in group]


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


def _mark_digits(names: Sequence[str]) -> str | None:
    """Give a pattern of names that differ in digits alone."""
    if len({len(name) for name in names}) != 1 or any(re.search(r"[*?\[]", name) for name in names):
        return None
    made = ""
    for letters in zip(*names, strict=True):
        if len(set(letters)) > 1 and not all(letter.isdigit() for letter in letters):
            return None
        made += letters[0] if len(set(letters)) == 1 else "?"
    return made


def _name_pattern(names: Sequence[str], *, least: int = _LEAST_NAME) -> str | None:
    """Give a pattern of what begins and what ends all of some names."""
    marked = _mark_digits(names)
    if marked is not None:
        return marked
    endings = {PurePath(name).suffix.lower() for name in names}
    start = _find_common_start(names)
    end = _find_common_start([name[::-1] for name in names])[::-1]
    end = end[: max(0, min(len(name) for name in names) - len(start))] if start else end
    if len(endings) > 1 or len(start) < least or re.search(r"[*?\[]", start + end):
        return None
    # A word that goes on differently is another family: exams.csv and exam_notes.csv.
    differing = [name[len(start) : len(name) - len(end)] for name in names]
    if least == _LEAST_NAME and not all(re.fullmatch(r"[\d_\- .]*", part) for part in differing):
        return None
    return f"{start}*{end}" if all(fits_pattern(name, f"{start}*{end}") for name in names) else None


def name_sheets(names: Sequence[str], others: Sequence[str]) -> str | None:
    """Give a pattern that fits some sheets of a file and none of the others.

    Parameters
    ----------
    names, others : sequence of str
        The sheets meant, and the rest.

    Returns
    -------
    str or None
        None where no pattern tells them apart.

    Examples
    --------
    >>> name_sheets(["Site 1", "Site 12"], ["Notes"]), name_sheets(["a", "b"], [])
    ('Site 1*', '*')
    """
    if not others:
        return "*"
    for pattern in (_mark_digits(names), _name_pattern(names, least=1)):
        if pattern is not None and not any(fits_pattern(name, pattern) for name in others):
            return pattern
    return None


def _find_common_start(names: Sequence[str]) -> str:
    columns = takewhile(lambda letters: len(set(letters)) == 1, zip(*names, strict=False))
    return "".join(letters[0] for letters in columns)


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
