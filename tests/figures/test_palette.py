"""Colours: told apart in colour, in grey and by shape."""

from itertools import combinations

import pytest

from bodycond.figures.group_marks import OTHER_MARKS, SEX_MARKS
from bodycond.figures.palette import GREY, OKABE_ITO, contrast_ratio, relative_luminance


def test_luminance_of_known_colours():
    assert relative_luminance("#000000") == 0.0
    assert relative_luminance("#FFFFFF") == pytest.approx(1.0)
    # The grey that is known as the darkest to reach 4.5 to 1 on white is #767676.
    assert contrast_ratio("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.01)
    assert contrast_ratio("#FFFFFF", "#767676") == contrast_ratio("#767676", "#FFFFFF")


def test_sexes_differ_in_grey_shape_and_colour():
    # 2 to 1 between neighbours; measured 2.30 (female and male), 4.05 (male and unknown).
    for first, second in combinations(SEX_MARKS.values(), 2):
        assert contrast_ratio(first.colour, second.colour) >= 2.0
        assert first.marker != second.marker
    assert contrast_ratio(SEX_MARKS["F"].colour, SEX_MARKS["M"].colour) == pytest.approx(
        2.30, abs=0.01
    )


def test_every_mark_is_of_the_palette_and_unlike_the_others():
    for marks in (list(SEX_MARKS.values()), list(OTHER_MARKS)):
        assert all(mark.colour in OKABE_ITO.values() for mark in marks)
        assert len({mark.colour for mark in marks}) == len({mark.marker for mark in marks})
        assert len({mark.colour for mark in marks}) == len(marks)


def test_plain_ink_is_legible_on_white():
    assert contrast_ratio(GREY, "#FFFFFF") > 7.0
