"""Bytes of a text file as text: by its mark, as UTF-8, or by which letters make sense."""

from __future__ import annotations

import codecs
import re
from dataclasses import dataclass
from pathlib import Path

from bodycond.errors import UnreadableFileError, name_first_few
from bodycond.legacy.files.letter_evidence import (
    Reading,
    decode_bytes,
    find_odd_words,
    make_table,
    weigh_encodings,
)

# The marks of UTF-32 begin with those of UTF-16 and so stand before them. Second the name that
# readers of notes know, third the encoding of what comes after the mark.
_MARKS = (
    (codecs.BOM_UTF32_LE, "utf-32", "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32", "utf-32-be"),
    (codecs.BOM_UTF8, "utf-8-sig", "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16", "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16", "utf-16-be"),
)

# A stray zero byte or two is a fault of a logger or a disk; more of them is a program's format.
_MOST_CONTROLS = 0.01
_CONTROLS = bytes(number for number in range(32) if number not in b"\t\n\r\f\v\x1a\x1b")

_FITS_WELL = 0.5
_CLEAR_LEAD = 0.25


@dataclass(frozen=True, kw_only=True, eq=False)
class DecodedText:
    """A text file's content as text, and how it was read.

    Parameters
    ----------
    text : str
        The text, without the mark of its encoding.
    encoding : str
        The encoding's name: ``utf-8``, ``utf-8-sig``, ``utf-16``, ``utf-16-le``, ``utf-16-be``,
        ``utf-32``, ``cp1252``, ``latin-1``, ``mac-roman``, ``cp850`` or ``cp437``.
    sure : bool
        The bytes leave no other reading that is likely: a mark, UTF-8 that never fails, ASCII.
    notes : tuple of str
        What a reader should know; empty where there is nothing to say.
    mark : bytes
        The mark of the encoding that the file begins with.
    codec : str
        The encoding of what follows the mark.
    odd_lines : tuple of (int, int)
        Where, in ``text``, lines stand that are not in ``codec`` but in ``odd_codec``.
    odd_codec : str
        The encoding of those lines.
    """

    text: str
    encoding: str
    sure: bool = True
    notes: tuple[str, ...] = ()
    mark: bytes = b""
    codec: str = "utf-8"
    odd_lines: tuple[tuple[int, int], ...] = ()
    odd_codec: str = ""

    def original_bytes(self) -> bytes:
        """Give the file's content back, byte for byte.

        Returns
        -------
        bytes
            What the text was decoded from.
        """
        parts, last = [self.mark], 0
        for start, end in self.odd_lines:
            parts.append(_encode(self.text[last:start], codec=self.codec))
            parts.append(_encode(self.text[start:end], codec=self.odd_codec))
            last = end
        return b"".join([*parts, _encode(self.text[last:], codec=self.codec)])


def _encode(text: str, *, codec: str) -> bytes:
    if codec.startswith("utf"):
        return text.encode(codec)
    return codecs.charmap_encode(text, "strict", codecs.charmap_build(make_table(codec)))[0]


def decode_text(content: bytes, *, path: Path) -> DecodedText:
    """Decode the content of a text file, without the loss of a byte.

    Parameters
    ----------
    content : bytes
        The file's content.
    path : Path
        The file, for messages.

    Returns
    -------
    DecodedText
        The text, its encoding and how sure that is.

    Raises
    ------
    UnreadableFileError
        If the content is binary, or breaks the encoding that its mark promises.

    Examples
    --------
    >>> decode_text("Größe;Flügel".encode("mac-roman"), path=Path("a.csv")).text
    'Größe;Flügel'
    """
    for mark, name, codec in _MARKS:
        if content.startswith(mark):
            return _decode_marked(content, path=path, mark=mark, name=name, codec=codec)
    wide = _find_unmarked_utf16(content) if b"\x00" in content else None
    if wide is not None:
        return _decode_marked(content, path=path, mark=b"", name=wide, codec=wide)
    notes = _note_zero_bytes(path, content)
    try:
        return DecodedText(text=content.decode("utf-8"), encoding="utf-8", notes=notes)
    except UnicodeDecodeError:
        mixed = _decode_mixed(content, mark=b"", name="utf-8")
    decoded = mixed or _decode_single_bytes(content)
    return DecodedText(**{**vars(decoded), "notes": (*decoded.notes, *notes)})


def _decode_marked(
    content: bytes, *, path: Path, mark: bytes, name: str, codec: str
) -> DecodedText:
    body = content[len(mark) :]
    try:
        return DecodedText(text=body.decode(codec), encoding=name, mark=mark, codec=codec)
    except UnicodeDecodeError as error:
        mixed = _decode_mixed(body, mark=mark, name=name) if codec == "utf-8" else None
        if mixed is not None:
            return mixed
        said = f"begins as {name}" if mark else f"looks like {name}"
        raise UnreadableFileError(
            needed=f"The file {path} {said} and must go on so",
            found=f"a broken character at byte {error.start + len(mark)}",
            then="Look for the full copy; the file may have been cut off",
        ) from error


