"""What speaks against a game on a board: `inlane check GAME --board NAME` and `inlane deploy` ask here."""

import importlib

from firmware.base.errors import UsageError
from hil.build.chips import RP2040, Chip
from hil.checks import coils as coil_checks
from hil.checks import kept
from hil.checks.board_report import BoardReport
from hil.checks.call_depth import stack
from hil.checks.heap import heap
from hil.game_tables import WiringTables
from hil.games import Game

BOARDS = ("pico_matrix",)
COMPUTED = "Pico 2: computed from its linked image and with the Pico's frames, not measured"


def check(board: str, wiring: WiringTables) -> list[str]:
    """One sentence for each refusal, of the board itself and of the game on it. Raises UsageError."""
    if board not in BOARDS:
        raise UsageError(f"there is no board '{board}'; known are {', '.join(BOARDS)}")
    checks = importlib.import_module(f"boards.{board}.check")
    refusals: list[str] = checks.check_board() + checks.check_game(wiring)
    return refusals


def before_power(board: str, game: Game) -> list[str]:
    """`check`, and what is refused of the game's windings, fuses and supply, and of what it keeps.

    Raises UsageError for an unknown board, GameError for a game that does not fit together.
    """
    return check(board, game.wiring) + coil_checks.refusals(game) + kept.refusals(game.console())


def report(board: str, game: Game, chip: Chip = RP2040) -> BoardReport:
    """What the board has room for, in lines to print; notes; and what does not fit.

    Raises UsageError for an unknown board, or without the compiler.
    """
    if board not in BOARDS:
        raise UsageError(f"there is no board '{board}'; known are {', '.join(BOARDS)}")
    fit = stack(board, game, chip) + heap(board, game, chip)
    return fit + BoardReport((COMPUTED,)) if chip.caution else fit
