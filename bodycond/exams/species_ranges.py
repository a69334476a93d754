"""Plausible mass and size by species and sex, with the evidence for each figure.

The limits are limits to *ask* at, not to reject at: the smallest healthy adult on record is no
lower bound for a patient, since starving birds are admitted.
"""

from __future__ import annotations

from importlib.resources import files
from io import StringIO

import numpy as np
import pandas as pd

from bodycond.codes import SEX_CODES
from bodycond.errors import ArgumentError, name_first_few, require_choice

SPECIES_SYNONYMS: dict[str, str] = {
    "Astur gentilis": "Accipiter gentilis",
    "Astur cooperii": "Accipiter cooperii",
}
"""Names of the 2024 lists, and the names under which the table holds the birds."""

LENGTH_MARGIN = 0.05
"""Widening of the packaged wing and tarsus ranges, as a share of each limit.

The ranges are those of most adults (2.5th to 97.5th centile, or a handbook range from memory),
so one healthy bird in twenty lies outside; and chord and flattened wing differ by 1 to 3 per
cent. Five per cent beyond is where a length is worth a second look.
"""

ASK_COLUMNS: dict[str, tuple[tuple[str, str], ...]] = {
    "mass_g": (("patient_floor_g", "ceiling_g"),),
    "wing_mm": (("wing_ask_low_mm", "wing_ask_high_mm"), ("wing_low_mm", "wing_high_mm")),
    "tarsus_mm": (
        ("tarsus_ask_low_mm", "tarsus_ask_high_mm"),
        ("tarsus_low_mm", "tarsus_high_mm"),
    ),
}
"""For each measure the table's columns with its limits: the first pair that is there holds."""

NUMBER_COLUMNS: tuple[str, ...] = (
    "mass_low_g", "mass_typical_g", "mass_high_g", "wing_low_mm", "wing_high_mm",
    "tarsus_low_mm", "tarsus_high_mm", "patient_floor_g", "ceiling_g", "wing_ask_low_mm",
    "wing_ask_high_mm", "tarsus_ask_low_mm", "tarsus_ask_high_mm",
)  # fmt: skip


def load_species_ranges() -> pd.DataFrame:
    """Load the table of species ranges that comes with bodycond.

    Columns ``*_source`` say where each figure comes from: A individual data summarised for
    this project, B a page that quotes a handbook, C a general page, M memory. Wing and tarsus
    ranges are mostly M: replace them by a licensed ringing table before you publish a
    decision rule.

    Returns
    -------
    DataFrame
        One row per species and sex, with ``patient_floor_g`` and ``ceiling_g`` (0.5 of the
        typical mass or 0.9 of the low one, whichever is less, and 1.25 of the high one) and
        the wing and tarsus limits widened by `LENGTH_MARGIN` in ``*_ask_*`` columns.

    Examples
    --------
    >>> ranges = load_species_ranges()
    >>> float(find_limits(ranges, species="Buteo buteo", sex="F").loc["mass_g", "low"])
    437.0
    """
    text = files("bodycond.exams").joinpath("species_ranges.csv").read_text(encoding="utf-8")
    table = pd.read_csv(StringIO(text))
    for measure in ("wing", "tarsus"):
        table[f"{measure}_ask_low_mm"] = table[f"{measure}_low_mm"] * (1 - LENGTH_MARGIN)
        table[f"{measure}_ask_high_mm"] = table[f"{measure}_high_mm"] * (1 + LENGTH_MARGIN)
    return table


def validate_species_ranges(species_ranges: pd.DataFrame) -> None:
    """Raise one error that names everything wrong with a table of species ranges.

    Parameters
    ----------
    species_ranges : DataFrame
        A table with ``scientific_name``, ``sex`` and at least one pair of the limits in
        `ASK_COLUMNS`.

    Raises
    ------
    ArgumentError
        If it is no DataFrame, a column is absent or not numeric, a sex or name is missing or
        unknown, a species and sex occurs twice, or a lower limit is not below its upper one.
    """
    if not isinstance(species_ranges, pd.DataFrame):
        raise ArgumentError(
            needed="species_ranges= needs a pandas DataFrame, a row per species and sex",
            found=f"an object of type {type(species_ranges).__name__}",
            then="Begin with bodycond.exams.load_species_ranges() and change its rows",
        )
    names = [name for name in ("scientific_name", "sex") if name not in species_ranges.columns]
    wrong = [f"no column {name!r}" for name in names]
    pairs = [
        pair for options in ASK_COLUMNS.values() for pair in options
        if set(pair) <= set(species_ranges.columns)
    ]  # fmt: skip
    if not pairs:
        known = ", ".join(name for options in ASK_COLUMNS.values() for name in options[-1])
        wrong.append(f"no pair of limits among the columns {known}")
    if not names:
        wrong += _list_identity_faults(species_ranges)
    for low, high in pairs:
        limits = species_ranges[[low, high]]
        texts = [name for name in limits if not pd.api.types.is_numeric_dtype(limits[name])]
        wrong += [f"column {name!r} does not hold numbers" for name in texts]
        if not texts:
            upside_down = limits.index[(limits[low] >= limits[high]).to_numpy(dtype=bool)]
            if len(upside_down):
                wrong.append(f"{low} not below {high} in rows {name_first_few(upside_down)}")
    if wrong:
        raise ArgumentError(
            needed="species_ranges= needs a row per species and sex with lower and upper limits",
            found="; ".join(wrong),
            then="Begin with bodycond.exams.load_species_ranges() and change its rows",
        )


