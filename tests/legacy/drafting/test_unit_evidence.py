"""Units told by what a bird can be: never a wrong one, whatever unit the sheet is in."""

from itertools import combinations

import numpy as np
import pytest

from bodycond.legacy.drafting.column_contents import ColumnContents
from bodycond.legacy.drafting.drafted_columns import DraftedColumn
from bodycond.legacy.drafting.unit_evidence import find_plain_units
from bodycond.legacy.headings.headings import match_heading
from bodycond.units import GRAMS_PER_UNIT, MILLIMETRES_PER_UNIT

FIELDS = ("mass_g", "wing_mm", "tarsus_mm", "culmen_mm", "tail_mm")
HEADINGS = ("Weight", "Wing", "Tarsus", "Culmen", "Tail")
# Typical mass, wing, tarsus, culmen and tail of full-grown birds in g and mm, rounded, from memory:
# only their order of size matters here.
BIRDS = {
    "hummingbird": (3.4, 48, None, 17, 28), "goldcrest": (5.7, 54, 17, 8, 40),
    "wren": (9, 49, 17, 12, 31), "blue tit": (11, 65, 16.5, 8.5, 50),
    "great tit": (18, 75, 19.5, 12, 64), "swallow": (19, 124, 11, 11, 80),
    "swift": (40, 173, 11, 7, 75), "blackbird": (95, 130, 33, 24, 105),
    "starling": (80, 130, 30, 25, 64), "dunlin": (50, 118, 25, 32, 52),
    "curlew": (800, 300, 85, 140, 115), "avocet": (300, 225, 80, 85, 85),
    "stilt": (180, 235, 115, 62, 80), "kestrel": (200, 250, 40, 14, 167),
    "sparrowhawk": (205, 220, 57, 12, 167), "merlin": (165, 200, 36, 12, 125),
    "peregrine": (780, 325, 50, 21, 165), "buzzard": (880, 385, 76, 22, 205),
    "goshawk": (1220, 360, 81, 23, 260), "tawny owl": (470, 265, 46, 19, 165),
    "barn owl": (310, 290, 58, 18, 118), "little owl": (170, 163, 36, 14, 78),
    "pygmy owl": (62, 100, 16, 10, 60), "eagle owl": (2500, 450, 80, 30, 260),
    "golden eagle": (4200, 620, 100, 41, 310), "osprey": (1500, 480, 55, 33, 205),
    "condor": (11000, 830, 120, 45, 360), "griffon": (8000, 700, 110, 55, 280),
    "mallard": (1100, 270, 45, 55, 88), "goose": (3300, 450, 80, 60, 140),
    "swan": (10500, 600, 115, 105, 200), "gull": (850, 420, 65, 52, 165),
    "tern": (120, 270, 19, 36, 140), "puffin": (400, 165, 27, 48, 52),
    "guillemot": (950, 210, 38, 47, 48), "loon": (4000, 360, 90, 78, 60),
    "grebe": (1000, 185, 60, 48, None), "heron": (1500, 450, 150, 120, 170),
    "frigatebird": (1400, 640, 22, 115, 430), "albatross": (8500, 640, 115, 105, 190),
    "pheasant": (1300, 250, 70, 33, 480), "raven": (1200, 430, 68, 75, 240),
    "pigeon": (300, 220, 30, 20, 110), "woodpecker": (85, 138, 24, 27, 90),
    "cuckoo": (115, 220, 21, 22, 165), "nightjar": (80, 192, 17, 9, 138),
}  # fmt: skip
PENGUINS = {"adelie": (4500, 195, 33, 40, 160), "emperor": (30000, 360, 45, 80, None)}
CHOICES = [choice for size in range(1, 6) for choice in combinations(range(5), size)]


def make_column(heading, values, kind="n", **more):
    cells = {}
    for value in values:
        cells[f"{value:.3g}", kind] = cells.get((f"{value:.3g}", kind), 0) + 1
    contents = ColumnContents(cells=cells, missing={}, n_rows=len(values))
    return DraftedColumn(
        heading=heading, match=match_heading(heading), contents=contents, table="exams", **more
    )


def make_columns(bird, chosen, *, mass_unit="g", length_unit="mm", seed=7, headings=HEADINGS):
    """Forty birds of one species, their measures written in given units."""
    rng = np.random.default_rng(seed)
    columns = []
    for place in chosen:
        if bird[place] is None:
            return None
        factor = (
            MILLIMETRES_PER_UNIT[length_unit] if place else GRAMS_PER_UNIT[mass_unit]
        )  # fmt: skip
        values = bird[place] * np.exp(rng.normal(0, 0.04 if place else 0.12, 40)) / factor
        columns.append(make_column(headings[place], values))
    return columns


@pytest.mark.parametrize("mass_unit", ["g", "kg", "lb", "oz"])
@pytest.mark.parametrize("length_unit", ["mm", "cm", "in"])
def test_no_other_unit_is_ever_taken_for_g_or_mm(mass_unit, length_unit):
    wrong = []
    for name, bird in {**BIRDS, **PENGUINS}.items():
        headings = HEADINGS if name in BIRDS else ("Weight", "Flipper", *HEADINGS[2:])
        for chosen in CHOICES:
            columns = make_columns(
                bird, chosen, mass_unit=mass_unit, length_unit=length_unit, headings=headings
            )
            for field in find_plain_units(columns) if columns else ():
                true = mass_unit if field == "mass_g" else length_unit
                if true not in {"g", "mm"}:
                    wrong.append((name, chosen, field))
    assert wrong == []


