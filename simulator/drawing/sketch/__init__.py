"""Lays out a drawing for a machine that has none, from its tables: each kind of thing at its usual place."""

from simulator.drawing.machine import Machine
from simulator.drawing.sketch import balls, inserts, playfield, roofs, shots, table, ways
from simulator.drawing.sketch.sheet import Sheet


def lay_out(machine: Machine, title: str) -> str:
    """A whole SVG with a place for every switch on the playfield, lamp, flipper and point of a route."""
    sheet = Sheet()
    table.draw(sheet, title)
    roofs.gate_of_shooter(sheet)
    balls.place(sheet, machine)
    playfield.place(sheet, machine)
    shots.place(sheet, machine)
    inserts.place(sheet, machine)
    ways.place(sheet, machine)
    return sheet.svg()
