"""What a sheet says beside its values, whatever the kind of workbook, put beside them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np
import numpy.typing as npt

from bodycond.errors import name_first_few
from bodycond.legacy.files.grids import require_grid_size
from bodycond.legacy.files.number_formats import NO_WORDS, ShownWords, show_number
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.files.workbook_styles import CellFormat
from bodycond.tables_on_disk import name_column

Place = tuple[int, int]


@dataclass(kw_only=True, eq=False)
class SheetStructure:
    """What the parts of a sheet say beside its values; filled while a workbook is read.

    Parameters
    ----------
    comments, formulas, errors : dict of (int, int) to str
        Comments, formulas and error values by row and column, counted from 0.
    values : dict of (int, int) to (str, str)
        Text and kind of cells that the fast reader of values gives otherwise.
    empty_results : set of (int, int)
        Formulas of which the stored result is an empty text.
    struck : set of (int, int)
        Cells whose text is struck through.
    partly_struck : dict of (int, int) to str
        Of cells of whose text a part is struck through, the part that is not.
    fills, inks, zeros : dict of str to list of (int, int)
        Cells by the colour of their ground, by that of their letters, and by the zeros in which
        a number is shown.
    words : dict of ShownWords to list of (int, int)
        Cells by the words that their format writes before and behind a number.
    hidden_rows, hidden_columns : list of (int, int)
        First and last of each run of hidden rows and columns; one can reach to the sheet's end.
    merged : list of (int, int, int, int)
        Merged ranges, where the reader of values does not give them.
    coloured_by_rule : bool
        Rules of the sheet colour cells by their values.
    """

    comments: dict[Place, str] = field(default_factory=dict)
    formulas: dict[Place, str] = field(default_factory=dict)
    errors: dict[Place, str] = field(default_factory=dict)
    values: dict[Place, tuple[str, str]] = field(default_factory=dict)
    empty_results: set[Place] = field(default_factory=set)
    struck: set[Place] = field(default_factory=set)
    partly_struck: dict[Place, str] = field(default_factory=dict)
    fills: dict[str, list[Place]] = field(default_factory=dict)
    inks: dict[str, list[Place]] = field(default_factory=dict)
    zeros: dict[str, list[Place]] = field(default_factory=dict)
    words: dict[ShownWords, list[Place]] = field(default_factory=dict)
    hidden_rows: list[tuple[int, int]] = field(default_factory=list)
    hidden_columns: list[tuple[int, int]] = field(default_factory=list)
    merged: list[tuple[int, int, int, int]] = field(default_factory=list)
    coloured_by_rule: bool = False

    def put_format(self, place: Place, form: CellFormat) -> None:
        """Put down a cell whose format is not plain.

        Parameters
        ----------
        place : tuple of (int, int)
            Row and column.
        form : CellFormat
            Its format.
        """
        if form.struck:
            self.struck.add(place)
        for groups, key in ((self.fills, form.fill), (self.inks, form.ink),
                            (self.zeros, form.zeros)):  # fmt: skip
            if key:
                groups.setdefault(key, []).append(place)
        if form.words != NO_WORDS:
            self.words.setdefault(form.words, []).append(place)


def add_structure(sheet: Sheet, structure: SheetStructure | None, *, path: Path) -> Sheet:
    """Put beside a sheet's values what else it says, with notes of what a reader must know.

    Parameters
    ----------
    sheet : Sheet
        The sheet with its values.
    structure : SheetStructure or None
        What else it says; None for nothing.
    path : Path
        The file, for messages.

    Returns
    -------
    Sheet
        The sheet, larger where a formula without a result stands outside its values.

    Raises
    ------
    UnreadableFileError
        If it would be too large.
    """
    if structure is None:
        return sheet
    # A formula that gave an empty text has been worked out, and the cell is empty.
    waiting = {place: text for place, text in structure.formulas.items()
               if place not in structure.empty_results}  # fmt: skip
    texts, kinds = _grow(sheet, [*structure.errors, *structure.values, *waiting], path=path)
    for place, (text, kind) in structure.values.items():
        texts[place], kinds[place] = text, kind
    for place, text in structure.errors.items():
        texts[place], kinds[place] = text, "e"
    for place, text in waiting.items():
        if kinds[place] == " ":
            texts[place], kinds[place] = text, "f"
    rows, columns = texts.shape
    filled = kinds != " "
    # A text that is struck through to its end is struck, however it was done.
    partly = {place: kept for place, kept in structure.partly_struck.items() if kept.strip()}
    struck = structure.struck | (set(structure.partly_struck) - set(partly))
    partly = {place: kept for place, kept in partly.items()
              if place not in struck and kept != texts[place]}  # fmt: skip
    added = replace(
        sheet, texts=texts, kinds=kinds, comments=dict(sorted(structure.comments.items())),
        formulas=dict(sorted(waiting.items())), partly_struck=partly,
        struck=frozenset(
            place for place in struck if _is_in(rows, columns, place) and filled[place]
        ),
        hidden_rows=_list_hidden(structure.hidden_rows, rows),
        hidden_columns=_list_hidden(structure.hidden_columns, columns),
        merged=sheet.merged or tuple(structure.merged), fills=_pack(structure.fills, texts.shape),
        inks=_pack(structure.inks, texts.shape), shown=_show_numbers(texts, kinds, structure),
    )  # fmt: skip
    return replace(added, notes=sheet.notes + tuple(_word_notes(added, structure)))


def _is_in(rows: int, columns: int, place: Place) -> bool:
    return place[0] < rows and place[1] < columns


def _grow(
    sheet: Sheet, places: list[Place], *, path: Path
) -> tuple[npt.NDArray[np.object_], npt.NDArray[np.str_]]:
    rows, columns = sheet.texts.shape
    if not places:
        return sheet.texts, sheet.kinds
    tall = max([rows, *(row + 1 for row, _ in places)])
    wide = max([columns, *(column + 1 for _, column in places)])
    require_grid_size(path, tall, wide)
    texts = np.full((tall, wide), "", dtype=object, order="F")
    kinds = np.full((tall, wide), " ", dtype="<U1", order="F")
    texts[:rows, :columns], kinds[:rows, :columns] = sheet.texts, sheet.kinds
    return texts, kinds


def _list_hidden(runs: Iterable[tuple[int, int]], count: int) -> frozenset[int]:
    return frozenset(
        number for first, last in runs for number in range(first, min(last + 1, count))
    )


def _pack(
    groups: Mapping[str, list[Place]], shape: tuple[int, ...]
) -> dict[str, npt.NDArray[np.intp]]:
    packed = {}
    for name, places in groups.items():
        array = np.array(sorted(places), dtype=np.intp).reshape(-1, 2)
        inside = array[(array < np.array(shape)).all(axis=1)]
        if len(inside):
            packed[name] = inside
    return packed


def _show_numbers(
    texts: npt.NDArray[np.object_], kinds: npt.NDArray[np.str_], structure: SheetStructure
) -> dict[Place, str]:
    shown: dict[Place, str] = {}
    for zeros, places in structure.zeros.items():
        for place in places:
            if not _is_in(texts.shape[0], texts.shape[1], place) or kinds[place] != "n":
                continue
            if not texts[place].isdecimal():
                continue
            written = show_number(texts[place], zeros)
            if written != texts[place]:
                shown[place] = written
    for words, places in structure.words.items():
        for place in places:
            if _is_in(texts.shape[0], texts.shape[1], place) and kinds[place] == "n":
                shown[place] = words.show(texts[place])
    return shown


def _word_notes(sheet: Sheet, structure: SheetStructure) -> list[str]:
    columns = [name_column(number + 1) for number in sorted(sheet.hidden_columns)]
    rows = [number + 1 for number in sorted(sheet.hidden_rows)]
    notes = [
        f"hidden and read all the same: {what} {name_first_few(places)}"
        for what, places in (("column", columns), ("row", rows))
        if places
    ]
    notes += _word_colours("coloured cells", sheet.fills)
    notes += _word_colours("cells written in colour", sheet.inks)
    if structure.empty_results:
        place = min(structure.empty_results)
        notes.append(
            "cells taken as empty, in which a formula gives an empty text: "
            f"{len(structure.empty_results)}, first {_word_place(place)} "
            f"({structure.formulas[place]})"
        )
    if structure.coloured_by_rule:
        notes.append("cells coloured by rules of the sheet (conditional formats): not read")
    if sheet.shown:
        place, text = min(sheet.shown.items())
        notes.append(
            f"numbers shown with zeros, marks or words that they do not hold: {len(sheet.shown)}, "
            f"first {_word_place(place)}, {sheet.texts[place]} shown as {text}"
        )
    return notes


def _word_colours(what: str, groups: Mapping[str, npt.NDArray[np.intp]]) -> list[str]:
    if not groups:
        return []
    counts = sorted(groups.items(), key=lambda item: (-len(item[1]), item[0]))
    first = min(tuple(places[0].tolist()) for places in groups.values())
    said = name_first_few(
        f"{colour} {len(places)} from {_word_place(tuple(places[0].tolist()))}"
        for colour, places in counts
    )
    total = sum(len(places) for places in groups.values())
    colours = f"{len(groups)} colour{'' if len(groups) == 1 else 's'}"
    return [
        f"{what}, their colour not read: {total} in {colours}, first {_word_place(first)} ({said})"
    ]


def _word_place(place: tuple[int, ...]) -> str:
    return f"{name_column(place[1] + 1)}{place[0] + 1}"
