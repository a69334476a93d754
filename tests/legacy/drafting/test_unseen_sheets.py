"""Sheets as other people type them, with what each heading means.

Every column is decided, proposed in a question or, where it is no part of an exam, left alone; none
is decided wrongly, plain columns without a question, and a table of other things is held whole.
"""

import pytest

from bodycond.columns import EXAM_COLUMNS
from bodycond.legacy import ImportRecipe, draft_recipe, import_legacy
from bodycond.tables_on_disk import write_text

KNOWN = {column.name for column in EXAM_COLUMNS}
N_ROWS = 24
# Values by what they are; each row takes the next one.
VALUES = {
    "ring": [f"GC{number}" for number in range(23811, 23811 + N_ROWS)],
    "case": [f"2011-{number:04d}" for number in range(112, 112 + N_ROWS)],
    "dmy": ["13/04/2011", "02/05/2011", "28/06/2011", "11/07/2011", "19/08/2011"],
    "d.m.y": ["13.04.2011", "02.05.2011", "28.06.2011", "11.07.2011", "19.08.2011"],
    "mdy": ["04/13/2011", "05/02/2011", "06/28/2011", "07/11/2011", "08/19/2011"],
    "iso": ["2011-04-13", "2011-05-02", "2011-06-28", "2011-07-11", "2011-08-19"],
    "both": ["04/03/2011", "05/02/2011", "06/08/2011", "07/11/2011", "08/09/2011"],
    "MF": ["M", "F", "F", "M", "M"],
    "hane": ["Hane", "Hona", "Hona"],
    "latin": ["Buteo buteo", "Falco tinnunculus", "Strix aluco"],
    "german": ["Turmfalke", "Waldkauz"],
    "mass": ["205", "212", "198", "231", "187", "203", "219"],
    "comma": ["205,5", "212,1", "198,4", "231,9", "187,2", "203,6"],
    "kilo": ["0.92", "0.81", "1.04", "0.77", "0.98"],
    "ounces": ["7.2", "6.8", "7.9", "7.4", "6.5"],
    "wing": ["245", "251", "239", "248", "243", "255"],
    "inches": ["9.6", "9.8", "9.4", "9.7"],
    "tarsus": ["39.1", "38.4", "40.2", "39.8", "37.9"],
    "tail": ["162", "158", "166", "161"],
    "grade": ["2", "3", "3.5", "4", "2.5"],
    "few": ["0", "1", "2", "3"],
    "people": ["S1", "K2", "TR"],
    "site": ["Millford", "Ashcombe"],
    "words": ["", "thin bird, calm", "retrap"],
    "yes": ["y", "n"],
    "food": ["40", "55", "38", "47"],
    "things": ["transmitter", "scales", "crate"],
    "euring": ["3", "4", "5"],
}  # fmt: skip

