"""The formats of an OpenDocument spreadsheet, each resting on another."""

from __future__ import annotations

from dataclasses import dataclass, field

from bodycond.legacy.files.workbook_styles import CellFormat, is_plain_fill, is_plain_ink

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
    _digits: dict[str, str] = field(default_factory=dict)
    _found: dict[tuple[str, str], CellFormat] = field(default_factory=dict)
    _current: dict[str, str] | None = None
    _number: str = ""

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
            self._number = about.get("style:name", "")
        elif name == "number:number" and self._number:
            digits = int(about.get("number:min-integer-digits", 1))
            whole = about.get("number:decimal-places", "0") == "0"
            if whole and 1 < digits <= 20:
                self._digits[self._number] = "0" * digits
        elif self._current is not None:
            self._take(name, about, self._current)

    def _take(self, name: str, about: dict[str, str], form: dict[str, str]) -> None:
        if name == "style:table-cell-properties" and "fo:background-color" in about:
            form["fill"] = about["fo:background-color"]
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
        elif name == "number:number-style":
            self._number = ""

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

    def _join(self, family: str, name: str | None) -> CellFormat:
        chain: list[dict[str, str]] = []
        while name and (form := self._forms.get((family, name))) and form not in chain:
            chain.append(form)
            name = form["parent"]
        joined: dict[str, str] = {}
        for form in reversed(chain):
            joined |= {key: text for key, text in form.items() if text or key == "struck"}
        fill = joined.get("fill", "transparent").upper()
        ink = joined.get("ink", "").upper()
        return CellFormat(
            struck=bool(joined.get("struck")),
            fill="" if fill == "TRANSPARENT" or is_plain_fill(fill) else fill,
            ink="" if is_plain_ink(ink) else ink,
            zeros=self._digits.get(joined.get("number", ""), ""),
        )  # fmt: skip
