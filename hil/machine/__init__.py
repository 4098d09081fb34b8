"""A game's machine file (`host/machine.py`): each device is said once, and the tables are made from it."""
