"""Headings whose words speak of a computed value, a count, another bird or an age in time."""

from __future__ import annotations

import re


def _set(text: str) -> frozenset[str]:
    return frozenset(text.split())


COMPUTED_WORDS = _set(
    """growth gain gains rate rates daily ratio ratios residual residuals resid index indices change
    changes diff diffs difference differences delta fitted zscore smi bci
    wachstum zuwachs zunahme abnahme verhaltnis residuum residuen anderung veranderung differenz
    taglich croissance accroissement taux rapport indice residu residus changement ecart quotidien
    crecimiento incremento ganancia tasa cociente residuo residuos cambio diferencia diario diaria
    groei toename afname aanwas verhouding residuen verandering verschil dagelijks"""
)
"""Words of values that are computed from measures: no heading with one holds a raw measure."""

MEAN_WORDS = _set(
    """mean avg av average averaged median calculated calc computed estimated mittel mittelwert
    durchschnitt durchschnittlich berechnet moyenne moyen moy calcule calculee media promedio prom
    calculado calculada gemiddelde gemiddeld gem berekend berekende"""
)
"""Words of values that are computed and can yet stand for the measure where it is alone."""

# Days and rings change too.
_NO_VALUE = _set("date datum fecha data dato band bands ring rings bague anilla net nest nid nido")
_JOINED_COMPUTED = re.compile(
    r"\w{2,}(growth|gain|ratio|residuals?|zunahme|abnahme|anderung|differenz|index|verhaltnis|"
    r"wachstum|toename|afname|groei|verschil|verhouding)"
)
_NO_GAIN = _set("again regain")

COUNT_WORDS = _set(
    "number numbers num n nb nbr count anzahl nombre numero numeros nummer aantal cantidad antal"
)
"""Words of a count where a noun stands behind them."""

_COUNT_BEHIND = _set("n num nb nbr count counts anzahl aantal")
_YES_LETTERS = _set("y j o s yes ja oui si")
_COUNT_OF = re.compile(r"(no|nr|number|count) (of|de|des|d|von|van) .+")
_JOINED_COUNT = re.compile(r"(num(?!ber|er|eric|mer)|nbr|numof|anz(?!ahl))[a-z]{1,}\d*")
_SIZES = re.compile(
    r"(.* )?(clutch|brood|litter|flock|group|gelege|brut|ponte|nichee|couvee|puesta|nidada|legsel|"
    r"broedsel) ?(size|grosse|taille|tamano|grootte)( .*)?|gelegegrosse|brutgrosse|legselgrootte|"
    r"(taille|tamano) (de )?(la )?(ponte|nichee|couvee|puesta|nidada)"
)

PARENT_WORDS = _set(
    """mother father mom mum dad parent parents sire dam mate partner mutter vater eltern mere pere
    parents madre padre padres moeder vader ouder ouders"""
)
"""Words of the parents or the mate of the bird examined."""

SEX_WORDS = _set(
    """female male fem females males weibchen mannchen femelle hembra macho vrouwtje mannetje vrouw
    man"""
)
"""Words that name another bird where the table has the bird's own columns beside."""

_JOINED_BIRD = re.compile(
    r"(female|male|fem|mother|father|mom|mum|dad|parent|weibchen|mannchen|femelle|hembra|macho)"
    r"([a-z]{3,})"
)

AGE_WORDS = _set("age aged alter edad leeftijd eta idade alder")
CHICK_WORDS = _set(
    """chick chicks nestling nestlings pull pullus pulli pullen fledgling fledglings eyas eyases
    owlet owlets kuken nestjung nestjunges jungvogel poussin poussins pouss oisillon polluelo
    polluelos pollo pollos pichon pichones pullo kuiken kuikens nestjong nestjongen pulcino"""
)
"""Words for young birds that are still fed."""

_RINGING_WORDS = _set(
    "ringing ringed banding banded tagging beringung baguage anillamiento anillado ringen"
)
# One letter is no unit here: 'groupe d'âge' is a class.
_DAY_UNITS = _set("day days dph tag tage jour jours dia dias dag dagen giorni")
_WEEK_UNITS = _set("week weeks wk wks woche wochen semaine semaines sem semana semanas weken")


