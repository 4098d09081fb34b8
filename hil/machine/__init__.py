"""A game's machine file (`host/machine.py`): each device is described once; the tables are made from it."""
