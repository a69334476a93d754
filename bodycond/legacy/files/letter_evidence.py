"""Which of several readings of a byte gives letters that stand where such letters do."""

from __future__ import annotations

import codecs
import functools
import re
from collections.abc import Iterable
from dataclasses import dataclass

# Of two readings that fit alike the first is taken; the older ones need clear evidence.
CANDIDATES = {"cp1252": 0.10, "mac-roman": 0.05, "cp850": -0.10, "cp437": -0.12}

# Enough different words to tell encodings apart, few enough to look at one by one.
_MOST_CONTEXTS = 2000
_MOST_BYTES_LOOKED_AT = 200_000
_CONTEXT = 24

_ODD = re.compile(rb"[\x80-\xff]+[A-Za-z\x80-\xff]{0,24}")
_LETTERS_BEFORE = re.compile(rb"[A-Za-z]{0,24}\Z")

_COMMON = "éèàüöäßçñóíáêëïôûúîùâ"
_RARER = "åøæãõœ"
_MARKS_AROUND_WORDS = "“”„«»‘’‚‹›"

# Words of bird sheets and of everyday life in the languages that headings come in. Their letters
# with a left and a right neighbour are what tells 'très' from 'träs'.
_WORDS = """
négatif négative bébé âgé âge mâle année numéro prénom blessé blessée opéré opérée épaule épervier
mué mué récente récent état très près après dès fièvre grièvement père mère élève pièce espèce
baguée bagué capturé relâché relâchée lâché décédé décès légère léger sévère modéré côté forêt tête
bête être même maître fenêtre crête arrêt août hôtel côte contrôle né née où là déjà voilà
déshydraté déshydratée ébouriffé éjointé musculature très-faible amaigri réserve préfixe présence
français française reçu reçue leçon façon garçon cachectique maçon çà oesophage œil sœur cœur naïf
maïs noël île connaître dû sûr mûr piqûre brûlé brûlée goût dégâts bâtiment château plâtre crâne
épuisé épuisée écrasé électrocuté électrocution collision véhicule clôture barbelé hérité thérapie
évaluation émacié émaciée qualité quantité densité début été hiver éclos éclosion élevé élevée
flügel männchen mäßig größe große groß gefäß füße fuß schnabellänge länge lauflänge flügellänge
schwäche schwach geschwächt verhältnis mäusebussard käfig jäger kärnten jährig diesjährig vorjährig
jährlich früh früher für über überfahren übergewicht rücken brücke müller grün müde dünn dürr
füllung kropffüllung kröpfe öl körper körpergewicht größer höhe möglich gehör völlig könig schön
hörnchen töten getötet vögel vogel männlich weiß weißer heißt straße schließen maß nässe gewässer
verletzt rötung öffnung österreich übung prüfung geprüft zurück brüche flügelbruch äußerlich
año años niño señal español pequeño dañado daño muñeca montaña uña uñas pestaña otoño peón león
águila búho halcón azor ratón cernícalo número código índice médico clínica día río país caída raíz
región observación estación condición medición recuperación alimentación corazón pulmón después
también según más está están árbol máximo mínimo débil fácil difícil músculo húmedo último única
único público lechuza cría crías jóven joven mamá papá sí aquí allí pingüino vergüenza cigüeña
één ruïne geïnspireerd coördinaat coördinaten reünie vóór ziekenhuis categorieën ideeën geëerd
zoöloog patiënt patiënten weiën conditiën bedriegt knieën efficiënt ingrediënt cliënt drieën
größe müsli öko ähnlich äste übel überall ärztin è é à même fôret rémige rémiges rectrice plumée
näher nächste täglich tägliche wärme gerät geräte später spät stärke blässe säge fällt hält
"""

_APOSTROPHE_BEFORE = frozenset({"l", "d", "n", "s", "j", "c", "m", "t", "qu", "o", "L", "D", "O"})
_APOSTROPHE_AFTER = frozenset({"s", "t", "re", "ll", "ve", "d", "m", "n"})


@dataclass(frozen=True, kw_only=True, eq=False)
class Reading:
    """How well one encoding fits.

    Parameters
    ----------
    encoding : str
        Its name.
    score : float
        Mean plausibility of its odd letters, from 0 to 1, with the head start of the encoding.
    fits : int
        Odd words whose letters stand where such letters do.
    words : int
        Odd words looked at.
    """

    encoding: str
    score: float
    fits: int
    words: int


@functools.cache
def _known_neighbours() -> tuple[frozenset[str], frozenset[str]]:
    words = frozenset(_WORDS.split())
    trios = {
        f" {word} "[place - 1 : place + 2]
        for word in words
        for place in range(1, len(word) + 1)
        if not f" {word} "[place].isascii()
    }
    return words, frozenset(trios)


@functools.cache
def make_table(encoding: str) -> str:
    """Give the character of each byte; a byte without one keeps its number.

    Parameters
    ----------
    encoding : str
        An encoding of one byte a character.

    Returns
    -------
    str
        256 characters.

    Examples
    --------
    >>> make_table("cp1252")[0x80], make_table("cp1252")[0x81]
    ('€', '\\x81')
    """
    characters = []
    for number in range(256):
        try:
            characters.append(bytes([number]).decode(encoding))
        except UnicodeDecodeError:
            characters.append(chr(number))
    return "".join(characters)


