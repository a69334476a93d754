"""What a cell says: one parser a kind of cell, each of them ready for any text at all."""

from bodycond.legacy.notation.coded import (
    parse_age,
    parse_code,
    parse_crop,
    parse_flag,
    parse_sex,
    parse_species,
    parse_text,
)
from bodycond.legacy.notation.dates import DATE_ORDERS, compose_date, parse_date, read_month
from bodycond.legacy.notation.measures import (
    MARKER_REASON,
    MASS_UNITS,
    parse_length,
    parse_mass,
    parse_number,
)
from bodycond.legacy.notation.numerals import Decimal
from bodycond.legacy.notation.readings import (
    NO_VALUE,
    DateReading,
    FlagReading,
    NumberReading,
    Outcome,
    Reading,
    TextReading,
    fold_text,
    plain_text,
    says_missing,
    word_missing,
)
from bodycond.legacy.notation.scores import SLASHES, Slash, parse_score

__all__ = [
    "DATE_ORDERS",
    "MARKER_REASON",
    "MASS_UNITS",
    "NO_VALUE",
    "SLASHES",
    "DateReading",
    "Decimal",
    "FlagReading",
    "NumberReading",
    "Outcome",
    "Reading",
    "Slash",
    "TextReading",
    "compose_date",
    "fold_text",
    "parse_age",
    "parse_code",
    "parse_crop",
    "parse_date",
    "parse_flag",
    "parse_length",
    "parse_mass",
    "parse_number",
    "parse_score",
    "parse_sex",
    "parse_species",
    "parse_text",
    "plain_text",
    "read_month",
    "says_missing",
    "word_missing",
]
