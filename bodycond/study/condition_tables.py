"""Condition results as tables of words for the report."""

from __future__ import annotations

import pandas as pd

from bodycond.columns import label_column
from bodycond.condition import MassByKeel
from bodycond.rounding import round_to_interval, word_interval
from bodycond.study.analysis import ConditionResults
from bodycond.study.report_tables import ReportTable, word_cell


def table_expected_mass(fit: MassByKeel) -> ReportTable:
    """Print expected mass and the range of the next bird at each grade.

    Parameters
    ----------
    fit : MassByKeel
        The fit.

    Returns
    -------
    ReportTable
        One row a group and grade.
    """
    percent = f"{100 * fit.level:g} %"
    rows = []
    for row in fit.expected.to_dict("records"):
        mass, low, high = round_to_interval(row["mass_g"], row["low"], row["high"])
        rows.append(
            (
                f"{row['species']}, {row['sex']}",
                f"{row[fit.score]:g}",
                mass,
                f"{low} to {high}",
                f"{row['predict_low']:.0f} to {row['predict_high']:.0f}",
                str(row["n"]),
            )
        )
    return ReportTable(
        caption=f"Expected body mass (median, g) at each grade of {label_column(fit.score)}, from "
        f"the {fit.form} form of log mass. The interval is for the median, the range for the next "
        f"bird; both {percent}. A grade without exams lies between grades that have some.",
        headings=("Species, sex", "Grade", "Mass (g)", f"{percent} interval (g)",
                  "Next bird (g)", "Exams"),
        rows=tuple(rows),
    )  # fmt: skip


def table_percent_per_grade(fit: MassByKeel) -> ReportTable:
    """Print the percentage of mass per grade in each group.

    Parameters
    ----------
    fit : MassByKeel
        The linear fit.

    Returns
    -------
    ReportTable
        One row a group; the reason where there is no fit.
    """
    rows = []
    for group in fit.groups.to_dict("records"):
        defined = not group["reason"]
        rows.append(
            (
                f"{group['species']}, {group['sex']}",
                word_interval(
                    group["percent_per_grade"], group["percent_low"], group["percent_high"],
                    unit="%", level=fit.level,
                )
                if defined
                else f"no fit: {group['reason']}",
                f"{group['r_squared']:.2f}" if defined else "",
                str(group["n_birds"]),
                str(group["n_rows"]),
                group["standard_errors"] if defined else "",
            )
        )  # fmt: skip
    return ReportTable(
        caption="Body mass per grade, as a percentage of mass, by species and sex.",
        headings=("Species, sex", "Mass per grade", "R squared", "Birds", "Exams",
                  "Standard errors"),
        rows=tuple(rows),
    )  # fmt: skip


def table_scaled_mass(results: ConditionResults) -> ReportTable | None:
    """Print the exponents of the scaled mass index with their gates.

    Parameters
    ----------
    results : ConditionResults
        Condition results.

    Returns
    -------
    ReportTable or None
        None where no size was measured.
    """
    fit = results.scaled_mass
    if fit is None:
        return None
    rows = []
    for group in fit.groups.to_dict("records"):
        slope = word_interval(
            group["slope"], group["slope_low"], group["slope_high"], level=fit.level
        )
        says = [part for part in (group["reason"], group["gates"]) if part]
        if not group["usable"]:
            says.append("no index is given")
        rows.append(
            (
                f"{group['species']}, {group['sex']}",
                slope,
                f"{group['r']:.2f}" if pd.notna(group["r"]) else "not defined",
                f"{group['size0_mm']:.1f}" if pd.notna(group["size0_mm"]) else "not defined",
                str(group["n"]),
                "; ".join(says) or "none",
            )
        )
    return ReportTable(
        caption=f"Scaled mass from {label_column(fit.size)}: exponent (standardised major axis of "
        "log mass on log size), correlation, standard size, and the gates that were met.",
        headings=("Species, sex", "Exponent", "r", "Standard size (mm)", "Birds", "Gates"),
        rows=tuple(rows),
    )


def table_size_candidates(results: ConditionResults) -> ReportTable:
    """Print how each structural measure correlates with mass.

    Parameters
    ----------
    results : ConditionResults
        Condition results.

    Returns
    -------
    ReportTable
        One row a measure and group.
    """
    rows = [
        (
            label_column(row["size"]),
            f"{row['species']}, {row['sex']}",
            word_interval(row["r"], row["r_low"], row["r_high"], level=results.linear.level),
            str(row["n"]),
        )
        for row in results.size_candidates.to_dict("records")
    ]
    return ReportTable(
        caption="Every structural measure: its correlation with mass on logarithmic axes.",
        headings=("Measure", "Species, sex", "r", "Birds"),
        rows=tuple(rows),
    )


def table_index_by_keel(results: ConditionResults) -> ReportTable | None:
    """Print how scaled mass, and mass itself, follow the grade.

    Parameters
    ----------
    results : ConditionResults
        Condition results.

    Returns
    -------
    ReportTable or None
        None where no group has an index.
    """
    ranks = results.index_by_keel
    if ranks is None:
        return None
    rows = [
        (
            f"{row['species']}, {row['sex']}",
            row["measure"],
            word_interval(row["rho"], row["low"], row["high"], level=ranks.level),
            str(row["n"]),
            row["reason"],
        )
        for row in ranks.correlations.to_dict("records")
    ]
    return ReportTable(
        caption=f"Rank correlation with {label_column(ranks.score)}: the index beside plain mass, "
        "on the same birds.",
        headings=("Species, sex", "Measure", "Spearman's rho", "Birds", "Remark"),
        rows=tuple(rows),
    )


def table_sensitivity(results: ConditionResults) -> ReportTable:
    """Print the main estimates under other choices of exams.

    Parameters
    ----------
    results : ConditionResults
        Condition results.

    Returns
    -------
    ReportTable
        One row a group and choice.
    """
    level = results.linear.level
    table = results.sensitivity.sort_values(["species", "sex"], kind="stable")
    rows = []
    for row in table.to_dict("records"):
        cells = [
            f"{row['species']}, {row['sex']}",
            row["exams"],
            word_interval(
                row["percent_per_grade"], row["percent_low"], row["percent_high"], level=level
            ),
            word_cell(row["n_birds"]),
        ]
        if "slope" in row:
            cells.append(
                word_interval(row["slope"], row["slope_low"], row["slope_high"], level=level)
            )
            cells.append(word_cell(row["n_birds_in_line"]))
        rows.append(tuple(cells))
    headings = ["Species, sex", "Exams", "Mass per grade (%)", "Birds"]
    if "slope" in table.columns:
        headings += ["Exponent", "Birds in line"]
    return ReportTable(
        caption="The same estimates with other choices of exams.",
        headings=tuple(headings),
        rows=tuple(rows),
    )
