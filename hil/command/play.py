"""`inlane play`: a game at the desk, or a script's last picture without a screen."""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NamedTuple

import typer

from firmware.base.errors import UsageError
from hil import games
from hil.bench import report
from hil.bench.outcome import FAIL, Outcome
from hil.bench.scripts import script
from hil.bench.scripts.line import Line
from hil.bench.session import Session
from hil.bench.targets.target import MachineStopped
from hil.bench.view import pattern_words, seconds
from hil.checks.coils import not_energised
from hil.checks.source import Finding
from hil.command import drawn, logs
from hil.command.at_desk import DeskConsole, DeskSetup, PlayedMachine, StopTimeReached
from hil.command.board_machine import BoardMachine, board_machine
from hil.command.look import AS_USUAL, Look, read_size, show
from hil.command.past import RecordedMachine
from hil.command.replay import game_folder
from hil.command.workbench import Workbench, checked, refused_report
from hil.games import Game
from simulator.table.materials import LEAST_SLOPE, MOST_SLOPE, SLOPE

if TYPE_CHECKING:
    from simulator.desk.desk import Desk

GameArgument = Annotated[
    str, typer.Argument(help="A game, by name or folder; a script's folder tells its own.")
]
ArrangeOption = Annotated[
    bool, typer.Option("--arrange", help="Move the things of the drawing with the mouse.")
]
KeptOption = Annotated[Path | None, typer.Option(help="Keep settings, pot, scores and counts in this file.")]
LogOption = Annotated[
    Path | None, typer.Option(help="When it is over, write the contacts as a switch script.")
]
NO_PHYSICS = "the ball does not roll without pymunk: pip install 'inlane[desk]'"
SlopeOption = Annotated[
    float | None,
    typer.Option(min=LEAST_SLOPE, max=MOST_SLOPE, help="The playfield's slope in degrees; 6.5 unless given."),
]
ShotsOption = Annotated[bool, typer.Option("--shots", help="Each key is a whole shot; no ball rolls.")]
ChartOption = Annotated[str, typer.Option(help="Show this feature's chart.")]
PanelOption = Annotated[str, typer.Option(help="Show this panel, such as coils.")]
PaletteOption = Annotated[str, typer.Option(help="Colours, such as 'bright room'.")]
SizeOption = Annotated[str, typer.Option(help="The window or picture in pixels, as in 1280x800.")]
WatchOption = Annotated[bool, typer.Option("--watch", help="A simulated player plays with the flippers.")]
OnOption = Annotated[
    str, typer.Option("--on", help="Play in front of a board: serial port, pyserial URL, or micropython.")
]
ImageOption = Annotated[
    Path | None,
    typer.Option("--image", help="With --on: the board's image, when it was deployed from elsewhere."),
]
ExpectOption = Annotated[
    str, typer.Option("--expect", help="With --log: propose expectations: score, awards, lamps, everything.")
]
LAST_AWARDS = 5
USUAL = "honey_flow"
CAUTION = (
    "Caution: the desk shows lamps and flashers that blink, up to 2.5 times a second "
    "(4 with calm lamps off). Do not use it if flashing light troubles you."
)


def play_script(table: DeskSetup, path: Path, picture: Path, at_ms: int | None, look: Look = AS_USUAL) -> int:
    """Run a script, draw the desk at its end, print a summary; returns the script's exit code.

    Raises UsageError: an unknown chart, panel or palette.
    """
    from simulator.desk import window  # loaded only here: it needs pygame

    window.use_headless()
    played = script.read(path, table.vocabulary)
    _say_unpowered(table.game)
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
    show(desk, look)
    window.save_picture(desk, picture, look.size)
    print("\n".join([*summary(machine), f"picture: {picture}"]))
    if outcome is not None:
        print("\n".join(report.lines(outcome)))
        return outcome.code
    return 0


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
    look: Look = AS_USUAL
    log: Path | None = None
    expect: str = ""
    rolls: bool = True
    slope: float | None = None
    watched: bool = False
    name: str = "honey_flow"
    refused: Sequence[Finding] = ()
    on: str = ""
    image: Path | None = None


def play_live(table: DeskSetup, how: LiveOptions) -> int:
    """Play in a window until the player leaves. Raises LinkError when a board is lost."""
    typer.echo(CAUTION)
    _say_unpowered(table.game)
    machine = _machine(table, how)
    try:
        return _play_live(table, how, machine)
    finally:
        if isinstance(machine, BoardMachine):
            machine.close()


