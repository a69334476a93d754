"""Text files: encoding and delimiter found from the content, then read record by record."""

from __future__ import annotations

from pathlib import Path

from bodycond.errors import UnreadableFileError
from bodycond.legacy.files.delimiters import DELIMITERS, NO_DELIMITER, find_delimiter
from bodycond.legacy.files.encodings import decode_text
from bodycond.legacy.files.file_kinds import require_text
from bodycond.legacy.files.grids import build_grid
from bodycond.legacy.files.mojibake import may_hold_mojibake, note_mojibake
from bodycond.legacy.files.sheets import Sheet
from bodycond.legacy.files.text_records import split_records

# A table of as many cells as memory holds, each with a short text, is a tenth of this.
LARGEST_TEXT_BYTES = 500_000_000

# The widest sheet that spreadsheets know, each cell filled with a thousand letters.
LONGEST_LINE_BYTES = 20_000_000

_EXPECTED = {".csv": ",;", ".tsv": "\t", ".tab": "\t"}


def read_text_table(path: Path, content: bytes, *, label: str) -> Sheet:
    """Read a delimited text file as one sheet.

    Parameters
    ----------
    path : Path
        The file, for its stem and for messages.
    content : bytes
        Its content.
    label : str
        What to call the file.

    Returns
    -------
    Sheet
        Rows are records: a line end inside quotation marks does not start a new row, and a blank
        line is an empty row. Where records run over lines a note says which.

    Raises
    ------
    UnreadableFileError
        If the content is no text, a cell has no end, or the table is too large.
    """
    require_text(path, content)
    _require_lines(path, content)
    decoded = decode_text(content, path=path)
    # Blank lines at the end are no rows; a file can hold millions of them.
    text = decoded.text.rstrip("\r\n")
    delimiter, named = find_delimiter(text)
    records = split_records(text, delimiter=delimiter, path=path)
    texts, kinds = build_grid(records.rows)
    said = "none" if delimiter == NO_DELIMITER else DELIMITERS.get(delimiter, repr(delimiter))
    notes = [f"read as {decoded.encoding}, delimiter {said}", *decoded.notes]
    if named:
        notes.append("row 1 names the delimiter")
    elif delimiter == NO_DELIMITER:
        notes.append("one column: no comma, semicolon, tab or bar parts the lines alike")
    elif delimiter not in _EXPECTED.get(path.suffix.lower(), delimiter):
        notes.append(f"the ending is {path.suffix}, the cells are parted by the {said}")
    notes += records.notes
    if may_hold_mojibake(text):
        notes += note_mojibake(texts)
    return Sheet(file=label, name=path.stem, texts=texts, kinds=kinds, notes=tuple(notes))


def _require_lines(path: Path, content: bytes) -> None:
    """Raise where a text is no table by its size alone, before it is laid out in memory."""
    if len(content) > LARGEST_TEXT_BYTES:
        raise UnreadableFileError(
            needed=f"A text file may hold at most {LARGEST_TEXT_BYTES:,} bytes",
            found=f"{path} with {len(content):,}",
            then="Split the table into several files",
        )
    place = 0
    while len(content) - place > LONGEST_LINE_BYTES:
        window = place, place + LONGEST_LINE_BYTES
        last = max(content.rfind(b"\n", *window), content.rfind(b"\r", *window))
        if last < 0:
            zeros = 0 in content[place : place + 4096]
            said = ", with zero bytes in it as in a program's own format" if zeros else ""
            raise UnreadableFileError(
                needed=f"A line of a text table may hold at most {LONGEST_LINE_BYTES:,} bytes",
                found=f"a longer one in {path}, from byte {place:,}{said}",
                then="Look whether it is a table at all, and whether its line ends were lost",
            )
        place = last + 1
