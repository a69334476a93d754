"""Headings read, and the rows of a sheet sorted into headings, units, totals and data."""
