"""Field forms: labels beside their values, and blocks that move from sheet to sheet."""

FORM = """
sheets:
- file: "*"
  table: labels
  labels:
    Year: {set_aside: the dates have it}
    Place: {field: site}
- file: "*"
  starts_at: "Cock *"
  heading_row: 1
  table: exams
  needs: mass_g
  constants: {sex: M}
  columns: &c
"""
COLUMNS = """
    Date: {field: exam_date}
    Wt (g): {field: mass_g, unit: g}
    Keel (1-5): {field: keel, scale: "keel 1 to 5"}
    Tarsus (mm): {field: tarsus_mm, unit: mm}
    Tarsus (mm).2: {set_aside: width}
"""
BLOCKS = (
    FORM.replace(" &c", "")
    + COLUMNS
    + """    Cock no.: {field: ring_number}
- file: "*"
  starts_at: "Hen *"
  heading_row: 1
  table: exams
  needs: mass_g
  constants: {sex: F}
  columns:"""
    + COLUMNS
    + """    Hen no.: {field: ring_number}
- file: "*"
  starts_at: "Clutch"
  table: set_aside
  why: eggs are no exams
"""
)
MERGED = ((1, 4, 1, 5), (4, 4, 4, 5))


def make_form(n_cocks=1):
    cocks = [[f"EE0{i}", f"2019-05-0{i}", 600 + i, 3, 50.1, 6.2] for i in range(1, n_cocks + 1)]
    return [
        ["Year", 2019, "Place", "", "Elm Wood"],
        ["Cock no.", "Date", "Wt  (g)", "Keel \n(1-5)", "Tarsus (mm)", ""],
        *cocks,
        ["seen", "2019-06-01", "", "", "", ""],
        ["Hen no.", "Date", "Wt  (g)", "Keel \n(1-5)", "Tarsus (mm)", ""],
        ["EE09", "2019-05-09", "941g", "3+", 55.0, 7.0],
        ["Clutch", "Egg 1", "Egg 2"],
        ["Laid", "2019-04-01", "/"],
    ]


def merge(n_cocks):
    return ((1, 4, 1, 5), (3 + n_cocks, 4, 3 + n_cocks, 5))


def test_blocks_are_read_wherever_they_stand(read_sheet):
    for n_cocks in (0, 1, 3):
        read = read_sheet(make_form(n_cocks), BLOCKS, merged=merge(n_cocks))
        assert read.exams["sex"].tolist() == ["M"] * n_cocks + ["F"]
        assert read.exams["site"].tolist() == ["Elm Wood"] * (n_cocks + 1)
        assert read.exams["mass_g"].tolist() == [*range(601, 601 + n_cocks), 941]
        assert read.exams["tarsus_mm"].tolist()[-1] == 55.0
        assert read.exams["source_row"].tolist()[-1] == 5 + n_cocks
        counts = read.counts
        assert counts["rows_in"] == n_cocks + 7
        assert counts["rows_held"] == 0


def test_every_cell_of_a_form_is_accounted_for(read_sheet):
    read = read_sheet(make_form(), BLOCKS, merged=merge(1))
    assert read.at("A1")["reason"] == read.at("C1")["reason"] == "a label"
    assert read.at("B1")["reason"] == "label set aside: the dates have it"
    assert (read.at("E1")["outcome"], read.at("E1")["target"]) == ("accepted", "exams.site")
    assert read.at("A4")["reason"] == "no exam: the row holds no mass_g"
    assert read.at("B8")["reason"] == "the block is set aside: eggs are no exams"
    assert read.at("F3")["reason"] == "column set aside: width"
    assert set(read.ledger["outcome"]) == {"accepted", "converted", "set_aside"}


def test_a_block_that_is_not_there_is_said(read_sheet):
    read = read_sheet(make_form()[:3], BLOCKS, merged=((1, 4, 1, 5),))
    assert any("starts at 'Hen *' is not on the sheet" in note for note in read.notes)
    assert len(read.exams) == 1


