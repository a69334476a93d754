"""What an XLSX workbook says beside its values, read in one pass over its parts."""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from xml.etree import ElementTree

from bodycond.legacy.files.sheet_scanning import find_formats, read_place, scan_sheet
from bodycond.legacy.files.sheet_structure import Place, SheetStructure
from bodycond.legacy.files.workbook_styles import CellFormat, is_struck, read_formats
from bodycond.legacy.files.xml_parts import local_name, parse_part, require_no_entities

_NEEDS_A_LOOK = (b"hidden=", b"<f", b'"e"', b"strike", b"conditionalFormatting", b":row")
_STYLES_A_CELL = re.compile(rb"\ss=[\"'](\d+)")


def read_structures(content: bytes) -> dict[str, SheetStructure]:
    """Read what the fast reader of values does not tell.

    Parameters
    ----------
    content : bytes
        The workbook, looked at by `check_container` before.

    Returns
    -------
    dict of str to SheetStructure
        By the sheet's name; a sheet that says nothing beside its values is not among them.

    Raises
    ------
    BadZipFile, KeyError, ValueError, ParseError, ExpatError
        If a part is broken.
    """
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        parts = {name.lower(): name for name in archive.namelist()}
        book = _Book(archive=archive, parts=parts)
        main = next(
            (target for kind, _, target in book.relations("") if kind == "officeDocument"),
            "xl/workbook.xml",
        )
        # An XLSB has the same parts in a coding of its own.
        if not main.endswith(".xml") or not book.read(main):
            return {}
        relations = book.relations(main)
        targets = {identifier: target for _, identifier, target in relations}
        by_kind = {kind: target for kind, _, target in relations}
        formats = read_formats(book.read(by_kind.get("styles", "")))
        shared = book.read(by_kind.get("sharedStrings", ""))
        strings = read_struck_strings(shared)
        if_struck: dict[int, str] = {}
        if any(form.struck for form in formats.values()):
            if_struck = read_struck_strings(shared, cell_struck=True)
        found: dict[str, SheetStructure] = {}
        for name, identifier in book.sheets(main):
            target = targets.get(identifier, "")
            structure = _read_sheet(book, target, formats, (strings, if_struck))
            if structure is not None:
                found[name] = structure
    return found


@dataclass(frozen=True, kw_only=True, eq=False)
class _Book:
    archive: zipfile.ZipFile
    parts: Mapping[str, str]

    def read(self, target: str) -> bytes:
        name = self.parts.get(target.lower())
        return self.archive.read(name) if name is not None else b""

    def relations(self, target: str) -> list[tuple[str, str, str]]:
        """List a part's relations: kind, identifier, target."""
        folder, name = posixpath.split(target)
        content = self.read(posixpath.join(folder, "_rels", f"{name}.rels"))
        if not content:
            return []
        return [
            (
                item.get("Type", "").rpartition("/")[2],
                item.get("Id", ""),
                # A target that begins with a slash is counted from the top.
                posixpath.normpath(posixpath.join("/", folder, item.get("Target", "")))[1:],
            )
            for item in parse_part(content)
            if item.get("TargetMode") != "External"
        ]

    def sheets(self, main: str) -> Iterator[tuple[str, str]]:
        for item in parse_part(self.read(main)).iter():
            if local_name(item) == "sheet":
                identifier = next(
                    (text for key, text in item.attrib.items() if key.endswith("}id")), ""
                )
                yield item.get("name", ""), identifier


def _read_sheet(
    book: _Book,
    target: str,
    formats: Mapping[str, CellFormat],
    strings: tuple[Mapping[int, str], Mapping[int, str]],
) -> SheetStructure | None:
    part = book.read(target)
    comments = read_comments(
        {kind: book.read(name) for kind, _, name in book.relations(target) if name != target}
    )
    # Looking for bytes is thirty times as fast as reading the part; a part in UTF-16, in names
    # with a prefix or with single quotes is read in any case.
    odd = part[:2] in {b"\xff\xfe", b"\xfe\xff"} or b"='" in part[-2000:]
    look = any(strings) or odd or any(sign in part for sign in _NEEDS_A_LOOK)
    structure: SheetStructure | None = None
    if look:
        structure = scan_sheet(
            part, formats=formats, strings=strings[0], strings_if_struck=strings[1]
        )
    elif formats:
        used = {number.decode() for number in set(_STYLES_A_CELL.findall(part))} & set(formats)
        if used:
            # The headings of many a plain table have a coloured ground, and nothing else has.
            few = {number: formats[number] for number in used}
            structure = find_formats(part, few)
            if structure is None:
                structure = scan_sheet(part, formats=few, strings={})
    if structure is None and comments:
        structure = SheetStructure()
    if structure is not None:
        structure.comments = comments
    return structure


def read_comments(parts: Mapping[str, bytes]) -> dict[Place, str]:
    """Read a sheet's comments, of the old kind and of the kind that is a conversation.

    Parameters
    ----------
    parts : mapping of str to bytes
        The sheet's parts by their kind; ``comments`` and ``threadedComment`` are read.

    Returns
    -------
    dict of (int, int) to str
        Comments by row and column, counted from 0.
    """
    notes: dict[Place, str] = {}
    # A conversation has a stand-in of the old kind, which says only how to open it.
    for kind, name in (("comments", "comment"), ("threadedComment", "threadedComment")):
        talks: dict[Place, list[str]] = {}
        for item in parse_part(parts[kind]).iter() if parts.get(kind) else ():
            if local_name(item) == name and item.get("ref"):
                said = "".join(part for part, _ in _list_runs(item)).strip()
                talks.setdefault(read_place(item.get("ref", "")), []).append(said)
        notes |= {place: "\n".join(said) for place, said in talks.items()}
    return notes


def read_struck_strings(content: bytes, *, cell_struck: bool = False) -> dict[int, str]:
    """Find the shared texts of which a part is struck through.

    Parameters
    ----------
    content : bytes
        The workbook's part of shared texts; empty where there is none.
    cell_struck : bool, default False
        Find those of which a part is not, in a cell whose own format strikes it through.

    Returns
    -------
    dict of int to str
        By the text's number what is not struck.
    """
    if (b"rPr" if cell_struck else b"strike") not in content:
        return {}
    struck: dict[int, str] = {}
    number = 0
    require_no_entities(content)
    for _, item in ElementTree.iterparse(io.BytesIO(content)):  # noqa: S314 - looked at above
        if local_name(item) != "si":
            continue
        runs = list(_list_runs(item, cell_struck=cell_struck))
        if any(is_off != cell_struck for _, is_off in runs):
            struck[number] = "".join(text for text, is_off in runs if not is_off)
        number += 1
        item.clear()
    return struck


def _list_runs(
    item: ElementTree.Element, *, cell_struck: bool = False
) -> Iterator[tuple[str, bool]]:
    """List the pieces of a text with whether each is struck; how it is pronounced is left out."""
    for child in item:
        name = local_name(child)
        if name == "t":
            yield child.text or "", cell_struck
        elif name == "text":
            if len(child):
                yield from _list_runs(child)
            else:
                yield child.text or "", False
        elif name == "r":
            properties = next((part for part in child if local_name(part) == "rPr"), None)
            # A piece with properties has all of its own, one without has its cell's.
            is_off = cell_struck if properties is None else is_struck(properties)
            pieces = (part.text or "" for part in child if local_name(part) == "t")
            yield from ((piece, is_off) for piece in pieces)
