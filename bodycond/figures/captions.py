"""Captions of figures of groups, made from the results so that no number is typed twice."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pandas as pd

from bodycond.columns import word_label
from bodycond.condition import IndexByKeel, MassByKeel, MassOnSize
from bodycond.figures.caption_phrases import (
    FigureDescription,
    gather_points,
    name_subject,
    word_count,
    word_grades,
    word_left_out,
)
from bodycond.figures.group_marks import ShownGroup, select_groups, take_rows
from bodycond.figures.index_by_keel import explain_empty_index
from bodycond.figures.mass_by_keel import explain_empty_fit, name_middle
from bodycond.figures.mass_limits import choose_mass_limits
from bodycond.figures.mass_on_size import explain_empty_lines, has_line
from bodycond.figures.units_on_axes import label_with_unit
from bodycond.rounding import word_interval
from bodycond.scales import KEEL_SCALE, ScoreScale


def describe_mass_by_keel(fit: MassByKeel, *, group: Mapping[str, str] | None) -> FigureDescription:
    """Describe what `draw_mass_by_keel` draws of the same arguments.

    Parameters
    ----------
    fit : MassByKeel
        The fit.
    group : mapping of str to str or None
        The groups drawn.

    Returns
    -------
    FigureDescription
        Caption and alternative text.

    Raises
    ------
    ArgumentError
        If ``group`` names a column that the groups are not formed by.
    """
    shown = select_groups(fit.groups, by=fit.by, group=group)
    whose = name_subject(shown, group)
    mass, score = word_label(fit.mass), word_label(fit.score)
    fitted = [each for each in shown if len(take_rows(fit.expected, each.keys))]
    sentences = [f"Body mass by {score} ({fit.scale.name}) of {whose}."]
    if len(gather_points(fit.points, shown)):
        sentences.append("Points: one an exam, moved sideways within its grade.")
    else:
        sentences.append(f"Empty. {explain_empty_fit(fit, shown)}.")
    sentences += _describe_marks(fit) if fitted else []
    if len(gather_points(fit.points, shown)):
        sentences += [_describe_fit(fit, each) for each in shown]
        sentences += [line for each in shown for line in _say_without_interval(fit, each)]
        sentences += [
            f"The band of the next bird, {label}, goes beyond the axis: {low:.0f} to {high:.0f} g."
            for label, (low, high) in choose_mass_limits(fit, shown).beyond.items()
        ]
    if fit.covariates and fitted:
        sentences.append(
            f"Expected masses are at the mean or commonest {', '.join(fit.covariates)}."
        )
    if len(gather_points(fit.points, shown)) and fit.scale.n_grades <= 11:
        sentences.append("Numbers below the axis: exams at each grade.")
    sentences += word_grades(fit.scale)
    if fit.pool:
        sentences.append(f"Pooled, because: {fit.pool}.")
    sentences += word_left_out(fit.excluded, shown)
    trends = [_say_trend(fit, each) for each in shown]
    alt = (
        f"Scatter plot of {mass.lower()} against {score} from {fit.scale.low:g} to "
        f"{fit.scale.high:g} for {whose}. {' '.join(trends) or 'No group could be fitted.'}"
    )
    return FigureDescription(caption=" ".join(sentences), alt_text=alt)


def describe_mass_on_size(
    result: MassOnSize, *, group: Mapping[str, str] | None = None
) -> FigureDescription:
    """Describe what `draw_mass_on_size` draws of the same arguments.

    Parameters
    ----------
    result : MassOnSize
        Points and lines.
    group : mapping of str to str, optional
        The groups drawn.

    Returns
    -------
    FigureDescription
        Caption and alternative text.

    Raises
    ------
    ArgumentError
        If ``group`` names a column that the groups are not formed by.
    """
    shown = select_groups(result.lines, by=result.by, group=group)
    whose = name_subject(shown, group)
    mass = label_with_unit(result.mass, unit="g").lower()
    size = label_with_unit(result.size, unit="mm").lower()
    points = gather_points(result.points, shown)
    sentences = [f"{mass.capitalize()} on {size} of {whose}, both axes logarithmic."]
    if len(points):
        sentences.append(
            "Points: one an exam; lines: standardised major axis of each group over the sizes "
            "found."
        )
    else:
        sentences.append(f"Empty. {explain_empty_lines(result, shown)}.")
    later = int((~points["in_line"].astype(bool)).sum())
    if later:
        sentences.append(f"Pale: {word_count(later, 'later exam')} of a bird, not in the line.")
    rows = [
        (each, line)
        for each in shown
        for line in take_rows(result.lines, each.keys).to_dict("records")
    ]
    sentences += [_describe_line(each, line) for each, line in rows]
    if result.n_missing:
        sentences.append(
            f"{word_count(result.n_missing, 'exam')} of the whole table lacked mass, size or group."
        )
    seen = [_say_slope(each, line) for each, line in rows]
    alt = f"Scatter plot of {mass} against {size} for {whose} on logarithmic axes. "
    return FigureDescription(
        caption=" ".join(sentences), alt_text=alt + (" ".join(seen) or "Nothing could be drawn.")
    )


def describe_index_by_keel(
    result: IndexByKeel, *, group: Mapping[str, str] | None, scale: ScoreScale = KEEL_SCALE
) -> FigureDescription:
    """Describe what `draw_index_by_keel` draws of the same arguments.

    Parameters
    ----------
    result : IndexByKeel
        Points and medians.
    group : mapping of str to str or None
        The groups drawn.
    scale : ScoreScale, default KEEL_SCALE
        The score's scale.

    Returns
    -------
    FigureDescription
        Caption and alternative text.

    Raises
    ------
    ArgumentError
        If ``group`` names a column that the groups are not formed by.
    """
    shown = select_groups(result.points, by=result.by, group=group)
    whose = name_subject(shown, group)
    score = word_label(result.score)
    sentences = [f"Scaled mass (g) by {score} ({scale.name}) of {whose}."]
    if shown:
        sentences.append(
            "Points: one a bird, by its first complete exam, moved sideways within its grade; "
            "large white marks with bars: median and quartiles."
        )
    else:
        sentences.append(f"Empty. {explain_empty_index(result, group)}.")
    for each in shown:
        sentences += [
            f"{each.label.capitalize()}: rank correlation of {row['measure']} with the grade "
            f"{word_interval(row['rho'], row['low'], row['high'], level=result.level)}, "
            f"{word_count(int(row['n']), 'bird')}{'; ' + row['reason'] if row['reason'] else ''}."
            for row in take_rows(result.correlations, each.keys).to_dict("records")
        ]
    if shown and scale.n_grades <= 11:
        sentences.append("Numbers below the axis: birds at each grade.")
    sentences += word_grades(scale)
    sentences += [
        f"Left out of the whole table: {word_count(int(row['n_rows']), 'exam')}, {row['reason']}."
        for row in result.excluded.to_dict("records")
    ]
    seen = []
    for each in shown:
        grades = take_rows(result.grades, each.keys)
        first, last = grades.iloc[0], grades.iloc[-1]
        seen.append(
            f"Median, {each.label}: {first['median_g']:.0f} g at grade {first[result.score]:g}, "
            f"{last['median_g']:.0f} g at {last[result.score]:g}."
        )
    alt = (
        f"Scaled mass in g of {whose} at each {score} from {scale.low:g} to {scale.high:g}, "
        f"with medians and quartiles. {' '.join(seen) or 'No group has a usable index.'}"
    )
    return FigureDescription(caption=" ".join(sentences), alt_text=alt)


def _describe_marks(fit: MassByKeel) -> list[str]:
    share = f"{100 * fit.level:g} %"
    middle = name_middle(fit)
    if fit.form == "linear":
        what = "log mass" if fit.response == "log_mass" else "mass"
        return [
            f"Line: expected ({middle}) mass by least squares of {what} on the score; filled "
            f"band: its {share} interval; short dashes: {share} band of the next bird."
        ]
    return [
        f"Bars: {middle} mass at each grade, its {share} interval (thick) and the {share} band of "
        "the next bird (thin)."
    ]


def _describe_fit(fit: MassByKeel, shown: ShownGroup) -> str:
    (row,) = take_rows(fit.groups, shown.keys).to_dict("records")
    head = f"{shown.label.capitalize()}: {word_count(int(row['n_rows']), 'exam')} of "
    head += word_count(int(row["n_birds"]), "bird")
    if row["reason"]:
        return f"{head}; no fit: {row['reason']}."
    parts = [head]
    if pd.notna(row["percent_per_grade"]):
        parts.append(
            word_interval(
                row["percent_per_grade"], row["percent_low"], row["percent_high"],
                unit="% per grade", level=fit.level,
            )
        )  # fmt: skip
    return f"{', '.join(parts)}; standard errors {row['standard_errors']}."


def _say_without_interval(fit: MassByKeel, shown: ShownGroup) -> list[str]:
    rows = take_rows(fit.expected, shown.keys)
    rows = rows.loc[rows["low"].isna() & rows["mass_g"].notna()]
    grades_by_reason: dict[str, list[str]] = {}
    for row in rows.to_dict("records"):
        grade = f"{row[fit.score]:g}"
        # The same reason at several grades is said once.
        reason = str(row["reason"]).replace(f"grade {grade}", "the grade")
        grades_by_reason.setdefault(reason, []).append(grade)
    return [
        f"No interval, {shown.label}, at {', '.join(grades)}: {reason}."
        for reason, grades in grades_by_reason.items()
    ]


def _describe_line(shown: ShownGroup, line: Mapping[Any, Any]) -> str:
    head = f"{shown.label.capitalize()}: {word_count(int(line['n']), 'bird')}"
    if not has_line(line):
        return f"{head}; no line: {line['reason'] or line['gates']}."
    numbers = f"{head}, exponent {line['slope']:.2f}, r = {line['r']:.2f}"
    if not line["usable"]:
        return f"{numbers}; dashed, not usable for an index: {line['reason'] or line['gates']}."
    return f"{numbers}; caution: {line['gates']}." if line["gates"] else f"{numbers}."


def _say_slope(shown: ShownGroup, line: Mapping[Any, Any]) -> str:
    head = f"For {shown.label} ({word_count(int(line['n']), 'bird')})"
    if not has_line(line):
        return f"{head} there is no line."
    way = "rises" if line["slope"] > 0 else "falls"
    return f"{head} mass {way} with size along a line with exponent {line['slope']:.2f}."


def _say_trend(fit: MassByKeel, shown: ShownGroup) -> str:
    rows = take_rows(fit.expected, shown.keys)
    if rows.empty:
        return f"No fit for {shown.label}."
    first, last = rows.iloc[0], rows.iloc[-1]
    return (
        f"Expected mass, {shown.label}: {first['mass_g']:.0f} g at grade {first[fit.score]:g}, "
        f"{last['mass_g']:.0f} g at {last[fit.score]:g}."
    )