def decode_bytes(content: bytes, *, encoding: str) -> str:
    """Decode bytes one by one, so that none can fail.

    Parameters
    ----------
    content : bytes
        The bytes.
    encoding : str
        An encoding of one byte a character.

    Returns
    -------
    str
        As many characters as bytes.

    Examples
    --------
    >>> decode_bytes(b"For\\x90t", encoding="mac-roman")
    'Forêt'
    """
    return codecs.charmap_decode(content, "strict", make_table(encoding))[0]


def find_odd_words(content: bytes) -> list[tuple[bytes, bytes, bytes, int]]:
    """Find the different words that hold a byte beyond ASCII.

    Parameters
    ----------
    content : bytes
        The file's content.

    Returns
    -------
    list of (bytes, bytes, bytes, int)
        The character before, the word, the character after, and where the word begins.
    """
    found: dict[tuple[bytes, bytes, bytes], int] = {}
    looked_at = 0
    for match in _ODD.finditer(content):
        before = content[max(0, match.start() - _CONTEXT) : match.start()]
        letters = _LETTERS_BEFORE.search(before)
        start = match.start() - (len(letters[0]) if letters else 0)
        end = match.end()
        key = (content[max(0, start - 1) : start], content[start:end], content[end : end + 1])
        found.setdefault(key, start)
        looked_at += end - start
        if len(found) >= _MOST_CONTEXTS or looked_at >= _MOST_BYTES_LOOKED_AT:
            break
    return [(*key, start) for key, start in found.items()]


def weigh_encodings(words: Iterable[tuple[bytes, bytes, bytes, int]]) -> list[Reading]:
    """Weigh the encodings that a file may be in, best first.

    Parameters
    ----------
    words : iterable of (bytes, bytes, bytes, int)
        As `find_odd_words` gives.

    Returns
    -------
    list of Reading
        One an encoding.

    Examples
    --------
    >>> weigh_encodings(find_odd_words(b"n\\x8egatif"))[0].encoding
    'mac-roman'
    """
    listed = list(words)
    readings = []
    for encoding, head_start in CANDIDATES.items():
        scores = [
            _rate_word(*(decode_bytes(part, encoding=encoding) for part in (left, word, right)))
            for left, word, right, _ in listed
        ]
        mean = sum(scores) / max(len(scores), 1)
        fits = sum(score >= 0.5 for score in scores)
        readings.append(
            Reading(encoding=encoding, score=mean + head_start, fits=fits, words=len(scores))
        )
    return sorted(readings, key=lambda reading: -reading.score)


def _rate_word(left: str, word: str, right: str) -> float:
    """Rate a word by its least plausible letter: one that cannot be spoils the reading."""
    known, _ = _known_neighbours()
    if word.lower() in known and (word.islower() or word.istitle() or word.isupper()):
        return 1.0
    around = f"{left or ' '}{word}{right or ' '}"
    places = range(len(left or " "), len(left or " ") + len(word))
    return min(
        (_rate_letter(around, place) for place in places if not around[place].isascii()),
        default=0.0,
    )


def _rate_letter(text: str, place: int) -> float:
    letter = text[place]
    before = text[place - 1] if place else " "
    after = text[place + 1] if place + 1 < len(text) else " "
    if letter.lower() in _COMMON + _RARER:
        return _rate_alphabet(letter, before, after)
    if letter in "–—":
        return 0.1 if before.isalpha() and after.isalpha() else 0.8
    if letter in _MARKS_AROUND_WORDS:
        return _rate_quote(text, place)
    return _rate_sign(letter, before, after)


def _rate_alphabet(letter: str, before: str, after: str) -> float:
    if before.isdigit() or after.isdigit():
        return 0.0
    if letter.isupper() and before.isalpha() and before.islower():
        return 0.0
    small_among_capitals = letter.islower() and after.isupper()
    if small_among_capitals and letter != "ß":
        return 0.0
    _, trios = _known_neighbours()
    trio = f"{before if before.isalpha() else ' '}{letter}{after if after.isalpha() else ' '}"
    rate = 0.6 if letter.lower() in _COMMON else 0.3
    if trio.lower() in trios:
        rate += 0.3
    return rate if before.isalpha() or after.isalpha() else 0.5 * rate


def _rate_quote(text: str, place: int) -> float:
    before = re.search(r"[^\W\d_]*\Z", text[:place])
    after = re.match(r"[^\W\d_]*", text[place + 1 :])
    left, right = before[0] if before else "", after[0] if after else ""
    if not left or not right:
        return 0.6 if left or right else 0.3
    if text[place] == "’" and (left in _APOSTROPHE_BEFORE or right in _APOSTROPHE_AFTER):
        return 0.75
    return 0.1


def _rate_sign(letter: str, before: str, after: str) -> float:
    apart_before, apart_after = not before.isalpha(), not after.isalpha()
    rules = (
        ("°", apart_before, 0.8),
        ("ºª", before.isdigit() or before in "nN", 0.6),
        ("½¼¾", apart_before and apart_after, 0.8),
        ("±×÷", apart_before and apart_after, 0.7),
        ("²³", before.isalpha() and apart_after, 0.7),
        ("µ", apart_before and after in "mglM", 0.7),
        ("€£§", apart_before or apart_after, 0.5),
        ("…•†\xa0", apart_before or apart_after, 0.5),
        ("¿¡", apart_before and not apart_after, 0.6),
    )
    for signs, fits, rate in rules:
        if letter in signs:
            return rate if fits else 0.0
    return 0.1 if letter.isprintable() and not letter.isalpha() else 0.0
