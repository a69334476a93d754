"""Words that speak of birds."""

import pytest

from bodycond.legacy.headings.bird_words import names_bird


@pytest.mark.parametrize(
    "text",
    [
        "Birds", "Barn Owl", "M\u00e4usebussard", "Turmfalke", "Buse variable", "Aves", "torenvalk",
        "Falco tinnunculus owl", "falconry_log_2011.csv", "Ringing station", "Steinkauz",
        "Sj\u00f6fugl",
    ],
)  # fmt: skip
def test_birds_of_many_languages_are_met(text):
    assert names_bird(text)


@pytest.mark.parametrize(
    "text",
    ["Parcel", "Weight (g)", "day-old chicks", "Frozen chicks", "Breed", "bowl", "Bussmann", ""],
)
def test_feed_and_other_words_are_no_birds(text):
    assert not names_bird(text)
