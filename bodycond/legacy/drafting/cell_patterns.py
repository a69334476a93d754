"""What cells of one kind look like, for telling columns apart."""

from __future__ import annotations

import re

NUMBER = re.compile(
    r"[~<>\u2248]? ?([-+]?(?:\d+(?:[.,]\d+)*|[.,]\d+)) ?"
    r"(g|gr|gms?|grams?|kg|lbs?|oz|mm|cm|in)?\.? ?[*?w]?",
    re.IGNORECASE | re.ASCII,
)
"""A number with its mark, unit and flags; the first group is the number, the second the unit."""

_ISO = r"\d{4}[-/.]\d{1,2}[-/.]\d{1,2}([ T]\d{1,2}:\d{2}(:\d{2}(\.\d+)?)?)?"
_SHORT = r"\d{1,2} ?[-/.] ?\d{1,2} ?[-/.] ?('?\d{2}|\d{4})( \d{1,2}:\d{2}(:\d{2})?)?"
_WORDED = (
    r"\d{1,2}(st|nd|rd|th|er|\.)?[-/. ]*(de )?[a-z]{3,10}\.?[-/., ]*(de )?('?\d{2}|\d{4})|"
    r"[a-z]{3,10}[-/. ]+\d{1,2}(st|nd|rd|th)?[-/., ]+\d{4}"
)
PATTERNS: dict[str, re.Pattern[str]] = {
    "date": re.compile(f"{_ISO}|{_SHORT}|{_WORDED}", re.ASCII),
    "date without year": re.compile(r"\d{1,2}[-/.]\d{1,2}\.?|\d{1,2}[-. ][a-z]{3,9}", re.ASCII),
    "time": re.compile(r"\d{1,2}[:h]\d{2}(:\d{2})?( ?[ap]m)?", re.ASCII),
    "sex": re.compile(
        r"f|m|u|fem|female|male|mal|unknown|unk|undet\w*|weiblich|mannlich|femelle|"
        r"hembra|macho|\u2640|\u2642"
    ),
    "age": re.compile(
        r"ahy|hy|asy|sy|aty|ty|after hatch(ing)? year|hatch year|second year|juv\w*|imm\w*|ad|"
        r"adult\w*|pull\w*|nestling|subad\w*|jungvogel|altvogel|volwassen"
    ),
    "calendar age": re.compile(r"ahy|hy|asy|sy|aty|ty"),
    "ring": re.compile(r"\d{3,4}[- ]\d{5}|[a-z]{1,3}[- .]?\d{4,7}|\d{8,9}", re.ASCII),
    "flag": re.compile(r"y|n|yes|no|ja|nein|oui|non|si|nee|true|false"),
    "age and sex": re.compile(r"(ahy|hy|asy|sy|aty|ty|ad|juv|imm|u)[/, -]+[fmuy]"),
    "two numbers": re.compile(r"\d+(\.\d+)? ?x ?\d+(\.\d+)?", re.ASCII),
    "date and mass": re.compile(r"\d{1,2}[-/.]\d{1,2}([-/.]\d{2,4})?[,;: ]+\d+([.,]\d+)? ?g?"),
    "unit": re.compile(r"g|gr|gm|grams?|kg|mm|cm|lbs?|oz|in|inch(es)?"),
}
"""What a whole cell, folded, looks like, by name of the kind."""

BINOMIAL = re.compile(r"[A-Z][a-z]{2,}[ _][a-z]{3,}([ _][a-z]{3,})?|.*\([A-Z][a-z]{2,} [a-z]{2,}\)")
FOUR_LETTERS = re.compile(r"[A-Z]{4}|[A-Z]{6}")
INITIALS = re.compile(r"[A-Z]{2,3}|[A-Z][a-z][A-Z]|[A-Z]{1,2}\d{1,2}")
"""A scientific name; a code of four or six letters; initials of a person. Case counts."""
