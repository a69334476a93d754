"""A sex and how it was told in one cell."""

import pytest

CELLS = ["M/mass", "F/BP", "U", "F", "M/iris"]
RINGS = ["HT40222", "HT40223", "HT40224", "HT40225", "HT40226"]


@pytest.mark.parametrize("heading", ["Sex/method", "Sex (method)", "Geschlecht/Methode"])
def test_a_sex_and_its_method_are_split(draft_rows, heading):
    rows = [["Ring", heading], *map(list, zip(RINGS, CELLS, strict=True))]
    rule = draft_rows(rows)[heading]
    assert rule.split == ("{sex}/{sexing_method}", "{sex}")
    assert rule.fields == ("sex", "sexing_method")
    assert "2 cells hold a sex alone" in rule.ask


def test_the_proposal_reads_both(draft_rows, read_sheet):
    rows = [["Ring", "Sex/method"], *map(list, zip(RINGS, CELLS, strict=True))]
    split = list(draft_rows(rows)["Sex/method"].split)
    answered = read_sheet(rows, f"""sheets:
- file: book.csv
  heading_row: 1
  columns:
    Ring: {{field: ring_number}}
    Sex/method: {{split: {split}, kind: text}}
""")  # fmt: skip
    assert answered.exams["sex"].tolist() == ["M", "F", "U", "F", "M"]
    assert answered.exams["sexing_method"].fillna("").tolist() == ["mass", "BP", "", "", "iris"]


def test_a_method_alone_is_not_split(draft_rows):
    rows = [["Ring", "Sexing method"], ["HT40222", "plumage"], ["HT40223", "cloaca/mass"]]
    rule = draft_rows(rows)["Sexing method"]
    assert (rule.fields, rule.split) == (("sexing_method",), ())