def _play_live(
    table: DeskSetup, how: LiveOptions, machine: PlayedMachine | RecordedMachine | BoardMachine
) -> int:
    from simulator.desk import window  # loaded only here: it needs pygame

    window.open_window(f"{table.game.name} at the desk", how.look.size)
    desk = table.desk(machine, machine if isinstance(machine, RecordedMachine) else None)
    show(desk, how.look)
    if how.refused:
        desk.report(refused_report(list(how.refused)))
    if how.sound:
        desk.message = desk.sounds.toggle()
    code = 0
    try:
        if isinstance(machine, RecordedMachine):
            bench = Workbench(how.name, table, machine, lambda setup: _switch_on(setup, how))
            _run_beside(bench, desk)
        else:
            window.run(desk)
    except MachineStopped as error:
        typer.echo(f"the machine stopped: {error}", err=True)
        code = FAIL
    if how.log is not None:
        run = machine.log(how.seed, how.settings, stopped=code != 0)
        logs.write_log(run, how.log, table.game, how.expect)
        typer.echo(f"wrote {how.log}; try: inlane replay {how.log} --game {table.game.folder}")
    return code


def _run_beside(bench: Workbench, desk: "Desk") -> None:
    """Play frames until the player leaves; what is saved meanwhile is taken up."""
    from simulator.desk import window  # loaded only here: it needs pygame

    frames = window.Frames(desk)
    bench.begin(desk)
    try:
        while True:
            try:
                if not frames.play():
                    return
                frames.desk = bench.tend(frames.desk)
            except MachineStopped as error:
                frames.desk = bench.halted(frames.desk, error)
    finally:
        bench.close()
        window.close()


def _machine(table: DeskSetup, how: LiveOptions) -> PlayedMachine | RecordedMachine | BoardMachine:
    """The machine to play; one that keeps something, or is a board, cannot go back in time."""
    if how.on:
        return board_machine(table, how.on, how.seed, how.settings, how.image)
    switch_on = _switch_on(table, how)
    if how.kept is not None:
        return switch_on()
    return RecordedMachine(table, switch_on, how.seed, how.settings)


def _switch_on(table: DeskSetup, how: LiveOptions) -> Callable[[], PlayedMachine]:
    """What makes a machine, with a ball that rolls where that is asked for and pymunk is there."""
    if how.rolls:
        try:
            from hil.command import rolling  # loaded only here: it needs pymunk
        except ModuleNotFoundError as error:
            if error.name != "pymunk":
                raise
            typer.echo(f"{NO_PHYSICS}; each key is a whole shot", err=True)
        else:
            slope = SLOPE if how.slope is None else how.slope
            return lambda: rolling.switch_on(table, how.seed, how.settings, slope, how.kept, how.watched)
        if how.watched:
            raise UsageError(NO_PHYSICS)
    return lambda: table.live(how.seed, how.settings, how.kept)


def arrange(game: Game) -> int:
    """Move the things of the game's drawing in a window. Raises UsageError without a screen, GameError."""
    from simulator.desk import window  # loaded only here: it needs pygame
    from simulator.desk.arrange import Arranger
    from simulator.drawing.edit import Edits

    if not window.has_screen():
        raise UsageError("there is no screen here to open a window on, and --arrange needs one")
    file = drawn.path(game)
    edits = Edits(drawn.read(game), str(file), drawn.machine(game))
    surface = window.open_arranger(f"the drawing of {game.name}")
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


def refuse_beside_a_script(options: Mapping[str, object]) -> None:
    """Refuse options that only a game by hand has. Raises UsageError with those that were given a value."""
    given = [option for option, value in options.items() if value]
    if given:
        raise UsageError(
            f"{' and '.join(given)} cannot go with --script: a script has its seed and settings in its own "
            "lines, starts from nothing that was kept, and makes no sound"
        )


def check_log(log: Path | None, expect: str, plays_by_hand: bool) -> None:
    """Raises UsageError when the run cannot be written to `log`, or not with such expectations."""
    logs.check(log, expect)
    if log is not None and not plays_by_hand:
        raise UsageError("--log is for a game by hand that starts from nothing: no --script, no --kept")


def _say_unpowered(game: Game) -> None:
    if unpowered := not_energised(game):
        typer.echo(unpowered, err=True)


def _need_pygame() -> None:
    try:
        import simulator.desk.canvas  # noqa: F401 - to see whether pygame is there
    except ImportError:
        raise UsageError("the desk needs pygame: pip install 'inlane[desk]'") from None


