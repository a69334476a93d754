"""Lengths, and units and decimal marks of whole columns."""

import pytest

POUND = 453.59237  # g, by the agreement of 1959
SHEETS = {
    "kilograms": {
        "file": "kg.csv",
        "rows": [["Case no.", "Mass kg", "Wing (cm)"], ["TR-1", "0.945", "38,7"],
                 ["TR-2", "1.2", "39.1"], ["TR-3", "1.050", "391 mm"]],
        "columns": """
            Case no.: {field: bird_id}
            Mass kg: {field: mass_g, unit: kg, decimal: point}
            Wing (cm): {field: wing_mm, unit: cm}
        """,
    },
    "unit_in_the_cells": {
        "file": "cells.csv",
        "rows": [["Case no.", "Weight", "Wing"], ["TR-1", "186 g", "246mm"],
                 ["TR-2", "0.95kg", "38.5 cm"], ["TR-3", "2 lb 5 oz", '14 1/2 in'],
                 ["TR-4", "870", "391"]],
        "columns": """
            Case no.: {field: bird_id}
            Weight: {field: mass_g}
            Wing: {field: wing_mm}
        """,
    },
    "unit_in_a_sibling_column": {
        "file": "sibling.csv",
        "rows": [["Case no.", "weight", "weightUnit", "weightVerbatim"], ["TR-1", "945", "g", ""],
                 ["TR-2", "1.2", "kg", "outlier"], ["TR-3", "2", "lbs", ""],
                 ["TR-4", "900", "", ""]],
        "columns": """
            Case no.: {field: bird_id}
            weight: {field: mass_g, unit_from: weightUnit}
            weightUnit: {set_aside: gives the unit of weight}
            weightVerbatim: {field: remarks}
        """,
    },
    "lengths": {
        "file": "lengths.csv",
        "rows": [["Ring", "Wing (mm)", "Tail mm", "Tarsus", "Tarsus unit"],
                 ["EE01", "372", "165*", "5.1", "cm"], ["EE02", "371.5", "x", "51", "mm"],
                 ["EE03", "~370", "moulting", "2", "in"], ["EE04", "370/372", "999", "50", "?"]],
        "columns": """
            Ring: {field: ring_number}
            Wing (mm): {field: wing_mm, unit: mm}
            Tail mm: {field: tail_mm, unit: mm}
            Tarsus: {field: tarsus_mm, unit_from: Tarsus unit}
            Tarsus unit: {set_aside: gives the unit of Tarsus}
        """,
        "also_right": {"Ring": [("bird_id",)]},
    },
    "nines_that_are_values": {
        "file": "nines.csv",
        "rows": [["Ring", "Wt (g)"], ["EE01", "999"], ["EE02", "998"], ["EE03", "9999"]],
        "columns": """
            Ring: {field: ring_number}
            Wt (g): {field: mass_g, unit: g, codes: {999: 999}}
        """,
        "also_right": {"Ring": [("bird_id",)]},
        "draft_may_differ_in": ["Wt (g)"],
    },
    "thousands_with_a_comma": {
        "file": "thousands.csv",
        "rows": [["Case no.", "Wt (g)"], ["TR-1", "1,050"], ["TR-2", "945.5"], ["TR-3", "1,210"],
                 ["TR-4", "980.5"]],
        "columns": """
            Case no.: {field: bird_id}
            Wt (g): {field: mass_g, unit: g, decimal: point}
        """,
    },
    "decimal_commas": {
        "file": "kommas.csv",
        "rows": [["Fall", "Gewicht (g)"], ["TR-1", "1.050"], ["TR-2", "945,5"],
                 ["TR-3", "1.210,5"], ["TR-4", "1 050"]],
        "columns": """
            Fall: {field: bird_id}
            Gewicht (g): {field: mass_g, unit: g, decimal: comma}
        """,
    },
}  # fmt: skip


def test_kilograms_and_centimetres_are_converted_and_said(read_mess):
    read = read_mess(SHEETS["kilograms"])
    assert read.column("mass_g") == [945.0, 1200.0, 1050.0]
    assert read.column("wing_mm") == [387.0, 391.0, 391.0]
    assert read.at("B2")["reason"] == "0.945 kg in g"


def test_a_unit_in_the_cell_counts_and_a_bare_number_without_one_is_held(read_mess):
    read = read_mess(SHEETS["unit_in_the_cells"])
    assert read.column("mass_g") == pytest.approx([186, 950, 2 * POUND + 5 * POUND / 16, None])
    assert read.column("wing_mm") == pytest.approx([246, 385, 14.5 * 25.4, None])
    reason = "a number without a unit, in a column without one"
    assert read.asked("B5")["reason"] == read.asked("C5")["reason"] == reason


def test_a_unit_in_a_sibling_column(read_mess):
    read = read_mess(SHEETS["unit_in_a_sibling_column"])
    assert read.column("mass_g") == [945.0, 1200.0, 2 * POUND, None]
    assert read.column("remarks")[1] == "outlier"
    assert read.at("C2")["reason"] == "column set aside: gives the unit of weight"
    assert read.asked("B5")["reason"] == "a number without a unit, in a column without one"


def test_lengths(read_mess):
    read = read_mess(SHEETS["lengths"])
    assert read.column("wing_mm") == [372.0, 371.5, 370.0, None]
    assert read.column("tail_mm") == [165.0, None, None, None]
    assert read.column("tarsus_mm") == pytest.approx([51.0, 51.0, 50.8, None])
    assert read.asked("B5")["likely"] == "two measurements: 370 and 372"
    assert read.column("remarks")[0] == "Tail mm '165*': marked with a star"
    assert read.at("C4")["outcome"] == "accepted"
    assert read.at("C4")["reason"].endswith("no value")


def test_a_marker_can_be_declared_a_value(read_mess):
    read = read_mess(SHEETS["nines_that_are_values"])
    assert read.column("mass_g") == [999.0, 998.0, None]
    assert "1 cells of 0, 999 or 9999 were read as no value" in read.notes


def test_thousands_marks_follow_the_columns_decimal_mark(read_mess):
    read = read_mess(SHEETS["thousands_with_a_comma"])
    assert read.column("mass_g") == [1050.0, 945.5, 1210.0, 980.5]
    assert read.at("B2")["reason"] == "thousands mark taken out"
    comma = read_mess(SHEETS["decimal_commas"])
    assert comma.column("mass_g") == [1050.0, 945.5, 1210.5, 1050.0]
    assert comma.at("B3")["reason"] == "decimal comma"
