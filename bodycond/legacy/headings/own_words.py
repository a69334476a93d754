"""Headings of measures and marks that the exam table has no column for.

They are proposed as fields of the user's own, always as a question, so that nothing of them can
stand where another measure belongs: a diagonal tarsus is no tarsus, a fat score is no keel score.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class OwnConcept:
    """Something that a sheet can hold beside the exam table's own columns.

    Parameters
    ----------
    field : str
        Field of the user's own that is proposed.
    kind : {"number", "count", "text", "date", "flag", "time"}
        Its kind.
    what : str
        What it is, in plain words.
    is_score : bool, default False
        It is graded, so a scale is needed.
    headings : tuple of str
        Folded headings.
    """

    field: str
    kind: str
    what: str
    is_score: bool = False
    headings: tuple[str, ...] = ()


def _own(field: str, kind: str, what: str, headings: str, *, is_score: bool = False) -> OwnConcept:
    # Blanks within are made one: a name can stand on two lines here.
    found = (" ".join(word.split()) for word in headings.split(","))
    words = tuple(word for word in found if word)
    return OwnConcept(field=field, kind=kind, what=what, is_score=is_score, headings=words)


OWN_CONCEPTS: tuple[OwnConcept, ...] = (
    _own("keel_fat", "number", "fat felt along the keel", "keelfat, keel fat", is_score=True),
    _own(
        "wing_pit_fat",
        "number",
        "fat in the wing pit",
        "wingpitfat, wing pit fat, axillary fat, fat axillary",
        is_score=True,
    ),
    _own(
        "furcular_fat",
        "number",
        "fat in the furcula",
        "furcular fat, furcula fat, tracheal pit fat, fat furcular",
        is_score=True,
    ),
    _own(
        "fat",
        "number",
        "a fat score",
        """fat, fat score, fatscore, fat class, fat level, fat code, fett, fettklasse, fettstufe,
        fettwert, fettscore, fettgrad, fettdepot, graisse, gras, adiposite, score graisse,
        classe adiposite, indice graisse, grasa, indice grasa, grado grasa, vet, vetscore,
        vetgraad, vetklasse, grasso, classe grasso, gordura, fettklass, subcutaneous fat,
        visible fat""",
        is_score=True,
    ),
    _own(
        "pectoral_muscle",
        "number",
        "a score of the breast muscle on a scale of its own",
        """pec, pecs, pm, pecscore, pec score, pec muscle, pect, pectoral, pectoral muscle,
        pectoral score, pectoralis, muscle, muscle score, muscle code, musclescore, breast
        muscle, breast muscle score, flight muscle, brustmuskel, brustmuskelscore,
        brustmuskulatur, muskel, muskelklasse, muskelscore, muskelwert, mk, muscle pectoral,
        muscle pectoraux, muscles pectoraux, score muscle, musculo, musculo pectoral, muscul,
        borstspier, borstspierscore, spier, spierscore, muscolo, muscolo pettorale, musculo
        peitoral, muscle condition, brystmuskel""",
        is_score=True,
    ),
    _own(
        "pectoral_size",
        "number",
        "the size or depth of the breast muscle",
        """pecsizebest, pec size best, pec size, pec depth, muscle depth, muscle thickness,
        pectoral thickness, keel to muscle""",
    ),
    _own(
        "diagonal_tarsus_mm",
        "number",
        "the diagonal tarsus, another landmark than tarsus_mm",
        "diagtarsus, diag tarsus, diagonal tarsus, tarsus diagonal, tarsus plus toe",
    ),
    _own(
        "tarsus_width_mm",
        "number",
        "the width of the tarsus",
        """tarsus width, tarsus w, tarsus thickness, tarsus depth, tarsus diameter, tarsusbreite,
        laufdicke, laufbreite, largeur tarse, ancho tarso, tarsus breadth, tarsusdicke""",
    ),
    _own(
        "head_mm",
        "number",
        "head, or head and bill",
        """head, head length, headlength, total head, totalhead, head bill, headbill, head and
        bill, head plus bill, total head length, kopf, kopflange, kopfschnabel, kopf schnabel,
        tete, tete bec, longueur tete, cabeza, longitud cabeza, cabeza pico, kop, koplengte,
        kopsnavel, kop snavel, testa, cabeca, head width, skull length, thl, hb""",
    ),
    _own(
        "nares_to_tip_mm",
        "number",
        "bill from nostril to tip",
        """naretip, nare tip, nares to tip, nares tip, nalospi, bill nares, bill to nares, bill
        nf, nostril to tip, bill from nostril, bill nostril, nar tip, narine pointe, bill n""",
    ),
    _own(
        "bill_depth_mm",
        "number",
        "the depth of the bill",
        """billdepth, bill depth, beak depth, bill d, beak d, bill height, billheight, culmen
        depth, schnabelhohe, hauteur bec, hauteur du bec, alto pico, altura pico,
        snavelhoogte, bill dep, bd""",
    ),
    _own(
        "bill_width_mm",
        "number",
        "the width of the bill",
        """billwidth, bill width, culmen w, beak width, bill w, beak w, culmen width,
        schnabelbreite, largeur bec, ancho pico, snavelbreedte""",
    ),
    _own("gape_mm", "number", "the gape", "gape, gape width, gape length, commissure"),
    _own(
        "foot_mm",
        "number",
        "the foot or its span",
        "foot, foot span, footspan, foot pad, footpad, toe, mid toe, middle toe, toe length, "
        "fuss, zeh, zehe, pied, pie, voet, foot length",
    ),
    _own("axillary_mm", "number", "the axillaries", "axillary, axillaries"),
    _own(
        "standard_tail_mm",
        "number",
        "the standard tail, another landmark than tail_mm",
        "standardtail, standard tail, tail standard",
    ),
    _own(
        "total_length_mm",
        "number",
        "a length that is not named",
        """length, total length, totallength, body length, lange, gesamtlange, longueur, longueur
        totale, longitud, longitud total, lengte, totale lengte, lunghezza, len""",
    ),
    _own(
        "wing_span_mm",
        "number",
        "the wing span",
        "wingspan, wing span, span, spannweite, envergure, envergadura, spanwijdte",
    ),
    _own(
        "primary_mm",
        "number",
        "the length of one flight feather",
        """p8, p9, p7, p3, f8, p8 length, third primary, 3rd primary, primary, primary length,
        teilfeder, teilfederlange, handschwinge, h8, remige, remige primaire, primaria, 8th
        primary, feather length, federlange, primaries, primary projection, handpen, slagpen,
        handpenlengte""",
    ),
    _own(
        "keel_length_mm",
        "number",
        "the length of the keel, which is no score",
        "keel length, sternum, sternum length, brustbeinlange, longueur brechet, keel len",
    ),
    _own(
        "wing_width_mm",
        "number",
        "another measure of the wing",
        "wing width, wing area, wing breadth, wing loading, wing load, kipp, kipps, ulna, humerus, "
        "forearm",
    ),
    _own(
        "chick_age_days",
        "number",
        "a chick's age in days",
        """nestling age, nestlingage, chick age, age days, age in days, days old, day age, alter
        tage, alter in tagen, pouss age, pouss age plume, age jours, edad dias, leeftijd
        dagen, age d, age j, alter d, alter t, edad d, leeftijd d, alder dagar, alder dage, eta
        giorni, idade dias, age dagen, age tage, age dph, brood age, pull age""",
    ),
    _own("chick_age_weeks", "number", "a chick's age in weeks", "age in weeks, weeks old"),
    _own(
        "age_years", "number", "an age in years", "age in years, age years, years old, alter jahre"
    ),
    _own(
        "subspecies",
        "text",
        "the subspecies",
        """subspecies, ssp, subsp, sub species, unterart, sous espece, subespecie, ondersoort,
        sottospecie""",
    ),
    _own(
        "collection",
        "text",
        "the collection that keeps the specimen",
        """collection, museum, institution, institution code, collection code, museum code,
        sammlung, musee, museo, coleccion, collectie""",
    ),
    _own(
        "ageing_method",
        "text",
        "how the age was told",
        "how aged, aged by, method aged, age method, ageing method, aging method, age criteria, "
        "method age, method of ageing, methode age, metodo edad",
    ),
    _own(
        "sexing_method",
        "text",
        "how the sex was told",
        "how sexed, sexed by, method sexed, sex method, sexing method, sex criteria, method sex, "
        "method of sexing, methode sexe, metodo sexo",
    ),
    _own(
        "hatch_date",
        "date",
        "the day of hatching",
        "hatch date, hatchdate, hatching date, hatched, date hatched, schlupfdatum, date eclosion, "
        "fecha eclosion, birth date, date of birth, dob, geburtsdatum",
    ),
    _own(
        "lay_date",
        "date",
        "the day of laying",
        "lay date, laying date, clutch date, date egg, egg date, legedatum, layed, laid, "
        "clutch completion date, clutch completion, clutch initiation, first egg, first egg date",
    ),
    _own(
        "release_date",
        "date",
        "the day of release",
        """release date, date released, released, date of release, freilassung, auswilderung,
        freilassungsdatum, date de relache, date relacher, fecha liberacion, fecha suelta,
        datum vrijlating, date out, dispo date, date of disposition""",
    ),
    _own(
        "death_date",
        "date",
        "the day of death",
        "date of death, death date, date died, died, todesdatum, date de deces, fecha muerte",
    ),
    _own(
        "other_date",
        "date",
        "another day than the exam's",
        """data entry date, entry date, date entered, eingabedatum, entered on, modified, last
        modified, date modified, updated, printed, print date, lab date, analysis date,
        extraction date, last seen, first seen, previous date, date previous, deployment date,
        date deployed, recovery date, date recovered, date nestbox, found date, date found,
        funddatum, next exam, due date""",
    ),
    _own(
        "capture_time",
        "time",
        "a time of day",
        """time, capturetime, capture time, releasetime, release time, time of day, uhrzeit,
        fangzeit, messzeit, zeit, heure, hora, tijd, tijdstip, ora, tid,
        extract time, bleed time, start time, end time, time caught, time in, time out,
        klokkeslaet""",
    ),
    _own(
        "colour_ring",
        "text",
        "colour rings or marks",
        """colour ring, color ring, colour rings, color band, colour band, color bands, bb, bb
        no, colors, colours, farbring, farbringe, bague couleur, anilla color, anilla de
        color, anilla pvc, kleurring, kleurringen, darvic, pvc, pvc ring, combo, colour code,
        color combo, aux marker, auxiliary marker, colors left top bottom, colors right top
        bottom, wing tag""",
    ),
    _own(
        "capture_status",
        "text",
        "new bird or recapture",
        """new recap, recap, recapture, status, statut, new or recap, n r, capture type, fangart,
        wiederfang, controle, kontrolle, action, capture code, encounter history, terugvangst""",
    ),
    _own(
        "nest",
        "text",
        "the nest or nest box",
        """nest, nest id, nest no, nestbox, nest box, box, nistkasten, kasten, nichoir, ad
        nichoir, pouss nichoir, nido, caja nido, nestkast, brood, brood id, clutch, nest
        number, nid""",
    ),
    _own(
        "moult_text",
        "text",
        "details of the moult",
        """body molt, body moult, flight molt, flight moult, moult score, molt score, moult code,
        primary moult, primary molt, moult stage, molt stage, mauserstand,
        handschwingenmauser, ff molt, bodymolt, flightmolt, moult formula, tail moult""",
    ),
    _own(
        "body_moult",
        "flag",
        "whether feathers of the body were growing",
        "body moulting, body molting, in body moult, in body molt",
    ),
    _own(
        "brood_patch",
        "text",
        "brood patch or cloaca",
        """brood patch, broodpatch, bp, brutfleck, plaque incubatrice, placa incubatriz,
        broedvlek, cloacal protuberance, cp, cloaca""",
    ),
    _own("bird_count", "count", "a count", "counter, count, number of birds, anzahl vogel"),
)

OWN_BY_HEADING: dict[str, OwnConcept] = {
    heading: concept for concept in OWN_CONCEPTS for heading in concept.headings
}
"""The concept of each folded heading."""
