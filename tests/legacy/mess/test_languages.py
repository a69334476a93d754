"""Headings, months and words in English, German, French, Spanish and Dutch; orders of dates."""

import pytest

SHEETS = {
    "german": {
        "file": "mauerberg.csv",
        "encoding": "cp1252",
        "rows": [["Ringnr.", "Datum", "Art", "Geschlecht", "Alter", "Gewicht (g)", "Flügel (mm)",
                  "Schwanz (mm)", "Bemerkung"],
                 ["EE 0411", "3. März 2011", "Buteo buteo", "weiblich", "Jungvogel", "945,5",
                  "391", "220",
                  "kein Kropf gefüllt"],
                 ["EE 0412", "14. Dez. 2011", "Buteo buteo", "männlich", "ad.", "780", "377,5",
                  "k.A.",
                  ""],
                 ["EE 0413", "1. Mai 2012", "Buteo buteo", "unbek.", "adult", "nicht gewogen",
                  "380", "in Mauser", ""]],
        "columns": """
            Ringnr.: {field: ring_number}
            Datum: {field: exam_date}
            Art: {field: species}
            Geschlecht: {field: sex}
            Alter: {field: age_class}
            Gewicht (g): {field: mass_g, unit: g, decimal: comma}
            Flügel (mm): {field: wing_mm, unit: mm, decimal: comma}
            Schwanz (mm): {field: tail_mm, unit: mm}
            Bemerkung: {field: remarks}
        """,
        "also_right": {"Ringnr.": [("bird_id",)], "Alter": [("age_code",)]},
    },
    "french": {
        "file": "val_noir.csv",
        "rows": [["Bague", "Date", "Espèce", "Sexe", "Âge", "Poids (g)", "Aile pliée (mm)",
                  "Remarques"],
                 ["CC01", "3 février 2011", "Falco tinnunculus", "femelle", "juvénile", "221,5",
                  "246",
                  "examinée à l'aube"],
                 ["CC02", "14 août 2011", "Falco tinnunculus", "mâle", "adulte", "187,0", "240,5",
                  ""],
                 ["CC03", "1er déc. 2011", "Falco tinnunculus", "indét.", "adulte", "non pesé",
                  "243", ""]],
        "columns": """
            Bague: {field: ring_number}
            Date: {field: exam_date}
            Espèce: {field: species}
            Sexe: {field: sex}
            Âge: {field: age_class}
            Poids (g): {field: mass_g, unit: g, decimal: comma}
            Aile pliée (mm): {field: wing_mm, unit: mm, decimal: comma}
            Remarques: {field: remarks}
        """,
        "also_right": {"Bague": [("bird_id",)], "Âge": [("age_code",)]},
    },
    "spanish": {
        "file": "sierra_clara.csv",
        "rows": [["Anilla", "Fecha", "Especie", "Sexo", "Edad", "Peso (g)", "Ala (mm)",
                  "Observaciones"],
                 ["SA01", "3 de enero de 2011", "Tyto alba", "hembra", "juvenil", "330", "292", ""],
                 ["SA02", "14 de sept. de 2011", "Tyto alba", "macho", "adulto", "290", "288,5",
                  "ala rota"],
                 ["SA03", "2 dic 2011", "Tyto alba", "desconocido", "inmaduro", "no pesado",
                  "290", ""]],
        "columns": """
            Anilla: {field: ring_number}
            Fecha: {field: exam_date}
            Especie: {field: species}
            Sexo: {field: sex}
            Edad: {field: age_class}
            Peso (g): {field: mass_g, unit: g}
            Ala (mm): {field: wing_mm, unit: mm, decimal: comma}
            Observaciones: {field: remarks}
        """,
        "also_right": {"Anilla": [("bird_id",)], "Edad": [("age_code",)]},
    },
    "dutch": {
        "file": "zandwijk.tsv",
        "rows": [["Ring", "Datum", "Soort", "Geslacht", "Leeftijd", "Gewicht (g)", "Vleugel (mm)",
                  "Opmerking"],
                 ["NL01", "3 mrt 2011", "Strix aluco", "vrouw", "volwassen", "520", "270", ""],
                 ["NL02", "14 okt. 2011", "Strix aluco", "man", "juveniel", "410", "262,5",
                  "rustig"],
                 ["NL03", "2 mei 2012", "Strix aluco", "onbekend", "volwassen", "niet gewogen",
                  "264", ""]],
        "columns": """
            Ring: {field: ring_number}
            Datum: {field: exam_date}
            Soort: {field: species}
            Geslacht: {field: sex}
            Leeftijd: {field: age_class}
            Gewicht (g): {field: mass_g, unit: g}
            Vleugel (mm): {field: wing_mm, unit: mm, decimal: comma}
            Opmerking: {field: remarks}
        """,
        "also_right": {"Ring": [("bird_id",)], "Leeftijd": [("age_code",)]},
    },
    "english_months": {
        "file": "millford.csv",
        "rows": [["Case no.", "Date", "Weight (g)"], ["M-1", "12-Oct-20", "945"],
                 ["M-2", "Sept 3, 2019", "930"], ["M-3", "May 2018", "780"], ["M-4", "2017", "790"],
                 ["M-5", "31 April 2019", "800"], ["M-6", "spring 2019", "801"]],
        "columns": """
            Case no.: {field: bird_id}
            Date: {field: exam_date}
            Weight (g): {field: mass_g, unit: g}
        """,
    },
    "day_or_month_first": {
        "file": "orders.csv",
        "rows": [["Case no.", "Date", "Date in", "Wt (g)"], ["M-1", "3/4/2019", "22/04/2019",
                                                             "945"],
                 ["M-2", "05/06/2019", "03/05/2019", "930"], ["M-3", "04.07.19", "1.7.19", "780"],
                 ["M-4", "2019-08-01", "31/02/2019", "790"]],
        "columns": """
            Case no.: {field: bird_id}
            Date: {ask: "Is 3/4 the third of April?", field: exam_date}
            Date in: {field: admitted_on, kind: date, date_order: dmy}
            Wt (g): {field: mass_g, unit: g}
        """,
    },
    "short_years": {
        "file": "short_years.csv",
        "rows": [["Case no.", "Date", "Wt (g)"], ["M-1", "22/04/98", "945"], ["M-2", "03/05/49",
                                                                              "930"],
                 ["M-3", "13/05/50", "780"], ["M-4", "28/02/04", "790"]],
        "columns": """
            Case no.: {field: bird_id}
            Date: {field: exam_date, date_order: dmy}
            Wt (g): {field: mass_g, unit: g}
        """,
    },
    "month_first": {
        "file": "month_first.csv",
        "rows": [["Case no.", "Date", "Wt (g)"], ["M-1", "04/22/2019", "945"],
                 ["M-2", "05/03/2019 13:30", "930"], ["M-3", "12/31/2019", "780"]],
        "columns": """
            Case no.: {field: bird_id}
            Date: {field: exam_date, date_order: mdy}
            Wt (g): {field: mass_g, unit: g}
        """,
    },
}  # fmt: skip


