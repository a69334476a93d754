"""Text files: encoding and delimiter found from the content, then read record by record."""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections import Counter
from pathlib import Path

from bodycond.errors import UnreadableFileError, name_first_few
from bodycond.legacy.grids import build_grid, measure_rows, require_grid_size
from bodycond.legacy.sheets import Sheet

DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}

# The marks of UTF-32 begin with those of UTF-16 and so stand before them.
_MARKS = (
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)

_GUESSED = frozenset({"cp1252", "latin-1"})

# Enough records to see the shape of a table, few enough to look at for each delimiter.
_RECORDS_LOOKED_AT = 60


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
        Rows are records: a line break inside quotes does not start a new row.

    Raises
    ------
    UnreadableFileError
        If the content is no text, a quotation mark swallows rows, or the table is too large.
    """
    text, encoding = decode_text(content, path=path)
    delimiter, skip = find_delimiter(text)
    rows = _split_records(text, delimiter, path=path)
    require_grid_size(path, *measure_rows(rows))
    texts, kinds = build_grid(rows)
    notes = [f"read as {encoding}, delimiter {DELIMITERS.get(delimiter, repr(delimiter))}"]
    if encoding in _GUESSED:
        notes.append(_note_guess(rows, encoding))
    if skip:
        notes.append("row 1 names the delimiter")
    return Sheet(file=label, name=path.stem, texts=texts, kinds=kinds, notes=tuple(notes))


def _split_records(text: str, delimiter: str, *, path: Path) -> list[list[str]]:
    name = DELIMITERS.get(delimiter, delimiter)
    rows: list[list[str]] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    begins: list[int] = []
    line = 0
    try:
        for row in reader:
            rows.append(row)
            begins.append(line + 1)
            line = reader.line_num
    except csv.Error as error:
        raise UnreadableFileError(
            needed=f"The file {path} must be a delimited text table",
            found=f"{error} with the delimiter {name!r}",
            then="Look for a quotation mark that is opened and never closed",
        ) from error
    swallowed = _find_swallowed(text, rows, begins, delimiter)
    if swallowed:
        raise UnreadableFileError(
            needed=f"Each row of {path} must stand in a line of its own",
            found=f"a quotation mark that joins rows, at line {name_first_few(swallowed)}; it may "
            "be a ditto or inch mark, which a delimited file cannot hold alone",
            then='Double the mark and put the cell in quotation marks, as in """", or save the '
            "file as XLSX",
        )
    return rows


def _find_swallowed(
    text: str, rows: list[list[str]], begins: list[int], delimiter: str
) -> list[int]:
    """Find the lines at which a lone quotation mark has made one record of several rows.

    A line break inside a cell is honest where the lines are no rows; where each of them alone
    has the delimiters of a whole row, and quotation marks that do not pair, it is none.
    """
    if '"' not in text:
        return []
    lines = re.split(r"\r\n|\r|\n", text)
    ends = [*(begin - 1 for begin in begins[1:]), len(lines)]
    usual = Counter(len(row) for row in rows if len(row) > 1).most_common(1)
    width = usual[0][0] if usual else 0
    found: list[int] = []
    for begin, end in zip(begins, ends, strict=True):
        joined = [line for line in lines[begin - 1 : end] if line]
        whole = [line.count(delimiter) >= width - 1 >= 1 for line in joined]
        if len(joined) > 1 and all(whole) and joined[0].count('"') % 2:
            found.append(begin)
    if rows and len(rows[-1]) < width and "".join(lines[begins[-1] - 1 :]).count('"') % 2:
        found.append(begins[-1])  # opened and never closed
    return list(dict.fromkeys(found))


def _note_guess(rows: list[list[str]], encoding: str) -> str:
    odd = dict.fromkeys(cell for row in rows for cell in row if not cell.isascii())
    shown = name_first_few((repr(cell[:30]) for cell in odd), limit=3)
    return (
        f"{encoding} is a guess, since the file names no encoding and is no UTF-8: look whether "
        f"its letters are right ({shown})"
    )


def decode_text(content: bytes, *, path: Path) -> tuple[str, str]:
    """Decode bytes by their mark, by strict UTF-8, or as Western European.

    Parameters
    ----------
    content : bytes
        The file's content.
    path : Path
        The file, for messages.

    Returns
    -------
    tuple of (str, str)
        The text and the encoding's name.

    Raises
    ------
    UnreadableFileError
        If the content is binary, or breaks the encoding that its mark promises.
    """
    encoding = next((name for mark, name in _MARKS if content.startswith(mark)), None)
    if encoding is None and b"\x00" in content:
        encoding = _find_unmarked_utf16(content)
        if encoding is None:
            raise UnreadableFileError(
                needed=f"The file {path} must be text",
                found="zero bytes, as in a program's own format, the first at byte "
                f"{content.index(0)}",
                then="Open it in the program that made it and save it as CSV or XLSX",
            )
    try:
        if encoding is not None:
            return content.decode(encoding), encoding
        return content.decode("utf-8"), "utf-8"
    except UnicodeDecodeError as error:
        if encoding is not None:
            raise UnreadableFileError(
                needed=f"The file {path} begins as {encoding} and must go on so",
                found=f"a broken character at byte {error.start}",
                then="Look for the full copy; the file may have been cut off",
            ) from error
    try:
        return content.decode("cp1252"), "cp1252"
    except UnicodeDecodeError:
        # Five bytes mean nothing in CP1252; Latin-1 knows every byte, so nothing is lost.
        return content.decode("latin-1"), "latin-1"


def _find_unmarked_utf16(content: bytes) -> str | None:
    start = content[:4096]
    half = max(len(start) // 2, 1)
    if start[1::2].count(0) > 0.7 * half and start[0::2].count(0) == 0:
        return "utf-16-le"
    if start[0::2].count(0) > 0.7 * half and start[1::2].count(0) == 0:
        return "utf-16-be"
    return None


def find_delimiter(text: str) -> tuple[str, bool]:
    """Find the delimiter under which most records have the same number of cells.

    Parameters
    ----------
    text : str
        The file's text.

    Returns
    -------
    tuple of (str, bool)
        The delimiter, and whether the first line names it (``sep=;``).

    Examples
    --------
    >>> find_delimiter("Ring;Mass\\nA1;185,5\\nA2;190,0\\n")
    (';', False)
    """
    first = text[:16].splitlines()[0] if text[:16].splitlines() else ""
    if first.lower().startswith("sep=") and len(first) >= 5:
        return first[4], True
    best, best_score = ",", (0.0, 0)
    for delimiter in DELIMITERS:
        score = _score_delimiter(text, delimiter)
        if score > best_score:
            best, best_score = delimiter, score
    return best, False


def _score_delimiter(text: str, delimiter: str) -> tuple[float, int]:
    widths: list[int] = []
    try:
        for row in csv.reader(io.StringIO(text, newline=""), delimiter=delimiter):
            if row:
                widths.append(len(row))
            if len(widths) == _RECORDS_LOOKED_AT:
                break
    except csv.Error:
        return 0.0, 0
    wide = Counter(width for width in widths if width > 1)
    if not wide:
        return 0.0, 0
    width, count = max(wide.items(), key=lambda item: (item[1], item[0]))
    # Decimal commas give two cells a record too, as often as not: agreement counts before width.
    return round(count / len(widths), 1), width
