"""Field forms: many sheets of one form, whose labelled blocks move from sheet to sheet."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from bodycond.errors import name_first_few
from bodycond.legacy.drafting.contents_reading import pool_contents, read_contents
from bodycond.legacy.drafting.drafted_columns import DraftedColumn
from bodycond.legacy.drafting.label_drafting import LabelValue, draft_labels, pool_labels
from bodycond.legacy.drafting.table_data import TableData, complete_match, find_data_rows
from bodycond.legacy.drafting.table_drafting import draft_columns
from bodycond.legacy.drafting.table_finding import find_other_headings, find_table
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.headings.headings import CERTAIN, match_heading
from bodycond.legacy.headings.layout import name_headings
from bodycond.legacy.recipes.recipe_rules import ColumnRule, SheetRule
from bodycond.legacy.recipes.sheet_areas import Block, crop_sheet, fold_blanks

# A text is part of the form where so large a share of the sheets has it.
_COMMON = 0.6
_LEAST_SHEETS = 3
_MEASURED = frozenset(
    {"mass_g", "keel", "wing_mm", "tarsus_mm", "culmen_mm", "hallux_mm", "tail_mm"}
)
_PASSED = 3


@dataclass(frozen=True, kw_only=True, eq=False)
class _FormSheet:
    """A sheet with the rows that begin blocks of exams, by mark; all counted from 0."""

    sheet: Sheet
    marks: dict[str, int]
    written: dict[str, str]


def find_forms(sheets: Sequence[Sheet]) -> list[Sheet]:
    """Find the sheets of a file that are copies of one form with moving blocks.

    Parameters
    ----------
    sheets : sequence of Sheet
        The sheets of one file.

    Returns
    -------
    list of Sheet
        Those sheets; none where the file holds no such form.
    """
    return [form.sheet for form in _read_forms(sheets)]


def _read_forms(sheets: Sequence[Sheet]) -> list[_FormSheet]:
    if len(sheets) < _LEAST_SHEETS:
        return []
    read = [_read_sheet(sheet) for sheet in sheets if sheet.filled.any() and len(sheet.texts) < 500]
    common = Counter(mark for form in read for mark in form.marks)
    marks = {mark for mark, count in common.items()
             if count >= max(_LEAST_SHEETS, _COMMON * len(sheets))}  # fmt: skip
    forms = [
        replace(form, marks={mark: row for mark, row in form.marks.items() if mark in marks})
        for form in read if marks & set(form.marks)
    ]  # fmt: skip
    rows = {(mark, row) for form in forms for mark, row in form.marks.items()}
    # One table at one place on every sheet is no moving block.
    return forms if len(marks) > 1 or len(rows) > len(marks) else []


def _read_sheet(sheet: Sheet) -> _FormSheet:
    layout = find_table(sheet)
    marks: dict[str, int] = {}
    written: dict[str, str] = {}
    rows = [] if layout is None else [*layout.heading_rows[:1], *find_other_headings(
        sheet, layout.heading_rows)]  # fmt: skip
    for row in sorted(rows):
        texts = [text for text in sheet.row_texts(row - 1) if text]
        fields = {match.field for match in map(match_heading, texts) if match.confidence >= CERTAIN}
        mark = fold_blanks(texts[0])
        if fields & _MEASURED and mark not in marks:
            marks[mark] = row - 1
            written[mark] = " ".join(texts[0].split())
    return _FormSheet(sheet=sheet, marks=marks, written=written)


def draft_forms(sheets: Sequence[Sheet]) -> list[SheetRule]:
    """Draft the entries of a form once for all of its sheets.

    Parameters
    ----------
    sheets : sequence of Sheet
        Copies of one form, as `find_forms` gives.

    Returns
    -------
    list of SheetRule
        The labels of the whole sheet, the blocks of exams, and the rest to be set aside.
    """
    forms = _read_forms(sheets)
    ends = _find_ends(forms)
    rules = _draft_sheet_labels(forms)
    groups: dict[tuple[str, ...], list[str]] = {}
    for mark in dict.fromkeys(mark for form in forms for mark in form.marks):
        groups.setdefault(_list_later_headings(forms, mark), []).append(mark)
    for marks in groups.values():
        rules.append(_draft_block(forms, marks, ends))
    rules.append(_set_rest_aside(forms, ends))
    return rules


def _find_ends(forms: Sequence[_FormSheet]) -> dict[str, str]:
    """Find the texts of the form that stand first below the blocks, folded and as written."""
    common: Counter[str] = Counter()
    written: dict[str, str] = {}
    for form in forms:
        rows = map(form.sheet.row_texts, range(len(form.sheet.texts)))
        first = {fold_blanks(row[0]): row[0] for row in rows if row[0] and _is_fixed(row)}
        common.update(first.keys())
        written |= {folded: " ".join(text.split()) for folded, text in first.items()}
    marks = {mark for form in forms for mark in form.marks}
    fixed = {text for text, count in common.items()
             if count >= _COMMON * len(forms) and text not in marks}  # fmt: skip
    ends: dict[str, str] = {}
    for form in forms:
        column = [fold_blanks(str(text)) for text in form.sheet.texts[:, 0]]
        for row in form.marks.values():
            below = next((text for text in column[row + 1 :] if text in fixed | marks), "")
            if below in fixed:
                ends[below] = written[below]
    return ends


def _is_fixed(row: Sequence[str]) -> bool:
    """Tell whether a row holds words alone, as the form itself does, and no values."""
    return not any(
        re.search(r"\d{3}", text) or not re.search(r"[^\W\d_]", text) for text in row if text
    )


def _find_bottom(form: _FormSheet, row: int, ends: dict[str, str]) -> int:
    column = [fold_blanks(str(text)) for text in form.sheet.texts[:, 0]]
    others = [other for other in form.marks.values() if other > row]
    others += [at for at in range(row + 1, len(column)) if column[at] in ends][:1]
    return min([len(column), *others])


def _crop_block(form: _FormSheet, mark: str, ends: dict[str, str]) -> Sheet:
    row = form.marks[mark]
    block = Block(
        rule=SheetRule(file=form.sheet.file), top=row, bottom=_find_bottom(form, row, ends), left=0,
        right=form.sheet.texts.shape[1],
    )  # fmt: skip
    return crop_sheet(form.sheet, block)


def _list_later_headings(forms: Sequence[_FormSheet], mark: str) -> tuple[str, ...]:
    """List the headings behind the first of a block, as most of the sheets have them."""
    common: Counter[tuple[str, ...]] = Counter()
    for form in forms:
        if mark in form.marks:
            texts = form.sheet.row_texts(form.marks[mark])
            common[tuple(fold_blanks(text) for text in texts if text)[1:]] += 1
    return common.most_common(1)[0][0]


def _draft_block(
    forms: Sequence[_FormSheet], marks: Sequence[str], ends: dict[str, str]
) -> SheetRule:
    """Draft blocks of the same headings, whose first heading marks them."""
    first = forms[0].sheet
    names: dict[str, str] = {}
    pieces: dict[str, list[tuple[Sheet, int, np.ndarray[tuple[int], np.dtype[np.intp]]]]] = {}
    needy: list[tuple[Sheet, list[str], np.ndarray[tuple[int], np.dtype[np.intp]]]] = []
    starts: dict[str, str] = {}
    layout = SheetRule(file=first.file, heading_rows=(1,))
    for form in forms:
        for mark in marks:
            if mark not in form.marks:
                continue
            starts[mark] = form.written[mark]
            part = _crop_block(form, mark, ends)
            rows = find_data_rows(part, layout)
            headings = name_headings(part, (1,))
            needy.append((part, headings, rows))
            for position, heading in enumerate(headings):
                key = fold_blanks(heading)
                key = fold_blanks(starts[marks[0]]) if key in marks and marks[0] in starts else key
                names.setdefault(key, heading)
                pieces.setdefault(key, []).append((part, position, rows))
    columns = []
    for key, heading in names.items():
        contents = pool_contents([read_contents(*piece) for piece in pieces[key]])
        if heading.startswith("(column ") and not contents.cells and not contents.missing:
            continue
        columns.append(DraftedColumn(
            heading=heading, match=complete_match(match_heading(heading), "", "exams"),
            contents=contents, table="exams",
            place=f"{first.file}\n{first.name}",
        ))  # fmt: skip
    data = TableData(table="exams", columns=tuple(columns),
                     positions=tuple(range(len(columns))), parts=())  # fmt: skip
    rules = [_name_others(rule, starts) for rule in draft_columns(data)]
    needs = tuple(dict.fromkeys(field for rule in rules for field in rule.fields
                                if field in _MEASURED))  # fmt: skip
    return SheetRule(
        file=first.file, sheet="*", starts_at=tuple(starts.values()),
        ends_before=tuple(ends.values()), heading_rows=(1,), columns=tuple(rules), needs=needs,
        ask=_ask_about_needs(needy, rules, starts),
    )  # fmt: skip


def _name_others(rule: ColumnRule, starts: dict[str, str]) -> ColumnRule:
    """Add the first headings of the other blocks to the column that stands first."""
    if fold_blanks(rule.heading) not in starts:
        return rule
    others = tuple(text for text in starts.values() if text != rule.heading)
    return replace(rule, also=others)


def _ask_about_needs(
    blocks: Sequence[tuple[Sheet, list[str], np.ndarray[tuple[int], np.dtype[np.intp]]]],
    rules: Sequence[ColumnRule], starts: dict[str, str],
) -> str | None:  # fmt: skip
    measured = {fold_blanks(rule.heading) for rule in rules if _MEASURED & set(rule.fields)}
    bare = total = 0
    for part, headings, rows in blocks:
        places = [at for at, heading in enumerate(headings) if fold_blanks(heading) in measured]
        total += len(rows)
        bare += int((~part.filled[rows][:, places].any(axis=1)).sum())
    if not bare:
        return None
    listed = name_first_few(map(repr, starts.values()))
    return (
        f"Is each row below {listed} an exam of one bird? {bare} of {total} rows hold no mass, "
        "score or size and look like sightings: 'needs' leaves them out. Delete this line if that "
        "is right, or 'needs' too if they are exams."
    )


def _draft_sheet_labels(forms: Sequence[_FormSheet]) -> list[SheetRule]:
    """Draft the labels above the first block, which go with every record of the sheet."""
    tops = [(form.sheet, min(form.marks.values())) for form in forms]
    common: Counter[str] = Counter()
    for sheet, top in tops:
        common.update({fold_blanks(str(text)) for text in sheet.texts[:top].ravel()} - {""})
    fixed = {text for text, count in common.items() if count >= _COMMON * len(tops)}
    values = [_read_values(sheet, top, fixed) for sheet, top in tops]
    labels = pool_labels(values)
    if not any(match_heading(label).field for label in labels):
        return []
    first = tops[0][0]
    rules = draft_labels(labels, place=f"{first.file}\n{first.name}")
    return [SheetRule(file=first.file, sheet="*", table="labels", labels=rules)]


def _read_values(sheet: Sheet, top: int, fixed: set[str]) -> list[LabelValue]:
    found = []
    for row in range(top):
        texts = [str(text) for text in sheet.texts[row]]
        labels = [at for at, text in enumerate(texts)
                  if fold_blanks(text) in fixed and sheet.kinds[row, at] == "t"]  # fmt: skip
        for at, after in zip(labels, [*labels, len(texts)][1:], strict=True):
            end = min(after, at + 2 + _PASSED)
            place = next((spot for spot in range(at + 1, end) if texts[spot].strip()), None)
            found.append(LabelValue(
                label=" ".join(texts[at].split()), where="right",
                text="" if place is None else texts[place].strip(),
                kind="" if place is None else str(sheet.kinds[row, place]),
            ))  # fmt: skip
    return found


def _set_rest_aside(forms: Sequence[_FormSheet], ends: dict[str, str]) -> SheetRule:
    listed = name_first_few((repr(text) for text in ends.values()), limit=4)
    below = f" The blocks below begin with {listed}." if ends else ""
    question = (
        "May the rest of these sheets be set aside, for example blocks on eggs and chicks or a "
        f"summary?{below} Delete this line if so; describe a block that holds exams in an entry of "
        "its own with starts_at."
    )
    return SheetRule(
        file=forms[0].sheet.file, sheet="*", table="set_aside", ask=question,
        why="no block of exams: the rest of the form",
    )  # fmt: skip
