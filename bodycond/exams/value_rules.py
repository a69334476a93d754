"""Rules that a single row breaks by itself: dtype, range, code, scale, order, date, owl's crop."""

from __future__ import annotations

import datetime
from difflib import get_close_matches

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.codes import is_owl
from bodycond.columns import Column, find_column
from bodycond.exams.coercion import NEEDS, convert_column
from bodycond.exams.exam_groups import MEASURES, ConvertedExams
from bodycond.exams.faults import make_findings
from bodycond.exams.tables import (
    build_exam_schema,
    find_disordered_intervals,
    find_score_names,
    find_text_scores,
)
from bodycond.scales import KEEL_SCALE

EARLIEST_DATE = datetime.date(1900, 1, 1)
"""Before this an exam date is a misread year: spreadsheets count their days from here."""

_SEX_WORDS = {"female": "F", "f": "F", "male": "M", "m": "M", "unknown": "U", "u": "U", "?": "U"}


def find_unconvertible(converted: ConvertedExams) -> list[pd.DataFrame]:
    """Find the cells that their column cannot hold.

    Parameters
    ----------
    converted : ConvertedExams
        The converted exams.

    Returns
    -------
    list of DataFrame
        Findings.
    """
    findings = []
    for name, failed in converted.failed.items():
        column = find_column(name)
        if column is not None:
            findings.append(_describe_unconvertible(failed, name=name, kind=column.kind))
    return findings


def _describe_unconvertible(failed: npt.NDArray[np.bool_], *, name: str, kind: str) -> pd.DataFrame:
    return make_findings(
        np.flatnonzero(failed),
        column=name,
        rule="not_convertible",
        expected=NEEDS[kind],
        cure=f"write {NEEDS[kind]}; keep the text as it stands in a column of its own",
    )


def find_schema_breaches(table: pd.DataFrame) -> list[pd.DataFrame]:
    """Find what breaks the pandera model, all of it at once.

    The hard ranges of masses and lengths are left to `find_implausible`, which tells at the
    same time what may have happened.

    Parameters
    ----------
    table : DataFrame
        Converted exams on positions 0 to n - 1.

    Returns
    -------
    list of DataFrame
        Findings.
    """
    import pandera.pandas as pa

    names = [str(name) for name in table.columns]
    if not names:
        return []
    try:
        build_exam_schema(present=names, row_rules=False).validate(table, lazy=True)
    except pa.errors.SchemaErrors as errors:
        cases = errors.failure_cases
    else:
        return []
    checks = cases["check"].astype(str)
    rule = (
        checks.str.split(": ")
        .str[0]
        .replace({"not_nullable": "missing_required", "field_uniqueness": "duplicate_exam_id"})
    )
    cases = cases.assign(rule=rule, expected=checks.str.split(": ").str[1])
    measured = cases["rule"].eq("outside_hard_range") & cases["column"].isin(MEASURES)
    # A required cell that is missing is not also a repeat of the other missing ones.
    unnamed = cases["rule"].eq("duplicate_exam_id") & cases["failure_case"].isna()
    findings = []
    for (name, broken), part in cases[~measured & ~unnamed].groupby(["column", "rule"], sort=False):
        column = find_column(str(name))
        if column is None:
            continue
        findings.append(_describe_breach(part, column=column, rule=str(broken)))
    return findings


def _describe_breach(part: pd.DataFrame, *, column: Column, rule: str) -> pd.DataFrame:
    positions = part["index"].to_numpy(dtype=np.intp)
    if rule == "missing_required":
        expected, cure = f"a value in every cell of {column.name}", "number the row"
    elif rule == "duplicate_exam_id":
        expected, cure = "each exam number once", "renumber one of the exams, or drop the copy"
    elif rule == "off_scale":
        expected = (
            f"{KEEL_SCALE.name}: {KEEL_SCALE.low:g} to {KEEL_SCALE.high:g} in steps of "
            f"{KEEL_SCALE.step:g}"
        )
        cure = "read the sheet; a grade of another scale goes into columns of its own"
    elif rule == "unknown_code":
        expected = f"one of {', '.join(column.codes)}"
        values = part["failure_case"].astype(str)
        cures = {value: _suggest_code(value, column=column) for value in values.unique()}
        return make_findings(
            positions, column=column.name, rule=rule, expected=expected,
            cure=values.map(cures).tolist(),
        )  # fmt: skip
    else:
        expected, cure = str(part["expected"].iloc[0]), "read the sheet"
    return make_findings(positions, column=column.name, rule=rule, expected=expected, cure=cure)


