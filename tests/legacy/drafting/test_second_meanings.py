"""Headings of several meanings, settled by cells and neighbours."""

import pytest

DAYS = ["13.03.2019", "14.03.2019", "02.04.2019"]
RINGS = ["JC40222", "JC40223", "JC40224"]


def table(**columns):
    return [list(columns), *[list(row) for row in zip(*columns.values(), strict=True)]]


@pytest.mark.parametrize("heading", ["Data", "Tag", "Date ringed", "Banding date", "Dia"])
def test_the_only_days_of_a_table_are_the_exams(draft_rows, heading):
    draft = draft_rows(table(**{"Ring number": RINGS, heading: DAYS}))
    assert draft.is_sure(heading)
    assert draft[heading].fields == ("exam_date",)
    assert draft[heading].date_order == "dmy"


@pytest.mark.parametrize("heading", ["Admission date", "Date in", "Collection date"])
def test_days_on_which_a_bird_may_not_have_been_weighed_are_asked_about(draft_rows, heading):
    draft = draft_rows(table(**{"Ring number": RINGS, heading: DAYS}))
    assert draft[heading].fields == ("exam_date",)
    assert "Is this exam_date?" in draft[heading].ask


def test_a_day_of_ringing_beside_the_exams_is_asked_about(draft_rows):
    draft = draft_rows(table(Ring=RINGS, Date=DAYS, **{"Date ringed": DAYS}))
    assert draft.is_sure("Date")
    assert draft["Date ringed"].ask


def test_data_that_are_no_days_are_no_date(draft_rows):
    draft = draft_rows(table(Ring=RINGS, Data=["yes", "no", "yes"]))
    assert not draft.is_sure("Data")


def test_obs_are_remarks_where_they_are_no_initials(draft_rows):
    words = draft_rows(table(Ring=RINGS, Obs=["thin bird", "", "moulting"]))
    assert words["Obs"].fields == ("remarks",)
    people = draft_rows(table(Ring=RINGS, Obs=["S1", "K2", "S1"]))
    assert people["Obs"].fields == ("scorer",)
    assert people["Obs"].ask
    assert words["Obs"].ask


def test_ages_beyond_a_digit_are_days(draft_rows):
    draft = draft_rows(table(Ring=RINGS, Age=["14", "21", "17"]))
    assert draft["Age"].fields == ("chick_age_days",)
    assert draft["Age"].ask
    codes = draft_rows(table(Ring=RINGS, Age=["4", "5", "4"]))
    assert codes["Age"].fields == ("age_code",)


INDEX = ["1.446", "-0.539", "5.576"]


@pytest.mark.parametrize("heading", ["BodyCond", "Condition", "BCS", "Kondition", "Condici\u00f3n"])
@pytest.mark.parametrize("cells", [INDEX, ["-1", "0", "2"], ["0.4461", "0.5392", "0.1234"]])
def test_numbers_below_nought_or_of_many_decimals_are_an_index(draft_rows, heading, cells):
    rule = draft_rows(table(Ring=RINGS, **{heading: cells}))[heading]
    assert rule.fields == ()
    assert "a computed index of body condition" in rule.ask


def test_grades_of_halves_stay_a_score(draft_rows):
    assert draft_rows(table(Ring=RINGS, Condition=["2.5", "3", "3.5"]))["Condition"].fields == (
        "keel",
    )  # fmt: skip


def test_a_mean_beside_its_measure_is_computed(draft_rows):
    cells = {"tarsus": ["41.2", "43.0", "40.1"], "Tarsus average": ["41.5", "41.5", "41.5"]}
    draft = draft_rows(table(Ring=RINGS, **cells))
    assert draft["Tarsus average"].fields == ()
    assert "a computed value ('average')" in draft["Tarsus average"].ask
    assert "Tarsus average" not in (draft["tarsus"].ask or "")
    alone = draft_rows(table(Ring=RINGS, **{"Tarsus average": cells["tarsus"]}))["Tarsus average"]
    assert alone.fields == ("tarsus_mm",)
    assert "speaks of a computed value" in alone.ask


