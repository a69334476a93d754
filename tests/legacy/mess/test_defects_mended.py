import datetime as dt

from bodycond.legacy import draft_recipe

COL = """
Case no.: {field: bird_id}
Date: {field: exam_date, date_order: dmy}
Wt (g): {field: mass_g, unit: g}
Keel (1-5): {field: keel, scale: keel 1 to 5}
"""
H = ["Case no.", "Date", "Wt (g)", "Keel (1-5)"]


def sums(book):
    p = book["s"]
    p["C5"] = "=SUM(C2:C4)"
    p["D5"] = "=AVERAGE(D2:D4)"
    p["C2"] = "=960-60"


R = [["TR-1", "2019-05-03", 900, 3], ["TR-2", "2019-05-04", 901, 2], ["TR-3", "2019-05-05", 902, 3]]


def test_sums(read_mess):
    read = read_mess(
        {
            "file": "a.xlsx",
            "rows": [H, *R],
            "mark": sums,
            "stored": {"C2": "900", "C5": "2703", "D5": "2.67"},
            "columns": COL,
        }
    )
    assert read.column("mass_g") == [900, 901, 902]
    assert read.at("C5")["outcome"] == "set_aside"
    assert read.held.empty


def test_swapped(write_mess):
    paths = write_mess(
        {
            "file": "a.xlsx",
            "rows": [
                H,
                ["TR-1", dt.datetime(2019, 4, 3), 900, 3],
                ["TR-2", "22/04/2019", 901, 2],
                ["TR-3", dt.datetime(2019, 7, 4), 902, 3],
                ["TR-4", "13/05/2019", 900, 3],
            ],
        }
    )
    (entry,) = draft_recipe(paths).sheets
    date = next(c for c in entry.columns if c.heading == "Date")
    assert (
        date.ask
        and "2 date cells all have days up to 12" in date.ask
        and date.fields == ("exam_date",)
    )


def test_bare(read_mess):
    read = read_mess(
        {
            "file": "dittos.csv",
            "bytes": b'Case no.;Sp.;Sex;Wt (g);Keel (1-5)\nTR-1;Buteo buteo;F;945;3\nTR-2;";";930;"\nTR-3;";M;780;"\nTR-4;"Buteo buteo";F;790;2\n',
            "columns": """
            Case no.: {field: bird_id}
            Sp.: {field: species}
            Sex: {field: sex}
            Wt (g): {field: mass_g, unit: g}
            Keel (1-5): {field: keel, scale: "keel 1 to 5"}
""",
        }
    )
    assert read.column("mass_g") == [945, 930, 780, 790]
    assert read.column("keel") == [3, 3, 3, 2]
    assert read.column("sex") == ["F", "F", "M", "F"]


def show(book):
    book["s"]["A2"].number_format = "00000000"
    book["s"]["A3"].number_format = "0000-00000"


def test_rings(read_mess):
    read = read_mess(
        {
            "file": "rings.xlsx",
            "rows": [["Ring", "Wt (g)"], [1234567, 901], [210005561, 902]],
            "mark": show,
            "columns": """
      Ring: {field: ring_number}
      Wt (g): {field: mass_g, unit: g}""",
        }
    )
    assert read.column("ring_number") == ["01234567", "2100-05561"]
    assert read.at("A2")["reason"] == "the sheet shows it as '01234567'"
    assert read.at("A2")["raw"] == "1234567"


def test_half(read_mess):
    read = read_mess(
        {
            "file": "k.csv",
            "rows": [["Case no.", "Keel (1-5)"], ["TR-1", "1/2"], ["TR-2", "2-3"]],
            "columns": """
      Case no.: {field: bird_id}
      Keel (1-5): {field: keel, scale: "keel 1 to 5"}""",
        }
    )
    assert read.at("B2")["reason"] == "a range from 1 to 2; may also be a half"
    assert read.at("B3")["reason"] == "a range from 2 to 3"


def test_repeated_headings_are_a_table(write_mess):
    head = ["Case no.", "Sp.", "Sex", "Wt (g)", "Keel (1-5)"]
    page = [head, *([f"TR-{i}", "Buteo buteo", "F", str(900 + i), "3"] for i in range(5)), [""] * 5]
    (entry,) = draft_recipe(write_mess({"file": "pages.csv", "rows": page * 3})).sheets
    assert entry.heading_rows == (1,)
    assert [column.fields for column in entry.columns] == [
        ("bird_id",),
        ("species",),
        ("sex",),
        ("mass_g",),
        ("keel",),
    ]
