"""Codes met in exam tables: sex, age, crop, missing values, with the system they belong to."""

from __future__ import annotations

SEX_CODES: dict[str, str] = {"F": "female", "M": "male", "U": "unknown; a level of its own"}

SEX_WORDS: dict[str, str] = {"F": "female", "M": "male", "U": "sex unknown"}
"""The sexes as they stand in a legend or a sentence."""

AGE_CLASSES: dict[str, str] = {
    "pullus": "nestling, not yet able to fly",
    "juvenile": "from fledging to the end of its first calendar year or first complete moult",
    "immature": "older than juvenile, not yet in adult plumage",
    "adult": "in adult plumage",
    "unknown": "not recorded or not known",
}

AGE_CODE_SYSTEMS: dict[str, str] = {
    "BBL": "North American banding codes, calendar years",
    "EURING": "European ringing codes, calendar years",
    "SITE": "the site's own codes, described in its recipe",
}

CROP_CODES: dict[str, str] = {
    "0": "empty",
    "1": "a quarter full",
    "2": "half full",
    "3": "three quarters full",
    "4": "full",
    "no_crop": "not applicable: owls have no crop",
}

EXAM_REASONS: dict[str, str] = {
    "intake": "first exam on admission",
    "recheck": "later exam in care",
    "pre_release": "exam before release",
    "research": "exam for a study, wild or resident bird",
    "post_mortem": "dead bird",
    "unknown": "not recorded",
}

WETTING_AGENTS: dict[str, str] = {
    "alcohol": "flammable, and cools the bird",
    "water": "plain water",
    "saline": "sterile saline",
    "none": "feathers parted dry",
}

DATE_PRECISIONS: dict[str, str] = {
    "day": "the day is known",
    "month": "the month is known; the date holds its first day",
    "year": "the year is known; the date holds its first day",
}

OWL_GENERA: frozenset[str] = frozenset(
    {
        "Aegolius", "Asio", "Athene", "Bubo", "Glaucidium", "Ketupa", "Megascops", "Otus",
        "Phodilus", "Psiloscops", "Strix", "Surnia", "Tyto",
    }
)  # fmt: skip
"""Genera of owls that raptor centres admit: birds without a crop (general zoology, from memory)."""

# Text that stands for "no value" in old sheets. 0 and 999 belong to a mass column alone, so the
# reader of that column knows them, not this list.
MISSING_TEXTS: frozenset[str] = frozenset(
    {"", "-", "--", ".", "?", "na", "n/a", "nan", "none", "null", "nil", "x", "n/w", "nr", "n/r",
     "not taken", "not recorded", "unknown", "k.a.", "#n/a"}
)  # fmt: skip


def is_owl(species: str) -> bool:
    """Tell whether a scientific name belongs to an owl.

    Parameters
    ----------
    species : str
        Scientific name, genus first.

    Returns
    -------
    bool
        True for the owls' genera in `OWL_GENERA`.

    Examples
    --------
    >>> is_owl("Strix aluco"), is_owl("Buteo buteo")
    (True, False)
    """
    return species.strip().split(" ")[0].capitalize() in OWL_GENERA
