"""What a trustworthy exam table is: its columns, its faults, its plausible ranges."""

from bodycond.exams.checking import ExamCheck, check_exams
from bodycond.exams.coercion import ConversionError, coerce_exams, coerce_ratings
from bodycond.exams.faults import RULES, Rule
from bodycond.exams.species_ranges import find_limits, load_species_ranges
from bodycond.exams.tables import build_exam_schema, build_rating_schema

__all__ = [
    "RULES",
    "ConversionError",
    "ExamCheck",
    "Rule",
    "build_exam_schema",
    "build_rating_schema",
    "check_exams",
    "coerce_exams",
    "coerce_ratings",
    "find_limits",
    "load_species_ranges",
]