def find_computed(words: str) -> str:
    """Find the word of a heading that says that a value is computed.

    Parameters
    ----------
    words : str
        The folded heading.

    Returns
    -------
    str
        The word; the empty text where there is none.

    Examples
    --------
    >>> find_computed("daily wing growth"), find_computed("wing"), find_computed("ring change")
    ('daily', '', '')
    """
    tokens = words.split()
    if _NO_VALUE & set(tokens):
        return ""
    for token in tokens:
        joined = token not in _NO_GAIN and _JOINED_COMPUTED.fullmatch(token)
        if token in COMPUTED_WORDS or joined:
            return token
    return ""


def find_mean(words: str) -> str:
    """Find the word of a heading that speaks of a mean, or of a calculated measure.

    Parameters
    ----------
    words : str
        The folded heading.

    Returns
    -------
    str
        The word; the empty text where there is none.

    Examples
    --------
    >>> find_mean("tarsus average"), find_mean("tarsus")
    ('average', '')
    """
    return next((token for token in words.split() if token in MEAN_WORDS), "")


def find_count(words: str) -> str:
    """Find the word of a heading that makes it a count or a number of something.

    Parameters
    ----------
    words : str
        The folded heading; one of a ring's or a bird's number is no count and not to be asked.

    Returns
    -------
    str
        The word; the empty text where there is none.

    Examples
    --------
    >>> find_count("number hatched"), find_count("no of chicks"), find_count("numfledged")
    ('number', 'no', 'numfledged')
    >>> find_count("number"), find_count("chick n")
    ('', '')
    """
    tokens = words.split()
    # 'N S' and 'N E' are directions.
    named = any(len(token) > 1 for token in tokens[1:])
    if named and (tokens[0] in COUNT_WORDS or _COUNT_OF.fullmatch(words)):
        return tokens[0]
    if _SIZES.fullmatch(words):
        return words
    return next((token for token in tokens if _JOINED_COUNT.fullmatch(token)), "")


def find_count_behind(words: str) -> str:
    """Find a word of a count that ends a heading, as in 'chick n'.

    Parameters
    ----------
    words : str
        The folded heading.

    Returns
    -------
    str
        The word; the empty text where there is none.

    Examples
    --------
    >>> find_count_behind("observation n"), find_count_behind("wing")
    ('n', '')
    """
    first, _, last = words.rpartition(" ")
    # 'Recruit Y or N' asks for yes or no.
    if set(first.split()) & _YES_LETTERS:
        return ""
    return last if first and last in _COUNT_BEHIND else ""


def split_bird_words(words: str) -> str:
    """Part a word for another bird from the word that it is joined to.

    Parameters
    ----------
    words : str
        The folded heading.

    Returns
    -------
    str
        With 'femaleband' as 'female band'; a word that only begins so is parted too, and means
        nothing then.

    Examples
    --------
    >>> split_bird_words("femaleband no"), split_bird_words("female band")
    ('female band no', 'female band')
    """
    whole = PARENT_WORDS | SEX_WORDS
    parted = [
        " ".join(found.groups())
        if token not in whole and (found := _JOINED_BIRD.fullmatch(token))
        else token
        for token in words.split()
    ]
    return " ".join(parted)


def read_chick_age(words: str) -> str:
    """Read a heading of an age that is told in days or weeks.

    Parameters
    ----------
    words : str
        The folded heading.

    Returns
    -------
    {"", "days", "weeks"}
        Days where it names no weeks; the empty text where it is no such age.

    Examples
    --------
    >>> read_chick_age("age nestling"), read_chick_age("banding age weeks"), read_chick_age("age")
    ('days', 'weeks', '')
    """
    tokens = set(words.split())
    others = tokens - AGE_WORDS
    if len(others) == len(tokens) or not others:
        return ""
    if others & _WEEK_UNITS:
        return "weeks"
    return "days" if others & (CHICK_WORDS | _RINGING_WORDS | _DAY_UNITS) else ""
