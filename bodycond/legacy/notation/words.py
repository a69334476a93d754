"""Words of old sheets in seven languages: months, weekdays, sexes, ages, crops, yes and no.

Folded: lower case without accents. A word that means another thing in another language stays out,
or stands among the hints, which are shown and never applied.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from bodycond.legacy.notation.texts import fold_text


def _spread(groups: Mapping[str, str]) -> dict[str, str]:
    return {word: value for value, words in groups.items() for word in words.split()}


def _number(groups: Iterable[str], *, start: int) -> dict[str, int]:
    return {
        word: number for number, words in enumerate(groups, start=start) for word in words.split()
    }


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


MONTH_WORDS: dict[str, int] = _number(
    (
        "jan january januar janner janvier janv enero ene januari gennaio genn gen janeiro",
        "feb february februar fevrier fevr fev febrero februari febbraio febr fevereiro",
        "mar march marz maerz mrz mars marzo maart mrt maa marco",
        "apr april avril avr abril abr aprile",
        "may mai mayo mei maggio mag maio",
        "jun june juni juin junio giugno giu junho",
        "jul july juli juillet juil julio luglio lug lugl julho",
        "aug august aout aou agosto ago augustus",
        "sep sept september septembre septiembre setiembre set settembre sett setembro",
        "oct october oktober octobre octubre okt ottobre ott outubro out",
        "nov november novembre noviembre novembro",
        "dec december dezember decembre diciembre dez dic dicembre dezembro",
    ),
    start=1,
)
"""Months in English, German, French, Spanish, Dutch, Italian and Portuguese, 1 to 12."""

ROMAN_NUMBERS: dict[str, int] = _number(
    ("i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii"), start=1
)

_WEEKDAYS = (
    "mon monday mo montag lun lundi lunes lunedi ma maandag segunda seg",
    "tue tues tuesday di dienstag mar mardi ma martes martedi dinsdag terca",
    "wed wednesday mi mittwoch mer mercredi mie miercoles mercoledi wo woensdag quarta",
    "thu thur thurs thursday do donnerstag jeu jeudi jue jueves gio giovedi donderdag quinta",
    "fri friday fr freitag ven vendredi vie viernes venerdi vr vrijdag sexta",
    "sat saturday sa samstag sonnabend sam samedi sab sabado sabato za zaterdag",
    "sun sunday so sonntag dim dimanche dom domingo domenica zo zondag",
)
# Some short forms name two days: 'ma' is a Monday in Dutch and a Tuesday in French.
WEEKDAY_WORDS: dict[str, tuple[int, ...]] = {
    word: tuple(day for day, names in enumerate(_WEEKDAYS) if word in names.split())
    for words in _WEEKDAYS
    for word in words.split()
}
"""Weekdays, each with the days that it can be; Monday is 0."""

SEASON_WORDS: frozenset[str] = _set(
    "spring summer autumn fall winter fruhjahr fruhling sommer herbst printemps ete automne hiver "
    "primavera verano otono invierno estate autunno inverno voorjaar lente zomer herfst najaar"
)
PART_OF_MONTH_WORDS: frozenset[str] = _set(
    "early mid middle late end start beginning anfang mitte ende debut mi milieu fin principios "
    "mediados finales inizio meta fine begin midden half eind"
)

SEX_NOTATIONS: dict[str, str] = {
    **_spread(
        {
            "F": "f fem female females \u2640 weiblich weibchen femelle femelles feminin feminine "
            "hembra hembras femenino vrouw vrouwelijk vrouwtje wijfje femmina femmine femea hen",
            "M": "m mal male males \u2642 mannlich mannchen masculin masculine macho machos "
            "masculino man mannelijk mannetje maschio maschi cock",
            "U": "u unk unknown undetermined undet indet indetermine indeterminado inconnu "
            "inconnue unbekannt unbestimmt unbek desconocido onbekend ? unsexed m/f f/m",
        }
    ),
    "not known": "U",
    "not sexed": "U",
    "sex unknown": "U",
}
SEX_HINTS: dict[str, str] = {
    "w": "F (weiblich)", "v": "F (vrouw)", "h": "F (hembra)",
    "1.0": "M (1.0: one male, no female)", "1,0": "M (1.0: one male, no female)",
    "0.1": "F (0.1: no male, one female)", "0,1": "F (0.1: no male, one female)",
    "0.0.1": "U (0.0.1: one bird of unknown sex)",
}  # fmt: skip

AGE_NOTATIONS: dict[str, str] = {
    **_spread(
        {
            "pullus": "pullus pulli pull pul nestling nestlings chick nestjong pollo poussin "
            "nestjunges kuken kuiken",
            "juvenile": "juvenile juveniles juv juvenil jungvogel fledgling juveniel giovane",
            "immature": "immature immatures imm subadult subad immatur inmaduro inmature immaturo "
            "onvolwassen",
            "adult": "adult adults ad adulte adulto adulta altvogel volwassen",
            "unknown": "u unknown unk unbekannt unbek inconnu desconocido onbekend",
        }
    ),
    "not known": "unknown",
    "age unknown": "unknown",
}
AGE_HINTS: dict[str, str] = {
    "a": "adult", "i": "immature", "j": "juvenile", "p": "pullus", "n": "pullus (nestling)",
    "local": "pullus (not yet able to fly)",
    "a/hy": "AHY, or two ages: A and HY",
}  # fmt: skip

# Classes follow from a calendar-year code only where the code leaves one possibility; 'after
# hatch year' can be an immature or an adult bird of prey and gives none.
_CALENDAR_CODES: dict[str, str | None] = {
    "hy": "juvenile", "ahy": None, "sy": "immature", "asy": None, "ty": None, "aty": None,
    "1cy": "juvenile", "2cy": "immature", "3cy": None, "4cy": None,
    "+1cy": None, "1cy+": None, "+2cy": None, "2cy+": None,
}  # fmt: skip
AGE_CODES: dict[str, dict[str, str | None]] = {
    "BBL": {
        **_CALENDAR_CODES,
        "0": "unknown", "u": "unknown", "1": None, "2": "juvenile", "3": "juvenile",
        "j": "juvenile", "4": "pullus", "l": "pullus", "5": "immature", "6": None, "7": None,
        "8": None,
    },
    "EURING": {
        **_CALENDAR_CODES,
        "0": "unknown", "1": "pullus", "1j": "juvenile", "2": None, "3": "juvenile",
        "3j": "juvenile", "4": None, "5": "immature", "6": None, "7": None, "8": None, "9": None,
    },
    "SITE": dict(_CALENDAR_CODES),
}  # fmt: skip
"""Age codes by their system, each with the class that it leaves; None where it leaves more."""

CROP_NOTATIONS: dict[str, str] = {
    **dict.fromkeys(
        ("empty", "leer", "vide", "vacio", "leeg", "vuoto", "vazio", "0/4", "0%", "0 %"), "0"),
    **dict.fromkeys(
        ("1/4", "1/4 full", "1/4 voll", "quarter", "quarter full", "a quarter", "25%", "25 %"),
        "1"),
    **dict.fromkeys(
        ("1/2", "1/2 full", "1/2 voll", "half", "half full", "halb", "halbvoll", "2/4", "50%",
         "50 %"), "2"),
    **dict.fromkeys(
        ("3/4", "3/4 full", "3/4 voll", "three quarters", "three quarters full", "75%", "75 %"),
        "3"),
    **dict.fromkeys(
        ("full", "voll", "plein", "lleno", "vol", "pieno", "cheio", "4/4", "100%", "100 %"), "4"),
    **dict.fromkeys(("no crop", "no_crop", "owl: no crop"), "no_crop"),
}  # fmt: skip

YES_WORDS: frozenset[str] = _set(
    "y yes true 1 1.0 ja j oui o si s sim wahr vrai verdadero verdadeiro vero waar \u2713 \u2714 "
    "\u2611"
)
NO_WORDS: frozenset[str] = _set("n no false 0 0.0 nein non nee nao falsch faux falso onwaar")
FLAG_HINTS: dict[str, str] = {"t": "yes (true)", "f": "no (false)", "+": "yes", "\u2717": "no"}

# A local name can look like a genus with a species behind it: 'Barn owl', 'Buse variable'.
LOCAL_NAME_WORDS: frozenset[str] = _set(
    "owl owls owlet kite kites hawk hawks eagle eagles falcon falcons buzzard buzzards harrier "
    "harriers vulture vultures osprey kestrel kestrels merlin hobby goshawk sparrowhawk caracara "
    "condor barn tawny common lesser greater golden white red black long short eared tailed "
    "northern southern eastern western european american little great grey gray eurasian gull "
    "duck goose swan crow raven magpie jay pigeon dove sparrow finch tit warbler thrush plover "
    "sandpiper penguin heron stork crane hummingbird yellowlegs bird "
    "buse milan faucon chouette hibou aigle epervier busard autour vautour balbuzard effraie "
    "hulotte cheveche crecerelle moyen grand petit royal noir "
    "busardo milano halcon lechuza buho mochuelo aguila gavilan azor cernicalo buitre aguilucho "
    "ratonero comun real negro "
    "bussard habicht sperber falke adler eule kauz uhu weihe milaan buizerd havik sperwer valk "
    "torenvalk uil kerkuil bosuil arend wouw kiekendief gheppio poiana pellegrino gufo civetta "
    "barbagianni allocco reale nibbio astore sparviere "
    "adult juvenile immature female male unknown not young chick nestling species"
)
"""Words of local names for birds, and words that are no name at all."""


def read_month(word: str) -> int | None:
    """Read a month's name in English, German, French, Spanish, Dutch, Italian or Portuguese.

    Parameters
    ----------
    word : str
        The name or its usual short form, in any case, with or without accents; or its number.

    Returns
    -------
    int or None
        1 to 12, None for another word.

    Examples
    --------
    >>> read_month("Ao\u00fbt"), read_month("Mrt."), read_month("Marsh")
    (8, 3, None)
    """
    folded = fold_text(word).strip(". ")
    if folded.isascii() and folded.isdigit() and len(folded) <= 2:
        return int(folded) if 1 <= int(folded) <= 12 else None
    return MONTH_WORDS.get(folded)
