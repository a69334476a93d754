"""The formats of an OpenDocument spreadsheet, each resting on another."""

from __future__ import annotations

from dataclasses import dataclass, field

from bodycond.legacy.files.number_formats import NO_WORDS, ShownWords, make_words, read_zeros
from bodycond.legacy.files.workbook_styles import CellFormat, is_plain_fill, is_plain_ink

# Elements of a number's format whose text is shown beside or among the digits.
NUMBER_TEXTS = frozenset({"number:text", "number:embedded-text"})

# The format that a cell has without anybody's doing: a truth value shows as a word in it.
_GENERAL = frozenset({"", "N0"})
_LINE_THROUGH = ("style:text-line-through-style", "style:text-line-through-type")


@dataclass(kw_only=True, eq=False)
class DocumentStyles:
    """The formats found so far, filled while a document is read.

    Parameters
    ----------
    strikes : bool
        A format for a part of a text strikes it through.
    has_rules : bool
        A format depends on the cell's value.
    """

    strikes: bool = False
    has_rules: bool = False
    _forms: dict[tuple[str, str], dict[str, str]] = field(default_factory=dict)
    _zeros: dict[str, str] = field(default_factory=dict)
    _words: dict[str, ShownWords] = field(default_factory=dict)
    _found: dict[tuple[str, str], CellFormat] = field(default_factory=dict)
    _current: dict[str, str] | None = None
    _number: _NumberFormat | None = None

    def start(self, name: str, about: dict[str, str]) -> None:
        """Take an element of a format.

        Parameters
        ----------
        name : str
            The element's name.
        about : dict of str to str
            Its attributes.
        """
        if name == "style:style":
            key = (about.get("style:family", ""), about.get("style:name", ""))
            self._found.clear()
            self._current = self._forms[key] = {
                "family": key[0],
                "parent": about.get("style:parent-style-name", ""),
                "number": about.get("style:data-style-name", ""),
            }
        elif name == "number:number-style":
            self._number = _NumberFormat(name=about.get("style:name", ""))
        elif self._number is not None:
            self._number.start(name, about)
        elif self._current is not None:
            self._take(name, about, self._current)

    def hear(self, text: str) -> None:
        """Take the text inside one of `NUMBER_TEXTS`.

        Parameters
        ----------
        text : str
            The text, whole.
        """
        if self._number is not None:
            self._number.hear(text)

    def _take(self, name: str, about: dict[str, str], form: dict[str, str]) -> None:
        if name == "style:table-cell-properties" and "fo:background-color" in about:
            form["fill"] = about["fo:background-color"]
        elif name == "style:map":
            form["rule"] = "yes"
            self.has_rules = True
        elif name == "style:text-properties":
            if "fo:color" in about:
                form["ink"] = about["fo:color"]
            lines = [about[key] for key in _LINE_THROUGH if key in about]
            if lines:
                form["struck"] = "" if "none" in lines else "yes"
                self.strikes |= bool(form["struck"]) and form["family"] == "text"

    def end(self, name: str) -> None:
        """Take the end of an element.

        Parameters
        ----------
        name : str
            The element's name.
        """
        if name == "style:style":
            self._current = None
        elif name == "number:number-style" and self._number is not None:
            number, self._number = self._number, None
            # Numbers that are not negative can have a format of their own, which stands before.
            self._zeros[number.name] = self._zeros.get(number.positive, "") or number.word_zeros()
            self._words[number.name] = self._words.get(number.positive, number.word_words())

    def find(self, name: str | None, *, family: str = "table-cell") -> CellFormat:
        """Find a format with all that it rests on.

        Parameters
        ----------
        name : str or None
            Its name; None for a cell without one.
        family : str, default "table-cell"
            What it is for.

        Returns
        -------
        CellFormat
            Plain where there is none of that name.
        """
        key = (family, name or "")
        if key not in self._found:
            self._found[key] = self._join(family, name)
        return self._found[key]

    def find_strike(self, name: str | None) -> bool | None:
        """Find whether the format of a part of a text strikes it through.

        Parameters
        ----------
        name : str or None
            Its name.

        Returns
        -------
        bool or None
            None where it does not say, so that what is around it counts.
        """
        struck = self._merge("text", name).get("struck")
        return None if struck is None else bool(struck)

    def has_rule(self, name: str | None) -> bool:
        """Tell whether a cell's format depends on the cell's value.

        Parameters
        ----------
        name : str or None
            Its name.

        Returns
        -------
        bool
            True if it does.
        """
        return bool(name) and "rule" in self._merge("table-cell", name)

    def is_general(self, name: str | None) -> bool:
        """Tell whether a cell's format leaves open how a number is shown.

        Parameters
        ----------
        name : str or None
            Its name.

        Returns
        -------
        bool
            True if it does.
        """
        return self._merge("table-cell", name).get("number", "") in _GENERAL

    def _merge(self, family: str, name: str | None) -> dict[str, str]:
        chain: list[dict[str, str]] = []
        while name and (form := self._forms.get((family, name))) and form not in chain:
            chain.append(form)
            name = form["parent"]
        joined: dict[str, str] = {}
        for form in reversed(chain):
            joined |= {key: text for key, text in form.items() if text or key == "struck"}
        return joined

    def _join(self, family: str, name: str | None) -> CellFormat:
        joined = self._merge(family, name)
        fill = joined.get("fill", "transparent").upper()
        ink = joined.get("ink", "").upper()
        return CellFormat(
            struck=bool(joined.get("struck")),
            fill="" if fill == "TRANSPARENT" or is_plain_fill(fill) else fill,
            ink="" if is_plain_ink(ink) else ink,
            zeros=self._zeros.get(joined.get("number", ""), ""),
            words=self._words.get(joined.get("number", ""), NO_WORDS),
        )  # fmt: skip


@dataclass(kw_only=True, eq=False)
class _NumberFormat:
    """How a number is shown: digits, texts around them and texts among them."""

    name: str
    positive: str = ""
    _digits: int = 0
    _before: str = ""
    _behind: str = ""
    _among: dict[int, str] = field(default_factory=dict)
    _place: int | None = None
    _seen: bool = False

    def start(self, name: str, about: dict[str, str]) -> None:
        if name == "number:number":
            self._seen = True
            digits = int(about.get("number:min-integer-digits", 1))
            whole = about.get("number:decimal-places", "0") == "0"
            if whole and 1 < digits <= 20 and about.get("number:grouping") != "true":
                self._digits = digits
        elif name == "number:embedded-text":
            self._place = int(about.get("number:position", 0))
        elif name == "number:text":
            self._place = None
        elif name == "style:map" and about.get("style:condition", "").startswith("value()>"):
            self.positive = about.get("style:apply-style-name", "")

    def hear(self, text: str) -> None:
        if self._place is not None:
            self._among[self._place] = text
        elif self._seen:
            self._behind += text
        else:
            self._before += text

    def word_zeros(self) -> str:
        if not self._digits:
            return ""
        # A place says how many digits stand right of the text.
        places = range(self._digits, 0, -1)
        zeros = "".join(_quote(self._among.get(place, "")) + "0" for place in places)
        return read_zeros(f"{_quote(self._before)}{zeros}{_quote(self._behind)}")

    def word_words(self) -> ShownWords:
        if not self._seen:
            return NO_WORDS
        return make_words(self._before, self._behind, digits=max(self._digits, 1))


def _quote(text: str) -> str:
    return "".join(f"\\{letter}" for letter in text)