@pytest.mark.parametrize(
    ("name", "days", "masses", "wings", "sexes", "ages"),
    [
        ("german", ["2011-03-03", "2011-12-14", "2012-05-01"], [945.5, 780, None],
         [391, 377.5, 380], ["F", "M", "U"], ["juvenile", "adult", "adult"]),
        ("french", ["2011-02-03", "2011-08-14", "2011-12-01"], [221.5, 187, None],
         [246, 240.5, 243], ["F", "M", "U"], ["juvenile", "adult", "adult"]),
        ("spanish", ["2011-01-03", "2011-09-14", "2011-12-02"], [330, 290, None],
         [292, 288.5, 290], ["F", "M", "U"], ["juvenile", "adult", "immature"]),
        ("dutch", ["2011-03-03", "2011-10-14", "2012-05-02"], [520, 410, None],
         [270, 262.5, 264], ["F", "M", "U"], ["adult", "juvenile", "adult"]),
    ],
)  # fmt: skip
def test_a_sheet_in_another_language(read_mess, name, days, masses, wings, sexes, ages):
    read = read_mess(SHEETS[name])
    assert read.days() == days
    assert read.column("mass_g") == masses
    assert read.column("wing_mm") == wings
    assert read.column("sex") == sexes
    assert read.column("age_class") == ages
    assert read.held.empty


def test_letters_of_a_language_are_kept(read_mess):
    assert read_mess(SHEETS["german"]).column("remarks")[0] == "kein Kropf gefüllt"
    assert read_mess(SHEETS["french"]).column("remarks")[0] == "examinée à l'aube"


def test_english_months_and_what_is_less_than_a_day(read_mess):
    read = read_mess(SHEETS["english_months"])
    assert read.days() == ["2020-10-12", "2019-09-03", "2018-05-01", "2017-01-01", "-", "-"]
    assert read.column("exam_date_precision") == ["day", "day", "month", "year", None, None]
    assert read.asked("B6")["reason"] == "there is no day 31 in month 4 of 2019"
    assert read.asked("B7")["likely"] == "2019, the year alone"


def test_an_undecided_column_of_dates_is_held_whole(read_mess):
    read = read_mess(SHEETS["day_or_month_first"])
    assert read.days() == ["-"] * 4
    assert read.asked("B2")["reason"] == "the recipe leaves the column undecided"
    days = read.exams["admitted_on"].dt.strftime("%d.%m.%Y").fillna("-").tolist()
    assert days == ["22.04.2019", "03.05.2019", "01.07.2019", "-"]
    assert read.asked("C5")["reason"] == "there is no day 31 in month 2 of 2019"


def test_without_an_order_only_dates_of_one_reading_are_read(read_mess):
    sheet = SHEETS["day_or_month_first"]
    open_order = {
        **sheet,
        "columns": sheet["columns"].replace('ask: "Is 3/4 the third of April?", ', ""),
    }
    read = read_mess(open_order)
    assert read.days() == ["-", "-", "-", "2019-08-01"]
    assert read.asked("B2")["likely"] == "2019-04-03 (day first) or 2019-03-04 (month first)"


def test_years_of_two_digits_are_read_and_said(read_mess):
    read = read_mess(SHEETS["short_years"])
    assert read.days() == ["1998-04-22", "2049-05-03", "1950-05-13", "2004-02-28"]
    assert "two-digit year read as 1998" in read.at("B2")["reason"]


def test_month_first_with_a_time_beside_it(read_mess):
    read = read_mess(SHEETS["month_first"])
    assert read.days() == ["2019-04-22", "2019-05-03", "2019-12-31"]
    assert "a time of day beside the date" in read.at("B3")["reason"]