# heading: (values, what it means); a '!' where no question may be asked, '-' for no exam field.
SHEETS = {
    "british_ringing": {
        "RING NO": ("ring", "ring_number!"), "AGE": ("euring", "age_code"),
        "SEX": ("MF", "sex!"), "DATE": ("dmy", "exam_date dmy!"), "WING": ("wing", "wing_mm"),
        "WT": ("mass", "mass_g"), "FAT": ("few", "fat"), "INITIALS": ("people", "scorer"),
        "COMMENTS": ("words", "remarks!"),
    },
    "american_clinic": {
        "Case #": ("case", "bird_id!"), "Intake Date": ("mdy", "exam_date mdy"),
        "Species": ("latin", "species!"), "Admit Wt (g)": ("mass", "mass_g g"),
        "Keel (1-5)": ("grade", "keel!"), "Dispo Date": ("mdy", "-"),
        "Disposition": ("people", "-"), "ClinicalNotes": ("words", "remarks!"),
    },
    "falconry_log": {
        "Tag": ("d.m.y", "exam_date dmy!"), "Vogel": ("site", "bird_id"),
        "Gew. fr\u00fch (g)": ("mass", "mass_g g"), "Atzung (g)": ("food", "-"),
        "Kropf": ("few", "crop_fill"),
    },
    "r_frame": {
        "bird.id": ("case", "bird_id!"), "capture.date": ("iso", "exam_date!"),
        "sex.molecular": ("MF", "sex!"), "body.mass.g": ("mass", "mass_g g!"),
        "wing.chord.mm": ("wing", "wing_mm mm!"), "tarsus.length": ("tarsus", "tarsus_mm"),
        "residual.mass": ("few", "-"), "log.mass": ("grade", "-"),
    },
    "access_export": {
        "tblBirds_BirdID": ("case", "bird_id"), "Ring_No": ("ring", "ring_number!"),
        "Date_Ringed": ("dmy", "exam_date dmy!"), "Wt_g": ("mass", "mass_g g!"),
        "Wing_mm": ("wing", "wing_mm mm!"), "Site_Name": ("site", "site!"),
        "Ringer_Init": ("people", "scorer"),
    },
    "clinic_export": {
        "PatientID": ("case", "bird_id"), "VisitDate": ("iso", "exam_date!"),
        "Gender": ("MF", "sex!"), "Breed": ("german", "-"), "BodyWeight_kg": ("kilo", "mass_g kg!"),
        "HeartRate": ("mass", "-"), "Drug mg/kg": ("few", "-"),
    },
    "imperial": {
        "Band": ("ring", "ring_number!"), "Date": ("mdy", "exam_date mdy!"),
        "Weight oz": ("ounces", "mass_g oz!"), "Wing in.": ("inches", "wing_mm in!"),
    },
    "both_ways": {
        "Ring": ("ring", "ring_number!"), "Date": ("both", "exam_date"),
        "Wing (mm)": ("wing", "wing_mm mm!"),
    },
    "museum_skins": {
        "Cat. No.": ("case", "bird_id"), "Species": ("latin", "species!"),
        "Locality": ("site", "site!"), "Wing (mm)": ("wing", "wing_mm mm!"),
        "Bill from cere (mm)": ("tarsus", "culmen_mm mm"), "Collector": ("people", "-"),
    },
    "german_station": {
        "Ringnr.": ("ring", "ring_number!"), "Art": ("german", "species"),
        "Datum": ("d.m.y", "exam_date dmy!"), "Gewicht [g]": ("comma", "mass_g g!"),
        "Fl\u00fcgel [mm]": ("comma", "wing_mm mm!"), "KGW": ("mass", "mass_g"),
        "Beringer": ("people", "scorer"), "Bemerkungen": ("words", "remarks!"),
    },
    "french_centre": {
        "N\u00b0 entr\u00e9e": ("case", "bird_id"), "Date entr\u00e9e": ("dmy", "exam_date dmy"),
        "Bague": ("ring", "ring_number!"), "Poids (g)": ("comma", "mass_g g!"),
        "Longueur aile pli\u00e9e": ("wing", "wing_mm"), "Br\u00e9chet (1-5)": ("grade", "keel!"),
        "Lieu-dit": ("site", "site!"),
    },
    "spanish_station": {
        "Anilla": ("ring", "ring_number!"), "Fecha": ("dmy", "exam_date dmy!"),
        "Peso (g)": ("comma", "mass_g g!"), "Ala (mm)": ("wing", "wing_mm mm!"),
        "Cola": ("tail", "tail_mm"), "Observaciones": ("words", "remarks!"),
    },
    "dutch_nest": {
        "Ringnummer": ("ring", "ring_number!"), "Controledatum": ("dmy", "exam_date dmy!"),
        "Gewicht (gr)": ("mass", "mass_g g!"), "Vleugel": ("wing", "wing_mm"),
        "Opmerking": ("words", "remarks!"),
    },
    "italian_station": {
        "Anello": ("ring", "ring_number!"), "Data": ("dmy", "exam_date dmy!"),
        "Peso (g)": ("comma", "mass_g g!"), "Comune": ("site", "site"),
        "Inanellatore": ("people", "scorer"), "Note": ("words", "remarks!"),
    },
    "swedish_station": {
        "Ringnr": ("ring", "ring_number!"), "Datum": ("iso", "exam_date!"),
        "K\u00f6n": ("hane", "sex!"), "Vikt (g)": ("comma", "mass_g g!"),
        "Lokal": ("site", "site!"), "Anm": ("words", "remarks!"),
    },
}  # fmt: skip

