"""The columns of the exam and rating tables: the one place for names, units and meanings.

Everything that knows a column takes it from here: the pandera models, the data dictionary, the
legacy import's targets, the figures' axis titles.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from bodycond.codes import (
    AGE_CLASSES,
    AGE_CODE_SYSTEMS,
    CROP_CODES,
    DATE_PRECISIONS,
    EXAM_REASONS,
    SEX_CODES,
    WETTING_AGENTS,
)

Kind = Literal["text", "code", "number", "grade", "count", "date", "flag"]

DTYPES: dict[str, str] = {
    "text": "str",
    "code": "str",
    "number": "float64",
    "grade": "float64",
    "count": "Int64",
    "date": "datetime64[us]",
    "flag": "boolean",
}
"""The pandas dtype of each kind of column; every one of them can hold a missing value."""


@dataclass(frozen=True, kw_only=True)
class Column:
    """One column of a bodycond table.

    Parameters
    ----------
    name : str
        The column's name, with its unit at the end where it has one (``mass_g``).
    kind : {"text", "code", "number", "grade", "count", "date", "flag"}
        What its cells hold; `DTYPES` gives the dtype.
    meaning : str
        What it means, for the data dictionary.
    unit : str, optional
        Unit of a number.
    codes : mapping of str to str
        The codes of a code column, each with its meaning.
    low, high : float, optional
        Hard limits for any full-grown bird of prey, common practice with no source: a value
        outside them is a mistake and not an odd bird.
    required : bool, default False
        True where a cell may not be missing.
    label : str, optional
        Axis title and table heading, with the unit: "Body mass (g)". Default the name.
    """

    name: str
    kind: Kind
    meaning: str
    unit: str | None = None
    codes: Mapping[str, str] = field(default_factory=dict, hash=False)
    low: float | None = None
    high: float | None = None
    required: bool = False
    label: str | None = None

    @property
    def dtype(self) -> str:
        """The pandas dtype of the column.

        Returns
        -------
        str
            A dtype name that pandas understands.
        """
        return DTYPES[self.kind]


def _size(name: str, label: str, meaning: str, low: float, high: float) -> Column:
    return Column(
        name=name, kind="number", unit="mm", low=low, high=high, meaning=meaning, label=label
    )


def score_columns(score: str, *, what: str) -> tuple[Column, ...]:
    """Give the columns in which a score is kept: point, interval, text as written, scale.

    Parameters
    ----------
    score : str
        The score's column name, for example ``"keel"`` or ``"fat"``.
    what : str
        What is graded, for the meanings.

    Returns
    -------
    tuple of Column
        ``score``, ``score_low``, ``score_high``, ``score_text``, ``score_scale``.
    """
    return (
        Column(
            name=score,
            kind="grade",
            meaning=f"{what}: the grade, missing where only an interval is known ('3+')",
            label=f"{score.replace('_', ' ').capitalize()} score",
        ),
        Column(name=f"{score}_low", kind="grade", meaning=f"{what}: lowest grade it can mean"),
        Column(name=f"{score}_high", kind="grade", meaning=f"{what}: highest grade it can mean"),
        Column(name=f"{score}_text", kind="text", meaning=f"{what}: exactly as written"),
        Column(
            name=f"{score}_scale",
            kind="text",
            meaning=f"{what}: name of the scale that the grade belongs to",
        ),
    )


_ORIGIN = (
    Column(name="source_file", kind="text", meaning="file that the row was read from"),
    Column(name="source_sheet", kind="text", meaning="sheet that the row was read from"),
    Column(name="source_row", kind="count", meaning="row in that sheet, counted from 1", low=1),
)

_BLINDING = (
    Column(
        name="keel_blind",
        kind="flag",
        meaning="the scorer knew neither the bird's history nor another scorer's grade",
    ),
    Column(
        name="mass_known_when_scored",
        kind="flag",
        meaning="the scorer had seen the mass before grading; errors then follow the mass",
    ),
)

EXAM_COLUMNS: tuple[Column, ...] = (
    Column(
        name="exam_id", kind="text", required=True, meaning="one handling of one bird; unique"
    ),
    Column(
        name="bird_id",
        kind="text",
        meaning="the individual: a case number, never the ring alone, since rings are replaced",
    ),
    Column(
        name="ring_number", kind="text", meaning="ring as written; text, so that zeros are kept"
    ),
    Column(name="species", kind="text", meaning="scientific name", label="Species"),
    Column(name="sex", kind="code", codes=SEX_CODES, meaning="sex of the bird", label="Sex"),
    Column(
        name="age_class", kind="code", codes=AGE_CLASSES, meaning="age class at the exam",
        label="Age class",
    ),
    Column(name="age_code", kind="text", meaning="age code as written"),
    Column(
        name="age_code_system",
        kind="code",
        codes=AGE_CODE_SYSTEMS,
        meaning="system that the age code belongs to; the same digit differs between systems",
    ),
    Column(name="exam_date", kind="date", meaning="day of the exam", label="Exam date"),
    Column(
        name="exam_date_precision",
        kind="code",
        codes=DATE_PRECISIONS,
        meaning="how exactly the date is known",
    ),
    Column(name="site", kind="text", meaning="place of the exam", label="Site"),
    Column(name="exam_reason", kind="code", codes=EXAM_REASONS, meaning="why it was examined"),
    Column(
        name="mass_g", kind="number", unit="g", low=30.0, high=15000.0, label="Body mass (g)",
        meaning="body mass, wrap and jesses taken off",
    ),
    Column(name="mass_text", kind="text", meaning="mass exactly as written"),
    _size("wing_mm", "Wing length (mm)", "wing length; chord or flattened as the site defines",
          100.0, 900.0),
    _size("tarsus_mm", "Tarsus length (mm)", "tarsometatarsus length", 15.0, 150.0),
    _size("culmen_mm", "Culmen length (mm)", "bill length along the culmen, from the cere",
          5.0, 100.0),
    _size("hallux_mm", "Hallux claw length (mm)", "claw of the hind toe", 3.0, 80.0),
    _size("tail_mm", "Tail length (mm)", "tail length", 50.0, 500.0),
    *score_columns("keel", what="flight muscle along the keel, 1 emaciated to 5 overweight"),
    Column(
        name="keel_chart_version", kind="text",
        meaning="version of the chart that the scorer worked from",
    ),
    *_BLINDING,
    Column(
        name="breast_wetted", kind="flag", meaning="the breast feathers were wetted to see the keel"
    ),
    Column(
        name="wetting_agent", kind="code", codes=WETTING_AGENTS, meaning="what wetted them"
    ),
    Column(name="scorer", kind="text", meaning="who graded, as a pseudonym", label="Scorer"),
    Column(name="crop_fill", kind="code", codes=CROP_CODES, meaning="food in the crop"),
    Column(name="gravid", kind="flag", meaning="the bird carried an egg"),
    Column(name="in_moult", kind="flag", meaning="flight feathers were growing"),
    Column(name="remarks", kind="text", meaning="anything else that was written"),
    *_ORIGIN,
)  # fmt: skip
"""One row an exam: the wide table of everyday use."""

RATING_COLUMNS: tuple[Column, ...] = (
    Column(name="exam_id", kind="text", meaning="the handling in which the grade was given"),
    Column(name="bird_id", kind="text", required=True, meaning="the individual"),
    Column(name="scorer", kind="text", required=True, meaning="who graded, as a pseudonym"),
    Column(name="session", kind="text", meaning="scoring session that the rating belongs to"),
    Column(
        name="round", kind="count", low=1, meaning="1 for the first grade by this scorer in the "
        "session, 2 for the repeat",
    ),
    Column(name="rated_on", kind="date", meaning="day of the rating"),
    *score_columns("keel", what="flight muscle along the keel, 1 emaciated to 5 overweight"),
    *_BLINDING,
    *_ORIGIN,
)  # fmt: skip
"""One row a scorer and exam: the table of scoring sessions."""

SIZE_COLUMNS: tuple[str, ...] = ("tarsus_mm", "hallux_mm", "culmen_mm", "wing_mm", "tail_mm")
"""Structural measures: bone and horn before feathers, which wear and grow."""

FEATHER_COLUMNS: tuple[str, ...] = ("wing_mm", "tail_mm")
"""Measures that mean little while the feathers grow."""

_BY_NAME = {column.name: column for column in (*RATING_COLUMNS, *EXAM_COLUMNS)}


def find_column(name: str) -> Column | None:
    """Look up a column of either table by name.

    Parameters
    ----------
    name : str
        The column's name.

    Returns
    -------
    Column or None
        None for a column that bodycond does not know.
    """
    return _BY_NAME.get(name)


def label_column(name: str) -> str:
    """Give a column's label with its unit, for axes and table headings.

    Parameters
    ----------
    name : str
        The column's name.

    Returns
    -------
    str
        The label, or the name where the column is unknown or has none.

    Examples
    --------
    >>> label_column("mass_g")
    'Body mass (g)'
    """
    column = find_column(name)
    return column.label if column is not None and column.label else name


def word_label(column: str) -> str:
    """Give a column's label as it stands inside a sentence.

    Parameters
    ----------
    column : str
        The column.

    Returns
    -------
    str
        For example ``"keel score"``.
    """
    label = label_column(column)
    return label[:1].lower() + label[1:]
