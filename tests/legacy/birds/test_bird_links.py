"""Birds under several ids: what is proposed, why, and what a decision does."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bodycond.errors import ArgumentError, MissingColumnError
from bodycond.legacy.birds.bird_links import (
    BirdLinks,
    LinkAssumptions,
    apply_bird_links,
    propose_bird_links,
)

DECISION_COLUMNS = ["decision", "bird_id", "same_as", "who", "why"]


def make_table(*rows, n=80):
    """Ordinary birds, one exam each, with rings far apart; then the rows in question."""
    generator = np.random.default_rng(8)
    numbers = generator.choice(np.arange(100000, 999999), size=n, replace=False)
    ordinary = [
        {
            "exam_id": f"E{place}", "bird_id": f"B{place:03d}", "ring_number": f"HT{number}",
            "species": "Buteo buteo" if place % 4 else "Tyto alba",
            "sex": "F" if place % 2 else "M",
            "exam_date": pd.Timestamp("2010-03-01") + pd.Timedelta(days=place),
            "tarsus_mm": round(76 + 2.5 * generator.normal(), 1),
            "culmen_mm": round(22 + 0.9 * generator.normal(), 1),
            "site": "Millford", "source_file": "exams_2010.csv", "source_row": place + 2,
        }
        for place, number in enumerate(numbers)
    ]  # fmt: skip
    return pd.DataFrame([*ordinary, *rows])


def bird(number, ring, **more):
    return {
        "exam_id": f"X{number}", "bird_id": number, "ring_number": ring,
        "species": "Buteo buteo", "sex": "F", "exam_date": pd.Timestamp("2008-05-01"),
        "tarsus_mm": 81.0, "culmen_mm": 24.0, "site": "Stonebeck",
        "source_file": "exams_2008.csv", "source_sheet": "May", "source_row": 9, **more,
    }  # fmt: skip


def later(number, ring, **more):
    return bird(number, ring, **{
        "exam_date": pd.Timestamp("2011-06-02"), "tarsus_mm": 81.3, "culmen_mm": 24.1,
        "source_file": "exams_2011.csv", "source_row": 31, **more,
    })  # fmt: skip


def decide(*lines):
    return pd.DataFrame(lines, columns=DECISION_COLUMNS)


def only_pair(links):
    assert len(links.pairs) == 1, links.pairs[["bird_id", "same_as", "kind"]]
    return links.pairs.iloc[0]


@pytest.mark.parametrize(
    ("ring", "kind"),
    [
        ("HT023456", "one ring under two ids"),
        ("HT23456", "one ring under two ids"),
        ("ht-023456 ", "one ring under two ids"),
        ("HT 023456.0", "one ring under two ids"),
        ("023456", "ring written with and without a prefix"),
        ("23456.0", "ring written with and without a prefix"),
        ("HT023465", "rings one slip apart"),
        ("HT023496", "rings one slip apart"),
        ("HT0234566", "rings one slip apart"),
    ],
)
def test_a_ring_written_in_another_way_finds_its_bird(ring, kind):
    pair = only_pair(propose_bird_links(make_table(bird("K1", "HT023456"), later("K900", ring))))
    assert (pair["bird_id"], pair["same_as"], pair["kind"]) == ("K900", "K1", kind)
    assert f"ring 'HT023456' and {ring!r}" in pair["evidence_for"]
    assert "tarsus 81.0 and 81.3 mm" in pair["evidence_for"]
    assert pair["evidence_against"] == ""
    assert pair["example_bird_id"] == "exams_2011.csv, sheet May, row 31"
    assert pair["example_same_as"] == "exams_2008.csv, sheet May, row 9"
    assert (pair["decision"], pair["who"], pair["why"]) == ("", "", "")
    assert pair["weight"] > pair["margin"]


@pytest.mark.parametrize("ring", ["HT123465", "HT023789", "ES023456", "HT0234", None])
def test_rings_further_apart_are_not_weighed(ring):
    links = propose_bird_links(make_table(bird("K1", "HT023456"), later("K900", ring)))
    assert links.pairs.empty
    assert links.groups.empty
    assert list(links.groups.columns) == [
        "group", "bird_id", "same_as", "n_members", "n_exams", "conflict",
    ]  # fmt: skip


def test_a_whole_number_ring_that_pandas_made_a_float():
    table = pd.DataFrame([bird("K1", 1234567.0), later("K2", 1234567.0), later("K3", np.nan)])
    assert table["ring_number"].dtype == "float64"
    assert only_pair(propose_bird_links(table))["evidence_for"].startswith(
        "ring '1234567' and '1234567'"
    )


def test_an_exam_without_an_id_goes_by_its_ring():
    links = propose_bird_links(make_table(bird("K1", "HT023456"), later(None, "HT 23456")))
    pair = only_pair(links)
    assert pair["bird_id"] == "ring:HT 23456"
    assert pair["kind"] == "exam without an id, ring of another"


@pytest.mark.parametrize("other", ["k-17", "K 17", "K0017", "K17.", " K17"])
def test_one_id_written_in_two_ways(other):
    pair = only_pair(propose_bird_links(make_table(bird("K17", None), later(other, None))))
    assert pair["kind"] == "one id written in two ways"
    assert f"number 'K17' and {other!r}" in pair["evidence_for"]


def test_a_date_like_number_is_not_run_together():
    assert propose_bird_links(make_table(bird("04-17", None), later("41-7", None))).pairs.empty


def test_an_id_that_is_anothers_ring():
    pair = only_pair(
        propose_bird_links(make_table(bird("K1", "HT023456"), later("HT023456", None)))
    )
    assert pair["kind"] == "id of one is the ring of the other"


def test_a_conflict_is_listed_and_said_and_not_joined():
    links = propose_bird_links(
        make_table(bird("K1", "HT023456"), later("K2", "HT023456", sex="M", tarsus_mm=72.0))
    )
    pair = only_pair(links)
    assert pair["strength"] in ("unclear", "two birds, likely", "two birds, very likely")
    assert "sex F and M" in pair["evidence_against"]
    assert "tarsus 81.0 and 72.0 mm" in pair["evidence_against"]
    assert links.groups.empty


def test_impossible_ages_speak_against():
    links = propose_bird_links(
        make_table(
            bird("K1", "HT023456", age_class="adult"),
            later("K2", "HT023456", age_code="HY", age_code_system="BBL"),
        )
    )
    assert (
        "hatched 2007 or before and 2011, examined 2008 to 2008 and 2011 to 2011"
        in only_pair(links)["evidence_against"]
    )


def test_a_bare_age_digit_says_nothing():
    links = propose_bird_links(
        make_table(bird("K1", "HT023456", age_code="4"), later("K2", "HT023456", age_code="3"))
    )
    assert "hatched" not in only_pair(links)["evidence_against"]


def test_a_lifetime_too_long_speaks_against():
    old = bird("K1", "HT023456", exam_date=pd.Timestamp("1961-05-01"))
    pair = only_pair(propose_bird_links(make_table(old, later("K2", "HT023456"))))
    assert "examined 1961 to 1961 and 2011 to 2011 (-" in pair["evidence_against"]


def test_a_nestlings_bones_are_no_evidence():
    young = bird("K1", "HT023456", tarsus_mm=60.0, age_class="pullus")
    pair = only_pair(propose_bird_links(make_table(young, later("K2", "HT023456"))))
    assert "tarsus" not in pair["evidence_for"] + pair["evidence_against"]


def test_masses_of_one_day_and_place():
    def weigh(mass_g):
        rows = [
            bird("K1", "HT023456", mass_g=900.0),
            later("K2", "HT023456", mass_g=mass_g, exam_date=pd.Timestamp("2008-05-01")),
        ]
        table = make_table(*rows)
        table["mass_g"] = table["mass_g"].fillna(
            pd.Series(900 + 15.0 * (np.arange(len(table)) % 20), index=table.index)
        )
        return only_pair(propose_bird_links(table))

    same, other = weigh(905.0), weigh(1100.0)
    assert "mass on one day at one place: 900 and 905 g (+" in same["evidence_for"]
    assert "mass on one day at one place: 900 and 1100 g (-" in other["evidence_against"]
    assert same["margin"] > other["margin"]


def test_one_id_under_two_rings_is_asked_about():
    links = propose_bird_links(make_table(bird("K1", "HT023456"), later("K1", "HT777123")))
    pair = only_pair(links)
    assert pair["kind"] == "one id under two rings: re-ringed, or two birds"
    assert (pair["bird_id"], pair["same_as"]) == ("K1 (ring HT777123)", "K1 (ring HT023456)")
    assert "ring 'HT023456' and 'HT777123'" in pair["evidence_against"]


def test_one_id_with_one_ring_in_two_forms_is_no_question():
    assert propose_bird_links(
        make_table(bird("K1", "HT023456"), later("K1", "ht 23456"))
    ).pairs.empty


@pytest.mark.parametrize(
    ("other", "said"),
    [
        ({"species": "Tyto alba"}, "species Buteo buteo and Tyto alba"),
        ({"sex": "M"}, "sex F and M"),
        ({"tarsus_mm": 72.0}, "tarsus 81.0 and 72.0 mm"),
    ],
)
def test_one_number_for_two_birds(other, said):
    links = propose_bird_links(
        make_table(bird("12", None), later("12", None, **{"culmen_mm": np.nan, **other}))
    )
    pair = only_pair(links)
    assert pair["kind"] == "one id, perhaps two birds"
    assert pair["bird_id"] == "12 (file exams_2011.csv, year 2011)"
    assert pair["same_as"] == "12 (file exams_2008.csv, year 2008)"
    assert said in pair["evidence_against"]


def test_two_species_in_one_file_and_year():
    links = propose_bird_links(
        make_table(bird("12", None), bird("12", None, species="Tyto alba", sex="U"))
    )
    assert only_pair(links)["bird_id"] == "12 (species Tyto alba)"
    links = propose_bird_links(make_table(bird("12", None), bird("12", None, sex="M")))
    assert only_pair(links)["bird_id"] == "12 (sex M)"


def make_yearly(*, same_birds):
    """Numbers 1 to 40 in each of two years, given to other birds or to the same ones."""
    generator = np.random.default_rng(3)
    rows = []
    for year in (2004, 2011):
        draw = np.random.default_rng(5) if same_birds else generator
        for number in range(1, 41):
            species = "Buteo buteo" if draw.random() < 0.5 else "Strix aluco"
            rows.append(
                {
                    "bird_id": str(number), "species": species,
                    "sex": "F" if draw.random() < 0.5 else "M",
                    "tarsus_mm": 60 + 5 * draw.normal() + 0.3 * generator.normal(),
                    "exam_date": pd.Timestamp(f"{year}-05-01"), "source_file": f"{year}.csv",
                }
            )  # fmt: skip
    return pd.DataFrame(rows)


def test_numbering_that_starts_anew_makes_every_number_doubtful():
    pairs = propose_bird_links(make_yearly(same_birds=False)).pairs
    assert set(pairs["kind"]) == {"one id, perhaps two birds: numbering starts anew"}
    assert len(pairs) >= 38
    assert (pairs["strength"] == "two birds, very likely").sum() >= 5


def test_residents_with_the_same_number_each_year_are_believed():
    assert len(propose_bird_links(make_yearly(same_birds=True)).pairs) <= 2


def test_a_register_that_goes_on_does_not_start_anew():
    table = make_yearly(same_birds=False)
    again = table["source_file"] == "2011.csv"
    table.loc[again, "bird_id"] = (table.loc[again, "bird_id"].astype(int) + 40).astype(str)
    assert propose_bird_links(table).pairs.empty


def test_a_placeholder_names_nobody():
    rows = [bird(f"P{place}", "999999") for place in range(25)]
    links = propose_bird_links(make_table(*rows))
    assert links.pairs.empty
    assert links.left_out.to_dict("records") == [
        {"reason": "rings under more than 20 ids, which name nobody", "n": 1}
    ]


def test_exams_with_nothing_to_go_by_are_counted():
    links = propose_bird_links(
        make_table(bird(None, None), bird("n/a", "unringed"), bird("K1", "HT023456"))
    )
    assert links.left_out["n"].tolist() == [2]
    said = "exams with neither bird_id nor ring_number: nothing to link them by: 2"
    assert said in links.summary()
    assert said in links.methods()


@pytest.mark.parametrize(
    "table", [pd.DataFrame(), pd.DataFrame({"sex": ["F"]}), pd.DataFrame({"bird_id": [None]})]
)
def test_nothing_to_link_says_so(table):
    links = propose_bird_links(table)
    assert links.pairs.empty
    assert links.reason == (
        "no exam carries a bird_id or a ring_number, so there is nothing to link"
    )
    assert links.reason in links.summary()


def test_one_id_alone_says_so():
    links = propose_bird_links(pd.DataFrame({"bird_id": ["K1", "K1"]}))
    assert "one id alone, and nothing against it" in links.summary()


def test_the_order_of_rows_and_a_second_run_change_nothing():
    table = make_table(
        bird("K1", "HT023456"), later("K2", "HT23456"), later(None, "HT023456"),
        bird("12", None), later("12", None, sex="M"), bird("K5", "HT555123"),
        later("K6", "HT555132", exam_date=pd.NaT),
    )  # fmt: skip
    first = propose_bird_links(table)
    before = table.copy()
    assert len(first.pairs) >= 4
    for seed in range(5):
        mixed = propose_bird_links(table.sample(frac=1, random_state=seed, ignore_index=True))
        pd.testing.assert_frame_equal(mixed.pairs, first.pairs)
        pd.testing.assert_frame_equal(mixed.groups, first.groups)
    pd.testing.assert_frame_equal(table, before)


NUMBERS = st.one_of(
    st.none(), st.text(max_size=9), st.from_regex(r"[AB]{0,2}[ -]?[0-3]{1,6}(\.0)?", fullmatch=True)
)


@settings(max_examples=25)
@given(st.lists(st.tuples(NUMBERS, NUMBERS), min_size=1, max_size=12), st.randoms())
def test_any_text_is_taken_and_rows_may_come_in_any_order(numbers, random):
    rows = [bird(number, ring, exam_id=f"X{at}") for at, (number, ring) in enumerate(numbers)]
    first = propose_bird_links(pd.DataFrame(rows))
    random.shuffle(rows)
    again = propose_bird_links(pd.DataFrame(rows))
    pd.testing.assert_frame_equal(again.pairs, first.pairs)
    pd.testing.assert_frame_equal(again.groups, first.groups)
    named = {name for row in numbers for name in row if name is not None}
    for name in [*first.pairs["bird_id"], *first.pairs["same_as"]]:
        assert (
            name.removeprefix("ring:") in named
            or name.split(" (")[0] in named
            or any(name.startswith(f"{other} (") for other in named)
        )


@settings(max_examples=25)
@given(st.lists(st.sampled_from(["A", "B", "C", "D"]), min_size=2, max_size=8), st.data())
def test_applying_decisions_keeps_every_exam_and_every_written_id(names, data):
    known = sorted(set(names))
    pairs = st.tuples(st.sampled_from(known), st.sampled_from(known))
    lines = [
        ("same_bird", one, other, "S1", "x")
        for one, other in data.draw(st.lists(pairs, max_size=4))
        if one != other
    ]
    exams = pd.DataFrame({"bird_id": names})
    applied = apply_bird_links(exams, decisions=decide(*lines))
    assert applied["bird_id_as_written"].tolist() == names
    new = dict(zip(names, applied["bird_id"], strict=True))
    for _, one, other, *_ in lines:
        assert new[one] == new[other]
    assert set(new.values()) <= set(names)
    untouched = set(names) - {name for line in lines for name in line[1:3]}
    assert all(new[name] == name for name in untouched)


def chain(**middle):
    """A to B by one ring, B to C by another; A and C differ in sex."""
    return make_table(
        bird("A", "HT023456"),
        later("B", "HT023456", sex="U", tarsus_mm=np.nan, culmen_mm=np.nan, **middle),
        later("B", "HT555123", sex="U", tarsus_mm=np.nan, culmen_mm=np.nan),
        later("C", "HT555123", sex="M", tarsus_mm=70.0, culmen_mm=20.0),
    )


def test_a_chain_never_joins_birds_in_conflict():
    groups = propose_bird_links(chain()).groups
    assert groups["bird_id"].tolist() == ["A", "B", "C"]
    assert (groups["same_as"] == "A").all()
    assert groups["n_exams"].tolist() == [1, 2, 1]
    assert groups["conflict"].str.contains("A and C: .*sex F and M").all()
    assert "1 of these groups hold a conflict" in propose_bird_links(chain()).summary()


def test_a_group_without_conflict():
    groups = propose_bird_links(make_table(bird("K1", "HT023456"), later("K2", "HT023456"))).groups
    assert groups["conflict"].tolist() == ["", ""]


def test_what_was_decided_is_not_proposed_again():
    table = make_table(
        bird("K1", "HT023456"), later("K2", "HT023456"), later("K3", "HT 23456"),
    )  # fmt: skip
    assert len(propose_bird_links(table).pairs) == 3
    two = decide(("same_bird", "K2", "K1", "S1", "same tarsus"))
    assert len(propose_bird_links(table, decisions=two).pairs) == 2
    implied = decide(
        ("same_bird", "K1", "K2", "S1", "same tarsus"),
        ("different_birds", "K3", "K2", "S1", "seen side by side"),
    )
    links = propose_bird_links(table, decisions=implied)
    assert links.pairs.empty
    assert links.n_decided == 3
    assert "3 pairs decided before, not proposed again" in links.summary()


def test_decisions_that_were_carried_out_are_not_proposed_again():
    table = make_table(bird("K1", "HT023456"), later("k-1", "HT555123"), later("K7", "HT23456"))
    lines = decide(("same_bird", "k-1", "K1", "S1", "same tarsus, re-ringed"))
    linked = apply_bird_links(table, decisions=lines)
    again = propose_bird_links(linked, decisions=lines).pairs
    assert again[["bird_id", "same_as"]].to_numpy().tolist() == [["K7", "K1"]]


def test_a_decision_against_a_link_is_a_conflict_in_the_group():
    table = make_table(
        bird("K1", "HT023456"), later("K2", "HT023456"), later("K3", "HT 23456"),
    )  # fmt: skip
    apart = decide(("different_birds", "K3", "K1", "S1", "seen side by side"))
    groups = propose_bird_links(table, decisions=apart).groups
    assert groups["conflict"].str.contains("K1 and K3 were decided to be two birds").all()


def test_filled_in_proposals_are_decisions():
    table = make_table(bird("K1", "HT023456"), later("K2", "HT023456"))
    frame = propose_bird_links(table).to_frame()
    frame[["decision", "who", "why"]] = ["same_bird", "S1", "same ring"]
    applied = apply_bird_links(table, decisions=frame)
    assert applied["bird_id"].tail(2).tolist() == ["K1", "K1"]
    assert applied["bird_id_as_written"].tail(2).tolist() == ["K1", "K2"]


def test_undecided_proposals_change_nothing():
    table = make_table(bird("K1", "HT023456"), later("K2", "HT023456"))
    frame = propose_bird_links(table).to_frame()
    applied = apply_bird_links(table, decisions=frame)
    assert applied["bird_id"].tolist() == table["bird_id"].tolist()
    pd.testing.assert_frame_equal(applied[table.columns], table, check_dtype=False)


def test_cells_that_name_nobody_stay_as_they_are():
    table = pd.DataFrame({"bird_id": ["n/a", None, "A", "B"]})
    applied = apply_bird_links(table, decisions=decide(("same_bird", "B", "A", "S1", "x")))
    assert applied["bird_id"].tolist()[0] == "n/a"
    assert applied["bird_id"].isna().tolist() == [False, True, False, False]
    assert applied["bird_id"].tolist()[2:] == ["A", "A"]


def test_ids_that_are_numbers():
    table = pd.DataFrame({"bird_id": [12.0, 13.0, np.nan]})
    lines = pd.DataFrame(
        {"decision": ["same_bird"], "bird_id": [13.0], "same_as": [12.0], "who": "S1", "why": "x"}
    )
    applied = apply_bird_links(table, decisions=lines)
    assert applied["bird_id"].tolist()[:2] == ["12", "12"]
    assert applied["bird_id_as_written"].tolist()[:2] == [12.0, 13.0]


def test_the_name_is_at_the_end_of_the_first_lines_chain():
    table = make_table(bird("A", "1"), bird("B", "2"), bird("C", "3"), bird("D", "4"))
    lines = decide(
        ("same_bird", "A", "B", "S1", "ring"), ("same_bird", "B", "C", "S1", "ring"),
        ("same_bird", "D", "B", "S1", "ring"),
    )  # fmt: skip
    once = apply_bird_links(table, decisions=lines)
    assert once["bird_id"].tail(4).tolist() == ["C"] * 4
    twice = apply_bird_links(once, decisions=lines)
    pd.testing.assert_frame_equal(once, twice)


def test_a_circle_of_names_ends():
    table = pd.DataFrame({"bird_id": ["A", "B"]})
    lines = decide(("same_bird", "A", "B", "S1", "x"), ("same_bird", "B", "A", "S1", "x"))
    assert apply_bird_links(table, decisions=lines)["bird_id"].tolist() == ["B", "B"]


def test_an_exam_without_an_id_gets_one_by_decision_alone():
    table = make_table(bird("K1", "HT023456"), later(None, "HT023456"))
    lines = decide(("same_bird", "ring:HT023456", "K1", "S1", "same ring"))
    applied = apply_bird_links(table, decisions=lines)
    assert applied["bird_id"].tail(2).tolist() == ["K1", "K1"]
    assert applied["bird_id_as_written"].isna().tolist()[-2:] == [False, True]
    untouched = apply_bird_links(table, decisions=lines.iloc[:0])
    assert untouched["bird_id"].isna().tolist()[-2:] == [False, True]


def test_one_number_is_split_into_two_birds():
    table = make_table(bird("12", None), later("12", None, sex="M"))
    frame = propose_bird_links(table).to_frame()
    frame[["decision", "who", "why"]] = ["different_birds", "S1", "sexes differ"]
    applied = apply_bird_links(table, decisions=frame)
    assert applied["bird_id"].tail(2).tolist() == [
        "12 (file exams_2008.csv, year 2008)",
        "12 (file exams_2011.csv, year 2011)",
    ]
    assert propose_bird_links(table, decisions=frame).pairs.empty
    frame["decision"] = "same_bird"
    kept = apply_bird_links(table, decisions=frame)
    assert kept["bird_id"].tail(2).tolist() == ["12", "12"]
    assert propose_bird_links(table, decisions=frame).pairs.empty


def test_a_part_can_be_another_bird():
    table = make_table(bird("12", None), later("12", None), bird("K9", "HT023456"))
    parts = ("12 (file exams_2011.csv, year 2011)", "12 (file exams_2008.csv, year 2008)")
    lines = decide(("different_birds", *parts, "S1", "x"), ("same_bird", parts[0], "K9", "S1", "x"))
    assert apply_bird_links(table, decisions=lines)["bird_id"].tail(3).tolist() == [
        parts[1], "K9", "K9",
    ]  # fmt: skip


def test_contradictions_raise_with_every_line():
    lines = decide(
        ("same_bird", "A", "B", "S1", "x"),
        ("same_bird", "Z", "A", "S1", "x"),
        ("same_bird", "C", "B", "K2", "x"),
        ("different_birds", "C", "A", "K2", "x"),
    )
    with pytest.raises(ArgumentError) as raised:
        apply_bird_links(pd.DataFrame({"bird_id": [*"ABCZ"]}), decisions=lines)
    assert str(raised.value) == (
        "Decisions must not contradict one another. Found: line 2: 'C' is the same bird as 'B' "
        "(K2); line 0: 'A' is the same bird as 'B' (S1); line 3: 'C' is another bird than 'A' "
        "(K2). Look at these birds again and take one of the lines out."
    )
    with pytest.raises(ArgumentError, match="must not contradict one another"):
        propose_bird_links(pd.DataFrame({"bird_id": [*"ABCZ"]}), decisions=lines)


@pytest.mark.parametrize(
    ("line", "text"),
    [
        (("same", "A", "B", "S1", "x"),
         r"A decision is 'same_bird' or 'different_birds', or empty\. Found: decision 'same' in "
         r"line 0"),
        (("same_bird", "A", "B", "", None),
         r"A decision names two birds, who decided and why\. Found: line 0 without who and why"),
        (("same_bird", "A", "A", "S1", "x"),
         r"A decision is about two names\. Found: line 0: 'A' twice"),
        (("same_bird", "A", "Q", "S1", "x"),
         r"Decisions name birds that are in the table of exams\. Found: line 0: 'A' is the same "
         r"bird as 'Q' \(S1\)"),
    ],
)  # fmt: skip
def test_lines_that_cannot_be_carried_out(line, text):
    with pytest.raises(ArgumentError, match=text):
        apply_bird_links(pd.DataFrame({"bird_id": ["A", "B"]}), decisions=decide(line))


def test_split_and_joined_as_a_whole():
    table = make_table(bird("12", None), later("12", None), bird("K9", "HT023456"))
    lines = decide(
        ("different_birds", "12 (year 2011)", "12 (year 2008)", "S1", "x"),
        ("same_bird", "K9", "12", "S1", "x"),
    )
    with pytest.raises(
        ArgumentError, match="A bird_id that was split into parts cannot be joined as a whole"
    ):
        apply_bird_links(table.assign(source_file=None), decisions=lines)


def test_split_by_two_things_at_once():
    table = pd.DataFrame(
        {"bird_id": ["12"] * 3, "sex": ["F", "M", "F"],
         "ring_number": ["HT000001", "HT000001", "HT000002"]}
    )  # fmt: skip
    lines = decide(
        ("different_birds", "12 (sex F)", "12 (sex M)", "S1", "x"),
        ("different_birds", "12 (ring HT000001)", "12 (ring HT000002)", "S1", "x"),
    )
    with pytest.raises(
        ArgumentError,
        match=r"Decisions give each exam one bird_id\. Found: an exam of '12' \(row 1 of the "
        r"table\) would get '12 \(ring HT000001\)' and '12 \(sex F\)'",
    ):
        apply_bird_links(table, decisions=lines)


def test_decisions_need_their_columns():
    with pytest.raises(MissingColumnError, match="needs the columns 'who', 'why'"):
        apply_bird_links(
            pd.DataFrame({"bird_id": ["A"]}),
            decisions=pd.DataFrame(columns=["decision", "bird_id", "same_as"]),
        )


@pytest.mark.parametrize("threshold", [np.nan, np.inf])
def test_threshold_is_a_number(threshold):
    with pytest.raises(ArgumentError, match="threshold= is a finite number of bits"):
        propose_bird_links(pd.DataFrame(), threshold=threshold)


def test_assumptions_are_checked():
    with pytest.raises(ArgumentError, match="sex_same is a share strictly between 0 and 1"):
        LinkAssumptions(sex_same=1.0)
    with pytest.raises(
        ArgumentError,
        match=r"measurement_error_mm gives an SD above 0 .*\. Found: culmen_mm: nan, hallux_mm: 0",
    ):
        LinkAssumptions(measurement_error_mm={"tarsus_mm": 1.0, "hallux_mm": 0.0})


def test_assumptions_matter():
    table = make_table(
        bird("K1", "HT023456", tarsus_mm=76.0), later("K2", "HT023456", tarsus_mm=78.5)
    )
    rough = LinkAssumptions(
        measurement_error_mm={"tarsus_mm": 3.0, "culmen_mm": 0.4, "hallux_mm": 0.5}
    )
    strict = only_pair(propose_bird_links(table))
    loose = only_pair(propose_bird_links(table, assumptions=rough))
    assert loose["margin"] > strict["margin"] + 1


def test_the_words_of_the_result():
    links = propose_bird_links(make_table(bird("K1", "HT023456"), later("K2", "HT023456")))
    assert isinstance(links, BirdLinks)
    assert links.summary().splitlines()[:2] == [
        "82 exams under 82 ids: 1 proposal to decide, from 1 pair of ids weighed",
        "one ring under two ids: 1 (one bird, very likely)",
    ]
    assert "Fellegi IP, Sunter AB (1969)" in links.methods()
    assert "tarsus 0.8 mm" in links.methods()


def test_each_step_is_told_as_it_begins():
    told = []
    propose_bird_links(make_table(n=5), progress=told.append)
    assert told == ["reading ids and rings", "weighing pairs", "writing proposals"]


def test_the_only_sheet_of_a_text_file_is_not_named_twice():
    one = bird("12", "HT200100", source_sheet="exams_2008")
    other = later("K12", "HT200100", source_sheet="May")
    (pair,) = propose_bird_links(make_table(one, other)).pairs.to_dict("records")
    assert pair["example_same_as"] == "exams_2008.csv, row 9"
    assert pair["example_bird_id"] == "exams_2011.csv, sheet May, row 31"