def test_measure_is_who_measured_where_it_holds_initials(draft_rows):
    rows = table(Ring=RINGS, Measure=["SJL", "KB", "SJL"])
    assert draft_rows(rows)["Measure"].fields == ("scorer",)
    assert draft_rows(table(Ring=RINGS, Measure=["12", "14", "13"]))["Measure"].fields == ()


@pytest.mark.parametrize("heading", ["Clutch", "brood", "Gelege", "Puesta"])
def test_small_numbers_of_a_clutch_name_no_nest(draft_rows, heading):
    assert draft_rows(table(Ring=RINGS, **{heading: ["4", "5", "4"]}))[heading].fields == ()


def test_nests_with_small_numbers_stay_nests(draft_rows):
    assert draft_rows(table(Ring=RINGS, Nest=["4", "5", "4"]))["Nest"].fields == ("nest",)
    named = draft_rows(table(Ring=RINGS, Clutch=["W4a", "W5", "W4b"]))["Clutch"]
    assert named.fields == ("nest",)


@pytest.mark.parametrize("cells", [["Absent", "Present", "Absent"], ["yes", "no", "no"]])
def test_moult_that_is_there_or_not_is_a_flag(draft_rows, cells):
    draft = draft_rows(table(Ring=RINGS, **{"Flight moult": cells, "Body moult": cells}))
    assert draft["Flight moult"].fields == ("in_moult",)
    assert (draft["Body moult"].fields, draft["Body moult"].kind) == (("body_moult",), "flag")
    assert draft["Flight moult"].ask
    scores = draft_rows(table(Ring=RINGS, **{"Flight moult": ["54321", "55550", "0"]}))
    assert scores["Flight moult"].fields == ("moult_text",)


def test_present_and_absent_are_proposed_as_yes_and_no(draft_rows, read_sheet):
    rows = table(Ring=RINGS, **{"Flight moult": ["Absent", "Present", "Absent"]})
    rule = draft_rows(rows)["Flight moult"]
    assert rule.codes == {"Absent": "no", "Present": "yes"}
    answered = read_sheet(rows, """sheets:
- file: book.csv
  heading_row: 1
  columns:
    Ring: {field: ring_number}
    Flight moult: {field: in_moult, codes: {Absent: no, Present: yes}}
""")  # fmt: skip
    assert answered.exams["in_moult"].tolist() == [False, True, False]


def test_a_date_of_something_beside_the_exams_is_another_day(draft_rows):
    rows = table(Ring=RINGS, Date=DAYS, **{"Date fitted M": DAYS})
    draft = draft_rows(rows)
    assert draft.is_sure("Date")
    assert draft["Date fitted M"].fields == ("other_date",)


def test_a_number_that_never_recurs_beside_the_birds_is_the_exams(draft_rows):
    birds = ["K1", "K2", "K1"]
    draft = draft_rows(table(**{"Bird ID": birds, "Sample ID": ["8634", "8638", "8655"]}))
    assert draft["Sample ID"].fields == ("exam_id",)
    assert draft["Sample ID"].ask
    lone = draft_rows(table(Site=["A", "B", "A"], **{"Sample ID": ["8634", "8638", "8655"]}))
    assert lone["Sample ID"].fields == ("bird_id",)


def test_codes_of_four_letters_are_no_second_species(draft_rows):
    rows = [["Ring", "Species", "Vault"],
            *[["a1", "Tyto alba", "ZMHF"]] * 3, *[["a2", "Buteo buteo", "NHMB"]] * 3]  # fmt: skip
    assert draft_rows(rows)["Vault"].fields == ()
    alone = [["Ring", "Wing (mm)", "Vault"],
             *[["a1", "288", "BAOW"]] * 3, *[["a2", "390", "COBU"]] * 3]  # fmt: skip
    assert draft_rows(alone)["Vault"].fields == ("species",)


def test_times_that_hold_dates_say_so(draft_rows):
    cells = ["7/18/2019 21:38", "7/19/2019 0:26", "7/19/2019 1:10"]
    rule = draft_rows(table(Ring=RINGS, Time=cells))["Time"]
    assert "Its cells hold dates too." in rule.ask
    assert "write field: exam_date here" in rule.ask
    plain = draft_rows(table(Ring=RINGS, Time=["21:38", "0:26", "1:10"]))["Time"]
    assert "hold dates too" not in plain.ask
