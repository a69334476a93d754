"""Field forms: one bird or nest a sheet, labelled blocks that move, blocks that are no exams."""

import datetime as dt

import pytest

BLOCK = ["Date", "Caught by", "Wt (g)", "Keel (1-5)", "Tarsus (mm)", None, "Wing (mm)", "Remarks"]


def make_nest(place, n_cocks, n_hens, *, shift=0, visited=True):
    """Make one nest's form: labels above, cocks, hens, then eggs, which are no exams."""
    cocks = [
        [f"EE{shift}{i}", dt.date(2019, 5, i), "S1", 600 + shift + i, 3, 50.1, 6.2, 350 + i, None]
        for i in range(1, n_cocks + 1)
    ]
    hens = [
        [
            f"EE{shift}9{i}",
            dt.date(2019, 6, i),
            "K2",
            f"{940 + shift}g",
            "3+",
            55.0,
            7.0,
            "no",
            "calm",
        ]
        for i in range(1, n_hens + 1)
    ]
    visit = [[None, dt.date(2019, 7, 1), "S1"]] if visited else []
    return [
        ["Tarnmere nest form"], ["Year", 2019, None, "Nest", place], *([[None]] * (shift % 3)),
        ["Cock no.", *BLOCK], *cocks, *visit, ["Hen no.", *BLOCK], *hens,
        ["Clutch", "Egg 1", "Egg 2", "Egg 3"], ["Laid", dt.date(2019, 4, 1), dt.date(2019, 4, 3),
                                                "?"],
        ["Length (mm)", 52.1, 51.8, None],
    ]  # fmt: skip


def merge_headings(book):
    """Merge the heading that stands over two values, wherever its row is."""
    for page in book:
        for row in page.iter_rows():
            if row[0].value in {"Cock no.", "Hen no."}:
                page.merge_cells(
                    start_row=row[0].row, end_row=row[0].row, start_column=6, end_column=7
                )


FORM_BLOCK = """
  needs: mass_g
  columns:
    Date: {field: exam_date}
    Caught by: {set_aside: who caught it}
    Wt (g): {field: mass_g, unit: g}
    Keel (1-5): {field: keel, scale: "keel 1 to 5"}
    Tarsus (mm): {field: tarsus_mm, unit: mm}
    Tarsus (mm).2: {set_aside: width of the tarsus}
    Wing (mm): {field: wing_mm, unit: mm, codes: {"no": null}}
    Remarks: {field: remarks}
"""
FORMS = f"""
sheets:
- file: "*"
  table: labels
  labels:
    Tarnmere nest form: {{set_aside: a title, where: same}}
    Year: {{set_aside: the dates have it}}
    Nest: {{field: site}}
- file: "*"
  starts_at: "Cock *"
  heading_row: 1
  constants: {{sex: M, species: Buteo buteo}}{FORM_BLOCK}
    Cock no.: {{field: ring_number}}
- file: "*"
  starts_at: "Hen *"
  heading_row: 1
  constants: {{sex: F, species: Buteo buteo}}{FORM_BLOCK}
    Hen no.: {{field: ring_number}}
- {{file: "*", starts_at: Clutch, table: set_aside, why: eggs are no exams}}
"""
PLACES = ["Elm Wood", "Crag 2", "Old Mill", "Pond", "Quarry"]
PAPER = [
    ["Millford Raptor Hospital", None, None, None],
    ["Case no.:", "M-17", "Date:", "3 May 2019"],
    ["Species:", "Strix aluco", "Sex:", "F"],
    ["Weight (g):", 520, "Examiner:", "S1"],
    ["Wing (mm):", 270, "Keel (1-5):", "2½"],
    ["Remarks:", "left eye closed", None, None],
]


def make_paper(case, mass, keel, *, gap):
    rows = [list(row) for row in PAPER]
    rows[1][1], rows[3][1], rows[4][3] = case, mass, keel
    return [*([[None]] * gap), *rows]


