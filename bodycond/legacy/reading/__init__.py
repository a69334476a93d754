"""Sheets read by a recipe: records of their blocks, and what became of every cell."""
