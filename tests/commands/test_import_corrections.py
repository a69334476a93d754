"""Corrections given to ``bodycond import``: applied, logged, and never in silence."""

import pandas as pd

from bodycond.tables_on_disk import read_csv


def test_a_form_that_somebody_filled_in_keeps_its_place(run, tmp_path):
    run()
    form = tmp_path / "out" / "corrections_template.csv"
    filled = form.read_text(encoding="utf-8").replace("heavy", "heavy,", 1)
    form.write_text(filled, encoding="utf-8")
    assert run().code == 0
    assert form.read_text(encoding="utf-8") == filled
    assert (tmp_path / "out" / "corrections_template_2.csv").is_file()


def fill_in(form, filled, **decisions):
    """Fill in the rows of a table of corrections, by what the cell holds."""
    rows = pd.read_csv(form, dtype=str, keep_default_na=False)
    for raw, words in decisions.items():
        rows.loc[rows["raw"] == raw, list(words)] = list(words.values())
    rows.to_csv(filled, index=False)
    return filled


CORRECTED = {"decision": "corrected", "corrected": "930", "who": "S1", "why": "paper card"}


def test_a_correction_is_applied_and_logged_and_the_raw_text_stays(run, tmp_path):
    run()
    form = tmp_path / "out" / "corrections_template.csv"
    filled = fill_in(form, tmp_path / "filled.csv", heavy=CORRECTED)
    done = run("--corrections", filled)
    assert done.code == 0
    assert "Corrections: 1 applied, 0 not applied" in done.out
    assert "Rows without a decision, passed over: 1." in done.out
    assert read_csv(tmp_path / "out" / "exams.csv")["mass_g"].tolist()[3] == 930
    ledger = pd.read_parquet(tmp_path / "out" / "ledger.parquet").astype(str)
    (cell,) = ledger[ledger["raw"] == "heavy"].to_dict("records")
    assert (cell["outcome"], cell["value"]) == ("converted", "930")
    assert "S1 (paper card)" in cell["reason"]
    page = (tmp_path / "out" / "import_report.html").read_text(encoding="utf-8")
    assert "paper card" in page
    assert "corrected: see corrections_log.csv" in page


def test_a_marked_workbook_filled_in_where_it_stands_comes_back(run, tmp_path):
    from openpyxl import load_workbook

    run()
    marked = tmp_path / "out" / "marked" / "exams.csv.held.xlsx"
    workbook = load_workbook(marked)
    sheet = workbook["Held cells"]
    names = [cell.value for cell in sheet[1]]
    (row,) = [row for row in sheet.iter_rows(min_row=2) if row[names.index("raw")].value == "heavy"]
    for name, text in CORRECTED.items():
        row[names.index(name)].value = text
    workbook.save(marked)
    before = marked.read_bytes()
    done = run("--corrections", marked)
    assert done.code == 0
    assert read_csv(tmp_path / "out" / "exams.csv")["mass_g"].tolist()[3] == 930
    assert marked.read_bytes() == before
    fresh = marked.with_name("exams.csv.held_2.xlsx")
    assert load_workbook(fresh)["Held cells"].max_row == 2


def test_a_correction_of_a_cell_that_has_changed_is_not_applied_and_exits_1(run, sheets, tmp_path):
    run()
    form = tmp_path / "out" / "corrections_template.csv"
    filled = fill_in(form, tmp_path / "filled.csv", heavy=CORRECTED)
    text = (sheets / "exams.csv").read_text(encoding="utf-8")
    (sheets / "exams.csv").write_text(text.replace("heavy", "950"), encoding="utf-8")
    done = run("--corrections", filled)
    assert done.code == 1
    assert "Corrections: 0 applied, 1 not applied" in done.out
    assert "filled.csv, line 2: stale" in done.out
    assert read_csv(tmp_path / "out" / "exams.csv")["mass_g"].tolist()[3] == 950


def test_a_correction_without_a_name_exits_2_with_its_line(run, tmp_path, list_files):
    run()
    before = list_files(tmp_path / "out")
    form = tmp_path / "out" / "corrections_template.csv"
    filled = fill_in(form, tmp_path / "filled.csv", heavy={**CORRECTED, "who": ""})
    done = run("--corrections", filled)
    assert done.code == 2
    assert "filled.csv, line 2: who is empty" in done.err
    assert list_files(tmp_path / "out") == before


def test_a_folder_of_corrections_is_read_whole(run, tmp_path):
    run()
    form = tmp_path / "out" / "corrections_template.csv"
    back = tmp_path / "back"
    back.mkdir()
    fill_in(form, back / "from_S1.csv", heavy=CORRECTED)
    (back / "~$from_S1.csv").write_text("lock", encoding="utf-8")
    (back / "letter.txt").write_text("dear colleague", encoding="utf-8")
    done = run("--corrections", back)
    assert done.code == 0
    assert "Corrections: 1 applied, 0 not applied" in done.out


def test_birds_that_may_be_one_are_proposed_and_none_is_joined(run, sheets, tmp_path):
    text = (
        "Case no.,Ring,Species,Mass (g)\nA1,AB12345,Buteo buteo,820\nA2,AB12345,Buteo buteo,830\n"
    )
    (sheets / "exams.csv").write_text(text, encoding="utf-8")
    recipe = (tmp_path / "recipe.yaml").read_text(encoding="utf-8")
    recipe = recipe.replace("    Sex: {field: sex}", "    Ring: {field: ring_number}")
    (tmp_path / "recipe.yaml").write_text(recipe, encoding="utf-8")
    done = run()
    assert done.code == 0
    assert "or two under one: 1 proposal in bird_links.csv; none is applied." in done.out
    assert read_csv(tmp_path / "out" / "exams.csv")["bird_id"].tolist() == ["A1", "A2"]
    links = tmp_path / "out" / "bird_links.csv"
    page = (tmp_path / "out" / "import_report.html").read_text(encoding="utf-8")
    assert "one ring under two ids" in page
    rows = pd.read_csv(links, dtype=str, keep_default_na=False)
    rows.loc[:, ["decision", "who", "why"]] = ["same_bird", "S1", "ring read twice"]
    rows.to_csv(links, index=False)
    again = run("--corrections", links)
    assert again.code == 0, again.out
    assert "Corrections: 1 applied, 0 not applied" in again.out
    assert "Left from an earlier import" not in again.out
    assert read_csv(tmp_path / "out" / "exams.csv")["bird_id"].tolist() == ["A1", "A1"]
    assert len(read_csv(tmp_path / "out" / "bird_links_2.csv")) == 0
