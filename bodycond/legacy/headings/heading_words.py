"""Headings met in old sheets, by field of the exam and rating tables, in ten languages.

All are in folded form (lower case, no accents, no punctuation). ``SURE`` words mean the field
wherever they stand as a heading; ``LIKELY`` ones are used for other things too and are asked about.
English, German, French, Spanish and Dutch are covered as far as the trade's own lists go, Italian,
Portuguese, Swedish, Danish and Norwegian by their commonest words.
"""

from __future__ import annotations


def _words(text: str) -> tuple[str, ...]:
    # Blanks within are made one: a name can stand on two lines here.
    words = (" ".join(word.split()) for word in text.split(","))
    return tuple(word for word in words if word)


SURE: dict[str, tuple[str, ...]] = {
    "mass_g": _words(
        """weight, mass, birdmass, bird mass, bird weight, body mass, bodymass, body weight, wt,
        wght, wgt, weigth, masse, gewicht, gew, korpermasse, korpergewicht, lebendgewicht,
        fanggewicht, poids, pds, masse corporelle, poids vif, peso, peso corporal, masa, masa
        corporal, lichaamsgewicht, gewicht vogel, massa, massa corporal, massa corporea, peso
        corporeo, vikt, vekt, v\u00e6gt, waga, masa ciala, hmotnost, paino, tomeg, body mass
        weight, live weight, live mass"""
    ),
    "wing_mm": _words(
        """wing, wings, wing length, winglength, wing len, wing chord, wingchord, chord wing, wing
        max, max wing, max chord, maximum chord, wing flat, flat wing, flattened wing, wing
        flattened, wing straightened, unflattened wing, winglen, flugel, flugellange,
        flugelmass, aile, longueur aile, longueur de l aile, long aile, aile pliee, corde
        alaire, ala, longitud ala, longitud del ala, largo ala, cuerda alar, ala plegada,
        vleugel, vleugellengte, lunghezza ala, corda alare, asa, comprimento asa, comprimento da
        asa, vinge, vinglangd, vingelengde, vingel\u00e6ngde, vinglengde, skrzydlo, dlugosc
        skrzydla, kridlo, siipi, szarny"""
    ),
    "tarsus_mm": _words(
        """tarsus, tarsus length, tarsuslength, tarsometatarsus, lauf, lauflange, tarsuslange,
        tarse, longueur tarse, longueur du tarse, tarso, longitud tarso, longitud del tarso,
        largo tarso, tarsuslengte, looplengte, loopbeen, comprimento tarso, comprimento do
        tarso, lunghezza tarso, tarslangd, tars, tarsl\u00e6ngde, tarslengde, skok, behak,
        nilkka"""
    ),
    "culmen_mm": _words("culmen, culmen length, culmenlength, exposed culmen, culmen expuesto"),
    "hallux_mm": _words(
        """hallux, hallux claw, halux, hallux length, halluxclaw, hallux talon, hallux claw
        length, hinterkralle, hallux kralle, halluxkralle, ongle du pouce, una hallux, hallux
        nagel"""
    ),
    "tail_mm": _words(
        """tail, tail length, taillength, tail len, schwanz, schwanzlange, stoss, stosslange,
        queue, longueur queue, longueur de la queue, cola, longitud cola, largo cola, staart,
        staartlengte, coda, lunghezza coda, cauda, comprimento cauda, stjart, stjartlangd,
        ogon, ocas, pyrsto"""
    ),
    "keel": _words(
        """keel, keel score, keelscore, keel condition, keel grade, keel 1 5, ks, brustbein,
        brustbeinscore, brustbeinkamm, brechet, score brechet, quilla, indice quilla,
        borstbeen, borstbeenscore, carena, quilha"""
    ),
    "crop_fill": _words(
        """crop, crop full, crop fill, crop score, crop fullness, crop content, kropf,
        kropffullung, jabot, buche, llenado buche, krop, kropvulling, gozzo, papo, kro"""
    ),
    "ring_number": _words(
        """ring, ring no, ring nr, ring num, ring id, ringno, ring number, ringnumber, ringnr,
        ringnummer, ring nummer, metal ring, metal ring no, band, band no, band nr, band num,
        band id, band number, bandnumber, bandno, bandnum, metal band, bague, numero bague,
        numero de bague, bague n, n bague, no bague, num bague, bague no, bague metal, anilla,
        n anilla, no anilla, num anilla, numero anilla, numero de anilla, anilla n, anilla no,
        anilla metalica, ringnummer metaal, anello, n anello, numero anello, anilha, n anilha,
        numero anilha, ringmerke, ringmarke, obraczka, krouzek, rengas, usfws band,
        metallring, vogelring"""
    ),
    "bird_id": _words(
        """bird, bird id, birdid, bird no, bird nr, bird number, case, case no, case nr, case id,
        case number, caseno, patient, patient no, patient nr, patient id, patientennr,
        patientennummer, individual id, individualid, individuo, n individuo, id individu,
        vogelnr, vogel nr, vogelnummer, vogel id, tiernr, tiernummer, oiseau, id oiseau, no
        oiseau, n oiseau, ave, id ave, n ave, adm no, admission no, admission number, fallnr,
        fallnummer, aktennr, aktennummer, numero de cas, n dossier, numero dossier, n caso,
        numero de caso, n expediente, dossiernr, dossiernummer, id uccello, accession no,
        accession number"""
    ),
    "exam_id": _words(
        """exam id, examid, exam no, exam nr, exam number, examination no, examination id,
        untersuchungsnr, untersuchungsnummer, n examen, numero examen, onderzoeknr"""
    ),
    "exam_date": _words(
        """date, exam date, examdate, examination date, date of exam, date of examination, datum,
        fecha, capdt, eventdate, event date, date exam, untersuchungsdatum, date examen, date de
        l examen, fecha examen, fecha de examen, capture date, date captured, date of capture,
        date capture, date de capture, fecha captura, fecha de captura, fangdatum, vangdatum,
        onderzoeksdatum, sample date, sampling date, sampledate, sampling day, trap date,
        trapping date, measurement date, date measured, weighing date, wiegedatum, messdatum,
        visit date, date of visit, date visit, date visited, check date, date checked,
        controledatum, kontrolldatum, fecha visita, date visite, date de visite, fangstdatum,
        date weighed, weigh date, dato, data cattura, data captura, data de captura, data esame,
        data exame, fangstdatum, fangstdato"""
    ),
    "sex": _words(
        """sex, m f, f m, gender, geschlecht, geschl, sexe, sexo, geslacht, gesl, pcrsex, pcr sex,
        dna sex, dnasex, sesso, kon, k\u00f8n, kj\u00f8nn, molecular sex, sex dna, bird sex, sex
        molecular, sex genetic, genetic sex, genetic sexing, molecular sexing, plec, pohlavi,
        sukupuoli, field sex, sexe adn, sexe oiseau"""
    ),
    "age_code": _words(
        """age, birdage, bird age, age code, agecode, age class, ageclass, alter, altersklasse,
        alterscode, edad, clase edad, clase de edad, codigo edad, leeftijd, leeftijdsklasse,
        lftd, lifestage, life stage, age euring, age bbl, euring age, euring age code, code
        age, classe age, classe d age, alder, wiek, vek, ika, eta, classe eta, idade, classe
        etaria, age at capture"""
    ),
    "species": _words(
        """species, spp, species code, speciescode, speccode, spec code, species name, nom latin,
        latin, nombre latino, latijnse naam, scientific name, scientificname, sci name, latin
        name, binomial, art, artname, vogelart, artcode, espece, code espece, nom espece, nom
        scientifique, especie, codigo especie, nombre cientifico, nombre especie, soort,
        soortcode, vogelsoort, soortnaam, specie, nome scientifico, nome cientifico, artnamn,
        gatunek, druh, laji, wissenschaftlicher name, common name, english name, vernacular
        name, vernacularname, nom francais, nombre comun, bird species"""
    ),
    "scorer": _words(
        """scorer, scorer code, scorer id, scored by, keel scorer, bewerter, bewertet von,
        evaluateur, evaluador, beoordelaar, examiner, examined by, examinateur, examinador,
        untersucher, observer, observer id, beobachter, beob, observateur, observador,
        waarnemer, osservatore, rilevatore"""
    ),
    "site": _words(
        """site, site name, sitename, site id, ort, fundort, fangort, standort, lieu, lieu de
        capture, lieudit, lieu dit, lugar, lugar de captura, plaats, vangplaats, vindplaats,
        trap site, capture site, trapping site, locality, localities, lokal, localite,
        localidad, sitio, luogo, localita, sted, plats"""
    ),
    "exam_reason": _words("exam reason, reason for exam, reason for examination"),
    "in_moult": _words(
        "in moult, in molt, moult, molt, moulting, molting, mauser, mue, muda, rui, in rui, muta"
    ),
    "gravid": _words("gravid, legereif, egg in oviduct, gravide, gravida"),
    "keel_blind": _words("scored blind, keel blind"),
    "mass_known_when_scored": _words(
        """mass known, mass seen first, weight known, weight seen first, gewicht bekannt, mass
        known when scored, poids connu, peso conocido, gewicht bekend"""
    ),
    "remarks": _words(
        """remarks, remark, comments, comment, notes, note, bemerkung, bemerkungen, anmerkung,
        anmerkungen, bem, notizen, remarques, remarque, commentaires, commentaire,
        observaciones, observations, notas, comentarios, opmerkingen, opmerking, opm,
        osservazioni, observacoes, anm, anmarkning, merknad, bem\u00e6rkning,
        bem\u00e6rkninger, general comments"""
    ),
    "session": _words("session, scoring session"),
    "round": _words("round, scoring round"),
    "wetting_agent": _words("wetting agent"),
    "breast_wetted": _words("breast wetted, wetted"),
    "keel_chart_version": _words("keel chart, keel chart version, chart version"),
}

