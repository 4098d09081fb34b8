"""Boards: what reads switches and drives outputs."""
