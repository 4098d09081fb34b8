"""The bundle of a whole machine: the firmware with one game in it."""

import importlib
from typing import Any

from firmware import fresh
from firmware.devices.store.key import key_of
from firmware.play.kept_keys import Keys
from firmware.play.names import Names
from hil.bundle.modules import Symbol
from hil.bundle.plan import Plan
from hil.games import Game

NAME = "whole"  # the bundle's main module
LINK = Symbol("firmware.link.device", "Device")
BOARD = Symbol("firmware.board", "Board")
CONSOLE = Symbol("firmware.fresh", "console")
BEGIN = (Symbol("firmware.console", "Console"), "begin")
LET_GO = Symbol("firmware.fresh", "let_go")
FACTS = Symbol("firmware.fresh", "facts")
KEYS = Symbol("firmware.play.kept_keys", "keys")
NAMES = Symbol("firmware.play.names", "names")


def images(game: Game) -> dict[Symbol, Any]:
    """What the host makes for the board: the console, set up, and the names."""
    console = fresh.console(game.package)
    return {CONSOLE: console, NAMES: Names(console.play)}


def plan(
    game: Game,
    entries: tuple[Symbol, ...] = (CONSOLE, BOARD, LINK),
    beside: tuple[Symbol, ...] = (),
    keep: tuple[tuple[Symbol, str], ...] = (BEGIN,),
    without: frozenset[Symbol] = frozenset(),
) -> Plan:
    """A plan for this game."""
    packages = ("firmware", "boards", "hil", game.package.split(".")[0])
    return Plan(NAME, entries, images(game), beside, keep, packages=packages, without=without)


def for_board(game: Game, board: str) -> Plan:
    """A plan for a board's program: its `main`, who it is, and what its `tables` make of the wiring."""
    tables = importlib.import_module(f"boards.{board}.tables").tables
    made = images(game)
    made[KEYS] = Keys(made[CONSOLE].play, key_of)
    made[FACTS] = fresh.facts(game.package)
    made[Symbol(f"boards.{board}.tables", "tables")] = tables(game.package)
    packages = ("firmware", "boards", game.package.split(".")[0])
    entries = (Symbol(f"boards.{board}.main", "main"), Symbol(f"boards.{board}.own", "answer"))
    return Plan(NAME, entries, made, packages=packages, let_go=LET_GO)