LIKELY: dict[str, tuple[str, ...]] = {
    "mass_g": _words(
        """w, net wt, net weight, net mass, netto, nettogewicht, poids net, peso neto, lb oz, lbs
        oz, lb, lbs, oz, g, grams, gms, bm, bw, m, kg, gramm, grammes, gramos, gram, massa g,
        kgew, kg gew, weight at capture, release weight, intake weight, admission weight,
        weight in, weight out, kgw, gwt, lwt, body w, bwt, bodywt"""
    ),
    "wing_mm": _words(
        "ap, wl, wc, fl, flg, wng, wg, wch, chord, vl, lon ala, al, flipper, flipper length"
    ),
    "tarsus_mm": _words("lp, lt, tar, trs, ta, tl, loop, tarsus l, laufl, tarsi, ts"),
    "culmen_mm": _words(
        """bill from cere, bill to cere, bill cere, cere to tip, culmen from cere, culmen minus
        cere, bill, bill length, billlength, bill len, billlen, bill l, beak, beak l, beak
        length, beaklength, schnabel, schnabellange, bec, longueur bec, longueur du bec, pico,
        longitud pico, longitud del pico, largo pico, snavel, snavellengte, total culmen,
        totalculmen, culmen total, becco, lunghezza becco, bico, comprimento bico, nabb,
        n\u00e6b, nebb, nabblangd, cul, culm, bl, exp culmen, expculmen, schn"""
    ),
    "hallux_mm": _words(
        "claw, claw length, talon, talon length, klaue, kralle, hal, hind claw, hallu, hx, "
        "griffe, garra, klauw, nagel, serre"
    ),
    "tail_mm": _words("tl len, schw, std, tail l, rectrix, t len, steert, hale, stjert, tai"),
    "keel": _words(
        """bcs, bc, cs, cond, condition, body cond, body condition, body condition score,
        bodycondition, condition score, body score, kondition, ernahrungszustand, ez, ern
        zust, korperkondition, korperzustand, etat, etat corporel, etat d engraissement, note
        etat, condition corporelle, note de condition, condicion, condicion corporal, cc,
        estado, conditie, conditiescore, lichaamsconditie, condizione, condicao, keel bone,
        kiel, k score, keel prominence, score, grade, bewertung, puntuacion, nutritional
        state, nutritional status"""
    ),
    "crop_fill": _words("cf, crop size, crop 0 4"),
    "ring_number": _words(
        """ring band, tag, tag no, usfw, usfws, usfw no, ringn, rn, bnd, band serial, recap band,
        new band, new ring, ring new, ring l, ring r, left ring, right ring, ring left, ring
        right, nestling band, marque, bagues, ringe, ringen, chip, microchip, transponder"""
    ),
    "bird_id": _words(
        """fall id, dossier, akte, id, rehab id, rehab no, individual, sample id, sampleid, no, nr,
        n, num, numero, nummer, vogel, tier, animal, animal id, name, bird name, id no, individu,
        ind, ref, ref no, reference, hawk, falcon, owl, kestrel, falke, faucon, halcon, number,
        specimen, specimen no, specimen id, cat no, catalogue no, catalog no, catalogue number,
        catalog number, museum no, reg no, registration no, registration number, inv nr, invnr,
        inventarnummer, n inventaire, n inventario, n entree, n entrada, n ingreso, n processo, n
        scheda, n fiche, n registro, journalnr, journalnummer, kennung, codigo, identification"""
    ),
    "exam_id": _words(
        """record, record no, record id, rec no, lfd nr, lfdnr, laufnr, exam, capture no, capture
        id, captureid, capture, catch, catch id, catch no, fang nr, fang id, fangnr, n captura,
        numero captura, id captura, no capture, n capture, vangst nr, vangstnr, vangst id, entry,
        entry no, folgenr, volgnr, volgnummer, event id, eventid"""
    ),
    "exam_date": _words(
        """date in, caught on, date of ringing, ringing date, ring date, ringed on, date ringed,
        banding date, date banded, banded on, beringungsdatum, ringdatum, date de baguage, date
        baguage, fecha anillamiento, fecha de anillamiento, data inanellamento, captured on, doa,
        day, captured, data, dat, dt, eff date, admitted, arrived, arrival date, admit date, date
        entree, data entrada, data de entrada, data ingresso, aufnahme, opname, admission date,
        date admitted, date of admission, intake date, aufnahmedatum, einlieferung, eingang, date d
        admission, date d entree, fecha ingreso, fecha de ingreso, fecha entrada, opnamedatum,
        datum opname, survey date, collection date, date collected, obs date, observation date,
        date caught, datetime caught, date time caught, gpsdt, date time, datetime, timestamp"""
    ),
    "sex": _words("s, sx, gs, sexed, sex code, sexcode"),
    "age_code": _words(
        "stage, stade, a, plumage, kleid, euring, bbl, ageing, aged, alt, stadium, age sex class"
    ),
    "species": _words("tierart, sp, spec, esp, taxon, taxa, bird type, srt, kind of bird"),
    "scorer": _words(
        """by, initials, bander s initials, ringer s initials, obs initials, initialen, initiales,
        init, bander, bander id, banderid, bander initials, bandername, recorded by, recordedby,
        recorder, ringer, ringer id, ringer initials, banded by, ringed by, measured by, measurer,
        measurers, weighed by, handler, handled by, beringer, bagueur, bague par, mesure par,
        anillador, medido por, ringmeester, ring door, gemessen von, gemeten door, obs, obsr,
        observers, personnel, person, staff, technician, tech, vet, beobachter in, bearbeiter,
        operateur, operador, signatur, kurzel, sachbearbeiter, keeper, examiner id, inanellatore,
        anilhador, pouss obs, ad obs, collector, encounter by, processed by, banders, ringers,
        handlers, recorders, searcher, searchers"""
    ),
    "site": _words(
        """comune, concelho, freguesia, kommun, kommune, ortschaft, termino municipal, parish,
        island, loc, location, location name, place, station, estacion, area, region, gebiet,
        municipality, municipalite, gemeinde, gemeente, commune, municipio, county, plot, nest
        site, colony, net site, territory, territoire, revier, isla, ile, insel, eiland, forest,
        wald, centre, center, banding site, ringing site, ringing place, sta, local, band
        location, study site, study area, studyarea, village, population, popn, populacion"""
    ),
    "exam_reason": _words(
        """reason, why, grund, anlass, motif, motivo, reden, cause, reason for admission, cause
        of admission, aufnahmegrund, reason for capture, exam type, type of exam"""
    ),
    "in_moult": _words("mo, moult y n, molt y n, moulting y n, active moult, active molt"),
    "keel_blind": _words("blind, blinded"),
    "gravid": _words("egg, with egg, egg felt, egg y n"),
    "remarks": _words(
        """rem, comm, obs notes, info, other, misc, weightverbatim, weight verbatim, weight
        remarks, weight remark, weight note, wing remark, details, sonstiges, divers, varios,
        overig, field notes, diagnosis, findings, befund"""
    ),
    "session": _words("sess, scoring day, sitting, durchgang, seance, sesion, sessie"),
    "round": _words("repeat, replicate, rep, trial, wiederholung, repetition, herhaling, ronde"),
}
