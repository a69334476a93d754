"""How each site writes a mass, a grade, an age: the notations of the four old books.

What a notation loses is lost in the truth too: "3+" leaves an interval and no grade, a mass in
pounds and ounces is known to the half ounce that was read off the scale.
"""

from __future__ import annotations

import math

import numpy as np
import pandas as pd

Cell = str | int | float | None

GRAMS_PER_POUND = 453.59237
GRAMS_PER_OUNCE = GRAMS_PER_POUND / 16.0
FILES = {
    "early": "skelbeck_hospital_2019-2021.xlsx",
    "late": "skelbeck_hospital_2022-2024.xlsx",
    "aviary": "orrinfold_aviary.csv",
    "station": "vessel_point_field_station.xlsx",
}
SPECIES_WORDS: dict[str, dict[str, str]] = {
    "early": {
        "Falco tinnunculus": "KES", "Accipiter nisus": "SPH", "Buteo buteo": "BUZ",
        "Strix aluco": "TWO", "Tyto alba": "BAO",
    },
    "late": {
        "Falco tinnunculus": "Common Kestrel", "Accipiter nisus": "Eurasian Sparrowhawk",
        "Buteo buteo": "Common Buzzard", "Strix aluco": "Tawny Owl", "Tyto alba": "Barn Owl",
    },
    "aviary": {},
    "station": {
        "Falco tinnunculus": "kestrel", "Accipiter nisus": "sparrowhawk",
        "Buteo buteo": "buzzard", "Strix aluco": "tawny owl", "Tyto alba": "barn owl",
    },
}  # fmt: skip
SEX_WORDS = {
    "early": {"F": "F", "M": "M", "U": "?"},
    "late": {"F": "Female", "M": "Male", "U": "Undetermined"},
    "aviary": {"F": "w", "M": "m", "U": "unb."},
    "station": {"F": "hen", "M": "cock", "U": "unsexed"},
}
AGE_WORDS: dict[str, dict[str, Cell]] = {
    "early": {"juvenile": "juv", "immature": "imm", "adult": "ad", "unknown": "?"},
    "late": {
        "juvenile": "Juvenile", "immature": "Immature", "adult": "Adult", "unknown": "not known",
    },
    "aviary": {"juvenile": "dj.", "immature": "vj.", "adult": "ad.", "unknown": "unb."},
    "station": {"juvenile": 3, "immature": 5, "adult": 6, "unknown": 2},
}  # fmt: skip
MASS_MISSING_WORDS: dict[str, tuple[Cell, ...]] = {
    "early": ("N/W", 999),
    "late": ("not taken", None),
    "aviary": ("k.A.",),
    "station": (None,),
}
REMARKS = {
    "early": ("net of wrap", "tail worn", "second look asked for", "box weighed first"),
    "late": ("calm", "jesses off", "balance re-zeroed"),
    "aviary": ("ruhig", "nach der Fütterung", "Flügel abgenutzt"),
    "station": ("net 2", "net 5", "light rain"),
}
REMARK_SHARE = 0.12
ROMAN = {1: "I", 2: "II", 3: "III", 4: "IV", 5: "V"}
KEEL_WORDS = {2.0: "thin", 4.0: "good"}


def write_notations(exams: pd.DataFrame, *, rng: np.random.Generator) -> pd.DataFrame:
    """Add what the books say: book, mass_cell, keel_cell, keel limits, age_code, remarks."""
    written = exams.copy()
    years = written["exam_date"].dt.year
    written["book"] = np.select(
        [
            (written["site"] == "Skelbeck Hospital") & (years <= 2021),
            written["site"] == "Skelbeck Hospital",
            written["site"] == "Orrinfold Aviary",
        ],
        ["early", "late", "aviary"],
        "station",
    )
    chance = rng.random((len(written), 6))
    masses, keels, remarks = [], [], []
    for row, luck in zip(written.to_dict(orient="records"), chance, strict=True):
        book = row["book"]
        masses.append(write_mass(row["mass_g"], book=book, species=row["species"], luck=luck[:2]))
        keels.append(write_keel(row["keel"], book=book, scorer=row["scorer"], luck=luck[2:4]))
        remarks.append(_write_remark(book, gravid=row["gravid"], luck=luck[4:]))
    written["mass_cell"] = pd.Series([cell for cell, _ in masses], dtype=object)
    written["mass_g"] = [grams for _, grams in masses]
    written["keel_cell"] = pd.Series([cell for cell, *_ in keels], dtype=object)
    for position, name in enumerate(("keel", "keel_low", "keel_high"), start=1):
        written[name] = [keel[position] for keel in keels]
    written["age_code"] = [
        AGE_WORDS[book][age]
        for book, age in zip(written["book"], written["age_class"], strict=True)
    ]
    written["age_code_system"] = np.where(written["book"] == "station", "EURING", "SITE")
    written["remarks"] = remarks
    return written


