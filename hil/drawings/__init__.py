"""Drawings made from source: the reference circuit and the work sheets of a game's wiring.

`python -m hil.drawings FOLDER` writes the circuit's sheets and the parts list there.
"""