def _list_identity_faults(species_ranges: pd.DataFrame) -> list[str]:
    wrong = []
    identity = species_ranges[["scientific_name", "sex"]]
    unnamed = identity.index[identity["scientific_name"].isna()]
    if len(unnamed):
        wrong.append(f"no scientific_name in rows {name_first_few(unnamed)}")
    strange = identity.index[~identity["sex"].isin(list(SEX_CODES))]
    if len(strange):
        wrong.append(f"sex not {', '.join(SEX_CODES)} in rows {name_first_few(strange)}")
    named = identity.assign(scientific_name=accept_names(identity["scientific_name"]))
    twice = identity.index[named.duplicated(keep=False)]
    if len(twice):
        wrong.append(f"a species and sex more than once, in rows {name_first_few(twice)}")
    return wrong


def accept_names(species: pd.Series) -> pd.Series:
    """Give each scientific name in one spelling: genus and species, synonyms resolved.

    A third word (a subspecies) is left off, because the ranges are those of species.

    Parameters
    ----------
    species : Series of str
        Scientific names as recorded.

    Returns
    -------
    Series of str
        Accepted names on the same index; missing stays missing.

    Examples
    --------
    >>> import pandas as pd
    >>> accept_names(pd.Series(["astur  gentilis", "Falco peregrinus calidus"])).tolist()
    ['Accipiter gentilis', 'Falco peregrinus']
    """
    codes, names = pd.factorize(species)
    accepted = np.array([_accept_name(str(name)) for name in names] + [None], dtype=object)
    return pd.Series(accepted[codes], index=species.index).astype("str")


def _accept_name(name: str) -> str | None:
    words = name.split()[:2]
    if not words:
        return None
    plain = " ".join([words[0].capitalize(), *(word.lower() for word in words[1:])])
    return SPECIES_SYNONYMS.get(plain, plain)


def find_limits(species_ranges: pd.DataFrame, *, species: str, sex: str = "U") -> pd.DataFrame:
    """Find the limits at which to ask about a measure of one species and sex.

    Parameters
    ----------
    species_ranges : DataFrame
        As `load_species_ranges` gives it.
    species : str
        Scientific name; synonyms in `SPECIES_SYNONYMS` are resolved.
    sex : {"F", "M", "U"}, default "U"
        Unknown sex gets the union of the species' rows. A sex without a row of its own gets
        the row of unknown sex, if there is one.

    Returns
    -------
    DataFrame
        Index ``measure`` (``mass_g``, ``wing_mm``, ``tarsus_mm``); columns ``low``, ``high``
        and ``basis`` (which rows and columns the limits come from). No rows where the table
        knows nothing.

    Raises
    ------
    ArgumentError
        If the sex is unknown or the table cannot be used.

    Examples
    --------
    >>> limits = find_limits(load_species_ranges(), species="Astur gentilis")
    >>> limits.loc["mass_g", ["low", "high"]].tolist()
    [390.0, 2750.0]
    """
    require_choice(sex, SEX_CODES, argument="sex")
    validate_species_ranges(species_ranges)
    rows = species_ranges[accept_names(species_ranges["scientific_name"]) == _accept_name(species)]
    return select_limits(rows, sex=sex)


def select_limits(rows: pd.DataFrame, *, sex: str) -> pd.DataFrame:
    """Choose among the rows of one species those of a sex, and take their limits.

    Parameters
    ----------
    rows : DataFrame
        The rows of one species.
    sex : str
        ``"F"``, ``"M"`` or ``"U"``.

    Returns
    -------
    DataFrame
        As `find_limits` gives it.
    """
    own = rows if sex == "U" else rows[rows["sex"] == sex]
    if own.empty:
        own = rows[rows["sex"] == "U"]
    found: dict[str, tuple[float, float, str]] = {}
    for measure, options in ASK_COLUMNS.items():
        pair = next((pair for pair in options if set(pair) <= set(rows.columns)), None)
        if pair is None:
            continue
        # One sex without a limit leaves the union open: a bird of unknown sex may be of that sex.
        low, high = own[pair[0]].min(skipna=False), own[pair[1]].max(skipna=False)
        if np.isfinite(low) and np.isfinite(high):
            sexes = "+".join(sorted(own["sex"].unique()))
            found[measure] = (float(low), float(high), f"{pair[0]}, {pair[1]} of sex {sexes}")
    return pd.DataFrame.from_dict(
        found, orient="index", columns=["low", "high", "basis"]
    ).rename_axis("measure")
