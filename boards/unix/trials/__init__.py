"""Rows of the reliability table as programs for both Pythons, with a count and a seed."""
