"""Marked workbooks that came back: the list as filled in, and what was changed in the copies."""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bodycond.errors import UnreadableFileError
from bodycond.legacy.corrections.correction_checking import read_cell
from bodycond.legacy.corrections.correction_records import Correction
from bodycond.legacy.corrections.held_cell_list import HELD_CELLS_SHEET, LIST_COLUMNS
from bodycond.legacy.corrections.marked_workbooks import ABOUT_SHEET, COPY_COLUMNS
from bodycond.legacy.files.grids import build_grid, require_grid_size
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.files.workbook_guards import check_container, describe_damaged, describe_locked
from bodycond.tables_on_disk import number_column

# The person may have put lines of their own above the list.
_HEADING_WITHIN = 20


@dataclass(frozen=True, kw_only=True, eq=False)
class FilledInWorkbook:
    """A marked workbook as it came back.

    Parameters
    ----------
    name : str
        The file's name.
    listed : tuple of (int, mapping)
        Each row of the list with its number, by column; numbers and dates are plain and ISO text.
    copies : tuple of Sheet
        The copies, under the file and the name of their source; the first note of each is the
        workbook's name.
    notes : tuple of str
        What is no more there.
    """

    name: str
    listed: tuple[tuple[int, Mapping[str, str]], ...]
    copies: tuple[Sheet, ...]
    notes: tuple[str, ...]


def read_filled_in_workbook(path: Path, content: bytes) -> FilledInWorkbook:
    """Read a marked workbook that came back.

    Parameters
    ----------
    path : Path
        The file, for its ending and for messages.
    content : bytes
        Its content.

    Returns
    -------
    FilledInWorkbook
        List and copies. What a formula gave counts, not the formula.

    Raises
    ------
    UnreadableFileError
        If the workbook is damaged, locked or has no list of held cells.
    """
    import python_calamine

    check_container(path, content)
    try:
        workbook = python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(content))
        grids = {name: _read_grid(path, workbook, name) for name in workbook.sheet_names}
    except python_calamine.PasswordError as error:
        raise describe_locked(path) from error
    except UnreadableFileError:
        raise
    except (python_calamine.CalamineError, OSError, ValueError) as error:
        raise describe_damaged(path, str(error)) from error
    copies, notes = _read_copies(grids, given_in=path.name)
    return FilledInWorkbook(
        name=path.name,
        listed=tuple(_read_list(path, grids)),
        copies=copies,
        notes=tuple(f"{path.name}: {note}" for note in notes),
    )


def _read_grid(path: Path, workbook: Any, name: str) -> Sheet:
    rows = workbook.get_sheet_by_name(name).to_python(skip_empty_area=False)
    require_grid_size(path, len(rows), max(map(len, rows), default=0))
    texts, kinds = build_grid(rows)
    return Sheet(file="", name=name, texts=texts, kinds=kinds)


def _find_heading(sheet: Sheet, needed: Sequence[str]) -> tuple[int, dict[str, int]] | None:
    for row in range(min(_HEADING_WITHIN, sheet.texts.shape[0])):
        names = [text.casefold() for text in sheet.row_texts(row)]
        if all(name in names for name in needed):
            return row, {name: names.index(name) for name in names if name}
    return None


def _read_list(path: Path, grids: Mapping[str, Sheet]) -> list[tuple[int, dict[str, str]]]:
    sheet = grids.get(HELD_CELLS_SHEET)
    found = _find_heading(sheet, list(LIST_COLUMNS)) if sheet is not None else None
    if sheet is None or found is None:
        where = f"in its sheet {HELD_CELLS_SHEET!r}" if sheet is not None else "and no such sheet"
        raise UnreadableFileError(
            needed=f"A marked workbook has a sheet {HELD_CELLS_SHEET!r} with the headings "
            f"{', '.join(LIST_COLUMNS)}",
            found=f"{path} without them {where}",
            then="Give a workbook that the import wrote, or a corrections file as CSV",
        )
    heading, columns = found
    rows = []
    for row in range(heading + 1, sheet.texts.shape[0]):
        cells = {name: str(sheet.texts[row, column]) for name, column in columns.items()}
        day = row, columns["decided_on"]
        if sheet.kinds[day] == "d":
            # A moment counts as its day.
            cells["decided_on"] = cells["decided_on"][:10]
        if any(text.strip() for text in cells.values()):
            rows.append((row + 1, cells))
    return rows


