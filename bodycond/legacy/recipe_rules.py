"""The rules of a recipe: one a sheet, one a column."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fnmatch import fnmatchcase

CodeValue = str | tuple[float, float] | None


@dataclass(frozen=True, kw_only=True, eq=False)
class ColumnRule:
    """What one column of a sheet holds.

    Parameters
    ----------
    heading : str
        The column's heading; a repeated one with ``.2`` behind it, an empty one as
        ``(column F)``.
    fields : tuple of str
        Fields of the exam or rating table that it fills, or fields of the user's own.
    unit : str, optional
        Unit of bare numbers.
    scale : str, optional
        Name of the score scale.
    date_order : {"dmy", "mdy", "ymd", "serial"}, optional
        Order of day, month and year.
    part : {"year", "month", "day"}, optional
        The column is one part of a date.
    decimal : {"point", "comma"}, optional
        The column's decimal mark.
    codes : mapping of str to str, (float, float) or None
        What a text stands for; a pair is an interval of grades, None is a missing value.
    system : {"BBL", "EURING", "SITE"}, optional
        System of age codes.
    kind : {"number", "count", "text", "date", "flag"}, optional
        Kind of a field of the user's own.
    low, high : float, optional
        Documented limits of a number of the user's own.
    prefixes : tuple of str
        Words before a grade that mean the column's scale.
    slash : {"of_scale", "range"}, optional
        What '4/5' means in a score column: 4 on a scale to 5, or 4 to 5.
    fill_down : bool, default False
        An empty cell repeats the one above.
    ditto : bool, default True
        A ditto mark repeats the cell above.
    set_aside : str, optional
        Why the column is not used.
    ask : str, optional
        An open question; while it stands, every cell of the column is quarantined.
    confidence : float, optional
        How sure the draft was, 0 to 1; information only.
    line : int, optional
        Line in the recipe file.
    """

    heading: str
    fields: tuple[str, ...] = ()
    unit: str | None = None
    scale: str | None = None
    date_order: str | None = None
    part: str | None = None
    decimal: str | None = None
    codes: Mapping[str, CodeValue] = field(default_factory=dict)
    system: str | None = None
    kind: str | None = None
    low: float | None = None
    high: float | None = None
    prefixes: tuple[str, ...] = ()
    slash: str | None = None
    fill_down: bool = False
    ditto: bool = True
    set_aside: str | None = None
    ask: str | None = None
    confidence: float | None = None
    line: int | None = None


@dataclass(frozen=True, kw_only=True, eq=False)
class SheetRule:
    """How the sheets that match a file and sheet name are read.

    Parameters
    ----------
    file, sheet : str
        Names or patterns with ``*`` and ``?``; the first rule that matches counts.
    table : {"exams", "ratings", "set_aside"}
        What the sheet's rows are.
    why : str, optional
        Why a sheet is set aside.
    heading_rows : tuple of int
        The row of headings, or the two rows, counted from 1.
    units_row, first_row, last_row : int, optional
        Row of units; first and last row of data. Default: none, the row below the headings, the
        last row of the sheet.
    totals_rows : tuple of int
        Rows that are no exams, beside those whose first cell says so.
    data_rows : tuple of int
        Rows that are exams whatever their first cell says.
    constants : mapping of str to str
        Fields that have the same value in every row.
    columns : tuple of ColumnRule
        The columns.
    ask : str, optional
        An open question; while it stands, the whole sheet is quarantined.
    line : int, optional
        Line in the recipe file.
    """

    file: str
    sheet: str = "*"
    table: str = "exams"
    why: str | None = None
    heading_rows: tuple[int, ...] = ()
    units_row: int | None = None
    first_row: int | None = None
    last_row: int | None = None
    totals_rows: tuple[int, ...] = ()
    data_rows: tuple[int, ...] = ()
    constants: Mapping[str, str] = field(default_factory=dict)
    columns: tuple[ColumnRule, ...] = ()
    ask: str | None = None
    line: int | None = None

    def matches(self, *, file: str, sheet: str) -> bool:
        """Tell whether the rule is for a sheet.

        Parameters
        ----------
        file : str
            The file's label.
        sheet : str
            The sheet's name.

        Returns
        -------
        bool
            True where both names fit; a pattern without folders fits the name in any folder.
        """
        name = file if "/" in self.file else file.rsplit("/", maxsplit=1)[-1]
        return _fits(name, self.file) and _fits(sheet, self.sheet)


def _fits(name: str, pattern: str) -> bool:
    # A name can hold '[', which a pattern would read as the start of a set.
    return name == pattern or fnmatchcase(name, pattern)