def write_mass(mass_g: float, *, book: str, species: str, luck: np.ndarray) -> tuple[Cell, float]:
    """Write one mass as its book does; give the cell and the grams that the cell says."""
    if math.isnan(mass_g):
        words = MASS_MISSING_WORDS[book]
        return words[int(luck[1] * len(words))], math.nan
    grams = round(mass_g)
    if book == "aviary":
        return f"{grams:,d},0".replace(",", ".", f"{grams:,d}".count(",")), float(grams)
    if book != "early":
        return grams, float(grams)
    if species == "Buteo buteo":
        return _write_heavy_mass(grams, luck=luck)
    forms: tuple[tuple[float, Cell], ...] = (
        (0.12, f"{grams}g"),
        (0.20, f"{grams} g"),
        (0.22, f"~{grams}"),
        (0.25, f"{grams}?"),
        (0.27, f"{grams}/{grams + 2}"),
        (1.0, grams),
    )
    return next(cell for limit, cell in forms if luck[0] < limit), float(grams)


def _write_heavy_mass(grams: int, *, luck: np.ndarray) -> tuple[Cell, float]:
    if luck[0] >= 0.75:
        return grams, float(grams)
    if luck[0] >= 0.45:
        return f"{grams / 1000:.3f} kg", float(grams)
    half_ounces = round(grams / GRAMS_PER_OUNCE * 2.0)
    pounds, rest = divmod(half_ounces, 32)
    ounces = f"{rest / 2:g}"
    text = f"{pounds} lb {ounces} oz" if luck[1] < 0.7 else f"{pounds}lbs {ounces}oz"
    return text, round(half_ounces * GRAMS_PER_OUNCE / 2.0, 3)


def write_keel(
    grade: float, *, book: str, scorer: str, luck: np.ndarray
) -> tuple[Cell, float, float, float]:
    """Write one grade as its book does; give the cell, the grade and its lowest and highest."""
    if math.isnan(grade):
        return ("k.A." if book == "aviary" else "-"), math.nan, math.nan, math.nan
    whole = grade == round(grade)
    number: Cell = round(grade) if whole else grade
    exact = (grade, grade, grade)
    if book == "aviary":
        return f"{grade:g}".replace(".", ","), *exact
    if book == "station" and scorer == "S02" and whole:
        return ROMAN[round(grade)], *exact
    if book == "early" and grade in KEEL_WORDS and luck[0] < 0.06:
        return KEEL_WORDS[grade], math.nan, math.nan, math.nan
    if book != "late":
        return number, *exact
    if not whole:
        below = math.floor(grade)
        return (f"{below}½", f"{below} 1/2", grade)[int(luck[0] * 3)], *exact
    if grade in (2.0, 3.0, 4.0):
        below = round(grade)
        if luck[0] < 0.06:
            return f"{below}+", math.nan, grade, grade + 0.5
        if luck[0] < 0.11:
            return f"{below}-", math.nan, grade - 0.5, grade
        if luck[0] < 0.20:
            return f"{below}-{below + 1}", math.nan, grade, grade + 1.0
    if luck[1] < 0.08:
        return f"{round(grade)}/5", *exact
    return number, *exact


def _write_remark(book: str, *, gravid: bool, luck: np.ndarray) -> str | None:
    if book == "early" and gravid:
        return "carrying egg"
    words = REMARKS[book]
    return words[int(luck[1] * len(words))] if luck[0] < REMARK_SHARE else None
