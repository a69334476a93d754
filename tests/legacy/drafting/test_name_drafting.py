"""Genus and epithet in columns of their own."""

import pytest

NAMES = [("Buteo", "buteo"), ("Falco", "tinnunculus"), ("Buteo", "lagopus"), ("Accipiter", "nisus")]


def with_rings(genus, epithet, pairs):
    return [["Ring", genus, epithet, "Wt (g)"],
            *([f"GX{10_000 + i}", *pair, 900 + i] for i, pair in enumerate(pairs))]  # fmt: skip


@pytest.mark.parametrize(
    ("genus", "epithet"),
    [("Genus", "Species"), ("genus", "specificEpithet"), ("Genus", "Epithet"),
     ("Gattung", "Art-Epitheton"), ("G\u00e9nero", "Especie"), ("Genre", "\u00c9pith\u00e8te")],
)  # fmt: skip
def test_genus_and_epithet_that_leave_no_doubt_are_filled_in(draft_rows, genus, epithet):
    draft = draft_rows(with_rings(genus, epithet, NAMES * 5))
    for heading, part in ((genus, "genus"), (epithet, "epithet")):
        assert draft.is_sure(heading)
        assert (draft[heading].fields, draft[heading].part) == (("species",), part)
        assert "in 20 of 20 rows looked at" in draft[heading].evidence


@pytest.mark.parametrize(("odd", "sure"), [(1, True), (2, False)])
def test_the_two_are_asked_about_below_95_in_100_rows(draft_rows, odd, sure):
    pairs = [*NAMES * 5][: 20 - odd] + [("Buteo", "Buteo buteo")] * odd
    draft = draft_rows(with_rings("Genus", "Species", pairs))
    assert draft.is_sure("Genus") == draft.is_sure("Species") == sure
    assert draft["Species"].part == "epithet"
    if not sure:
        assert "(part: genus)" in draft["Genus"].ask
        assert "It looks so in 18 of 20 rows." in draft["Species"].ask


def test_an_epithet_that_is_often_absent_is_asked_about(draft_rows):
    pairs = [*NAMES * 4, *([("Buteo", "")] * 4)]
    draft = draft_rows(with_rings("Genus", "Species", pairs))
    assert draft["Genus"].ask
    assert draft["Species"].part == "epithet"


def test_a_species_column_of_whole_names_is_no_epithet(draft_rows):
    pairs = [(genus, f"{genus} {epithet}") for genus, epithet in NAMES * 5]
    draft = draft_rows(with_rings("Genus", "Species", pairs))
    assert draft.is_sure("Species")
    assert draft["Species"].part is None
    assert draft["Genus"].part is None


def test_parts_beside_the_whole_name_may_be_set_aside(draft_rows):
    rows = [["Ring", "Scientific name", "genus", "specificEpithet", "Wt (g)"]]
    rows += [[f"GX{10_000 + i}", f"{g} {e}", g, e, 900 + i] for i, (g, e) in enumerate(NAMES * 5)]
    draft = draft_rows(rows)
    assert draft.is_sure("Scientific name")
    for heading in ("genus", "specificEpithet"):
        assert draft[heading].fields == ()
        assert draft[heading].ask.startswith(
            "May it be set aside? The whole scientific name seems to stand in 'Scientific name'."
        )


def test_a_local_name_beside_a_genus_is_no_epithet(draft_rows):
    draft = draft_rows(with_rings("Genus", "Species", [("Buteo", "buzzard")] * 20))
    assert draft["Species"].part is None
    assert draft["Species"].ask