def _decode_mixed(content: bytes, *, mark: bytes, name: str) -> DecodedText | None:
    """Decode UTF-8 to which lines of an older encoding were added; None if it is no such file."""
    good: list[bytes] = []
    odd: list[int] = []
    lines = content.splitlines(keepends=True)
    for number, line in enumerate(lines):
        if line.isascii():
            continue
        try:
            line.decode("utf-8")
            good.append(line)
        except UnicodeDecodeError:
            odd.append(number)
    # Two odd letters of an older encoding can look like one of UTF-8 by chance; not line by line.
    if len(good) < max(2, len(odd)) or not odd:
        return None
    best = weigh_encodings(find_odd_words(b"".join(lines[number] for number in odd)))[0]
    parts, spans, length = [], [], 0
    strange = frozenset(odd)
    for number, line in enumerate(lines):
        is_odd = number in strange
        text = decode_bytes(line, encoding=best.encoding) if is_odd else line.decode("utf-8")
        if is_odd:
            spans.append((length, length + len(text)))
        parts.append(text)
        length += len(text)
    shown = name_first_few(
        f"{number + 1} ({text.strip()[:40]!r})"
        for number, text in ((number, parts[number]) for number in odd)
    )
    note = (
        f"{len(odd)} of {len(odd) + len(good)} lines with letters beyond ASCII are no UTF-8 and "
        f"are read as {best.encoding}, which is a guess: line {shown}"
    )
    return DecodedText(
        text="".join(parts), encoding=name, sure=False, notes=(note,), mark=mark,
        odd_lines=tuple(spans), odd_codec=best.encoding,
    )  # fmt: skip


def _decode_single_bytes(content: bytes) -> DecodedText:
    words = find_odd_words(content)
    readings = weigh_encodings(words)
    best = readings[0]
    codec = best.encoding
    text = decode_bytes(content, encoding=codec)
    unknown = _find_unknown_bytes(content, codec)
    name, notes = codec, []
    if unknown and not re.search(rb"[\x80-\x9f]", content.translate(None, delete=unknown)):
        # Where CP1252 knows none of these bytes, what is left is Latin-1, which knows them all.
        name = codec = "latin-1"
    notes.append(_word_guess(content, words, readings, name=name))
    if unknown and name != "latin-1":
        first = re.search(b"[" + re.escape(unknown) + b"]", content)
        place = first.start() if first else 0
        notes.append(
            f"bytes that {name} does not know are kept as control characters: "
            f"{name_first_few(hex(number) for number in unknown)}, the first at line "
            f"{_count_line(content, place)}"
        )
    return DecodedText(text=text, encoding=name, sure=False, notes=tuple(notes), codec=codec)


def _find_unknown_bytes(content: bytes, codec: str) -> bytes:
    table = make_table(codec)
    unknown = bytes(number for number in range(0x80, 0xA0) if table[number] == chr(number))
    kept = content.translate(None, delete=bytes(set(range(256)) - set(unknown)))
    return bytes(sorted(set(kept)))


def _word_guess(
    content: bytes,
    words: list[tuple[bytes, bytes, bytes, int]],
    readings: list[Reading],
    *,
    name: str,
) -> str:
    best = readings[0]
    # Two encodings of the same family can read every word alike; the rival is one that does not.
    here = [decode_bytes(word, encoding=best.encoding) for _, word, _, _ in words]
    rivals = [
        other for other in readings[1:]
        if [decode_bytes(word, encoding=other.encoding) for _, word, _, _ in words] != here
    ]  # fmt: skip
    lead = best.score - rivals[0].score if rivals else 1.0
    fit = "fits well" if best.score >= _FITS_WELL and lead >= _CLEAR_LEAD else "is weak"
    odd = name_first_few((repr(word[:30]) for word in dict.fromkeys(here)), limit=3)
    start, word = words[0][3], words[0][1]
    byte = next(number for number in word if number >= 0x80)
    other = f", as {rivals[0].encoding} {_show(word, rivals[0].encoding)}" if rivals else ""
    return (
        f"{name} is a guess, since the file names no encoding and is no UTF-8. It {fit}: in "
        f"{best.fits} of {best.words} different words its letters stand where such letters do; "
        f"byte {byte:#04x} in line {_count_line(content, start)} reads "
        f"{_show(word, best.encoding)}{other}. Look whether its letters are right ({odd})"
    )


def _show(word: bytes, encoding: str) -> str:
    return repr(decode_bytes(word[:30], encoding=encoding))


def _count_line(content: bytes, place: int) -> int:
    before = content[:place]
    return 1 + before.count(b"\n") + before.count(b"\r") - before.count(b"\r\n")


def _note_zero_bytes(path: Path, content: bytes) -> tuple[str, ...]:
    controls = len(content) - len(content.translate(None, delete=_CONTROLS))
    zeros = content.count(0)
    if controls > _MOST_CONTROLS * len(content):
        first = next(
            place for place in sorted(content.find(number) for number in _CONTROLS) if place >= 0
        )
        raise UnreadableFileError(
            needed=f"The file {path} must be text",
            found=f"{'zero bytes' if zeros else 'control characters'}, as in a program's own "
            f"format, the first at byte {first}",
            then="Open it in the program that made it and save it as CSV or XLSX",
        )
    if not zeros:
        return ()
    line = _count_line(content, content.index(0))
    return (
        f"{zeros} zero byte{'s are' if zeros > 1 else ' is'} kept in the text, the first in line "
        f"{line}: a logger or a disk has failed there",
    )


def _find_unmarked_utf16(content: bytes) -> str | None:
    start = content[: min(len(content), 4096) // 2 * 2]  # a file cut off can end in half a letter
    half = max(len(start) // 2, 1)
    if start[1::2].count(0) > 0.7 * half and start[0::2].count(0) == 0:
        return "utf-16-le"
    if start[0::2].count(0) > 0.7 * half and start[1::2].count(0) == 0:
        return "utf-16-be"
    return None
