"""What a file is by its first bytes, where its ending says something else."""

from __future__ import annotations

import codecs
import re
from pathlib import Path

from bodycond.errors import UnreadableFileError

# Container of old Office files; an XLSX inside one is encrypted.
OLE_HEADER = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
ENCRYPTED_STREAM = "EncryptedPackage".encode("utf-16-le")

_LOOKED_AT = 4096

_SIGNATURES = (
    (b"%PDF", "a PDF document"),
    (b"\x89PNG", "a PNG picture"),
    (b"\xff\xd8\xff", "a JPEG picture"),
    (b"GIF8", "a GIF picture"),
    (b"\x1f\x8b", "a gzip archive"),
    (b"7z\xbc\xaf\x27\x1c", "a 7z archive"),
    (b"Rar!", "a RAR archive"),
    (b"SQLite format 3\x00", "an SQLite database"),
    (b"PAR1", "a Parquet table"),
    (b"{\\rtf", "a text of a word processor (RTF)"),
)

_SAVE_ANEW = "Open it in the program that made it and save the table as CSV or XLSX"
_HTML = re.compile(rb"<(?:!doctype\s+html|html|head|body|meta|table|style|div)\b", re.IGNORECASE)
_PARTS = (
    (b"xl/workbook.bin", "an XLSB workbook", "Give it the ending .xlsb"),
    (b"xl/", "an XLSX workbook", "Give it the ending .xlsx"),
    (b"opendocument.spreadsheet", "an ODS workbook", "Give it the ending .ods"),
    (b"word/", "a document of a word processor", _SAVE_ANEW),
)


def require_text(path: Path, content: bytes) -> None:
    """Raise if a file whose ending promises text is known to be something else.

    Parameters
    ----------
    path : Path
        The file, for the message.
    content : bytes
        Its content.

    Raises
    ------
    UnreadableFileError
        If its first bytes are those of a workbook, a web page, a picture or the like.
    """
    kind = _name_workbook(content) or name_other_kind(content)
    if kind is not None:
        raise UnreadableFileError(
            needed=f"The file {path} must be a text table, as its ending says",
            found=kind[0],
            then=kind[1],
        )


def name_other_kind(content: bytes) -> tuple[str, str] | None:
    """Name what a file is that is neither a workbook nor a text table.

    Parameters
    ----------
    content : bytes
        The file's content.

    Returns
    -------
    tuple of (str, str) or None
        What it is, and what to do; None if its first bytes tell nothing.

    Examples
    --------
    >>> name_other_kind(b"<html><table>")[0]
    'a web page (HTML)'
    """
    for signature, name in _SIGNATURES:
        if content.startswith(signature):
            return name, _SAVE_ANEW
    start = _read_start(content)
    if _HTML.match(start) or (start.startswith(b"<?xml") and re.search(_HTML, start)):
        return "a web page (HTML)", (
            "Open it in a browser or a spreadsheet program and save the table as XLSX or CSV"
        )
    if start.startswith(b"MIME-Version:"):
        return "a web page saved as one file (MHTML)", _SAVE_ANEW
    if start.startswith(b"<?xml"):
        if b"urn:schemas-microsoft-com:office:spreadsheet" in start:
            return "a workbook saved as XML (the format of 2003)", (
                "Open it in a spreadsheet program and save it as XLSX"
            )
        return "an XML document", _SAVE_ANEW
    return None


def describe_text(content: bytes) -> tuple[str, str] | None:
    """Say that a file whose ending promises a workbook holds text.

    Parameters
    ----------
    content : bytes
        The file's content.

    Returns
    -------
    tuple of (str, str) or None
        What it is, and what to do; None if it does not look like text.

    Examples
    --------
    >>> describe_text(b"Ring;Mass")[1]
    'Give it the ending .csv if it is a table'
    """
    start = content[:_LOOKED_AT]
    marked = start.startswith((codecs.BOM_UTF8, codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    if not marked and re.search(rb"[\x00-\x08\x0e-\x1f\x7f]", start):
        return None
    return "plain text and no workbook", "Give it the ending .csv if it is a table"


def _name_workbook(content: bytes) -> tuple[str, str] | None:
    if content.startswith(OLE_HEADER):
        if ENCRYPTED_STREAM in content:
            return "a workbook locked by a password", (
                "Open it with the password, save a copy without one and give that"
            )
        return "an old XLS workbook, or a document of another program", (
            "Give it the ending .xls, or save the table as XLSX"
        )
    if not content.startswith(b"PK\x03\x04"):
        return None
    for part, name, then in _PARTS:
        if part in content:
            return name, then
    return "a ZIP archive", "Unpack it and give the files in it"


def _read_start(content: bytes) -> bytes:
    start = content[:_LOOKED_AT]
    for mark, codec in ((codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be")):
        if start.startswith(mark):
            return start[2:].decode(codec, errors="ignore").encode()
    return start.removeprefix(codecs.BOM_UTF8).lstrip()