def _suggest_code(value: str, *, column: Column) -> str:
    word = value.strip().casefold()
    by_word = {code.casefold(): code for code in column.codes}
    by_word |= {meaning.split(";")[0].casefold(): code for code, meaning in column.codes.items()}
    if column.name == "sex":
        by_word |= _SEX_WORDS
    if word in by_word:
        return f"{value!r} may mean {by_word[word]!r}"
    if column.name == "crop_fill":
        return "read the sheet; a fraction belongs into a column crop_fraction of its own"
    near = get_close_matches(word, list(by_word), n=1, cutoff=0.8)
    return f"{value!r} may mean {by_word[near[0]]!r}" if near else "read the sheet"


def find_fractions_beyond(exams: pd.DataFrame) -> list[pd.DataFrame]:
    """Find values outside 0 to 1 in columns of the user's own whose name ends in "_fraction".

    Parameters
    ----------
    exams : DataFrame
        The exams as given.

    Returns
    -------
    list of DataFrame
        Findings.
    """
    findings = []
    for name in exams.columns:
        if not str(name).endswith("_fraction") or find_column(str(name)) is not None:
            continue
        converted = convert_column(
            exams[name], column=Column(name=str(name), kind="number", meaning="a fraction")
        )
        numbers = converted.values.to_numpy(dtype=np.float64)
        findings.append(
            make_findings(
                np.flatnonzero((numbers < 0) | (numbers > 1)),
                column=str(name),
                rule="outside_hard_range",
                expected="0 to 1",
                cure="read the sheet; a code or a percentage is not a fraction",
            )
        )
        findings.append(_describe_unconvertible(converted.failed, name=str(name), kind="number"))
    return findings


def find_interval_faults(table: pd.DataFrame) -> list[pd.DataFrame]:
    """Find score intervals that are upside down or do not hold their point.

    Parameters
    ----------
    table : DataFrame
        Converted exams, with the user's own scores beside them.

    Returns
    -------
    list of DataFrame
        Findings, for each score in the pattern ``x``, ``x_low``, ``x_high``; the ``x_low``
        column is blamed where the ends are upside down, else the point.
    """
    findings = []
    for score in find_score_names(table.columns):
        if score in find_text_scores(table):
            continue
        where = np.flatnonzero(find_disordered_intervals(table, score=score))
        low, high = table[f"{score}_low"].iloc[where], table[f"{score}_high"].iloc[where]
        upside_down = (low > high).fillna(False).to_numpy(dtype=bool)
        point = score if score in table.columns else f"{score}_low"
        findings.append(
            make_findings(
                where,
                column=np.where(upside_down, f"{score}_low", point).tolist(),
                rule="interval_order",
                expected=f"{score}_low <= {score} <= {score}_high",
                cure=np.where(
                    upside_down, "the two ends may be swapped", "read the grade from its text"
                ).tolist(),
                evidence=[
                    f"{score}_low {a}, {score}_high {b}" for a, b in zip(low, high, strict=True)
                ],
            )
        )
    return findings


def find_owl_crops(table: pd.DataFrame) -> list[pd.DataFrame]:
    """Find fillings recorded for the crop of an owl.

    Parameters
    ----------
    table : DataFrame
        Converted exams with ``species`` and ``crop_fill``.

    Returns
    -------
    list of DataFrame
        Findings.
    """
    codes, names = pd.factorize(table["species"])
    owls = np.array([is_owl(str(name)) for name in names] + [False], dtype=bool)[codes]
    filled = table["crop_fill"].isin(["0", "1", "2", "3", "4"]).to_numpy(dtype=bool)
    return [
        make_findings(
            np.flatnonzero(owls & filled),
            column="crop_fill",
            rule="crop_for_owl",
            expected="no_crop",
            cure="write 'no_crop'; if a crop was felt, look at the species",
        )
    ]


def find_wrong_dates(table: pd.DataFrame, *, today: datetime.date) -> list[pd.DataFrame]:
    """Find exam dates in the future or before 1900.

    Parameters
    ----------
    table : DataFrame
        Converted exams with ``exam_date``.
    today : date
        The latest day that is not in the future.

    Returns
    -------
    list of DataFrame
        Findings.
    """
    dates = table["exam_date"]
    end = pd.Timestamp(today) + pd.Timedelta(days=1)
    late = (dates >= end).to_numpy(dtype=bool)
    early = (dates < pd.Timestamp(EARLIEST_DATE)).to_numpy(dtype=bool)
    expected = f"{EARLIEST_DATE} to {today}"
    return [
        make_findings(
            np.flatnonzero(late), column="exam_date", rule="date_out_of_range", expected=expected,
            cure="look at the century, and at day and month",
        ),
        make_findings(
            np.flatnonzero(early), column="exam_date", rule="date_out_of_range", expected=expected,
            cure="look at the century; a spreadsheet that counts days from 1904 shifts by 4 years",
        ),
    ]  # fmt: skip
