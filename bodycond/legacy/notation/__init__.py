"""What a cell says: one parser a kind of cell, each of them ready for any text at all."""

from bodycond.legacy.notation.calendar_days import (
    FIRST_SHORT_LIMIT,
    LAST_SHORT_LIMIT,
    LAST_SHORT_YEAR,
)
from bodycond.legacy.notation.coded import (
    parse_age,
    parse_code,
    parse_crop,
    parse_flag,
    parse_sex,
    parse_text,
)
from bodycond.legacy.notation.coded_ranges import parse_coded_range
from bodycond.legacy.notation.dates import DATE_ORDERS, compose_date, parse_date
from bodycond.legacy.notation.measures import (
    MARKER_REASON,
    MASS_UNITS,
    parse_length,
    parse_mass,
)
from bodycond.legacy.notation.names import parse_identifier, parse_species
from bodycond.legacy.notation.numerals import Decimal
from bodycond.legacy.notation.plain_numbers import parse_number
from bodycond.legacy.notation.readings import (
    DateReading,
    FlagReading,
    NumberReading,
    Outcome,
    Reading,
    TextReading,
    TimeReading,
)
from bodycond.legacy.notation.scores import SLASHES, Slash, parse_score
from bodycond.legacy.notation.texts import (
    NO_VALUE,
    explain_special,
    fold_text,
    plain_text,
    says_missing,
    word_missing,
)
from bodycond.legacy.notation.times import parse_time
from bodycond.legacy.notation.words import read_month

__all__ = [
    "DATE_ORDERS",
    "FIRST_SHORT_LIMIT",
    "LAST_SHORT_LIMIT",
    "LAST_SHORT_YEAR",
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
    "TimeReading",
    "compose_date",
    "explain_special",
    "fold_text",
    "parse_age",
    "parse_code",
    "parse_coded_range",
    "parse_crop",
    "parse_date",
    "parse_flag",
    "parse_identifier",
    "parse_length",
    "parse_mass",
    "parse_number",
    "parse_score",
    "parse_sex",
    "parse_species",
    "parse_text",
    "parse_time",
    "plain_text",
    "read_month",
    "says_missing",
    "word_missing",
]