RAPTORS = (
    "kestrel", "sparrowhawk", "merlin", "peregrine", "buzzard", "goshawk", "tawny owl", "barn owl",
    "little owl", "pygmy owl", "eagle owl", "golden eagle", "osprey", "condor", "griffon",
)  # fmt: skip


@pytest.mark.parametrize("name", RAPTORS)
def test_mass_and_wing_together_settle_birds_of_prey(name):
    assert set(find_plain_units(make_columns(BIRDS[name], (0, 1)))) == {"mass_g", "wing_mm"}


def test_the_smallest_birds_stay_a_question():
    # 11 and 65 can be a tit in g and mm or an eagle in lb and cm.
    assert find_plain_units(make_columns(BIRDS["blue tit"], (0, 1, 2))) == {}


def test_a_large_mass_needs_no_other_measure_and_a_middling_one_does():
    assert set(find_plain_units(make_columns(BIRDS["goose"], (0,)))) == {"mass_g"}
    # 200 can be a kestrel in g or an eagle in oz.
    assert find_plain_units(make_columns(BIRDS["kestrel"], (0,))) == {}
    assert set(find_plain_units(make_columns(BIRDS["kestrel"], (0, 1)))) == {"mass_g", "wing_mm"}


def test_the_evidence_names_the_numbers_and_what_they_were_held_against():
    (mass, wing) = find_plain_units(make_columns(BIRDS["buzzard"], (0, 1))).values()
    assert mass.startswith("no unit is stated; only g makes numbers about 8")
    assert mass.endswith(" a bird's (with wing_mm)")
    assert wing.endswith(" a bird's (with mass_g)")


@pytest.mark.parametrize("extra", ["Nestling", "Brood size", "Âge des poussins", "Polluelo"])
def test_sheets_of_chicks_are_not_held_against_full_grown_birds(extra):
    columns = make_columns(BIRDS["great tit"], (0, 1, 2))
    grown = {"mass_g", "wing_mm", "tarsus_mm"}
    assert set(find_plain_units(columns)) == grown
    # A tarsus of 195 in cm or in is no bird's, and no chick's.
    assert set(find_plain_units([*columns, make_column(extra, [1.0] * 40)])) == {"tarsus_mm"}
    assert set(find_plain_units([*columns, make_column("Brood patch", [1.0] * 40)])) == grown


def test_wings_that_grow_are_not_held_against_full_grown_birds():
    columns = make_columns(BIRDS["great tit"], (0, 2))
    grown = make_column("Wing", np.linspace(71, 79, 40))
    assert set(find_plain_units([*columns, grown])) == {"mass_g", "tarsus_mm", "wing_mm"}
    growing = make_column("Wing", np.linspace(8, 60, 40))
    assert set(find_plain_units([*columns, growing])) == {"tarsus_mm"}


def test_few_numbers_settle_nothing():
    few = [make_column("Weight", [900.0] * 9), make_column("Wing", [385.0] * 9)]
    assert find_plain_units(few) == {}
    assert find_plain_units([make_column("Wing", [385.0] * 10)])


def test_a_unit_that_is_stated_is_held_fast_and_helps_the_others():
    stated = make_columns(BIRDS["kestrel"], (0,), headings=("Weight (g)",))
    wing = make_columns(BIRDS["kestrel"], (1,), length_unit="cm")
    assert find_plain_units([*stated, *wing]) == {}
    wing = make_columns(BIRDS["blue tit"], (1,))
    assert find_plain_units(wing) == {}
    stated = make_columns(BIRDS["blue tit"], (0,), headings=("Weight (g)",))
    assert set(find_plain_units([*stated, *wing])) == {"wing_mm"}


def test_a_table_whose_numbers_fit_no_bird_settles_nothing():
    columns = [make_column("Weight", [4.0] * 20), make_column("Wing (mm)", [880.0] * 20)]
    assert find_plain_units(columns) == {}


def test_cells_with_letters_are_left_out(draft_rows):
    rows = [[f"K-{at}", 900 + at, 380 + at] for at in range(20)]
    draft = draft_rows([["Case no.", "Weight", "Wing"], *rows])
    assert (draft["Weight"].unit, draft["Wing"].unit) == ("g", "mm")
    assert draft.is_sure("Weight")
    assert "no unit is stated; only g" in draft["Weight"].evidence
    rows[3][1] = "0.9 kg"
    draft = draft_rows([["Case no.", "Weight", "Wing"], *rows])
    assert "1 cells name their own" in draft["Weight"].ask
    assert draft.is_sure("Wing")


def test_a_title_that_names_another_unit_is_a_question(draft_rows):
    rows = [[f"K-{at}", 900 + at, 380 + at] for at in range(20)]
    headings = ["Case no.", "Weight", "Wing"]
    draft = draft_rows([["Weights in kg"], headings, *rows])
    assert "Likely kg: a title says 'Weights in kg'." in draft["Weight"].ask
    draft = draft_rows([["Weights in g"], headings, *rows])
    assert draft.is_sure("Weight")
    assert "a title says 'Weights in g'" in draft["Weight"].evidence
