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

# Text that stands for "no value" in old sheets, in lower case without outer blanks. 0 and 999
# belong to a column of measures alone, so its reader knows them, not this list.
MISSING_TEXTS: frozenset[str] = frozenset(
    {"", "-", "--", "---", "----", ".", "..", "...", "/", "//", "_", "__", "___", "?", "??", "x",
     "na", "n/a", "n.a.", "n.a", "n. a.", "nan", "<na>", "nat", "none", "null", "(null)", "nil",
     "nr", "n/r", "n.r.", "nd", "n/d", "n.d.", "no data", "not taken", "not recorded", "missing",
     "not available", "blank", "(blank)", "unknown", "unbekannt", "inconnu", "inconnue",
     "desconocido", "desconocida", "onbekend", "k.a.", "k. a.", "keine angabe", "keine angaben",
     "sin datos", "sin dato", "geen gegevens", "entf\u00e4llt", "#n/a", "#nv", "#n/d", "#nb"}
)  # fmt: skip

TICK_TEXTS: frozenset[str] = frozenset({"x", "xx"})
"""Crosses: no value in a column of measures; yes, no value or a code in one of codes."""

NOT_WEIGHED_TEXTS: frozenset[str] = frozenset(
    {"n/w", "nw", "n.w.", "not weighed", "not weigh", "too weak", "too stressed", "no scale",
     "no scales", "nicht gewogen", "non pes\u00e9", "non pes\u00e9e", "no pesado", "no pesada",
     "niet gewogen"}
)  # fmt: skip
"""Why a bird has no mass, as written where the mass would stand."""

NOT_MEASURED_TEXTS: frozenset[str] = frozenset(
    {"no", "not measured", "not done", "not possible", "not examined", "refused", "escaped",
     "broken", "damaged", "worn", "clipped", "cut", "missing feather", "growing", "in growth",
     "molt", "molting", "moult", "moulting", "in molt", "in moult", "mauser", "in mauser", "mue",
     "en mue", "muda", "en muda", "rui", "in rui", "nicht gemessen", "abgebrochen",
     "non mesur\u00e9", "no medido", "niet gemeten"}
)  # fmt: skip
"""Why a bird has no measure, as written where the measure would stand."""

ERROR_TEXTS: frozenset[str] = frozenset(
    {"#ref!", "#div/0!", "#value!", "#name?", "#num!", "#null!", "#spill!", "#calc!", "#field!",
     "#blocked!", "#connect!", "#busy!", "#unknown!", "#getting_data", "#ref", "#div/0", "#value",
     "#name", "#num", "#null", "#spill", "#calc", "#bezug!", "#wert!", "#zahl!", "#\u00fcberlauf!",
     "#valeur!", "#nom?", "#nombre!", "#nul!", "#\u00a1ref!", "#\u00a1div/0!", "#\u00a1valor!",
     "#\u00bfnombre?", "#\u00a1num!", "#verw!", "#deel/0!", "#waarde!", "#naam?", "#getal!",
     "#rif!", "#valore!", "#nome?", "#div/0?", "#name!"}
)  # fmt: skip
"""Error values that spreadsheets write in English, German, French, Spanish, Dutch and Italian."""


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
