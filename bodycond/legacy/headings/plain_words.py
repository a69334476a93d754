"""Words of headings that name no field alone: sides, methods, units, other animals, themes."""

from __future__ import annotations

import re


def _set(text: str) -> frozenset[str]:
    return frozenset(text.split())


UNIT_WORDS: dict[str, str] = {
    "g": "g", "gr": "g", "gm": "g", "gms": "g", "gram": "g", "grams": "g", "gramm": "g",
    "gramme": "g", "grammes": "g", "gramos": "g", "gramas": "g", "grammi": "g",
    "kg": "kg", "kgs": "kg", "kilo": "kg", "kilogramm": "kg", "lb": "lb", "lbs": "lb",
    "pound": "lb", "pounds": "lb", "oz": "oz", "ozs": "oz", "ounce": "oz", "ounces": "oz",
    "lb oz": "lb.oz", "lbs oz": "lb.oz", "lb and oz": "lb.oz",
    "mm": "mm", "millimeter": "mm", "millimeters": "mm", "millimetre": "mm",
    "millimetres": "mm", "milimetros": "mm", "cm": "cm", "cms": "cm", "centimeter": "cm",
    "centimetre": "cm", "zentimeter": "cm", "in": "in", "ins": "in", "inch": "in",
    "inches": "in",
}  # fmt: skip

UNIT_PREPOSITIONS = _set("in en a")
"""Words between a heading and its unit, as in 'Gewicht in g'."""

HARMLESS = _set(
    """right left rt lt r l d re li dx sx rechts links droite droit gauche derecha izquierda der izq
    destra sinistra max chord flat flattened straightened unflattened length
    len lengths lange longueur longitud lengte bird birds body trap capture captured live
    measured measurement measure long euring bbl field init inits initials
    of the de du la le del des der die das van het per
    der do da at and score code no nr number id new value
      vogel oiseau ave mit von n"""
)
"""Words beside a known one that leave its field as it is."""

DAY_WORDS = _set("date datum fecha data dato day tag jour dia dag giorno dt dat")
"""Words for a day or date and nothing else; 'data' and 'tag' can be other things in English."""

OTHER_EVENTS = _set(
    """dispo disposition disposal discharge sold sale purchase purchased bought ship shipped
    shipping delivery delivered invoice paid payment due birth born created updated modified
    expiry expires
    transfer transferred euthanasia euthanised necropsy report reported"""
)
"""Words for days on which no bird is examined."""

OTHER_ANIMALS = _set(
    """egg eggs chick nest nestling prey food meal pellet female male mother father parent mate
    partner brood clutch ei eier oeuf oeufs huevo huevos uovo kuken poussin pollo jong presa proie
    beute prooi mum dad hen sibling pouss fledgling tick mite parasite"""
)
"""Words that make a heading speak of another animal than the bird examined."""

SUBJECTS = _set(
    """egg eggs clutch prey pellet chick chicks nestling nestlings pullus pulli pullen eier gelege
    oeuf oeufs ponte poussin poussins proie huevo huevos puesta pollo pollos presa kuken nestjong
    eieren prooi uova pulcino"""
)
"""Words in a title, a sheet's name or a heading that make the table speak of other things."""

OTHER_THINGS = _set(
    """bait cage crate feed ration rations parcel
    bag tare tara sac bolsa beutel zak holder tube cone cup net wrap empty transmitter tag logger
    backpack harness stomach crop fat muscle liver heart organ feather feathers blood sample swab
    water loss gain change rate ratio index residual residuals width depth thickness area loading
    load span height volume difference diff sd se cv var error date time year unit units scale
    band ring colour color wear moult molt score2 percent pct proportion log ln sqrt predicted
    expected standard std genotype gen type images location yes egg model method methode metodo
    blubber carcass carcase skin pelt"""
)
"""Words that make a heading speak of another thing than the measure itself."""

RING_DETAILS = _set(
    """size sizes owner grosse eigentumer besitzer taille proprietaire tamano propietario dueno maat
    eigenaar position"""
)
"""Words that make a heading speak of a ring's make, and not of its number."""

TIME_DETAILS = _set(
    """min mins minute minutes minuten minutos hour hours hr hrs stunde stunden heures horas uren
    sec secs second seconds group duration dauer duree duracion duur diff difference"""
)
"""Words that make a heading speak of a part or a length of time, and not of a time of day."""

STEMS: tuple[tuple[str, str], ...] = (
    ("gewicht", "mass_g"), ("weight", "mass_g"), ("poids", "mass_g"), ("flugel", "wing_mm"),
    ("wing", "wing_mm"), ("vleugel", "wing_mm"), ("tarsus", "tarsus_mm"), ("tarso", "tarsus_mm"),
    ("schwanz", "tail_mm"), ("staart", "tail_mm"), ("tail", "tail_mm"), ("culmen", "culmen_mm"),
    ("schnabel", "culmen_mm"), ("snavel", "culmen_mm"), ("hallux", "hallux_mm"),
    ("geschlecht", "sex"), ("geslacht", "sex"), ("leeftijd", "age_code"),
    ("ringnummer", "ring_number"), ("ringnr", "ring_number"), ("bandnum", "ring_number"),
    ("vogelart", "species"), ("species", "species"), ("especie", "species"),
    ("espece", "species"), ("beobachter", "scorer"), ("waarnemer", "scorer"),
    ("observ", "scorer"), ("datum", "exam_date"), ("fecha", "exam_date"),
    ("bemerk", "remarks"), ("opmerking", "remarks"), ("comment", "remarks"),
    ("brustbein", "keel"), ("keel", "keel"), ("borstbeen", "keel"), ("kropf", "crop_fill"),
)  # fmt: skip
"""Parts of compound words with the field that they point to, asked about."""

