"""Words and letters for sex in languages that the reading of cells does not know by itself."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from bodycond.legacy.headings.heading_units import fold_heading


def _index(**words: str) -> dict[str, str]:
    return {word: sex for sex, listed in words.items() for word in listed.split()}


_WORDS = _index(
    M="hane hann han macho machos masculino maschio mannlich mannchen mannelijk mannetje man "
    "males tiercel terzel samec samiec koiras",
    F="hona hunn hun hona femea hembra hembras femmina femminile feminino femenino weiblich "
    "weibchen vrouwelijk vrouwtje vrouw pop females femelles samica samice naaras",
    U="indet indeterminado indeterminato indetermine indeterminada unbestimmt onbekend okand "
    "ukendt ukjent desconocido desconhecido sconosciuto inconnu unbekannt",
)
# One letter is a code of many things, so these are proposed and asked about.
_LETTERS = _index(F="w v h", U="i o ind")
_LEAST_LETTERS = 3


def explain_sexes(texts: Iterable[str]) -> dict[str, str]:
    """Explain what texts of a column of sexes most likely mean.

    Parameters
    ----------
    texts : iterable of str
        Texts as written.

    Returns
    -------
    dict of str to {"M", "F", "U"}
        Those that a word or letter is known for.

    Examples
    --------
    >>> explain_sexes(["Hona", "V", "7"])
    {'Hona': 'F', 'V': 'F'}
    """
    known = {**_LETTERS, **_WORDS}
    found = {text: known.get(fold_heading(text)) for text in texts}
    return {text: sex for text, sex in found.items() if sex is not None}


def are_words(texts: Collection[str]) -> bool:
    """Tell whether texts are whole words, which leave no doubt under a heading for sex.

    Parameters
    ----------
    texts : collection of str
        Texts that `explain_sexes` explained.

    Returns
    -------
    bool
        False where one is a letter or abbreviation.

    Examples
    --------
    >>> are_words(["Hona", "Hane"]), are_words(["V"])
    (True, False)
    """
    return bool(texts) and all(fold_heading(text) in _WORDS for text in texts)
