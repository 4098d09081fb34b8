"""Calculations for coils, drives, fuses and supplies from published formulas; tests compare them with the
published figures in `tests/reference`. SI units and °C throughout; sources are beside each formula. No
compliance is claimed.
"""