SHEETS = {
    "nests": {
        "file": "nests_2019.xlsx",
        "sheets": {
            place: make_nest(place, i % 3, 1 + i % 2, shift=i, visited=bool(i % 2))
            for i, place in enumerate(PLACES)
        },
        "mark": merge_headings,
        "recipe": FORMS,
        "also_right": {
            "Cock no.": [("bird_id",)], "Hen no.": [("bird_id",)], "Caught by": [("scorer",)],
        },
    },
    "papers": {
        "file": "papers.xlsx",
        "sheets": {
            "M-17": make_paper("M-17", 520, "2½", gap=0), "M-18": make_paper("M-18", 498, 3, gap=2),
            "M-19": make_paper("M-19", "too weak", "2-Mar", gap=1),
        },
        "recipe": """
sheets:
- file: "*"
  table: exams
  starts_at: Millford*
  labels:
    Millford*: {set_aside: the letter head, where: same}
    "Case no.:": {field: bird_id}
    "Date:": {field: exam_date}
    "Species:": {field: species}
    "Sex:": {field: sex}
    "Weight (g):": {field: mass_g, unit: g}
    "Examiner:": {field: scorer}
    "Wing (mm):": {field: wing_mm, unit: mm}
    "Keel (1-5):": {field: keel, scale: "keel 1 to 5"}
    "Remarks:": {field: remarks}
""",
    },
    "many_cards_on_a_sheet": {
        "file": "cards.csv",
        "rows": [
            ["Bird no.: 12", "", "Weight (g)", "950"], ["Keel (1-5)", "", "Examiner", "S1"],
            ["3+", "", "", ""], ["", "", "", ""],
            ["Bird no.: 13", "", "Weight (g)", "1.1 kg"], ["Keel (1-5)", "", "Examiner", "K2"],
            ["2", "", "", ""],
        ],
        "recipe": """
sheets:
- file: "*"
  starts_at: "Bird no*"
  table: exams
  labels:
    "Bird no*": {field: bird_id, where: same}
    Weight (g): {field: mass_g, unit: g}
    Keel (1-5): {field: keel, scale: "keel 1 to 5", where: below}
    Examiner: {field: scorer}
""",
    },
}  # fmt: skip


def test_one_recipe_reads_the_blocks_of_every_form_wherever_they_stand(read_mess):
    read = read_mess(SHEETS["nests"])
    by_place = read.exams.groupby("site", sort=False)
    assert by_place["sex"].agg("".join).to_dict() == {
        "Elm Wood": "F", "Crag 2": "MFF", "Old Mill": "MMF", "Pond": "FF", "Quarry": "MF",
    }  # fmt: skip
    cocks = read.exams[read.exams["sex"].eq("M")]
    assert cocks["mass_g"].tolist() == [602, 603, 604, 605]
    assert cocks["wing_mm"].tolist() == [351, 351, 352, 351]
    hens = read.exams[read.exams["sex"].eq("F")]
    assert hens["mass_g"].tolist() == [940, 941, 941, 942, 943, 943, 944]
    assert hens["wing_mm"].isna().all()
    assert set(read.column("tarsus_mm")) == {50.1, 55.0}
    assert read.held.empty


def test_what_is_no_exam_on_a_form_is_set_aside_with_its_reason(read_mess):
    ledger = read_mess(SHEETS["nests"]).ledger
    eggs = ledger[ledger["raw"].str.startswith("Egg ")]
    assert set(eggs["reason"]) == {"the block is set aside: eggs are no exams"}
    visits = ledger[ledger["raw"].eq("2019-07-01")]
    assert len(visits) == 2
    assert set(visits["reason"]) == {"no exam: the row holds no mass_g"}
    widths = ledger[ledger["raw"].isin(["6.2", "7"])]
    assert widths["reason"].eq("column set aside: width of the tarsus").all()


def test_a_form_without_one_of_its_blocks_is_said(read_mess):
    sheet = SHEETS["nests"]
    sheets = {**sheet["sheets"], "Pond": make_nest("Pond", 1, 1)[:4]}
    read = read_mess({**sheet, "sheets": sheets})
    said = [note for note in read.imported.notes if "is not on the sheet" in note]
    assert len(said) == 2
    assert "sheet Pond" in said[0]
    assert "'Hen *'" in said[0]


def test_a_form_of_labels_is_one_exam(read_mess):
    read = read_mess(SHEETS["papers"])
    assert read.column("bird_id") == ["M-17", "M-18", "M-19"]
    assert read.column("mass_g") == [520.0, 498.0, None]
    assert read.column("keel") == [2.5, 3.0, None]
    assert read.column("scorer") == ["S1"] * 3
    assert read.days() == ["2019-05-03"] * 3
    assert read.column("wing_mm") == [270.0] * 3
    assert read.asked("M-19!D6")["likely"].startswith("2-3 or 3-2")
    assert read.counts["exams_out"].tolist() == [1, 1, 1]


def test_several_cards_on_one_sheet(read_mess):
    read = read_mess(SHEETS["many_cards_on_a_sheet"])
    assert read.column("bird_id") == ["12", "13"]
    assert read.column("mass_g") == [950.0, 1100.0]
    assert read.column("keel_low") == [3.0, 2.0]
    assert read.column("keel_high") == [3.5, 2.0]
    assert read.column("scorer") == ["S1", "K2"]


@pytest.mark.parametrize("extra", [1, 4])
def test_more_birds_on_a_form_move_the_blocks_below(read_mess, extra):
    sheet = SHEETS["nests"]
    form = {**sheet, "sheets": {"Elm Wood": make_nest("Elm Wood", extra, extra)}}
    read = read_mess(form)
    assert read.exams["sex"].tolist() == ["M"] * extra + ["F"] * extra
    assert read.held.empty
