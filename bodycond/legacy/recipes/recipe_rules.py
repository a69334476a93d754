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
    year : str, optional
        Year of dates that name none: four digits, ``file`` or ``sheet`` for the four digits in
        that name.
    short_years_to : int, optional
        Two-digit years are of the hundred years up to this one. Default 2049.
    part : str, optional
        The column is one part of its field: ``year``, ``month``, ``day`` of a date; ``pounds``,
        ``ounces`` or ``gross``, ``tare`` of a mass; ``prefix``, ``suffix`` of a number or name;
        ``genus``, ``epithet`` of a species.
    split : tuple of str
        How several values stand in one cell, fields in braces: ``"{exam_date}, {mass_g}"``; the
        first that fits counts. What an empty pair of braces takes is not used, and said.
    unit_from : str, optional
        Heading of the column that gives the unit of each cell.
    digits : int, optional
        How many digits the number of a ring or case has; a shorter one may have lost a zero.
    decimal : {"point", "comma"}, optional
        The column's decimal mark.
    codes : mapping of str to str, (float, float) or None
        What a text stands for; a pair is an interval of grades, None is a missing value.
    system : {"BBL", "EURING", "SITE"}, optional
        System of age codes.
    kind : {"number", "count", "text", "date", "flag", "time"}, optional
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
    also : tuple of str
        Other headings of the same column, as they drift from file to file.
    values : mapping of str to str
        Fields that the heading gives, as in a column for each scorer: the cells of all columns
        with the same ``values`` and ``into`` make one record. Key ``with`` in the recipe.
    into : {"exams", "ratings"}, optional
        Table of the column's record where it is another than the sheet's.
    where : {"right", "below", "same"}, optional
        Of a label: where its value stands. Default right.
    exact : {"csv", "cells"}, optional
        The column is one of a table that bodycond wrote, as CSV or cell by cell: its cells are
        read as they stand, and nothing is derived from them.
    set_aside : str, optional
        Why the column is not used.
    ask : str, optional
        An open question; while it stands, every cell of the column is quarantined.
    confidence : float, optional
        How sure the draft was, 0 to 1; information only.
    evidence : str, optional
        What the draft went by; information only.
    line : int, optional
        Line in the recipe file.
    """

    heading: str
    fields: tuple[str, ...] = ()
    unit: str | None = None
    scale: str | None = None
    date_order: str | None = None
    year: str | None = None
    short_years_to: int | None = None
    part: str | None = None
    split: tuple[str, ...] = ()
    unit_from: str | None = None
    digits: int | None = None
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
    exact: str | None = None
    also: tuple[str, ...] = ()
    values: Mapping[str, str] = field(default_factory=dict)
    into: str | None = None
    where: str | None = None
    set_aside: str | None = None
    ask: str | None = None
    confidence: float | None = None
    evidence: str | None = None
    line: int | None = None

    @property
    def record(self) -> tuple[str | None, tuple[tuple[str, str], ...]]:
        """Tell which record of its row the column belongs to.

        Returns
        -------
        tuple
            Table and fields that the heading gives; columns of one record have equal ones, and
            ``(None, ())`` stands for every record of the row.
        """
        return self.into, tuple(sorted(self.values.items()))


@dataclass(frozen=True, kw_only=True, eq=False)
class SheetRule:
    """How the sheets that match a file and sheet name are read.

    Parameters
    ----------
    file, sheet : str
        Names or patterns with ``*`` and ``?``; the first rule that matches counts.
    table : {"exams", "ratings", "labels", "set_aside"}
        What the rows are; ``labels`` are values that stand beside a word somewhere on the sheet
        and go with every record of it.
    why : str, optional
        Why a sheet is set aside.
    area : str, optional
        The part of the sheet that the entry describes: ``A4:H20``, ``A:H`` or ``4:20``. Several
        entries with an area or a mark can describe parts of one sheet.
    starts_at : tuple of str
        Text, or pattern with ``*``, of a cell that marks the first row of a block that moves. The
        block is read wherever the mark stands and ends before the next mark of any entry. Rows
        of such an entry count from the marked row, which is 1.
    ends_before : tuple of str
        Text, or pattern, of a cell that stands below the block.
    heading_rows : tuple of int
        The row of headings, or the two rows, counted from 1.
    units_row, first_row, last_row : int, optional
        Row of units; first and last row of data. Default: none, the row below the headings, the
        last row of the sheet.
    totals_rows : tuple of int
        Rows that are no exams, beside those whose first cell says so.
    data_rows : tuple of int
        Rows that are exams whatever their first cell says.
    needs : tuple of str
        Fields of which a row must hold at least one; any other row is no exam. Of several records
        in a row each needs one too, where its own columns can fill it.
    constants : mapping of str to str
        Fields that have the same value in every row; ``{file}`` and ``{sheet}`` stand for the
        names, without ending.
    columns : tuple of ColumnRule
        The columns.
    labels : tuple of ColumnRule
        Values beside a label, its text or pattern as ``heading``. An entry with labels and no row
        of headings makes one record of each block.
    ask : str, optional
        An open question; while it stands, the whole sheet is quarantined.
    line : int, optional
        Line in the recipe file.
    """

    file: str
    sheet: str = "*"
    table: str = "exams"
    why: str | None = None
    area: str | None = None
    starts_at: tuple[str, ...] = ()
    ends_before: tuple[str, ...] = ()
    heading_rows: tuple[int, ...] = ()
    units_row: int | None = None
    first_row: int | None = None
    last_row: int | None = None
    totals_rows: tuple[int, ...] = ()
    data_rows: tuple[int, ...] = ()
    needs: tuple[str, ...] = ()
    constants: Mapping[str, str] = field(default_factory=dict)
    columns: tuple[ColumnRule, ...] = ()
    labels: tuple[ColumnRule, ...] = ()
    ask: str | None = None
    line: int | None = None

    @property
    def is_part(self) -> bool:
        """Tell whether the entry describes a part of a sheet and not the whole.

        Returns
        -------
        bool
            True with an area, a mark or labels that go with the whole sheet.
        """
        return bool(self.area or self.starts_at or self.table == "labels")

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
        return fits_pattern(name, self.file) and fits_pattern(sheet, self.sheet)


def fits_pattern(name: str, pattern: str) -> bool:
    """Tell whether a name fits a pattern.

    Parameters
    ----------
    name : str
        The name.
    pattern : str
        The name itself, or a pattern with ``*`` and ``?``.

    Returns
    -------
    bool
        True where it fits, letter case included.

    Examples
    --------
    >>> fits_pattern("exams_2019.csv", "exams_*.csv"), fits_pattern("a[1]", "a[1]")
    (True, True)
    """
    if "*" not in pattern and "?" not in pattern:
        return name == pattern
    # A name can hold '[', which would be the start of a set.
    return name == pattern or fnmatchcase(name, pattern.replace("[", "[[]"))
