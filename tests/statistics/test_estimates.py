"""One shape for every single number."""

import math

from bodycond.references import REFERENCES
from bodycond.statistics.estimates import Estimate

NAN = float("nan")


def make(**changed):
    settings = {
        "name": "mean difference", "value": 0.25, "se": 0.1, "low": 0.05, "high": 0.45,
        "level": 0.95, "n": 40, "n_rows": 40, "n_missing": 0, "interval_method": "bootstrap",
    } | changed  # fmt: skip
    return Estimate(**settings)


def test_frame_has_one_row_with_every_field():
    frame = make(value=1 / 3, notes=("a", "b"), references=("peig_2009",)).to_frame()
    assert frame.shape == (1, 13)
    assert frame.loc[0, "value"] == 1 / 3
    assert frame.loc[0, "notes"] == "a; b"
    assert frame.loc[0, "references"] == "peig_2009"


def test_summary():
    assert make().summary() == (
        "mean difference: 0.25 (95 % interval 0.05 to 0.45); n = 40 birds; bootstrap"
    )


def test_summary_says_what_is_left_out_and_why_a_number_is_not_there():
    text = make(
        value=NAN, se=NAN, low=NAN, high=NAN, n=1, n_rows=3, n_missing=2, reason="too few birds",
        notes=("a note",),
    ).summary()  # fmt: skip
    assert text.splitlines() == [
        "mean difference: not defined; n = 1 bird, 3 rows; bootstrap",
        "2 rows left out: a value was missing",
        "too few birds",
        "a note",
    ]


def test_methods():
    text = make(level=0.9, references=("cohen_1968",)).methods()
    assert text == (
        "Mean difference was estimated with a 90 % interval (bootstrap). "
        f"{REFERENCES['cohen_1968']}"
    )
    assert make(low=NAN, high=NAN).methods() == "Mean difference was estimated without an interval."


def test_two_estimates_are_two_objects():
    one = make()
    assert one != make()
    assert math.isfinite(one.value)