def _read_copies(
    grids: Mapping[str, Sheet], *, given_in: str
) -> tuple[tuple[Sheet, ...], list[str]]:
    about = grids.get(ABOUT_SHEET)
    found = _find_heading(about, COPY_COLUMNS) if about is not None else None
    if about is None or found is None:
        return (), [f"the sheet {ABOUT_SHEET!r} is gone, so changes in the copies go unnoticed"]
    heading, columns = found
    copies, notes = [], []
    for row in range(heading + 1, about.texts.shape[0]):
        name, file, source = (
            str(about.texts[row, columns[word]]) for word in ("copied_as", "file", "sheet")
        )
        if name in grids:
            grid = grids[name]
            copies.append(
                Sheet(file=file, name=source, texts=grid.texts, kinds=grid.kinds, notes=(given_in,))
            )
        elif name:
            notes.append(f"the copy {name!r} is gone, so changes in it go unnoticed")
    return tuple(copies), notes


def find_changed_held_cells(
    workbook: FilledInWorkbook, decided: Sequence[Correction]
) -> list[Correction]:
    """Find held cells that were changed in a copy and not decided so in the list.

    Parameters
    ----------
    workbook : FilledInWorkbook
        The workbook.
    decided : sequence of Correction
        All decisions given.

    Returns
    -------
    list of Correction
        Proposals, without who and why.
    """
    copies = {(copy.file, copy.name): copy for copy in workbook.copies}
    known = {(row.place, row.decision, row.corrected) for row in decided}
    proposals = []
    for _, cells in workbook.listed:
        key = (cells["file"], cells["sheet"])
        address = read_cell(cells["cell"], sheet=cells["sheet"])
        now = read_at(copies[key], address) if key in copies else None
        if now is None or now == cells["raw"]:
            continue
        proposal = propose(*key, address, raw=cells["raw"], now=now, given_in=workbook.name)
        if (proposal.place, proposal.decision, proposal.corrected) not in known:
            proposals.append(proposal)
    return proposals


def read_at(sheet: Sheet, address: str) -> str | None:
    """Read the text at an address.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    address : str
        For example ``B7``.

    Returns
    -------
    str or None
        The text, empty beyond the last cell; None where the address is none.
    """
    place = find_place(address)
    if place is None:
        return None
    rows, columns = sheet.texts.shape
    return str(sheet.texts[place]) if place[0] < rows and place[1] < columns else ""


def find_place(address: str) -> tuple[int, int] | None:
    """Give row and column of an address, counted from 0.

    Parameters
    ----------
    address : str
        For example ``B7``.

    Returns
    -------
    tuple of (int, int) or None
        None where the address is none.

    Examples
    --------
    >>> find_place("AB7"), find_place("seven")
    ((6, 27), None)
    """
    letters = address.rstrip("0123456789")
    digits = address[len(letters) :]
    if not (letters.isascii() and letters.isupper() and letters.isalpha() and digits):
        return None
    return int(digits) - 1, number_column(letters) - 1


def propose(file: str, sheet: str, cell: str, *, raw: str, now: str, given_in: str) -> Correction:
    """Make a proposal of a cell that was changed in a copy.

    Parameters
    ----------
    file, sheet, cell : str
        Where the cell is.
    raw, now : str
        What it holds in the file and in the copy.
    given_in : str
        The marked workbook.

    Returns
    -------
    Correction
        Without who and why.
    """
    return Correction(
        decision="corrected" if now else "no_value", file=file, sheet=sheet, cell=cell, raw=raw,
        corrected=now, given_in=given_in,
    )  # fmt: skip
