"""A keel score has its scale from unmistakable evidence alone; other scores are never keel."""

import pytest


@pytest.mark.parametrize(
    ("heading", "cells"), [("Keel (1-5)", ["3", "2.5"]), ("Keel", ["2.5/5", "3/5"]),
                           ("Brustbein (1 bis 5)", ["3", "2,5"])],
)  # fmt: skip
def test_the_scale_is_stated(draft_rows, heading, cells):
    draft = draft_rows([["Case no.", heading], *([f"K-{cell}", cell] for cell in cells)])
    assert draft[heading].scale == "keel 1 to 5"
    assert draft.is_sure(heading)


@pytest.mark.parametrize(
    ("heading", "cells", "said"),
    [
        ("Keel", ["3", "2.5"], "Which score scale is this, and which chart?"),
        ("Keel (0-4)", ["3", "2.5"], "The heading says 0 to 4."),
        ("Keel (1-5)", ["3/5", "4/9"], "Some cells end in /5, 9."),
        ("Keel (1-5)", [str(at % 8) for at in range(16)], "6 of 16 cells lie outside 1 to 5."),
        ("BCS", ["3", "2"], "Is this the keel score"),
        ("Keel (mm)", ["12", "14"], "A score has no unit"),
    ],
)
def test_the_scale_is_asked(draft_rows, heading, cells, said):
    rows = [["Case no.", heading], *([f"K-{at}", cell] for at, cell in enumerate(cells))]
    rule = draft_rows(rows)[heading]
    assert said in rule.ask
    assert (rule.fields, rule.scale) == (("keel",), None)


@pytest.mark.parametrize(
    ("heading", "field"),
    [("Fat_Score", "fat"), ("Gras", "fat"), ("PecScore", "pectoral_muscle"),
     ("Brustmuskel (0-3)", "pectoral_muscle"), ("KeelFat", "keel_fat")],
)  # fmt: skip
def test_other_scores_are_fields_of_their_own_with_the_scale_asked(draft_rows, heading, field):
    rule = draft_rows([["Case no.", heading], ["K-1", "3"], ["K-2", "t"], ["K-3", "x"]])[heading]
    assert rule.fields == (field,)
    assert "on which scale?" in rule.ask
    assert "Does 'x' (1 cells) stand for no value here?" in rule.ask
