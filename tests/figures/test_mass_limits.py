"""The mass axis holds every exam and cuts bands that would flatten them."""

import pandas as pd
import pytest

from bodycond.condition import fit_mass_by_keel
from bodycond.figures import describe_mass_by_keel
from bodycond.figures.group_marks import select_groups
from bodycond.figures.mass_limits import choose_mass_limits


def test_a_band_far_wider_than_the_exams_is_cut_and_named():
    exams = pd.DataFrame(
        {
            "species": "Strix aluco", "sex": ["F"] * 12 + ["U"] * 4,
            "keel": [1.0, 2, 3, 4, 1, 2, 3, 4, 1, 2, 3, 4, 2, 3, 3, 2],
            "mass_g": [430.0, 470, 500, 560, 440, 465, 510, 550, 425, 480, 505, 545,
                       380, 640, 420, 610],
        }
    )  # fmt: skip
    fit = fit_mass_by_keel(exams)
    shown = select_groups(fit.groups, by=fit.by, group=None)
    limits = choose_mass_limits(fit, shown)
    unsexed = fit.expected.loc[fit.expected["sex"] == "U"]
    assert limits.beyond == {
        "sex unknown": (unsexed["predict_low"].min(), unsexed["predict_high"].max())
    }
    # The exams' range, widened by 40 % on either side, and a little air.
    assert 640 < limits.axis[1] < 640 + 0.5 * (640 - 380) < unsexed["predict_high"].max()
    caption = describe_mass_by_keel(fit, group=None).caption
    low, high = limits.beyond["sex unknown"]
    words = f"The band of the next bird, sex unknown, goes beyond the axis: {low:.0f} to {high:.0f}"
    assert words in caption


@pytest.mark.parametrize("masses", [[500.0], [500.0, 500.0, 500.0], [30.0, 15000.0]])
def test_axes_of_exams_alone_hold_them(masses):
    exams = pd.DataFrame({"species": "Strix aluco", "sex": "F", "keel": 3.0, "mass_g": masses})
    fit = fit_mass_by_keel(exams)
    limits = choose_mass_limits(fit, select_groups(fit.groups, by=fit.by, group=None))
    assert 0 <= limits.axis[0] < min(masses) <= max(masses) < limits.axis[1]
    assert limits.beyond == {}