OTHER_THEMES: tuple[tuple[str, re.Pattern[str]], ...] = (
    ("the unit of a neighbouring column",
     re.compile(r"(.* )?(unit|units|einheit|unite|unidad|eenheid)|.+unit")),
    ("coordinates", re.compile(
        r"lat|lon|long|lng|hohe|breite|(.* )?(latitude|longitude|coords?|coordinates?|utm|easting|"
        r"northing|gps|hochwert|rechtswert|elevation|altitude)( .*)?")),
    ("a day of the year without its year", re.compile(
        r"(.* )?(julian|ordday|ord day|doy|yday|jday|day of (the )?year|julian day|"
        r"days into season|tag des jahres|jour de l annee|jour julien|dia del ano|dia juliano|"
        r"dag van het jaar)( .*)?|daysintoseason|juliandate|julianday|dayofyear|ordinal day|"
        r"dagnummer")),
    ("a year without its day", re.compile(r"(year|yr|jahr|annee|ano|jaar|anno|capture year)")),
    ("a season or project", re.compile(
        r"(season|season code|saison|temporada|seizoen|study|study name|studyname|project|projekt|"
        r"projet|proyecto|event|program|programme)")),
    ("a laboratory or sample value", re.compile(
        r"(.* )?(blood|swab|sample|dna|rna|glucose|lysis|hematocrit|haematocrit|pcv|tp|wbc|plasma|"
        r"uric|tri|beta|neonic|feather|blut|sang|sangre|bloed|plaque|souche|haemoplasmo|leuco|"
        r"isotope|genotype|pcr|lab|probe|pellet)( .*)?")),
    ("weather or habitat", re.compile(
        r"(.* )?(temp|temperature|wind|cloud|weather|wetter|rain|habitat|landuse|vegetation|"
        r"crop type|percent .*|wetland|buffer|urb level|sunrise|sunset|flock size)( .*)?|"
        r"(dominant|nearest|dist|distance) .*|biomass|diversity|permanence|mig status")),
    ("a country or state", re.compile(r"country|state|province|land|pays|pais|canton")),
    ("trapping details", re.compile(
        r"(net|net no|net number|trap|trap type|trap no|method|netz|netznr|filet|red|lure|effort|"
        r"net nr|fangmethode|methode)")),
    ("a running number of rows", re.compile(r"(row|rownames|rowid|index|unnamed \d+|x1|x)")),
)  # fmt: skip
"""What a heading speaks of that is no part of an exam record, with the pattern that tells it."""

DAYS_OF_YEAR = frozenset(
    {
        "yday", "doy", "jday", "julian", "julian day", "julian date", "juliandate", "julianday",
        "dayofyear", "day of year", "day of the year", "ordday", "ord day", "ordinal day",
        "tag des jahres", "jour de l annee", "jour julien", "dia del ano", "dia juliano",
        "dag van het jaar", "dagnummer",
    }
)  # fmt: skip
"""Headings of days counted from the first of January."""

DATE_PARTS: dict[str, tuple[str, ...]] = {
    "year": ("year", "yr", "yyyy", "jahr", "annee", "ano", "anyo", "jaar", "anno", "ar", "year "),
    "month": ("month", "mo", "mon", "mm", "mth", "monat", "mois", "mes", "maand", "mese", "manad"),
    "day": ("day", "dy", "dd", "tag", "jour", "dia", "dag", "giorno", "day of month"),
}
"""Headings of the parts of a date, each alone of no use."""

PREFIX_WORDS = _set(
    "prefix prefixe prafix praefix prefijo prefisso prefixo voorvoegsel serie series"
)
SUFFIX_WORDS = _set("suffix suffixe sufijo suffisso sufixo achtervoegsel")
"""Words for the parts of a ring number."""

GENUS_WORDS = _set("genus gattung genre genero genere")
EPITHET_WORDS = frozenset(
    {
        "epithet", "specific epithet", "specificepithet", "species epithet", "speciesepithet",
        "epitheton", "artepitheton", "art epitheton", "epithete", "epithete specifique",
        "epiteto", "epiteto especifico", "epiteto specifico", "soortepitheton",
    }
)  # fmt: skip
"""Headings of the parts of a scientific name."""

WITH_WORDS = _set("with w mit avec con plus met incl inkl inc com med och")
GROSS_WORDS = _set(
    "gross brut brutto bruto lordo uncorr uncorrected unkorrigiert ongecorrigeerd raw roh"
)
TARE_WORDS = _set("tare tara bag sac beutel zak bolsa sack pot saco sacco")
NET_WORDS = _set(
    "net netto neto nett corr corrected korrigiert corrige corrigee corregido corregida "
    "gecorrigeerd"
)
"""Words for a mass with, of and without its bag."""
