"""`inlane bring-up`: a board that drives one coil alone at low voltage, until it was seen to fail safe."""

import time
from collections.abc import Callable
from typing import Annotated

import typer

from firmware.base.errors import GameError, UsageError
from firmware.charts.suggest import did_you_mean
from firmware.devices.bring_up import FILE, BringUp
from hil import games
from hil.build.prompt import Prompt
from hil.build.sentences import Sentences
from hil.checks.coils import refusals, stay_off
from hil.game_tables import coil_rows

ASK = f"try:\n print(open('{FILE}').read())\nexcept OSError:\n pass\n"
LEFT_EXIT = 1
LEFT = "still to be tried: "
PASSED = "failed safe"
DO = {
    "door": "open the coil door, wait a second, shut it",
    "feed wire": "take the wire of the guard's feed off for a second, put it back",
    "reset": "pull RUN to 0 V for a moment",
}


def register(app: typer.Typer) -> None:
    """Add the command."""

    @app.command("bring-up")
    def bring_up(
        game: Annotated[str, typer.Argument(help="The name or folder of the game on the board.")],
        port: Annotated[str, typer.Option(help="Serial port or pyserial URL of the board.")],
        coil: Annotated[str, typer.Option(help="The coil that alone may be driven: begins anew.")] = "",
        wait: Annotated[float, typer.Option(help="Ask for each trial; minutes to wait.")] = 0.0,
    ) -> int:
        """Begin a board's bring-up with one coil, or say what of it is still to be tried.

        Example: inlane bring-up honey_flow --coil trough_eject --port /dev/ttyACM0

        The board drives this coil alone, and only while its coil bus has 15 V at most, until it has seen
        itself fail safe: with the door opened, with the guard's feed wire taken off, and reset (RUN pulled
        low), each while it plays on a bus of 12 V. Only then is the coil supply to be connected.

        The exit code is 1 as long as something was not seen; after --coil that is no failure.
        """
        if not 0 <= wait < float("inf"):
            raise UsageError(f"--wait {wait:g} is no number of minutes; 0 or more is")
        loaded = games.load(game)
        drive = _drive(loaded, coil) if coil else 0
        with Prompt(port) as prompt:
            if coil:
                prompt.run(f"with open('{FILE}', 'w') as f:\n f.write('{drive} 0')\n")
            found = prompt.run(ASK).split()
        print(told(found))
        if wait and has_left(found):
            return watch(Sentences(port).next, wait * 60, time.monotonic)
        return LEFT_EXIT if has_left(found) and not coil else 0


def watch(listen: Callable[[], str], seconds: float, clock: Callable[[], float]) -> int:
    """Say what the board says and what is to be tried next: 0 once all was seen, 1 when the time is over."""
    last = ""
    until = clock() + seconds
    while clock() < until:
        sentence = listen()
        if sentence and sentence != last:
            print(sentence)
            print_next(sentence)
            last = sentence
        if PASSED in sentence:
            return 0
    print("the time is over: not everything was seen to fail safe, so the coil supply stays unconnected")
    return LEFT_EXIT


def print_next(sentence: str) -> None:
    """What a person does about the first trial that a sentence of the board names."""
    first = sentence.partition(LEFT)[2].split(", ")[0]
    if first in DO:
        print(f"  now {DO[first]}")


def has_left(found: list[str]) -> bool:
    """Whether a board in bring-up has something still to be tried."""
    return bool(found) and not BringUp(*map(int, found)).is_passed()


def told(found: list[str]) -> str:
    """The state of a board's bring-up in words, from the two numbers of its file."""
    if not found:
        return "the board is not in bring-up: it drives every coil whose load is declared"
    drive, seen = map(int, found)
    trials = BringUp(drive, seen)
    if trials.is_passed():
        return "door, feed wire and reset failed safe: the board drives every coil from its next start"
    return f"the board drives drive {drive} alone, up to 15 V; {LEFT}{trials.left()}"


def _drive(game: games.Game, coil: str) -> int:
    """The coil's drive. Raises UsageError for a coil that is not wired, or whose load is not declared.

    Raises GameError for a game that the sums refuse.
    """
    rows = {row.name: row for row in coil_rows(game.wiring)}
    if coil not in rows:
        raise UsageError(f"coil '{coil}' is not wired{did_you_mean(coil, list(rows))}")
    if coil in stay_off(game):
        raise UsageError(f"coil '{coil}' stays off in bring-up too: no load is declared")
    if refused := refusals(game):
        raise GameError("; ".join(refused), str(game.folder))
    return rows[coil].drive
