"""Condition results as tables of words for the report."""

from __future__ import annotations

import math

from bodycond.columns import label_column, word_label
from bodycond.condition import IndexByKeel, MassByKeel, ScaledMassFit
from bodycond.rounding import word_grams
from bodycond.study.analysis import ConditionResults
from bodycond.study.group_words import count_left_out, name_birds
from bodycond.study.report_tables import (
    ReportTable,
    short_interval,
    without_empty_columns,
    word_cell,
    word_level,
)

# An exponent of fewer birds is noise; it is in the table file, and no report prints it.
_FEWEST_BIRDS_TO_PRINT = 5


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
    rows = [
        (
            name_birds(row),
            f"{row[fit.score]:g}",
            word_grams(row["mass_g"]),
            f"{word_grams(row['low'])} to {word_grams(row['high'])}",
            f"{word_grams(row['predict_low'])} to {word_grams(row['predict_high'])}",
            str(row["n"]),
        )
        for row in fit.expected.to_dict("records")
    ]
    return ReportTable(
        caption=f"Expected body mass (median, g) at each grade of {word_label(fit.score)}, from "
        f"the {fit.form} form of log mass, with its {word_level(fit.level)}, and the range in "
        f"which the next bird of that grade lies with {100 * fit.level:g} % probability. Only "
        "grades that were given are listed.",
        headings=("Species, sex", "Grade", "Mass (g)", f"{word_level(fit.level)} (g)",
                  "Next bird (g)", "Exams"),
        rows=tuple(rows),
        grouped=True,
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
                name_birds(group),
                short_interval(
                    group["percent_per_grade"], group["percent_low"], group["percent_high"]
                )
                if defined
                else f"no fit: {group['reason']}",
                f"{group['r_squared']:.2f}" if defined else "",
                str(group["n_birds"]),
                str(group["n_rows"]),
                group["standard_errors"] if defined else "",
            )
        )
    return ReportTable(
        caption="Change of body mass per grade, in per cent of mass, by species and sex.",
        headings=("Species, sex", f"Per cent per grade ({word_level(fit.level)})", "R squared",
                  "Birds", "Exams", "Standard errors"),
        rows=tuple(rows),
    )  # fmt: skip


def table_scaled_mass(fit: ScaledMassFit) -> ReportTable:
    """Print the exponents of the scaled mass index with their gates.

    Parameters
    ----------
    fit : ScaledMassFit
        The fit.

    Returns
    -------
    ReportTable
        One row a group.
    """
    rows = []
    for group in fit.groups.to_dict("records"):
        says = [part for part in (group["reason"], group["gates"]) if part]
        if not group["usable"]:
            says.append("no index is given")
        printed = group["n"] >= _FEWEST_BIRDS_TO_PRINT
        rows.append(
            (
                name_birds(group),
                short_interval(group["slope"], group["slope_low"], group["slope_high"])
                if printed
                else "not printed",
                _word_number(group["r"], decimals=2) if printed else "",
                _word_number(group["size0_mm"], decimals=1) if printed else "",
                str(group["n"]),
                "; ".join(says) or "none",
            )
        )
    return ReportTable(
        caption=f"Scaled mass from {word_label(fit.size)}: exponent (standardised major axis of "
        "log mass on log size), correlation, standard size, and the gates that were met, by the "
        f"names that accept= takes. Exponents of fewer than {_FEWEST_BIRDS_TO_PRINT} birds are "
        "in tables/scaled_mass_groups.csv alone.",
        headings=("Species, sex", f"Exponent ({word_level(fit.level)})", "r",
                  "Standard size (mm)", "Birds", "Gates"),
        rows=tuple(rows),
    )  # fmt: skip


