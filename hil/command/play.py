"""`inlane play`: a game at the desk, or a script's last picture without a screen."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NamedTuple

import typer

from firmware.base.errors import UsageError
from firmware.charts.suggest import did_you_mean
from hil import games
from hil.bench import contact_log, report
from hil.bench.outcome import FAIL, Outcome
from hil.bench.proposal import check_level
from hil.bench.scripts import script
from hil.bench.scripts.line import Line
from hil.bench.session import Session
from hil.bench.targets.target import MachineStopped
from hil.bench.view import pattern_words, seconds
from hil.checks.coils import not_energised
from hil.command import drawn
from hil.command.at_desk import DeskConsole, DeskSetup, PlayedMachine, StopTimeReached
from hil.command.logs import write_log
from hil.games import Game

if TYPE_CHECKING:
    from simulator.desk.desk import Desk

ArrangeOption = Annotated[
    bool, typer.Option("--arrange", help="Move the things of the drawing with the mouse.")
]
KeptOption = Annotated[Path | None, typer.Option(help="Keep settings, pot, scores and counts in this file.")]
LogOption = Annotated[
    Path | None, typer.Option(help="When it is over, write the contacts as a switch script.")
]
ExpectOption = Annotated[
    str, typer.Option("--expect", help="With --log: propose expectations: score, awards, lamps, everything.")
]
LAST_AWARDS = 5
CAUTION = (
    "Caution: the desk shows lamps and flashers that blink, up to 2.5 times a second "
    "(4 with calm lamps off). Do not use it if flashing light troubles you."
)


def play_script(table: DeskSetup, path: Path, picture: Path, at_ms: int | None, chart: str = "") -> int:
    """Run a script, draw the desk at its end, print a summary; returns the script's exit code.

    `chart`: a feature whose chart to draw. Raises UsageError when there is none.
    """
    from simulator.desk import window  # loaded only here: it needs pygame

    window.use_headless()
    played = script.read(path, table.vocabulary)
    target = DeskConsole(table.game, at_ms)
    plant = table.plant(played.seed, varied=False)
    session = Session(played, target, table.vocabulary, table.game.wiring, plant)
    outcome: Outcome | None = None
    try:
        outcome = session.run()
    except StopTimeReached:
        pass
    machine = PlayedMachine(table.game, session.clock, target, plant, table.vocabulary)
    desk = table.desk(machine)
    desk.message = f"script: {played.title or played.name}"
    if chart:
        show_chart(desk, chart)
    window.save_picture(desk, picture)
    print("\n".join([*summary(machine), f"picture: {picture}"]))
    if outcome is not None:
        print("\n".join(report.lines(outcome)))
        return outcome.code
    return 0


def show_chart(desk: "Desk", chart: str) -> None:
    """Show the chart of a feature on the desk. Raises UsageError: unknown chart."""
    names = desk.charts.names()
    if chart not in names:
        raise UsageError(f"there is no chart '{chart}'{did_you_mean(chart, names)}")
    desk.charts.choose(chart)


def summary(machine: PlayedMachine) -> list[str]:
    """The state of the machine in a few lines."""
    view = machine.view
    shown = [f"{name} {pattern_words(p)}" for name, p in view.lamps.items() if p]
    balls = [f"{place} {count}" for place, count in machine.places().items() if count]
    awards = [h for h in view.history if h.kind == "award"][-LAST_AWARDS:]
    lines = [
        f"time {seconds(machine.now)}",
        "display " + " ".join(f"[{line}]" for line in view.lines),
        *(f"player {player}: {score:,}" for player, score in sorted(view.scores.items())),
        f"balls: {', '.join(balls) or 'none simulated'}",
        f"lamps: {', '.join(shown) or 'all dark'}",
    ]
    windows = [f"{name} {seconds(left)}" for name, left, _ in machine.windows()]
    if windows:
        lines.append(f"windows: {', '.join(windows)}")
    if awards:
        lines.append("last awards: " + ", ".join(f"{h.name} {h.value:,}" for h in awards))
    return lines


class LiveOptions(NamedTuple):
    """How a game is played in a window."""

    seed: int
    settings: dict[str, int]
    sound: bool = False
    kept: Path | None = None
    chart: str = ""
    log: Path | None = None
    expect: str = ""


def play_live(table: DeskSetup, how: LiveOptions) -> int:
    """Play in a window until the player leaves. Raises UsageError without a screen."""
    from simulator.desk import window  # loaded only here: it needs pygame

    if not window.has_screen():
        raise UsageError(
            "there is no screen here to open a window on; "
            "'inlane play --script FILE --picture out.png' plays a script and draws its last picture"
        )
    typer.echo(CAUTION)
    surface = window.open_window(f"{table.game.name} at the desk")
    machine = table.live(how.seed, how.settings, how.kept)
    desk = table.desk(machine)
    if how.chart:
        show_chart(desk, how.chart)
    if how.sound:
        desk.message = desk.sounds.toggle()
    code = 0
    try:
        window.run(desk, surface)
    except MachineStopped as error:
        typer.echo(f"the machine stopped: {error}", err=True)
        code = FAIL
    if how.log is not None:
        run = machine.log(how.seed, how.settings, stopped=code != 0)
        write_log(run, how.log, table.game, how.expect)
        typer.echo(f"wrote {how.log}; try: inlane replay {how.log} --game {table.game.folder}")
    return code


def arrange(game: Game) -> int:
    """Move the things of the game's drawing in a window. Raises UsageError without a screen, GameError."""
    from simulator.desk import window  # loaded only here: it needs pygame
    from simulator.desk.arrange import Arranger
    from simulator.drawing.edit import Edits

    if not window.has_screen():
        raise UsageError("there is no screen here to open a window on, and --arrange needs one")
    file = drawn.path(game)
    edits = Edits(drawn.read(game), str(file), drawn.machine(game))
    surface = window.open_window(f"the drawing of {game.name}")
    window.arrange(Arranger(edits, lambda data: drawn.save(game, data)), surface)
    return 0


