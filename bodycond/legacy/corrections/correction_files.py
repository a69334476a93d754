"""Corrections read from corrections files and from marked workbooks that came back filled in."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from bodycond.errors import UnreadableFileError
from bodycond.legacy.corrections.correction_checking import (
    check_corrections,
    read_cell,
    read_decision,
)
from bodycond.legacy.corrections.correction_records import (
    CORRECTION_COLUMNS,
    Correction,
    Corrections,
)
from bodycond.legacy.corrections.filled_in_workbooks import (
    FilledInWorkbook,
    find_changed_held_cells,
    read_filled_in_workbook,
)
from bodycond.legacy.corrections.held_spans import is_span
from bodycond.tables_on_disk import read_bytes, restore_text

_WORKBOOKS = frozenset({".xlsx", ".xlsm", ".ods"})
_TEXTS = frozenset({".csv", ".txt", ".tsv"})
_NEEDED = ("decision", "who", "why")

# These count to the last blank: they must equal what the source holds.
_EXACT = frozenset({"file", "sheet", "raw", "corrected"})


@dataclass(frozen=True, kw_only=True, eq=False)
class _Reading:
    rows: list[Correction] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    workbooks: list[FilledInWorkbook] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    undecided: list[str] = field(default_factory=list)


def read_corrections(paths: str | Path | Iterable[str | Path]) -> Corrections:
    """Read corrections files and filled-in marked workbooks.

    Parameters
    ----------
    paths : str, Path or iterable of these
        Corrections files (CSV in UTF-8, columns as in `CORRECTION_COLUMNS`) and marked workbooks.
        Rows without a decision are passed over and counted; a row with a text in ``corrected``
        and no decision is read as ``corrected``.

    Returns
    -------
    Corrections
        All of them, checked.

    Raises
    ------
    UnreadableFileError
        If a file cannot be read or is no corrections file.
    CorrectionError
        If one is incomplete or two contradict each other; the message names every fault.
    """
    reading = _Reading()
    for path in [paths] if isinstance(paths, str | Path) else list(paths):
        _read_file(Path(path), reading)
    unique = {row.values: row for row in reversed(reading.rows)}
    rows = [row for row in reading.rows if unique[row.values] is row]
    check_corrections(rows, faults=reading.faults)
    notes = list(reading.notes)
    if len(rows) < len(reading.rows):
        notes.append(f"{len(reading.rows) - len(rows)} corrections are given more than once")
    return Corrections(
        rows=tuple(rows),
        copies=tuple(copy for workbook in reading.workbooks for copy in workbook.copies),
        proposals=tuple(
            proposal
            for workbook in reading.workbooks
            for proposal in find_changed_held_cells(workbook, rows)
        ),
        n_undecided=len(reading.undecided),
        notes=tuple(notes),
    )


def _read_file(path: Path, reading: _Reading) -> None:
    suffix = path.suffix.lower()
    if suffix in _WORKBOOKS:
        workbook = read_filled_in_workbook(path, read_bytes(path))
        reading.workbooks.append(workbook)
        reading.notes.extend(workbook.notes)
        for number, cells in workbook.listed:
            _read_row(cells, f"{path.name}, row {number} of the list", reading)
    elif suffix in _TEXTS:
        _read_text(path, reading)
    else:
        raise UnreadableFileError(
            needed="Corrections come as CSV, or as a marked workbook (XLSX, XLSM, ODS)",
            found=f"{path} with the ending {suffix or '(none)'!r}",
            then="Save it as one of these",
        )


def _read_text(path: Path, reading: _Reading) -> None:
    records = _split_records(path)
    _, heading = next(records, (1, []))
    names = [restore_text(name).strip().casefold() for name in heading]
    repeated = sorted({name for name in names if name and names.count(name) > 1})
    missing = [name for name in _NEEDED if name not in names]
    if missing or repeated:
        raise UnreadableFileError(
            needed=f"A corrections file has the columns {', '.join(CORRECTION_COLUMNS)}",
            found=f"{path} with {'no ' + ', '.join(missing) if missing else ''}"
            f"{' and ' if missing and repeated else ''}"
            f"{'more than one ' + ', '.join(repeated) if repeated else ''} in line 1",
            then="Begin with a draft that bodycond writes, and keep its headings",
        )
    for line, record in records:
        place = f"{path.name}, line {line}"
        if any(record[len(names) :]):
            reading.faults.append(f"{place}: {len(record)} cells under {len(names)} headings")
            continue
        cells = {
            name: restore_text(text) for name, text in zip(names, record, strict=False) if name
        }
        if any(cells.values()):
            _read_row(cells, place, reading)


def _split_records(path: Path) -> Iterator[tuple[int, list[str]]]:
    """Give each record with the line on which it begins."""
    text = _decode(path)
    first = text.split("\n", 1)[0]
    delimiter = max(",;\t", key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    usual = csv.field_size_limit(max(csv.field_size_limit(), len(text) + 1))
    try:
        begins = 1
        for record in reader:
            yield begins, record
            begins = reader.line_num + 1
    except csv.Error as error:
        raise UnreadableFileError(
            needed=f"The corrections file {path} must be a CSV table",
            found=f"{error}, in or after line {begins}",
            then="Look there for a quotation mark that is not doubled or never closed",
        ) from error
    finally:
        csv.field_size_limit(usual)


def _decode(path: Path) -> str:
    content = read_bytes(path)
    utf16 = content.startswith((b"\xff\xfe", b"\xfe\xff"))
    try:
        return content.decode("utf-16" if utf16 else "utf-8-sig")
    except UnicodeDecodeError as error:
        raise UnreadableFileError(
            needed=f"The corrections file {path} must be text in UTF-8",
            found=f"bytes that are none, at byte {error.start}",
            then="Save it from the spreadsheet program as 'CSV UTF-8', or use the marked workbook",
        ) from error


def _read_row(cells: Mapping[str, str], place: str, reading: _Reading) -> None:
    texts = {
        name: cells.get(name, "") if name in _EXACT else cells.get(name, "").strip()
        for name in CORRECTION_COLUMNS
    }
    texts["decision"] = read_decision(texts["decision"], corrected=texts["corrected"])
    texts["cell"] = read_cell(texts["cell"], sheet=texts["sheet"])
    if texts["decision"]:
        reading.rows.append(Correction(**texts, given_in=place))
        return
    if not is_span(texts["cell"]):
        # The line of a whole column is there to be read: the recipe decides it.
        reading.undecided.append(place)
    if texts["who"] or texts["why"]:
        reading.notes.append(f"{place}: who or why is filled in, and no decision")
