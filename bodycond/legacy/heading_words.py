"""Headings met in old sheets, by field: English, German, French, Spanish and Dutch.

All are in folded form (lower case, no accents, no punctuation). ``SURE`` words mean the field
wherever they stand as a heading; ``LIKELY`` ones are used for other things too and are asked about.
"""

from __future__ import annotations

SURE: dict[str, tuple[str, ...]] = {
    "mass_g": (
        "weight", "mass", "birdmass", "bird mass", "body mass", "bodymass", "body weight", "wt",
        "wght", "weight g", "masse", "gewicht", "gew", "korpermasse", "poids", "peso",
        "lichaamsgewicht",
    ),
    "wing_mm": (
        "wing", "wing length", "winglength", "wing chord", "wingchord", "wing max", "wc",
        "flugel", "flugellange", "aile", "longueur aile", "ala", "vleugel", "vleugellengte",
    ),
    "tarsus_mm": (
        "tarsus", "tars", "tarsus length", "tarsuslength", "tarsometatarsus", "lauf", "lauflange",
        "tarse", "tarso", "loop", "looplengte",
    ),
    "culmen_mm": ("culmen", "culmen length", "exposed culmen"),
    "hallux_mm": ("hallux", "hallux claw", "halux", "hallux length"),
    "tail_mm": (
        "tail", "tail length", "taillength", "schwanz", "schwanzlange", "queue", "cola", "staart",
    ),
    "keel": (
        "keel", "keel score", "keelscore", "ks", "brustbein", "brustbeinscore", "brechet",
        "quilla", "borstbeen",
    ),
    "crop_fill": ("crop", "crop full", "crop fill", "kropf", "jabot", "buche", "krop"),
    "ring_number": (
        "ring", "ring no", "ring nr", "ringno", "ring number", "ringnr", "ringnummer", "band",
        "band no", "band number", "bandnumber", "bague", "numero bague", "anilla",
    ),
    "bird_id": (
        "bird", "bird id", "birdid", "bird no", "case", "case no", "case number", "patient",
        "patient no", "individual id", "vogel", "vogelnr", "oiseau", "ave", "adm no",
    ),
    "exam_id": ("exam id", "exam no", "exam number", "examination no"),
    "exam_date": (
        "date", "exam date", "examdate", "datum", "fecha", "capdt", "eventdate", "date exam",
        "untersuchungsdatum", "date examen", "fecha examen",
    ),
    "sex": ("sex", "m f", "geschlecht", "geschl", "sexe", "sexo", "geslacht", "pcrsex"),
    "age_code": (
        "age", "birdage", "bird age", "age code", "alter", "edad", "leeftijd", "lifestage",
        "life stage", "age euring", "age bbl",
    ),
    "species": (
        "species", "sp", "scientific name", "scientificname", "binomial", "art", "vogelart",
        "espece", "especie", "soort",
    ),
    "scorer": (
        "scorer", "scorer code", "observer", "obs", "examiner", "beob", "beobachter",
        "observateur", "observador", "waarnemer", "scored by",
    ),
    "site": ("site", "place", "location", "ort", "lieu", "lugar", "plaats", "station"),
    "exam_reason": ("exam reason", "reason for exam"),
    "in_moult": ("in moult", "moult", "molt", "mauser", "mue", "muda", "rui"),
    "gravid": ("gravid", "legereif"),
    "keel_blind": ("scored blind", "blind", "keel blind"),
    "mass_known_when_scored": (
        "mass known", "mass seen first", "weight known", "gewicht bekannt", "mass known when scored"
    ),
    "remarks": (
        "remarks", "remark", "comments", "comment", "notes", "note", "bemerkung", "bemerkungen",
        "remarques", "observaciones", "opmerkingen",
    ),
    "session": ("session", "scoring session"),
    "round": ("round", "repeat"),
    "wetting_agent": ("wetting agent",),
}  # fmt: skip

LIKELY: dict[str, tuple[str, ...]] = {
    "mass_g": ("w", "lb oz", "lb", "oz", "g", "grams"),
    "culmen_mm": ("bill", "bill length", "beak", "beak l", "schnabel", "bec", "pico", "snavel"),
    "keel": (
        "bcs", "bc", "cs", "cond", "condition", "body cond", "body condition", "pec", "pecs",
        "muscle", "pm", "brustmuskel", "muskel", "muscle pectoral", "borstspier", "pecscore",
    ),
    "bird_id": ("id", "individual", "sample id", "sampleid", "no", "nr"),
    "exam_id": ("record", "record no", "lfd nr", "exam", "capture no", "capture"),
    "exam_date": ("date in", "doa", "day", "captured"),
    "scorer": ("by", "initials", "bander", "banderid", "recorded by", "recordedby", "ringer"),
    "site": ("locality", "island"),
    "exam_reason": ("reason", "why"),
    "hallux_mm": ("claw", "klaue"),
    "tarsus_mm": ("diagtarsus",),
    "age_code": ("stage",),
}  # fmt: skip

UNIT_WORDS: dict[str, str] = {
    "g": "g", "gr": "g", "gm": "g", "gms": "g", "gram": "g", "grams": "g", "gramm": "g",
    "grammes": "g", "kg": "kg", "lb": "lb", "lbs": "lb", "oz": "oz", "lb oz": "lb.oz",
    "mm": "mm", "cm": "cm", "in": "in", "inch": "in", "inches": "in",
}  # fmt: skip