def read_settings(given: list[str]) -> dict[str, int]:
    """Parse `name=3` words as settings. Raises UsageError."""
    settings = {}
    for word in given:
        name, equals, value = word.partition("=")
        if not equals or not value.strip().isdigit():
            raise UsageError(f"--set takes a setting and a number, as in ball_save=0, not '{word}'")
        settings[name.strip()] = int(value)
    return settings


def refuse_beside_a_script(options: dict[str, object]) -> None:
    """Refuse options that only a game by hand has. Raises UsageError with those that were given a value."""
    given = [option for option, value in options.items() if value]
    if given:
        raise UsageError(
            f"{' and '.join(given)} cannot go with --script: a script has its seed and settings in its own "
            "lines, starts from nothing that was kept, and makes no sound"
        )


def check_log(log: Path | None, expect: str, plays_by_hand: bool) -> None:
    """Raises UsageError when the run cannot be written to `log`, or not with such expectations."""
    if expect:
        check_level(expect)
    if log is None:
        if expect:
            raise UsageError("--expect goes with --log: it puts expectations into the log")
        return
    contact_log.check_name(log)
    if not plays_by_hand:
        raise UsageError("--log is for a game by hand that starts from nothing: no --script, no --kept")


def _table(game: Game) -> DeskSetup:
    """The game at the desk; says which of its coils may not be energised."""
    table = DeskSetup(game)
    if unpowered := not_energised(game):
        typer.echo(unpowered, err=True)
    return table


def _need_pygame() -> None:
    try:
        import simulator.desk.canvas  # noqa: F401 - to see whether pygame is there
    except ImportError:
        raise UsageError("the desk needs pygame: pip install 'inlane[desk]'") from None


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(play)


def play(
    game: Annotated[str, typer.Argument(help="A game, by name or folder.")] = "honey_flow",
    script: Annotated[Path | None, typer.Option(help="Run this switch script; no window.")] = None,
    picture: Annotated[Path, typer.Option(help="Where --script draws its picture.")] = Path("desk.png"),
    at: Annotated[str, typer.Option(help="Stop the script at this time, as in 12.5s.")] = "",
    chart: Annotated[str, typer.Option(help="Show this feature's chart.")] = "",
    seed: Annotated[int | None, typer.Option(help="The seed of chance, 1 unless given.", min=1)] = None,
    set_: Annotated[list[str] | None, typer.Option("--set", help="A setting, as in ball_save=0.")] = None,
    sound: Annotated[bool, typer.Option("--sound", help="Play tones for cues.")] = False,
    arrange_: ArrangeOption = False,
    kept: KeptOption = None,
    log: LogOption = None,
    expect: ExpectOption = "",
) -> int:
    """Play a game at the desk, or draw a script's last picture without a screen.

    Example: inlane play honey_flow

    Example: inlane play --script firmware/games/honey_flow/scripts/whole_game.play --picture out.png

    Example: inlane play ./my_game --log seen.play --expect awards

    Example: inlane play ./my_game --arrange

    Caution: the desk shows lamps and flashers that blink, up to 2.5 times a second (4 with calm
    lamps off). Do not use it if flashing light troubles you.
    """
    _need_pygame()
    if script is None and at:
        raise UsageError("--at goes with --script")
    if script is not None:
        refuse_beside_a_script({"--seed": seed, "--set": set_, "--kept": kept, "--sound": sound})
    check_log(log, expect, plays_by_hand=script is None and kept is None)
    if arrange_:
        return _arrange_alone(game, (script, kept, log))
    table = _table(games.load(game))
    if script is not None:
        return play_script(table, script, picture, Line(at, "--at").time() if at else None, chart)
    settings = read_settings(set_ or [])
    return play_live(table, LiveOptions(seed or 1, settings, sound, kept, chart, log, expect))


def _arrange_alone(game: str, others: tuple[Path | None, ...]) -> int:
    """Arrange, if nothing is to be played. Raises UsageError."""
    if any(other is not None for other in others):
        raise UsageError("--arrange plays nothing: no --script, no --kept, no --log")
    return arrange(games.load(game))
