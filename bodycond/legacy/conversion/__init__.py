"""Grades on another scale: a distribution from a calibration study, never a formula."""
