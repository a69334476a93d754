"""What the formats of an XLSX workbook say: struck through, coloured, zeros in front."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeVar
from xml.etree import ElementTree

from bodycond.legacy.files.number_formats import (
    NO_WORDS,
    ShownWords,
    read_words,
    read_zeros,
)
from bodycond.legacy.files.xml_parts import local_name, parse_part

_Kind = TypeVar("_Kind")

_NO = frozenset({"0", "false", "off", "none"})

# White grounds and black letters are what cells have without anybody's doing, and links are blue
# by themselves. Numbers of the theme and of the old palette, and the colour as written.
_PLAIN_FILLS = frozenset(
    {"", "#FFFFFF", "theme colour 0", "palette colour 1", "palette colour 9", "palette colour 64",
     "palette colour 65"}
)  # fmt: skip
_PLAIN_INKS = frozenset(
    {"", "#000000", "theme colour 1", "theme colour 10", "theme colour 11", "palette colour 0",
     "palette colour 8", "palette colour 64"}
)  # fmt: skip


@dataclass(frozen=True, kw_only=True, slots=True)
class CellFormat:
    """What is not plain about a cell's format.

    Parameters
    ----------
    struck : bool
        The text is struck through.
    fill, ink : str
        Colour of the ground and of the letters; empty where plain.
    zeros : str
        Zeros and the marks among them, in which a whole number is shown; empty where it is not.
    words : ShownWords
        Words that a number is shown with.
    """

    struck: bool = False
    fill: str = ""
    ink: str = ""
    zeros: str = ""
    words: ShownWords = NO_WORDS


def is_plain_fill(colour: str) -> bool:
    """Tell whether a ground is as every cell's is without anybody's doing.

    Parameters
    ----------
    colour : str
        The colour, as in `CellFormat`.

    Returns
    -------
    bool
        True for none and for white.
    """
    return colour in _PLAIN_FILLS


def is_plain_ink(colour: str) -> bool:
    """Tell whether letters are as every cell's are without anybody's doing.

    Parameters
    ----------
    colour : str
        The colour, as in `CellFormat`.

    Returns
    -------
    bool
        True for none, for black and for the blue of a link.
    """
    return colour in _PLAIN_INKS


def is_struck(element: ElementTree.Element | None) -> bool:
    """Tell whether a font's or run's properties strike the text through.

    Parameters
    ----------
    element : Element or None
        The properties.

    Returns
    -------
    bool
        False where the mark is there and switched off.
    """
    for item in () if element is None else element:
        if local_name(item) == "strike":
            return item.get("val", "1").lower() not in _NO
    return False


def read_formats(styles: bytes) -> dict[str, CellFormat]:
    """Read the formats that are not plain.

    Parameters
    ----------
    styles : bytes
        The workbook's part of styles; empty where there is none.

    Returns
    -------
    dict of str to CellFormat
        By the number that a cell gives as its style.

    Examples
    --------
    >>> read_formats(b'<s><fonts><font/><font><strike/></font></fonts><cellXfs><xf/>'
    ...              b'<xf fontId="1"/></cellXfs></s>')["1"].struck
    True
    """
    if not styles:
        return {}
    groups = {local_name(group): list(group) for group in parse_part(styles)}
    codes = {item.get("numFmtId", ""): item.get("formatCode", "")
             for item in groups.get("numFmts", [])}  # fmt: skip
    fonts = [(is_struck(font), _read_ink(font)) for font in groups.get("fonts", [])]
    fills = [_read_fill(fill) for fill in groups.get("fills", [])]
    formats: dict[str, CellFormat] = {}
    for number, item in enumerate(groups.get("cellXfs", [])):
        struck, ink = _pick(fonts, item.get("fontId"), (False, ""))
        found = CellFormat(
            struck=struck, ink=ink, fill=_pick(fills, item.get("fillId"), ""),
            zeros=read_zeros(codes.get(item.get("numFmtId", ""), "")),
            words=read_words(codes.get(item.get("numFmtId", ""), "")),
        )  # fmt: skip
        if found != CellFormat():
            formats[str(number)] = found
    return formats


def _pick(items: list[_Kind], number: str | None, default: _Kind) -> _Kind:
    place = int(number) if number and number.isdecimal() else 0
    return items[place] if place < len(items) else default


def _read_ink(font: ElementTree.Element) -> str:
    for item in font:
        if local_name(item) == "color":
            ink = _word_colour(item.attrib)
            return "" if is_plain_ink(ink) else ink
    return ""


def _read_fill(fill: ElementTree.Element) -> str:
    for pattern in fill:
        if local_name(pattern) == "gradientFill":
            return "a gradient"
        kind = pattern.get("patternType", "none")
        if kind == "none":
            return ""
        colours = {local_name(item): _word_colour(item.attrib) for item in pattern}
        if kind != "solid" and not set(colours.values()) - _PLAIN_FILLS:
            return "" if kind == "gray125" else f"the pattern {kind}"
        colour = colours.get("fgColor", "")
        return "" if is_plain_fill(colour) else colour
    return ""


def _word_colour(attributes: Mapping[str, str]) -> str:
    if "rgb" in attributes:
        return f"#{attributes['rgb'][-6:].upper()}"
    tint = float(attributes.get("tint") or 0)
    said = f", tint {tint:.2g}" if tint else ""
    for key, word in (("theme", "theme colour"), ("indexed", "palette colour")):
        if key in attributes:
            return f"{word} {attributes[key]}{said}"
    return ""