def test_what_no_block_describes_is_held(read_sheet):
    read = read_sheet([["Vet", "S1"], *make_form()], BLOCKS, merged=())
    assert read.at("A1")["outcome"] == "quarantined"
    assert read.at("A1")["reason"] == "outside the blocks that the recipe describes"


def test_a_label_that_stands_twice_is_held(read_sheet):
    rows = make_form()
    rows[0] += ["Place", "Oak Wood"]
    read = read_sheet(rows, BLOCKS, merged=merge(1))
    assert read.at("E1")["outcome"] == read.at("G1")["outcome"] == "quarantined"
    assert read.exams["site"].isna().all()
    assert any("the label 'Place' stands 2 times (C1, F1): held" in note for note in read.notes)


PAPER = """
sheets:
- file: "*"
  starts_at: "Bird no*"
  table: exams
  needs: [mass_g, keel]
  labels:
    "Bird no*": {field: bird_id, where: same}
    Weight: {field: mass_g, unit: g}
    Keel: {field: keel, scale: "keel 1 to 5", where: below}
    Seen by: {field: scorer, also: [Examiner]}
    Date: {field: exam_date, year: sheet, date_order: dmy}
"""


def test_a_form_of_labels_is_one_record_a_block(read_sheet):
    rows = [
        ["Bird no.: 12", "", "Weight", "", 950], ["Keel", "Examiner", "S1"], ["3+", "", "stray"],
        [], ["Bird no.: 13", "", "Weight", "", ""], ["Keel", "Seen by", "S2"], ["", ""],
        ["Bird no.: 14", "", "Weight", "", "too weak"], ["Keel", "Seen by", "S2"], ["2", ""],
    ]  # fmt: skip
    read = read_sheet(rows, PAPER, name="s")
    got = read.exams[["exam_id", "bird_id", "mass_g", "keel_text", "scorer"]]
    got = got.astype(object).fillna("")
    assert got.to_numpy().tolist() == [
        ["b:1", "12", 950.0, "3+", "S1"], ["b:8", "14", "", "2", "S2"],
    ]  # fmt: skip
    assert read.at("C3")["reason"] == "no label of the recipe names this cell"
    assert read.at("A5")["reason"] == "no exam: the form holds no mass_g or keel"
    assert read.at("A5")["outcome"] == "set_aside"
    counts = read.counts
    assert (counts["rows_in"], counts["exams_out"], counts["rows_held"]) == (8, 2, 0)
    assert read.at("A1")["value"] == "12"


def test_two_tables_side_by_side(read_sheet):
    recipe = """
sheets:
- {file: "*", area: "A1:B9", table: exams, heading_row: 2,
   columns: {Case: {field: bird_id}, Wt: {field: mass_g, unit: g}}}
- {file: "*", area: "D1:E9", table: exams, heading_row: 2,
   columns: {Case: {field: bird_id}, Wt: {field: mass_g, unit: kg}}}
- {file: "*", table: set_aside, why: notes}
"""
    rows = [["Left", "", "", "Right", ""], ["Case", "Wt", "", "Case", "Wt"],
            ["a", 950, "", "b", 1.2], ["c", 960, "note", "", ""]]  # fmt: skip
    read = read_sheet(rows, recipe)
    assert read.exams["exam_id"].tolist() == ["b:3", "b:4", "b:D3"]
    assert read.exams["mass_g"].tolist() == [950, 960, 1200]
    assert read.at("C4")["reason"] == "outside the blocks: notes"
    assert read.counts["rows_in"] == 4 + 3 + 1


def test_areas_that_overlap_are_held(read_sheet):
    recipe = """
sheets:
- {file: "*", area: "A1:B9", heading_row: 1, columns: {Case: {field: bird_id}}}
- {file: "*", area: "B1:C9", heading_row: 1, columns: {Wt: {field: mass_g, unit: g}}}
"""
    read = read_sheet([["Case", "x", "Wt"], ["a", "y", 950]], recipe)
    assert len(read.exams) == 0
    assert set(read.ledger["outcome"]) == {"quarantined"}
    assert any("two areas or blocks overlap" in note for note in read.notes)
