"""Text files: encoding and delimiter found from the content, then read record by record."""

from __future__ import annotations

import codecs
import csv
import io
from collections import Counter
from pathlib import Path

from bodycond.errors import UnreadableFileError
from bodycond.legacy.sheets import Sheet, build_grid

DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}

_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)

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
        If the content is no text, or its quotes run away.
    """
    text, encoding = decode_text(content, path=path)
    delimiter, skip = find_delimiter(text)
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter))
    except csv.Error as error:
        raise UnreadableFileError(
            needed=f"The file {path} must be a delimited text table",
            found=f"{error} with the delimiter {DELIMITERS.get(delimiter, delimiter)!r}",
            then="Look for a quotation mark that is opened and never closed",
        ) from error
    texts, kinds = build_grid(rows)
    notes = [f"read as {encoding}, delimiter {DELIMITERS.get(delimiter, repr(delimiter))}"]
    if skip:
        notes.append("row 1 names the delimiter")
    return Sheet(file=label, name=path.stem, texts=texts, kinds=kinds, notes=tuple(notes))


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
    if encoding is None and b"\x00" in content[:4096]:
        encoding = _find_unmarked_utf16(content)
        if encoding is None:
            raise UnreadableFileError(
                needed=f"The file {path} must be text",
                found="zero bytes, as in a program's own format",
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
