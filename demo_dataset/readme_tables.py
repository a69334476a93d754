"""The parts of the README that are numbers or headings: made from the data, never typed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import pandas as pd
from notation import FILES
from pages import HEADINGS

UNITS = {"mass_g": "g", "wing_mm": "mm", "tarsus_mm": "mm", "keel": "grade 1 to 5"} | {
    "crop_fill": "0 empty to 4 full"
}
BEGIN, END = "<!-- {name}: made by make_demo.py -->", "<!-- end of {name} -->"


def fill_tables(text: str, *, tables: Mapping[str, str]) -> str:
    """Put each table between its two marks in the README's text."""
    for name, table in tables.items():
        begin, end = BEGIN.format(name=name), END.format(name=name)
        before, rest = text.split(begin)
        text = f"{before}{begin}\n{table}\n{rest[rest.index(end) :]}"
    return text


def make_tables(
    *, truths: Mapping[str, Any], exams: pd.DataFrame, key: pd.DataFrame
) -> dict[str, str]:
    """Make every table of the README."""
    return {
        "headings": _table_headings(),
        "counts": _table_counts(exams),
        "planted": _table_planted(key),
        "grades": _table_grades(truths),
        "kappas": _table_kappas(truths),
        "slopes": _table_slopes(truths),
    }


def _write_table(head: Sequence[str], rows: Sequence[Sequence[object]]) -> str:
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join("| " + " | ".join(str(cell) for cell in line) + " |" for line in lines)


def _table_headings() -> str:
    """Heading of each field in each book."""
    fields = [name for book in HEADINGS.values() for name in book]
    rows = [
        [f"`{name}`", UNITS.get(name, ""), *(HEADINGS[book].get(name, "") for book in FILES)]
        for name in dict.fromkeys(fields)
    ]
    return _write_table(["field", "unit", *(f"`{file}`" for file in FILES.values())], rows)


def _table_counts(exams: pd.DataFrame) -> str:
    rows: list[list[object]] = []
    for species, part in exams.groupby("species", sort=False):
        sexes = part["sex"].value_counts()
        rows.append(
            [f"*{species}*", part["bird_id"].nunique(), len(part)]
            + [int(sexes.get(sex, 0)) for sex in ("F", "M", "U")]
        )
    rows = sorted(rows, key=lambda row: -int(str(row[2])))
    total = ["all", *(sum(int(str(row[column])) for row in rows) for column in range(1, 6))]
    head = ["species", "birds", "exams", "recorded F", "recorded M", "recorded U"]
    return _write_table(head, [*rows, total])


def _table_planted(key: pd.DataFrame) -> str:
    rows = [
        [f"`{kind}`", part.groupby(["file", "sheet", "row"], dropna=False).ngroups, len(part)]
        for kind, part in key.groupby("kind")
    ]
    return _write_table(["kind", "rows", "lines in the key"], rows)


def _table_grades(truths: Mapping[str, Any]) -> str:
    shares = truths["grade_shares"]
    grades = sorted({grade for share in shares.values() for grade in share}, key=float)
    rows = [
        [scorer, *(f"{100 * share[grade]:.1f}" if grade in share else "" for grade in grades)]
        for scorer, share in shares.items()
    ]
    return _write_table(["% of birds given grade", *grades], rows)


def _table_kappas(truths: Mapping[str, Any]) -> str:
    rows = [
        [
            pair.replace("_", " "),
            *(f"{found[name]:.3f}" for name in ("unweighted", "linear", "quadratic")),
            f"{100 * found['exact_agreement']:.0f}",
            f"{round(found['mean_difference'], 2) + 0.0:+.2f}",
        ]
        for pair, found in truths["agreement"].items()
    ]
    head = ["pair", "kappa", "linear kappa", "quadratic kappa", "% alike", "second - first"]
    return _write_table(head, rows)


def _table_slopes(truths: Mapping[str, Any]) -> str:
    """Estimands of adults, and how the median mass at grade 1 relates to that at grade 4."""
    rows = []
    for group in truths["groups"]:
        adults = group["samples"]["adult_exam"]
        keel, size = adults["keel"], adults["size"]["tarsus_mm"]
        masses = {line["keel"]: line["median_mass_g"] for line in keel["S01"]["by_grade"]}
        rows.append(
            [
                f"*{group['species']}* {group['sex']}",
                *(f"{size[name]:.2f}" for name in ("r", "ols_slope", "sma_slope")),
                f"{keel['S01']['per_cent_per_grade']:.1f}",
                f"{keel['random_scorer']['per_cent_per_grade']:.1f}",
                f"{masses[1.0] / masses[4.0]:.2f}",
            ]
        )
    head = [
        "adults", "r", "OLS slope", "SMA slope", "% a grade, S01", "% a grade, any scorer",
        "median mass, grade 1 / grade 4 (S01)",
    ]  # fmt: skip
    return _write_table(head, rows)
