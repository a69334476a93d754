"""Tables below and beside each other, each with an area of its own."""

HEAD = ["Ring", "Date", "Weight (g)", "Wing (mm)"]


def cut(draft):
    return [(rule.area, rule.heading_rows, rule.ask is not None) for rule in draft.rules]


def test_one_table_has_no_area(draft_rows):
    assert cut(draft_rows([HEAD, ["a1", "2019-03-04", "186", "240"]])) == [(None, (1,), False)]


def test_tables_below_each_other_with_other_headings(draft_rows):
    draft = draft_rows([
        HEAD, ["a1", "2019-03-04", "186", "240"], ["a2", "2019-03-05", "190", "241"], [],
        ["Year 2020"], ["Ring", "Wing (mm)", "Weight (g)", "Sex"], ["b1", "240", "186", "F"],
    ])  # fmt: skip
    assert cut(draft) == [("1:4", (1,), False), ("5:7", (6,), False)]
    assert [column.heading for column in draft.rules[1].columns] == [
        "Ring", "Wing (mm)", "Weight (g)", "Sex",
    ]  # fmt: skip
    assert draft.rules[1].columns[1].unit == "mm"


def test_a_cut_without_an_empty_row_is_asked_about(draft_rows):
    draft = draft_rows([
        ["Case no.", "Wt (g)", "Wing (mm)"], ["a", "186", "240"],
        ["Case no.", "Wing (mm)", "Wt (g)"], ["b", "241", "190"],
    ])  # fmt: skip
    assert cut(draft) == [("1:2", (1,), True), ("3:4", (3,), True)]
    assert "Is this part (3:4) a table of its own?" in draft.rules[1].ask


def test_repeated_headings_are_one_table(draft_rows):
    rows = [HEAD, ["a1", "2019-03-04", "186", "240"], [], HEAD, ["a2", "2019-03-04", "188", "242"]]
    assert cut(draft_rows(rows)) == [(None, (1,), False)]


def test_tables_beside_each_other(draft_rows):
    draft = draft_rows([
        ["Males", "", "", "", "Females"],
        ["Ring", "Wt (g)", "Wing (mm)", "", "Ring", "Wt (g)", "Wing (mm)"],
        ["a1", "186", "240", "", "b1", "230", "250"],
        ["a2", "187", "241", "", "b2", "231", "252"],
    ])  # fmt: skip
    assert cut(draft) == [("A:D", (2,), False), ("E:G", (2,), False)]


def test_the_same_headings_again_to_the_right(draft_rows):
    draft = draft_rows([
        ["Ring", "Wt (g)", "Wing (mm)", "Ring", "Wt (g)", "Wing (mm)"],
        ["a1", "186", "240", "b1", "230", "250"],
    ])  # fmt: skip
    assert cut(draft) == [("A:C", (1,), False), ("D:F", (1,), False)]


def test_an_empty_column_alone_cuts_nothing(draft_rows):
    rows = [["Ring", "Date", "", "Wt (g)", "Wing (mm)"], ["a1", "2019-03-04", "", "186", "240"]]
    assert cut(draft_rows(rows)) == [(None, (1,), False)]


def test_tables_beside_each_other_at_other_heights(draft_rows):
    draft = draft_rows([
        ["Ring", "Wt (g)", "", "", ""],
        ["a1", "186", "", "", ""],
        ["a2", "187", "", "Case no.", "Wing (mm)"],
        ["a3", "188", "", "K-1", "240"],
    ])  # fmt: skip
    assert cut(draft) == [("A:C", (1,), False), ("D:E", (3,), False)]


def test_pairs_under_dates_are_one_table(draft_rows):
    draft = draft_rows([
        ["Bird", "14/3/19", "", "21/3/19", ""], ["", "Wt (g)", "Keel", "Wt (g)", "Keel"],
        ["K-1", "186", "3", "190", "3"], ["K-2", "230", "2", "231", "2.5"],
    ], merged=((0, 1, 0, 2), (0, 3, 0, 4)))  # fmt: skip
    assert cut(draft) == [(None, (1, 2), False)]
    assert draft["14/3/19 Wt (g)"].values == draft["14/3/19 Keel"].values
    assert draft["21/3/19 Wt (g)"].values == {"exam_date": "2019-03-21"}
    assert draft["21/3/19 Wt (g)"].unit == "g"


def test_measures_repeated_behind_one_bird_are_no_tables(draft_rows):
    draft = draft_rows([["Bird", "Wt (g)", "Wing (mm)", "Wt (g)", "Wing (mm)"],
                        ["K-1", "186", "240", "190", "241"]])  # fmt: skip
    assert cut(draft) == [(None, (1,), False)]
    assert draft["Wt (g)"].ask
    assert draft["Wt (g).2"].ask