OTHER_THINGS = {
    "cars": {"Make": "site", "Weight (kg)": "kilo", "Length (mm)": "wing", "Date sold": "dmy"},
    "people": {"Name": "people", "Sex": "MF", "Age": "wing", "Weight (kg)": "kilo", "Date": "dmy"},
    "feed": {"Date": "dmy", "Item": "things", "Weight (g)": "mass", "Supplier": "people"},
    "equipment": {"Asset": "case", "Kind": "things", "Weight (g)": "mass", "Purchased": "dmy"},
    "patients": {"Patient": "case", "Sex": "MF", "Visit date": "dmy", "Weight (kg)": "kilo"},
    "pellets": {"Pellet no": "case", "Mass (g)": "mass", "Length (mm)": "tarsus", "Date": "dmy"},
    "parcels": {"Parcel": "case", "Weight": "mass", "Width": "wing", "Ship date": "iso"},
}  # fmt: skip


def write_sheet(folder, name, headings):
    rows = [";".join(headings)]
    for at in range(N_ROWS):
        cells = [VALUES[kind][at % len(VALUES[kind])] for kind in headings.values()]
        rows.append(";".join(cells))
    path = folder / f"{name}.csv"
    write_text(path, "\n".join(rows) + "\n")
    return path


def draft_columns(path):
    recipe = draft_recipe(path)
    return recipe, {column.heading: column for rule in recipe.sheets for column in rule.columns}


def is_right(column, truth):
    """Tell whether a column is used as meant, or has the meaning in its question."""
    field, _, detail = truth.rstrip("!").partition(" ")
    if field == "-":
        return column.ask is not None or not set(column.fields) & KNOWN
    right = field in column.fields and (not detail or detail in {column.unit, column.date_order})
    return right and not (truth.endswith("!") and column.ask)


@pytest.mark.parametrize("name", SHEETS)
def test_each_column_is_decided_rightly_or_proposed_rightly(tmp_path, name):
    truths = SHEETS[name]
    path = write_sheet(tmp_path, name, {heading: kind for heading, (kind, _) in truths.items()})
    recipe, columns = draft_columns(path)
    assert [rule.ask for rule in recipe.sheets] == [None]
    wrong = {
        heading: columns[heading].ask or columns[heading].fields
        for heading, (_, truth) in truths.items()
        if not is_right(columns[heading], truth)
    }
    assert wrong == {}


@pytest.mark.parametrize("name", SHEETS)
def test_a_draft_comes_back_from_its_file_and_its_import_loses_nothing(tmp_path, name):
    kinds = {heading: kind for heading, (kind, _) in SHEETS[name].items()}
    path = write_sheet(tmp_path, name, kinds)
    recipe, _ = draft_columns(path)
    recipe.save(tmp_path / "recipe.yaml")
    again = ImportRecipe.load(tmp_path / "recipe.yaml")
    assert again.questions == recipe.questions
    counts = import_legacy(path, again).reconciliation
    outcomes = counts[["accepted", "converted", "quarantined", "set_aside"]].sum(axis=1)
    assert (outcomes == counts["raw_cells"]).all()


@pytest.mark.parametrize("name", OTHER_THINGS)
def test_a_table_of_other_things_is_asked_about_and_held_whole(tmp_path, name):
    path = write_sheet(tmp_path, name, OTHER_THINGS[name])
    recipe, _ = draft_columns(path)
    assert "Nothing here speaks of birds." in recipe.questions[0]
    imported = import_legacy(path, recipe)
    assert len(imported.exams) == 0
    # The first row of a column holds its heading.
    data = imported.ledger[imported.ledger["row"] > 1]
    assert set(data["outcome"]) == {"quarantined"}


def test_the_dates_that_can_be_read_both_ways_are_asked_about(tmp_path):
    kinds = {heading: kind for heading, (kind, _) in SHEETS["both_ways"].items()}
    _, columns = draft_columns(write_sheet(tmp_path, "both_ways", kinds))
    assert "dmy or mdy" in columns["Date"].ask
    assert columns["Date"].date_order is None
