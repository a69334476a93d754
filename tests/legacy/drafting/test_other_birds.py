"""Columns of parents, mates and the other sex are none of the bird examined."""

import pytest

RINGS = ["2831-20020", "2831-20021", "2831-20022", "2831-20023"]
OTHERS = ["2831-10020", "2831-10021", "2831-10020", "2831-10023"]


def table(**columns):
    return [list(columns), *[list(row) for row in zip(*columns.values(), strict=True)]]


def is_set_apart(rule):
    return rule.fields == () and "belongs to another bird" in rule.ask


@pytest.mark.parametrize(
    "heading",
    ["female_band", "male_band", "femaleband", "Female FWB", "Male FWB", "fem_ring",
     "mother_ring", "soc_mom", "gen_dad", "soc_dad_raised", "Sire ring", "dam ring", "Parent band",
     "Bague m\u00e8re", "Ring Mutter", "Anilla padre", "Ring moeder"],
)  # fmt: skip
def test_a_ring_of_a_parent_is_none_of_the_chicks(draft_rows, heading):
    draft = draft_rows(
        table(Site=["A", "B", "A", "B"], **{"Nestling band": RINGS, heading: OTHERS})
    )
    assert is_set_apart(draft[heading])
    assert draft["Nestling band"].fields == ("ring_number",)
    assert "More than one column" not in draft["Nestling band"].ask


def test_a_pair_named_by_letters_is_none_of_the_chicks(draft_rows):
    draft = draft_rows(
        table(band=RINGS, wing=["41", "43", "40", "44"], fband=OTHERS, mband=OTHERS,
              fage=["SY", "ASY", "SY", "SY"], fwing1=["113", "118", "113", "115"],
              mwing=["121", "122", "121", "120"], Nestlings=["4", "5", "4", "5"])
    )  # fmt: skip
    for heading in ("fband", "mband", "fage", "fwing1", "mwing"):
        assert is_set_apart(draft[heading]), heading
    assert draft.is_sure("band")
    assert draft["wing"].fields == ("wing_mm",)


def test_one_letter_without_its_counterpart_is_no_other_bird(draft_rows):
    draft = draft_rows(table(Ring=RINGS, m_weight=["186", "187", "190", "201"]))
    assert draft["m_weight"].fields == ("mass_g",)
    flat = draft_rows(table(Ring=RINGS, fwing=["241", "243", "240", "244"],
                            mwing=["245", "247", "244", "249"]))  # fmt: skip
    assert not is_set_apart(flat["fwing"])


def test_a_table_of_females_keeps_its_field_beside_the_question(draft_rows):
    rule = draft_rows(table(Site=["A", "B", "A", "B"], **{"Female band": OTHERS}))["Female band"]
    assert rule.fields == ("ring_number",)
    assert rule.confidence == 0.4
    assert "another bird ('female')" in rule.ask


def test_a_column_of_sexes_is_no_other_bird(draft_rows):
    draft = draft_rows(table(Chick=RINGS, **{"M/F": ["M", "F", "F", "M"]}))
    assert draft["M/F"].fields == ("sex",)
