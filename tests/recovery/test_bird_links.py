"""Birds under several ids come back, and brood mates with neighbouring rings stay apart.

An invented network rings broods in series, so that rings of brood mates of one sex and one size
differ by a digit, and then writes rings and case numbers down in every bad way; a second one has
rings from everywhere. Each table has 1500 birds, 2100 exams, 200 planted links of eight kinds, 25
re-ringed birds and 25 numbers given to a second bird.

Measured over seeds 1 to 6, at the default threshold, mean (lowest), in per cent:

=========================================  ============  ===============
what                                       in series     from everywhere
=========================================  ============  ===============
precision of all proposed links            84 (82)       87 (84)
recall                                     85 (84)       90 (89)
precision of those called likely           93 (90)       99 (97)
recall of those called likely              64 (60)       64 (62)
found: one character mistyped              35 (32)       21 (12)
found: two characters swapped              45 (36)       95 (88)
found: each of the other six kinds         99 (96)       99 (96)
numbers of two birds that were doubted     99 (96)       94 (88)
re-ringed birds that were asked about      100 (100)     100 (100)
=========================================  ============  ===============

A ring mistyped within a series is mostly another bird's ring, so that nothing can find its bird,
and the other bird is proposed instead; that is where the missing links and the false ones come
from. No false link was in the strongest class.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from bodycond.legacy.birds.bird_links import propose_bird_links

SPECIES = {
    # Tarsus, culmen and hallux in mm, mass in g, of the female; males by the last factor.
    "Buteo buteo": ((76.0, 22.5, 24.0, 1000.0), 0.94),
    "Falco tinnunculus": ((40.0, 14.5, 12.0, 220.0), 0.97),
    "Accipiter nisus": ((63.0, 13.5, 17.0, 280.0), 0.84),
}
PREFIX = {"Buteo buteo": "HT", "Falco tinnunculus": "ES", "Accipiter nisus": "EN"}
SITES = ("Millford", "Stonebeck", "Harrowdale")
SIZE_CV = 0.03
ERROR_MM = (0.6, 0.3, 0.4)
PLANTED = ("new_number", "lost_zero", "form", "typo", "swap", "prefix", "id_form", "unnumbered")


def make_birds(n, generator, *, in_series):
    """Broods of one to three: half the size of a nest common to all, rings in series or not."""
    rows = []
    numbers = dict.fromkeys(SPECIES, 0)
    while len(rows) < n:
        species = generator.choice(list(SPECIES), p=[0.5, 0.3, 0.2])
        shared = generator.normal(size=4)
        year, site = int(generator.integers(2004, 2013)), generator.choice(SITES)
        day = pd.Timestamp(year, 6, 1) + pd.Timedelta(days=int(generator.integers(0, 60)))
        for _ in range(int(generator.integers(1, 4))):
            numbers[species] += 1
            sex = generator.choice(["F", "M"])
            own = np.sqrt(0.5) * shared + np.sqrt(0.5) * generator.normal(size=4)
            means, male = SPECIES[species]
            size = np.array(means) * np.exp(SIZE_CV * own) * (male if sex == "M" else 1.0)
            rows.append(
                {
                    "bird": len(rows), "species": species, "sex": sex, "size": size,
                    "first": day, "site": site, "number": f"K{len(rows) + 1:05d}",
                    "ring": f"{PREFIX[species]}0{_issue(numbers[species], generator, in_series)}",
                }
            )  # fmt: skip
    return rows[:n]


def _issue(number, generator, in_series):
    return 50000 + number if in_series else int(generator.integers(10000, 90000))


def write_exam(bird, day, generator, *, number, ring, young):
    noise = generator.normal(size=3) * ERROR_MM
    measures = np.round(bird["size"][:3] + noise, 1)
    gone = generator.random(3) < 0.3
    measures[gone] = np.nan
    unsexed = generator.random() < 0.2
    missexed = generator.random() < 0.02
    sex = {"F": "M", "M": "F"}[bird["sex"]] if missexed else bird["sex"]
    return {
        "true_bird": bird["bird"], "bird_id": number, "ring_number": ring,
        "species": bird["species"], "sex": "U" if unsexed else sex,
        "age_class": "juvenile" if young else "adult", "exam_date": day,
        "site": bird["site"], "tarsus_mm": measures[0], "culmen_mm": measures[1],
        "hallux_mm": measures[2],
        "mass_g": round(bird["size"][3] * np.exp(0.08 * generator.normal()), 0),
        "source_file": f"exams_{day.year}.csv", "source_sheet": "Exams",
    }  # fmt: skip


def spoil(ring, number, how, generator):
    """The ring and the case number of a later exam, written in one of the bad ways."""
    letters, digits = ring[:2], ring[2:]
    fresh = f"N{generator.integers(10**6, 10**7)}"
    at = int(generator.integers(2, 5))
    if how == "new_number":
        return ring, fresh
    if how == "lost_zero":
        return f"{letters}{digits.lstrip('0')}", fresh
    if how == "form":
        return f"{letters.lower()}-{digits} ", fresh
    if how == "typo":
        other = str((int(digits[at]) + int(generator.integers(1, 10))) % 10)
        return f"{letters}{digits[:at]}{other}{digits[at + 1 :]}", fresh
    if how == "swap":
        return f"{letters}{digits[:at]}{digits[at + 1]}{digits[at]}{digits[at + 2 :]}", fresh
    if how == "prefix":
        return digits, fresh
    if how == "unnumbered":
        return ring, None
    return None, f"{number[:1].lower()}-{number[1:].lstrip('0')}"


def make_network(seed, *, n=1500, planted_each=25, in_series=True):
    """Exams, true alias pairs with how they were planted, and ids given to two birds."""
    generator = np.random.default_rng(seed)
    birds = make_birds(n, generator, in_series=in_series)
    exams, truth = [], {}
    chosen = generator.permutation(n)
    how = dict(zip(chosen.tolist(), np.repeat(PLANTED, planted_each).tolist(), strict=False))
    last = len(PLANTED) * planted_each
    reringed = set(chosen[last : last + planted_each].tolist())
    reused = dict(zip(chosen[-planted_each:].tolist(), chosen[-2 * planted_each :].tolist(),
                      strict=False))  # fmt: skip
    for bird in birds:
        number, ring = bird["number"], bird["ring"]
        if bird["bird"] in reused:
            number = birds[reused[bird["bird"]]]["number"]
        exams.append(
            write_exam(bird, bird["first"], generator, number=number, ring=ring, young=True)
        )
        later = bird["first"] + pd.Timedelta(days=int(generator.integers(400, 1500)))
        if bird["bird"] in how:
            bad_ring, bad_number = spoil(ring, number, how[bird["bird"]], generator)
            exams.append(
                write_exam(bird, later, generator, number=bad_number, ring=bad_ring, young=False)
            )
            name = bad_number if bad_number is not None else f"ring:{bad_ring}"
            truth[frozenset((number, name))] = how[bird["bird"]]
        elif bird["bird"] in reringed or generator.random() < 0.3:
            new = f"{ring[:2]}0{generator.integers(90000, 99999)}"
            ring = new if bird["bird"] in reringed else ring
            exams.append(write_exam(bird, later, generator, number=number, ring=ring, young=False))
    table = pd.DataFrame(exams).sample(frac=1, random_state=seed, ignore_index=True)
    table["source_row"] = np.arange(2, len(table) + 2)
    doubled = {birds[donor]["number"] for donor in reused.values()}
    return table, truth, doubled, {birds[bird]["number"] for bird in reringed}


def measure(seed, *, in_series):
    exams, truth, doubled, reringed = make_network(seed, in_series=in_series)
    pairs = propose_bird_links(exams).pairs
    doubts = pairs[pairs["kind"].str.startswith("one id, ")]
    rerung = pairs[pairs["kind"].str.startswith("one id under")]
    links = pairs.drop([*doubts.index, *rerung.index])
    names = [frozenset(pair) for pair in zip(links["bird_id"], links["same_as"], strict=True)]
    true = np.array([pair in truth for pair in names])
    likely = links["strength"].str.startswith("one bird").to_numpy()
    sure = (links["strength"] == "one bird, very likely").to_numpy()
    found = pd.Series([how for pair, how in truth.items() if pair in names]).value_counts()
    ids = {name.split(" (")[0] for name in doubts["bird_id"]}
    asked = {name.split(" (")[0] for name in rerung["bird_id"]}
    return {
        "precision": true.mean(), "recall": true.sum() / len(truth),
        "precision_likely": true[likely].mean(), "recall_likely": true[likely].sum() / len(truth),
        "sure": int(sure.sum()), "false_sure": int((~true & sure).sum()),
        "doubled_found": len(ids & doubled) / len(doubled),
        "doubted_wrongly": len(ids - doubled),
        "reringed_asked": len(asked & reringed) / len(reringed),
        **{how: found.get(how, 0) / 25 for how in PLANTED},
    }  # fmt: skip


@pytest.fixture(scope="module", params=[True, False], ids=["series", "everywhere"])
def measured(request):
    return pd.DataFrame([measure(seed, in_series=request.param) for seed in (1, 2, 3)])


def test_most_links_are_found_and_most_proposals_are_right(measured):
    assert measured["recall"].min() > 0.75
    assert measured["precision"].min() > 0.75
    assert measured["recall_likely"].min() > 0.5
    assert measured["precision_likely"].min() > 0.85


def test_what_needs_no_luck_is_found_always(measured):
    ways = ["new_number", "lost_zero", "form", "prefix", "id_form", "unnumbered"]
    assert measured[ways].min().min() >= 0.9


def test_no_false_link_in_the_strongest_class(measured):
    assert measured["sure"].sum() >= 5
    assert measured["false_sure"].sum() == 0


def test_numbers_given_to_two_birds_are_found(measured):
    assert measured["doubled_found"].min() >= 0.8
    # The mis-sexed, and little else, are doubted without cause: of some 400 birds seen twice.
    assert measured["doubted_wrongly"].max() <= 25


def test_every_reringed_bird_is_asked_about(measured):
    assert (measured["reringed_asked"] == 1).all()


def test_brood_mates_with_neighbouring_rings_are_left_alone():
    """No slips planted: rings in series, half of a brood of one sex, sizes alike."""
    exams, truth, *_ = make_network(11, planted_each=0)
    pairs = propose_bird_links(exams).pairs
    assert truth == {}
    assert (pairs["kind"] == "rings one slip apart").sum() <= 5
    assert not pairs["strength"].isin(["one bird, likely", "one bird, very likely"]).any()