def table_size_candidates(results: ConditionResults) -> ReportTable:
    """Print how each structural measure correlates with mass, measures side by side.

    Parameters
    ----------
    results : ConditionResults
        Condition results.

    Returns
    -------
    ReportTable
        One row a group, one column a measure.
    """
    table = results.size_candidates
    sizes = list(dict.fromkeys(table["size"]))
    cells: dict[str, dict[str, str]] = {}
    for row in table.to_dict("records"):
        enough = row["n"] >= _FEWEST_BIRDS_TO_PRINT
        r = short_interval(row["r"], row["r_low"], row["r_high"]) if enough else "not printed"
        cells.setdefault(name_birds(row), {})[row["size"]] = f"{r}, {row['n']} birds"
    return ReportTable(
        caption=f"Correlation (with its {word_level(results.linear.level)}) of each structural "
        "measure with mass on logarithmic axes, each bird once.",
        headings=("Species, sex", *(label_column(size) for size in sizes)),
        rows=tuple((birds, *(found.get(size, "") for size in sizes))
                   for birds, found in cells.items()),
    )  # fmt: skip


def table_index_by_keel(ranks: IndexByKeel) -> ReportTable:
    """Print how scaled mass, and mass itself, follow the grade.

    Parameters
    ----------
    ranks : IndexByKeel
        The index at each grade.

    Returns
    -------
    ReportTable
        One row a group and measure.
    """
    rows = [
        (
            name_birds(row),
            row["measure"],
            short_interval(row["rho"], row["low"], row["high"]),
            str(row["n"]),
            row["reason"],
        )
        for row in ranks.correlations.to_dict("records")
    ]
    return without_empty_columns(
        ReportTable(
            caption=f"Rank correlation with {word_label(ranks.score)}: the index beside plain "
            "mass, on the same birds.",
            headings=("Species, sex", "Measure", f"Spearman's rho ({word_level(ranks.level)})",
                      "Birds", "Remark"),
            rows=tuple(rows),
            grouped=True,
        )
    )  # fmt: skip


def table_left_out(results: ConditionResults) -> list[ReportTable]:
    """Print which exams each model could not use, by group and reason.

    Parameters
    ----------
    results : ConditionResults
        Condition results.

    Returns
    -------
    list of ReportTable
        One a model that left anything out.
    """
    models = [("the fit of mass by score", results.linear.excluded)]
    if results.scaled_mass is not None:
        fit = results.scaled_mass
        models.append((f"the scaled mass index from {word_label(fit.size)}", fit.excluded))
    tables = []
    for model, excluded in models:
        if excluded.empty:
            continue
        counted = count_left_out(excluded)
        tables.append(
            ReportTable(
                caption=f"Exams that {model} could not use; values set aside above count as "
                "missing here.",
                headings=("Species, sex",
                          *map(str, counted.columns)),
                rows=tuple((str(birds), *(word_cell(int(count)) for count in row))
                           for birds, row in zip(counted.index, counted.to_numpy(), strict=True)),
            )
        )  # fmt: skip
    return tables


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
    table = results.sensitivity.sort_values(["species", "sex"], kind="stable")
    with_size = "slope" in table.columns
    rows = []
    for row in table.to_dict("records"):
        cells = [
            name_birds(row),
            row["exams"],
            short_interval(row["percent_per_grade"], row["percent_low"], row["percent_high"]),
            word_cell(row["n_birds"]),
        ]
        if with_size:
            n = row["n_birds_in_line"]
            printed = n >= _FEWEST_BIRDS_TO_PRINT
            cells += [
                short_interval(row["slope"], row["slope_low"], row["slope_high"])
                if printed
                else "not printed",
                word_cell(n),
            ]
        rows.append(tuple(cells))
    interval = word_level(results.linear.level)
    headings = ["Species, sex", "Exams", f"Per cent per grade ({interval})", "Birds"]
    if with_size:
        headings += [f"Exponent ({interval})", "Birds in line"]
    return ReportTable(
        caption="Sensitivity: the same estimates with other choices of exams.",
        headings=tuple(headings),
        rows=tuple(rows),
        grouped=True,
    )


def _word_number(number: float, *, decimals: int) -> str:
    return f"{number:.{decimals}f}" if math.isfinite(number) else "not defined"
