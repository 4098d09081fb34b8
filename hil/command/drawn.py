"""A game's drawing: its host/playfield.svg, or one laid out from its tables."""

from pathlib import Path

from firmware.base.errors import GameError
from hil.game_tables import coil_rows, flipper_rows, lamp_rows, reflex_rows, switch_rows
from hil.games import Game
from simulator.drawing.drawing import Drawing
from simulator.drawing.machine import Device, Flipper, Machine, Switch, flipper_name
from simulator.drawing.sketch import lay_out
from simulator.moves import moves, slot_points
from simulator.routes import RouteBook

LAID_OUT = "the drawing laid out from the tables"


def path(game: Game) -> Path:
    """Where a game's drawing is, or would be."""
    return game.folder / "host" / "playfield.svg"


def read(game: Game) -> bytes:
    """The game's drawing as a file, or one laid out from its tables. Raises GameError."""
    try:
        if path(game).is_file():
            return path(game).read_bytes()
    except OSError as error:
        raise GameError(f"the drawing cannot be read: {error}", str(path(game))) from error
    return lay_out(machine(game), game.name.replace("_", " ").upper()).encode()


def drawing(game: Game) -> Drawing:
    """The game's drawing with its remarks. Raises GameError: no SVG, or wrong routes."""
    file = str(path(game)) if path(game).is_file() else LAID_OUT
    return Drawing(read(game), file, machine(game))


def save(game: Game, data: bytes) -> None:
    """Write the game's drawing, whole or not at all. Raises GameError."""
    file = path(game)
    made = file.with_suffix(".svg.new")
    try:
        made.write_bytes(data)
        made.replace(file)
    except OSError as error:
        raise GameError(f"the drawing cannot be written: {error}", str(file)) from error


def machine(game: Game) -> Machine:
    """The names and ways of a game's machine. Raises GameError: wrong routes."""
    wiring = game.wiring
    switches = {row.name: Switch(row.debounce_class, row.zone) for row in switch_rows(wiring)}
    coils = {row.name: row.kind for row in coil_rows(wiring)}
    book = RouteBook(game.tables("routes"), switches, coils)
    slots = slot_points(book)
    devices = [
        Device(
            row.name, slots[row.name], tuple(s for s in slots[row.name] if s not in row.switches), row.coil
        )
        for row in book.devices
    ]
    flippers = [
        Flipper(flipper_name(row.strong, row.hold), row.strong, row.hold, row.button, row.stroke_switch)
        for row in flipper_rows(wiring)
    ]
    return Machine(
        switches,
        {row.name: row.colour for row in lamp_rows(wiring)},
        coils,
        {row.switch: row.coil for row in reflex_rows(wiring)},
        tuple(flippers),
        {row.switch: row.coil for row in book.latches},
        tuple(devices),
        book.home,
        tuple(moves(book)),
    )