def _need_screen() -> None:
    from simulator.desk import window  # loaded only here: it needs pygame

    if not window.has_screen():
        raise UsageError(
            "there is no screen here to open a window on; "
            "'inlane play --script FILE --picture out.png' plays a script and draws its last picture"
        )


def _game(named: str, played: Path | None) -> Game:
    """The game that is named, else that of the script's folder, else the demo."""
    if named or played is None:
        return games.load(named or USUAL)
    folder = game_folder(played)
    return games.load(str(folder) if folder else USUAL)


def _refused(game: str) -> list[Finding]:
    """What check refuses of a game that is to be opened, and says so."""
    refused = checked(game)
    for finding in refused:
        typer.echo(str(finding), err=True)
    if refused:
        typer.echo(f"check refuses {game}; it is opened all the same, if it can be", err=True)
    return refused


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(play)


def play(
    game: GameArgument = "",
    script: Annotated[Path | None, typer.Option(help="Run this switch script; no window.")] = None,
    picture: Annotated[Path, typer.Option(help="Where --script draws its picture.")] = Path("desk.png"),
    at: Annotated[str, typer.Option(help="Stop the script at this time, as in 12.5s.")] = "",
    chart: ChartOption = "",
    panel: PanelOption = "",
    palette: PaletteOption = "",
    size: SizeOption = "",
    seed: Annotated[int | None, typer.Option(help="The seed of chance, 1 unless given.", min=1)] = None,
    set_: Annotated[list[str] | None, typer.Option("--set", help="A setting, as in ball_save=0.")] = None,
    sound: Annotated[bool, typer.Option("--sound", help="Play tones for cues.")] = False,
    arrange_: ArrangeOption = False,
    kept: KeptOption = None,
    log: LogOption = None,
    shots: ShotsOption = False,
    slope: SlopeOption = None,
    watch: WatchOption = False,
    expect: ExpectOption = "",
    on: OnOption = "",
    image: ImageOption = None,
) -> int:
    """Play a game at the desk, or draw a script's last picture without a screen.

    Example: inlane play ./my_game --log seen.play --expect awards

    Example: inlane play honey_flow --watch

    Example: inlane play honey_flow --on /dev/ttyACM0

    Example: inlane play --script firmware/games/honey_flow/scripts/whole_game.play --picture out.png

    Caution: the desk shows lamps and flashers that blink, up to 2.5 times a second (4 with calm
    lamps off). Do not use it if flashing light troubles you.
    """
    _need_pygame()
    given: dict[str, object] = {"--seed": seed, "--set": set_, "--kept": kept, "--sound": sound}
    given |= {"--shots": shots, "--slope": slope, "--watch": watch, "--on": on, "--image": image}
    _refuse(given, script, at, arrange_, log)
    check_log(log, expect, plays_by_hand=script is None and kept is None)
    if arrange_:
        return arrange(games.load(game or USUAL))
    look = Look(chart, panel, palette, read_size(size))
    if script is not None:
        table = DeskSetup(_game(game, script))
        return play_script(table, script, picture, Line(at, "--at").time() if at else None, look)
    settings = read_settings(set_ or [])
    game = game or USUAL
    games.locate(game)
    _need_screen()
    refused = [] if on else _refused(game)  # what a board runs was checked when it was deployed
    table = DeskSetup(games.load(game))
    how = LiveOptions(
        seed or 1, settings, sound, kept, look, log, expect, not shots, slope, watch, game, refused, on, image
    )
    return play_live(table, how)


def _refuse(given: dict[str, object], script: Path | None, at: str, arranges: bool, log: Path | None) -> None:
    """Refuse options that do not go together. Raises UsageError."""
    if script is None and at:
        raise UsageError("--at goes with --script")
    if script is not None:
        refuse_beside_a_script(given)
    if arranges and (script is not None or log is not None or given["--kept"] is not None):
        raise UsageError("--arrange plays nothing: no --script, no --kept, no --log")
    if given["--on"] and (arranges or given["--kept"] or given["--watch"] or given["--slope"] is not None):
        raise UsageError(
            "in front of a board whole shots are made by key, and the board keeps nothing: no --arrange, "
            "no --kept, no --watch, no --slope beside --on"
        )
    if given["--image"] and not given["--on"]:
        raise UsageError("--image goes with --on: it is the image of the board there")
    if given["--shots"] and (given["--slope"] is not None or given["--watch"]):
        raise UsageError("--slope and --watch are for a ball that rolls; with --shots none does")
