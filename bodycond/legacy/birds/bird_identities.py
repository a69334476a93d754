"""What the exams of each bird_id, and of each part of one, say about the bird."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt
import pandas as pd

from bodycond.legacy.birds.ring_forms import NO_RING_TEXTS, write_text

RING_PREFIX = "ring:"
"""Begins the name of exams that have a ring and no bird_id: ``ring:AB1234``."""

HARD_MEASURES: tuple[str, ...] = ("tarsus_mm", "culmen_mm", "hallux_mm")
"""Bone and horn; feathers grow and wear, and wings are measured in three ways."""

PART_DIMENSIONS: tuple[str, ...] = ("ring", "source", "species", "sex")
"""What the exams of one id are parted by, where they may be of two birds."""

# Years from the exam's back to the hatch year, earliest and latest; None where there is no end.
_AGE_CLASS_YEARS: Mapping[str, tuple[int | None, int]] = {
    "pullus": (0, 0),
    "juvenile": (1, 0),
    "immature": (None, 1),
    "adult": (None, 1),
}
_AGE_CODE_YEARS: Mapping[tuple[str, str], tuple[int | None, int]] = {
    **{("BBL", code): years for code, years in (
        ("L", (0, 0)), ("4", (0, 0)), ("HY", (0, 0)), ("2", (0, 0)), ("J", (0, 0)), ("3", (0, 0)),
        ("AHY", (None, 1)), ("1", (None, 1)), ("SY", (1, 1)), ("5", (1, 1)), ("ASY", (None, 2)),
        ("6", (None, 2)), ("TY", (2, 2)), ("7", (2, 2)), ("ATY", (None, 3)), ("8", (None, 3)),
    )},
    **{("EURING", code): years for code, years in (
        ("1", (0, 0)), ("3", (0, 0)), ("4", (None, 1)), ("5", (1, 1)), ("6", (None, 2)),
        ("7", (2, 2)), ("8", (None, 3)),
    )},
}  # fmt: skip

_TEXTS = ("species", "sex", "age_class", "age_code", "age_code_system", "site",
          "source_file", "source_sheet", "exam_id")  # fmt: skip
_NUMBERS = (*HARD_MEASURES, "mass_g", "source_row")


def name_exams(exams: pd.DataFrame, *, bird: str = "bird_id") -> pd.DataFrame:
    """Give each exam's bird and ring as text, and the name that decisions call it by.

    Parameters
    ----------
    exams : DataFrame
        Exams.
    bird : str, default "bird_id"
        Column of the bird.

    Returns
    -------
    DataFrame
        ``bird_id``, ``ring`` and ``name`` on the index of ``exams``, None where there is none.
        Exams with a ring alone are named after it (`RING_PREFIX`).
    """
    nothing = pd.Series(None, index=exams.index, dtype=object)
    birds = write_text(exams[bird]) if bird in exams.columns else nothing
    rings = write_text(exams["ring_number"]) if "ring_number" in exams.columns else nothing
    ringed = [
        None if pd.isna(text) or text.strip().casefold() in NO_RING_TEXTS else text
        for text in rings
    ]
    named = [None if pd.isna(text) else text for text in birds]
    names = [
        bird if bird is not None else None if ring is None else f"{RING_PREFIX}{ring}"
        for bird, ring in zip(named, ringed, strict=True)
    ]
    return pd.DataFrame(
        {
            "bird_id": np.array(named, dtype=object),
            "ring": np.array(ringed, dtype=object),
            "name": np.array(names, dtype=object),
        },
        index=exams.index,
        dtype=object,
    )


def prepare_exams(exams: pd.DataFrame, *, bird: str = "bird_id") -> pd.DataFrame:
    """Bring the exams that name a bird or a ring into one order, with what evidence needs.

    Parameters
    ----------
    exams : DataFrame
        Exams; every column of the exam table may be absent.
    bird : str, default "bird_id"
        Column of the bird.

    Returns
    -------
    DataFrame
        One row an exam, ordered by date and origin so that the table's own order is forgotten.
    """
    made = collect_facts(exams, bird=bird)
    order = ["date", "source_file", "source_sheet", "source_row", "exam_id", "name", "ring"]
    named = made[made["name"].notna()]
    return named.sort_values([*order, *_NUMBERS], ignore_index=True, kind="stable")


def collect_facts(exams: pd.DataFrame, *, bird: str = "bird_id") -> pd.DataFrame:
    """Give what evidence needs of each exam: names, texts, measures, hatch years.

    Parameters
    ----------
    exams : DataFrame
        Exams; every column of the exam table may be absent.
    bird : str, default "bird_id"
        Column of the bird.

    Returns
    -------
    DataFrame
        On the index of ``exams``.
    """
    made = name_exams(exams, bird=bird)
    for column in _TEXTS:
        given = exams[column] if column in exams.columns else pd.Series(None, index=exams.index)
        # Few of them are different.
        codes, unique = pd.factorize(given)
        made[column] = np.array([*(str(cell).strip() for cell in unique), None], object)[codes]
    for column in _NUMBERS:
        given = exams[column] if column in exams.columns else pd.Series(np.nan, index=exams.index)
        made[column] = pd.to_numeric(given, errors="coerce").to_numpy(
            dtype=np.float64, na_value=np.nan
        )
    dates = exams["exam_date"] if "exam_date" in exams.columns else pd.Series(pd.NaT, exams.index)
    made["date"] = pd.to_datetime(dates, errors="coerce").to_numpy()
    made["year"] = made["date"].dt.year.astype("float64")
    made["sex"] = made["sex"].where(made["sex"].isin(["F", "M"]), None)
    made[["hatch_low", "hatch_high"]] = _bound_hatch_years(made)
    # A nestling's bones still grow.
    made.loc[(made["age_class"] == "pullus").to_numpy(dtype=bool), list(HARD_MEASURES)] = np.nan
    return made


def _bound_hatch_years(exams: pd.DataFrame) -> npt.NDArray[np.float64]:
    codes = exams["age_code"].map(lambda code: code.upper() if isinstance(code, str) else code)
    known = [
        _AGE_CODE_YEARS.get((str(system), str(code)), _AGE_CLASS_YEARS.get(str(age)))
        for system, code, age in zip(
            exams["age_code_system"], codes, exams["age_class"], strict=True
        )
    ]
    back = np.array(
        [(np.nan, np.nan) if years is None else (years[0] or 0.0, years[1]) for years in known],
        dtype=np.float64,
    ).reshape(-1, 2)
    open_ended = np.array([years is not None and years[0] is None for years in known], dtype=bool)
    bounds = exams["year"].to_numpy()[:, np.newaxis] - back
    bounds[open_ended & ~np.isnan(bounds[:, 0]), 0] = -np.inf
    return np.asarray(bounds)


def summarise_birds(exams: pd.DataFrame, *, codes: npt.NDArray[np.intp]) -> pd.DataFrame:
    """Sum up what the exams of each identity say.

    Parameters
    ----------
    exams : DataFrame
        Result of `prepare_exams`, or rows of it.
    codes : ndarray of int
        The identity of each row, numbered from 0 without gaps.

    Returns
    -------
    DataFrame
        One row an identity: ``species`` and ``sex`` (the most frequent), mean and count of each
        hard measure, ``hatch_low`` and ``hatch_high``, ``first_year``, ``last_year``,
        ``n_exams``, ``example`` (position of its first exam).
    """
    n = int(codes.max()) + 1 if codes.size else 0
    made = pd.DataFrame(index=pd.RangeIndex(n))
    for column in ("species", "sex"):
        made[column] = _take_modes(exams[column], codes=codes, n=n)
    grouped = exams.groupby(codes, sort=True)
    for column in HARD_MEASURES:
        values = exams[column].where(exams[column] > 0)
        by_bird = values.groupby(codes, sort=True)
        made[column] = by_bird.mean()
        made[f"{column}_n"] = by_bird.count()
    made["hatch_low"] = grouped["hatch_low"].max()
    made["hatch_high"] = grouped["hatch_high"].min()
    made["first_year"] = grouped["year"].min()
    made["last_year"] = grouped["year"].max()
    made["first_date"] = grouped["date"].min()
    made["n_exams"] = grouped.size()
    made["example"] = pd.Series(np.arange(len(exams))).groupby(codes, sort=True).min()
    return made


def _take_modes(
    column: pd.Series, *, codes: npt.NDArray[np.intp], n: int
) -> npt.NDArray[np.object_]:
    table = pd.DataFrame({"code": codes, "value": column.to_numpy()}).dropna()
    counts = table.groupby(["code", "value"], sort=True).size().reset_index(name="count")
    counts = counts.sort_values(["code", "count", "value"], ascending=[True, False, True])
    counts = counts.drop_duplicates("code")
    modes = np.full(n, None, dtype=object)
    modes[counts["code"].to_numpy(dtype=np.intp)] = counts["value"].to_numpy(dtype=object)
    return modes


def name_parts(exams: pd.DataFrame, *, dimension: str) -> list[str | None]:
    """Name the part of its bird_id that each exam belongs to.

    Parameters
    ----------
    exams : DataFrame
        Columns ``name``, ``ring``, ``species``, ``sex``, ``source_file`` and ``year``.
    dimension : {"ring", "species", "sex", "source"}
        What the exams of one bird_id are parted by; "source" is file and year.

    Returns
    -------
    list of str or None
        For example ``"12 (ring AB1234)"``; None where the exam does not say.
    """
    names = exams["name"].to_numpy(dtype=object)
    if dimension == "source":
        # A column of texts is slow to walk through, and an array of them is not.
        sources = exams["source_file"].to_numpy(dtype=object)
        return [
            _name_source(name, source, year)
            for name, source, year in zip(names, sources, exams["year"].tolist(), strict=True)
        ]
    known = exams[dimension].notna().to_numpy(dtype=bool)
    return [
        f"{name} ({dimension} {value})" if said and name is not None else None
        for name, value, said in zip(
            names, exams[dimension].to_numpy(dtype=object), known.tolist(), strict=True
        )
    ]


def _name_source(name: str | None, source: str | None, year: float) -> str | None:
    parts = [] if source is None or pd.isna(source) else [f"file {source}"]
    if not pd.isna(year):
        parts.append(f"year {year:.0f}")
    return f"{name} ({', '.join(parts)})" if parts and name is not None else None
