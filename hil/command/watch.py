"""`inlane watch`: looks at a board while it plays by itself."""

import os
import time
from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.live import Live

from firmware.base.errors import UsageError
from hil import games
from hil.bench import contact_log
from hil.bench.contact_log import ContactChange, Run
from hil.bench.scripts.vocabulary import of_game
from hil.bench.targets.link import open_port
from hil.bench.targets.linked import PROCESS
from hil.bench.watched import WatchedMachine
from hil.command.watch_screen import screen
from hil.game_tables import setting_rows
from hil.games import Game
from hil.micropython import Spawned

POLL_S = 0.1
SEED = 1
IN_GAME = "# The watching began in a game: without what came before, a replay does not go the same way.\n"
MISSED = "# Records were missed: contacts between two looks may lack.\n"

OnPort = Annotated[
    str, typer.Option("--on", help="Serial port or pyserial URL of the board, or micropython.")
]
LogFile = Annotated[Path | None, typer.Option(help="When it is over, write the contacts as a switch script.")]
Seconds = Annotated[float | None, typer.Option("--for", min=0.1, help="End after so many seconds.")]
ImageFile = Annotated[
    Path | None, typer.Option(help="The board's image, when it was deployed from elsewhere.")
]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(watch)


def watch(
    game: Annotated[str, typer.Argument(help="A game of your own, by its folder.")] = "",
    on: OnPort = "",
    log: LogFile = None,
    seconds: Seconds = None,
    image: ImageFile = None,
) -> int:
    """Look at a board while it plays by itself: contacts, lamps, coils, windows, awards, faults.

    Nothing on the board changes. Ctrl-C ends it. (For a simulated player at the desk: inlane play --watch.)

    Example: inlane watch --on /dev/ttyACM0 --log seen.play
    """
    if not on:
        raise UsageError(
            "which board? --on PORT; a simulated player at the desk is 'inlane play GAME --watch'"
        )
    if log is not None:
        contact_log.check_name(log)
    spawned = _spawned(game) if on == PROCESS else None
    try:
        machine = WatchedMachine(open_port(spawned.port if spawned else on))
        try:
            played = _game(game, machine.game_name)
            machine.follow(played, image)
            look(machine, seconds)
        finally:
            machine.close()
    finally:
        if spawned:
            spawned.close()
    if log is not None:
        write_log(machine, played, log)
        typer.echo(f"wrote {log}; try: inlane replay {log} --game {played.folder}")
    return 0


def _spawned(game: str) -> Spawned:
    """A process of MicroPython in which a game plays by itself, nobody's hands at it."""
    if not game:
        raise UsageError("micropython plays the game that is named: inlane watch GAME --on micropython")
    return Spawned(games.load(game), extra=("--alone", os.devnull))


def _game(given: str, told: str) -> Game:
    """The game given, else that of this name which comes with the firmware. Raises UsageError."""
    if not given and told not in games.built_in():
        raise UsageError(f"the board plays '{told}'; give its folder: inlane watch FOLDER --on PORT")
    return games.load(given or told)


def look(
    machine: WatchedMachine,
    seconds: float | None,
    clock: Callable[[], float] = time.monotonic,
    wait: Callable[[float], None] = time.sleep,
) -> None:
    """Poll and show until Ctrl-C or for so long; without a terminal the last screen is printed."""
    end = None if seconds is None else clock() + seconds
    console = Console()
    try:
        with Live(
            screen(machine), console=console, auto_refresh=False, screen=console.is_terminal, transient=True
        ) as live:
            while end is None or clock() < end:
                machine.poll()
                if console.is_terminal:
                    live.update(screen(machine), refresh=True)
                wait(POLL_S)
    except KeyboardInterrupt:
        pass
    console.print(screen(machine))


def write_log(machine: WatchedMachine, game: Game, path: Path) -> None:
    """Write what was watched as a script. Raises UsageError: too long for one, or not writable."""
    changes = [ContactChange(*one) for one in machine.contacts(of_game(game).debounce)]
    usual = {row.name: row.default for row in setting_rows(game.module)}
    settings = {name: value for name, value in machine.settings.items() if value != usual[name]}
    run = Run(game.name, SEED, changes, machine.now_ms, "", settings)
    notes = (IN_GAME if machine.began_in_game else "") + (MISSED if machine.lost else "")
    contact_log.write(run, path, notes + contact_log.as_script(run))
