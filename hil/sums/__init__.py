"""Sums for coils and what drives them, from published formulas; the checks against other people's figures
are in `tests/reference`. SI units and °C throughout. Informed by the documents named; no compliance claimed.
"""
