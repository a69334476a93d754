"""A heading read: the field that it means, the unit and scale that it names, and how surely."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache

from bodycond.legacy.files.mojibake import repair_mojibake
from bodycond.legacy.headings.heading_match import (
    CERTAIN,
    NUMBER_WORDS,
    HeadingMatch,
    find_exact,
    find_known_field,
    give_field,
    is_own,
)
from bodycond.legacy.headings.heading_senses import (
    MEAN_WORDS,
    PARENT_WORDS,
    SEX_WORDS,
    find_computed,
    find_count,
    find_count_behind,
    read_chick_age,
    split_bird_words,
)
from bodycond.legacy.headings.heading_units import (
    fold_heading,
    read_date_form,
    read_unit,
    strip_date_form,
    take_last_unit,
    take_unit,
)
from bodycond.legacy.headings.plain_words import (
    DAY_WORDS,
    HARMLESS,
    OTHER_ANIMALS,
    OTHER_EVENTS,
    OTHER_THEMES,
    OTHER_THINGS,
    RING_DETAILS,
    STEMS,
    TIME_DETAILS,
)

__all__ = ["CERTAIN", "HeadingMatch", "fold_heading", "match_heading", "read_unit"]

_LENGTH_UNITS = frozenset({"mm", "cm", "in"})
_MASS_UNITS = frozenset({"g", "kg", "lb", "oz", "lb.oz"})
_LIMITS = re.compile(r"(?<![\w.])(\d) ?(?:-|\u2013|to|bis|\u00e0|a|tot|hasta) ?(\d{1,2})(?![\w.])")
_NUMBERING = re.compile(r"^\s*\d{1,2}\s*[.)]\s+")
_TOLERANCE = re.compile(r"(\u00b1|\+/-)\s*[\d.,]+")
# Words that count or name things, and say of a measure that it is another thing.
_COUNT_WORDS = frozenset({"score", "code", "no", "nr", "number", "id", "n"})
_MEASURED_FIELDS = frozenset(
    {"mass_g", "wing_mm", "tarsus_mm", "culmen_mm", "hallux_mm", "tail_mm"}
)


@lru_cache(maxsize=8192)
def match_heading(text: str) -> HeadingMatch:
    """Read a heading.

    Parameters
    ----------
    text : str
        The heading; one garbled by a wrong encoding is read as it was meant.

    Returns
    -------
    HeadingMatch
        The field that it means, if any, with the evidence.

    Examples
    --------
    >>> match = match_heading("Gewicht (g)")
    >>> match.field, match.unit, match.confidence
    ('mass_g', 'g', 0.95)
    >>> match_heading("Keel score (1-5)").scale_limits
    (1, 5)
    >>> match_heading("Egg weight (g)").field
    ''
    """
    meant = repair_mojibake(text) if not text.isascii() else text
    meant = _NUMBERING.sub("", _TOLERANCE.sub(" ", meant))
    limits = _LIMITS.search(meant)
    bare = _LIMITS.sub(" ", meant)
    order = read_date_form(bare)
    unit, words = take_unit(bare if order is None else strip_date_form(bare))
    exact = find_exact(words)
    if exact is None and unit is None:
        unit, words = take_last_unit(words)
    found = exact or _find_pair(words) or _look_up(words)
    if not found.field and not found.theme:
        found = _look_outside_brackets(meant) or found
    if found.field and unit and not _unit_fits(found, unit):
        evidence = f"{found.evidence}, but the unit {unit!r} does not fit"
        found = replace(found, confidence=0.5, evidence=evidence)
    elif unit and found.confidence == 0.6 and found.field in {"mass_g", "wing_mm", "tarsus_mm"}:
        found = replace(found, confidence=0.8, evidence=f"{found.evidence}; the unit fits")
    scale_limits = (int(limits[1]), int(limits[2])) if limits else None
    return replace(found, heading=text, unit=unit, scale_limits=scale_limits, date_order=order)


_LONGEST = 4
# Their words are too common to mean anything among others.
_NEVER_INSIDE = frozenset(
    {
        "total_length_mm",
        "wing_span_mm",
        "primary_mm",
        "foot_mm",
        "bird_count",
        "other_date",
        "nest",
        "collection",
        "subspecies",
        "capture_status",
        "brood_patch",
        "wing_width_mm",
        "lay_date",
        "death_date",
        "release_date",
    }
)
_MASS_WORDS = frozenset({"mass", "weight", "wt", "gewicht", "poids", "peso", "masse"})
_NUMBERED_MASS = re.compile(rf"({'|'.join(sorted(_MASS_WORDS))})([1-9])")


def _look_outside_brackets(text: str) -> HeadingMatch | None:
    """Read 'Keel (1=fat, 5=thin)' by what stands outside its brackets, and say what is inside."""
    inside = re.search(r"[(\[](.*)[)\]]", text)
    found = find_exact(fold_heading(text.replace(inside[0], " "))) if inside else None
    if inside is None or found is None:
        return None
    evidence = f"{found.evidence}; in brackets stands {inside[1]!r}"
    return replace(found, confidence=min(found.confidence, 0.8), evidence=evidence)


def _find_pair(words: str) -> HeadingMatch | None:
    """Read a heading over two columns, as 'Tarsus L W': length first and width behind it."""
    pair = re.fullmatch(r"(.+?) l(?: x)? w( 2)?", words)
    base = find_exact(pair[1]) if pair else None
    if pair is None or base is None or not base.field.endswith("_mm"):
        return None
    said = "two columns, L and W, under one heading"
    if not pair[2]:
        return replace(base, confidence=0.8, evidence=f"{base.evidence}; {said}, this one L")
    width = {"tarsus_mm": "tarsus_width_mm", "culmen_mm": "bill_width_mm"}.get(base.field)
    return give_field(width, 0.6, f"{said}, this one W") if width else None


def _look_up(words: str) -> HeadingMatch:
    found = find_exact(words)
    if found is not None:
        return found
    numbered = re.fullmatch(r"(.+?) (\d{1,2})", words) or _NUMBERED_MASS.fullmatch(words)
    if numbered and (found := find_exact(numbered[1])) is not None:
        evidence = f"{found.evidence}, number {numbered[2]} of them"
        return replace(found, confidence=min(found.confidence, 0.8), evidence=evidence)
    theme = next((name for name, form in OTHER_THEMES if form.fullmatch(words)), "")
    if theme:
        return _name_theme(theme)
    sense = _read_sense(words)
    if sense is not None:
        return sense
    tokens = words.split()
    if OTHER_EVENTS & set(tokens) and DAY_WORDS & set(tokens):
        named = min(OTHER_EVENTS & set(tokens))
        return give_field("other_date", 0.6, f"heading speaks of a day of {named!r}")
    core = [token for token in tokens if token not in HARMLESS]
    if core and len(core) < len(tokens) and (found := find_exact(" ".join(core))) is not None:
        removed = set(tokens) - set(core)
        sure = found.confidence if found.confidence < CERTAIN else CERTAIN
        if found.field in _MEASURED_FIELDS and removed & _COUNT_WORDS:
            sure = 0.5
        if found.kind is None and found.field == "gravid" and removed & _COUNT_WORDS:
            return HeadingMatch(heading="", field="")  # the number of an egg
        if found.field == "mass_g" and "max" in removed:
            sure = 0.5  # the longest of a wing is a method, the largest of masses a summary
        return replace(found, confidence=sure)
    behind = find_count_behind(words)
    if behind:
        return _name_theme(f"a count or a number ({behind!r})")
    parted = split_bird_words(words)
    if parted != words and find_exact(parted.partition(" ")[2]) is not None:
        tokens = parted.split()
    return _find_inside(tokens)


def _name_theme(theme: str) -> HeadingMatch:
    return HeadingMatch(heading="", field="", evidence=f"it speaks of {theme}", theme=theme)


def _read_sense(words: str) -> HeadingMatch | None:
    """Read a heading of a computed value, a count, or an age in days or weeks."""
    computed = find_computed(words)
    if computed:
        return _name_theme(f"a computed value ({computed!r})")
    count = find_count(words)
    if count and not _is_label(count, words):
        return _name_theme(f"a count or a number ({count!r})")
    unit = read_chick_age(words)
    if unit:
        return give_field(f"chick_age_{unit}", 0.6, f"heading {words!r} speaks of an age in time")
    return None


def _is_label(count: str, words: str) -> bool:
    """Tell the number of a ring or a bird, and a Spanish name ('nombre'), from a count."""
    rest = " ".join(token for token in words.split() if token not in HARMLESS and token != count)
    found = find_exact(rest) if rest else None
    fields = {"ring_number", "bird_id", "exam_id"}
    if count == "nombre":
        fields |= {"species", "scorer", "site"}
    return found is not None and found.field in fields


def _find_inside(tokens: list[str]) -> HeadingMatch:
    """Find a known word among words that are not known."""
    for length in range(min(_LONGEST, len(tokens)), 0, -1):
        found = [
            (field, start)
            for start in range(len(tokens) - length + 1)
            if (field := _name_phrase(tokens[start : start + length]))
        ]
        # 'Bird A wt' is a mass and no bird.
        found.sort(key=lambda item: item[0] not in {*_MEASURED_FIELDS, "keel"})
        for field, start in found[:1]:
            rest = {*tokens[:start], *tokens[start + length :]}
            # 'Clinical notes' are remarks whatever they are about.
            if field == "remarks" and start + length == len(tokens):
                said = f"heading ends in {' '.join(tokens[start:])!r}"
                return give_field(field, CERTAIN, said)
            return _weigh_rest(field, " ".join(tokens[start : start + length]), rest)
    for stem, field in STEMS:
        if any(stem in token for token in tokens):
            rest = {part for token in tokens for part in token.split(stem) if part}
            return _weigh_rest(field, stem, rest)
    return HeadingMatch(heading="", field="")


def _name_phrase(words: list[str]) -> str:
    """Name the field of some words of a heading; the empty text where they mean none."""
    phrase = " ".join(words)
    field = find_known_field(phrase)
    # A letter alone says too little: 'culmen w' inside 'culmen w cere'.
    short = any(len(word) < 2 for word in words) if len(words) > 1 else len(phrase) < 3
    return "" if field in _NEVER_INSIDE or (short and phrase != "wt") else field


def _weigh_rest(field: str, phrase: str, rest: set[str]) -> HeadingMatch:
    others = rest & (OTHER_ANIMALS | PARENT_WORDS | SEX_WORDS)
    things = rest & OTHER_THINGS
    if field != "mass_g":
        things |= rest & _MASS_WORDS
    if field in {"ring_number", "sex", "age_code", "exam_date"}:
        things -= {"band", "ring", "type", "yes", "date"}
    if is_own(field) or field in {"remarks", "scorer", "site"}:
        things = set()
    if field == "ring_number":
        things |= rest & RING_DETAILS
    if field == "capture_time":
        things = rest & TIME_DETAILS
    if field == "scorer":
        things = rest & NUMBER_WORDS
    if things or (others & {"egg", "eggs", "prey", "food", "meal", "ei", "oeuf", "huevo"}):
        named = min(things or others)
        evidence = f"it holds the word {phrase!r}, but speaks of {named!r}"
        return HeadingMatch(heading="", field="", evidence=evidence)
    if others:
        said = f"heading holds the word {phrase!r}, but speaks of another bird ({min(others)!r})"
        return give_field(field, 0.4, said)
    if rest & MEAN_WORDS and field in _MEASURED_FIELDS:
        said = f"heading holds the word {phrase!r}, but speaks of a computed value"
        return give_field(field, 0.5, f"{said} ({min(rest & MEAN_WORDS)!r})")
    return give_field(field, 0.55, f"heading holds the word {phrase!r}")


def _unit_fits(match: HeadingMatch, unit: str) -> bool:
    if match.field.endswith("_mm") or match.field == "pectoral_size":
        return unit in _LENGTH_UNITS
    return unit in _MASS_UNITS if match.field == "mass_g" else False
