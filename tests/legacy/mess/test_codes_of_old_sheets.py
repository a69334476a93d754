"""Codes of age, sex, species and crop, and the systems that they belong to."""

import pytest

OPEN = None
BBL = {
    "0": "unknown", "U": "unknown", "1": OPEN, "AHY": OPEN, "2": "juvenile", "HY": "juvenile",
    "3": "juvenile", "J": "juvenile", "4": "pullus", "L": "pullus", "5": "immature",
    "SY": "immature", "6": OPEN, "ASY": OPEN, "7": OPEN, "TY": OPEN, "8": OPEN, "ATY": OPEN,
}  # fmt: skip
EURING = {
    "0": "unknown", "1": "pullus", "2": OPEN, "3": "juvenile", "4": OPEN, "5": "immature",
    "6": OPEN, "7": OPEN, "8": OPEN,
}  # fmt: skip
SHEETS = {
    "bbl": {
        "file": "bbl.csv",
        "rows": [["Ring", "Age (BBL)", "Sex"], *([f"EE{i:02}", code, "F"] for i,
                                                 code in enumerate(BBL))],
        "columns": """
            Ring: {field: ring_number}
            Age (BBL): {field: age_code, system: BBL}
            Sex: {field: sex}
        """,
        "also_right": {"Ring": [("bird_id",)]},
    },
    "euring": {
        "file": "euring.csv",
        "rows": [["Ring", "EURING age", "Sex"], *([f"EE{i:02}", code, "F"] for i,
                                                  code in enumerate(EURING))],
        "columns": """
            Ring: {field: ring_number}
            EURING age: {field: age_code, system: EURING}
            Sex: {field: sex}
        """,
        "also_right": {"Ring": [("bird_id",)]},
    },
    "ages_and_sexes": {
        "file": "codes.csv",
        "rows": [["Ring", "Age (BBL)", "Age (EURING)", "Age", "Sex"], ["EE01", "2", "3", "2", "F"],
                 ["EE02", "4", "1", "4", "♂"], ["EE03", "AHY", "4", "1", "w"],
                 ["EE04", "5", "5", "HY", "1.0"], ["EE05", "0", "2", "ad", "F?"]],
        "columns": """
            Ring: {field: ring_number}
            Age (BBL): {field: age_code, system: BBL}
            Age (EURING): {set_aside: the same in another system}
            Age: {set_aside: digits of no known system}
            Sex: {field: sex}
        """,
        "also_right": {"Ring": [("bird_id",)]},
    },
    "euring_digits": {
        "file": "euring.csv",
        "rows": [["Ring", "Age (EURING)", "Sex"], ["EE01", "3", "F"], ["EE02", "1", "M"],
                 ["EE03", "4", "F"], ["EE04", "5", "M"]],
        "columns": """
            Ring: {field: ring_number}
            Age (EURING): {field: age_code, system: EURING}
            Sex: {field: sex}
        """,
        "also_right": {"Ring": [("bird_id",)]},
    },
    "digits_without_a_system": {
        "file": "digits.csv",
        "rows": [["Ring", "Age", "Sex"], ["EE01", "3", "F"], ["EE02", "1", "M"], ["EE03", "4",
                                                                                  "F"]],
        "columns": """
            Ring: {field: ring_number}
            Age: {field: age_code}
            Sex: {field: sex}
        """,
        "also_right": {"Ring": [("bird_id",)]},
    },
    "species_and_crop": {
        "file": "species.csv",
        "rows": [["Ring", "Sp.", "Crop", "Wt (g)"], ["EE01", "KES", "empty", "221"],
                 ["EE02", "Buteo_buteo", "half full", "945"], ["EE03", "Barn owl", "no crop",
                                                               "330"],
                 ["EE04", "Adlerling (Falco tinnunculus)", "0.5", "187"], ["EE05", "TAWNY", "4",
                                                                           "520"],
                 ["EE06", "kes", "3/4", "219"]],
        "columns": """
            Ring: {field: ring_number}
            Sp.: {field: species, codes: {KES: Falco tinnunculus, TAWNY: Strix aluco}}
            Crop: {field: crop_fill}
            Wt (g): {field: mass_g, unit: g}
        """,
        "also_right": {"Ring": [("bird_id",)]},
    },
    "own_sex_codes": {
        "file": "sexes.csv",
        "rows": [["Ring", "Sex", "Wt (g)"], ["EE01", "w", "945"], ["EE02", "1.0", "780"],
                 ["EE03", "?", "800"], ["EE04", "", "801"]],
        "columns": """
            Ring: {field: ring_number}
            Sex: {field: sex, codes: {w: F, "1.0": M}}
            Wt (g): {field: mass_g, unit: g}
        """,
        "also_right": {"Ring": [("bird_id",)]},
    },
}  # fmt: skip


@pytest.mark.parametrize(
    ("name", "codes", "system"), [("bbl", BBL, "BBL"), ("euring", EURING, "EURING")]
)
def test_each_age_code_gives_its_class_or_leaves_it_open(read_mess, name, codes, system):
    read = read_mess(SHEETS[name])
    assert read.column("age_class") == list(codes.values())
    assert read.column("age_code") == list(codes)
    assert set(read.column("age_code_system")) == {system}
    assert read.held.empty


def test_the_same_digit_is_another_age_in_another_system(read_mess):
    read = read_mess(SHEETS["ages_and_sexes"])
    assert read.column("age_class") == ["juvenile", "pullus", None, "immature", "unknown"]
    assert read.column("age_code") == ["2", "4", "AHY", "5", "0"]
    assert set(read.column("age_code_system")) == {"BBL"}
    euring = read_mess(SHEETS["euring_digits"])
    assert euring.column("age_class") == ["juvenile", "pullus", None, "immature"]


def test_a_bare_digit_without_a_system_is_refused(read_mess):
    read = read_mess(SHEETS["digits_without_a_system"])
    assert read.column("age_class") == [None] * 3
    for row in (2, 3, 4):
        cell = read.asked(f"B{row}")
        assert cell["reason"] == "an age digit without its code system"
        assert cell["likely"] == "BBL or EURING; say which"


def test_doubtful_sexes_are_held_with_what_they_may_be(read_mess):
    read = read_mess(SHEETS["ages_and_sexes"])
    assert read.column("sex") == ["F", "M", "U", "U", "U"]
    likely = [read.asked(f"E{row}")["likely"] for row in (4, 5, 6)]
    assert likely == ["F (weiblich)", "M (1.0: one male, no female)", "F, in doubt when written"]


def test_species_need_a_scientific_name_or_the_recipes_code(read_mess):
    read = read_mess(SHEETS["species_and_crop"])
    kestrel = "Falco tinnunculus"
    assert read.column("species") == [kestrel, "Buteo buteo", None, kestrel, "Strix aluco", kestrel]
    assert read.asked("B4")["reason"] == "a local name: the recipe must say which species it is"
    assert read.at("B2")["reason"] == "the recipe's code for 'KES'"


def test_crops_are_quarters_and_a_bare_fraction_is_asked_about(read_mess):
    read = read_mess(SHEETS["species_and_crop"])
    assert read.column("crop_fill") == ["0", "2", "no_crop", None, "4", "3"]
    assert read.asked("C5")["raw"] == "0.5"
    assert read.asked("C5")["likely"].startswith("2")


def test_a_sites_own_codes_for_sex(read_mess):
    read = read_mess(SHEETS["own_sex_codes"])
    assert read.column("sex") == ["F", "M", "U", "U"]
    assert read.held.empty
    assert "sex is 'U' in 1 exams whose sex was not given or is held" in read.notes
