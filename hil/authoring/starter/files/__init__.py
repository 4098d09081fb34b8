"""Texts of a new game's files."""
