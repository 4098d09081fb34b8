"""`inlane replay`: switch scripts on a target, judged."""

import glob
from pathlib import Path
from typing import Annotated

import typer

from firmware.base.errors import GameError, LinkError, ScriptError, UsageError
from firmware.charts.suggest import did_you_mean
from hil import games
from hil.bench import contact_log, report
from hil.bench.compare import compare_all
from hil.bench.coverage import Coverage
from hil.bench.outcome import INVALID, USAGE, Outcome, worst
from hil.bench.proposal import check_level
from hil.bench.scripts import script
from hil.bench.scripts.vocabulary import Vocabulary, of_game
from hil.bench.session import Session
from hil.bench.targets.choose import IN_PROCESS, open_target
from hil.bench.targets.target import Target
from hil.checks.coils import not_energised, refusals
from hil.command import bisection
from hil.command.covered import as_json as as_json_with_coverage
from hil.command.covered import write_charts
from hil.command.logs import write_log
from hil.games import Game
from simulator.plant import Plant

HERE = (*IN_PROCESS, "micropython")  # targets that drive no coil


class Bench:
    """Runs scripts of any games on one kind of target, one after another."""

    def __init__(
        self, target: str, real_time: bool = False, records_guards: bool = False, image: Path | None = None
    ) -> None:
        self.target = target
        self.image = image
        self.records_guards = records_guards
        self.real_time = real_time
        self.coverage: dict[str, Coverage] = {}
        """By game, over the scripts run so far."""
        self.ended = ""
        """The error that had ended the device's program before, as the device tells it."""
        self._vocabularies: dict[str, Vocabulary] = {}
        self._open: tuple[str, Target] | None = None

    def __enter__(self) -> "Bench":
        return self

    def __exit__(self, *_: object) -> None:
        self._close()

    def read(self, path: Path, game: Game) -> script.Script:
        """Parse a script and check it against its game. Raises ScriptError, GameError."""
        return script.read(path, self.vocabulary(game), shown(path))

    def run(self, played: script.Script, game: Game) -> Outcome:
        """Run one script; an error of the target makes its outcome INVALID."""
        try:
            target = self._target(game)
        except LinkError as error:
            return self._invalid(played, str(error))
        plant = Plant(game.tables("routes"), *self._wires(game), seed=played.seed)
        session = Session(played, target, self.vocabulary(game), game.wiring, plant, self.real_time)
        outcome = session.run()
        self.ended = getattr(target, "ended", "") or self.ended
        names = self.vocabulary(game).names
        self.coverage.setdefault(game.name, Coverage(names)).add(session.covered)
        if outcome.code == INVALID:
            self._close()  # the next script gets a fresh line
        return outcome

    def _target(self, game: Game) -> Target:
        """The target for `game`, which stays open from script to script."""
        if self._open is not None and self._open[0] == str(game.folder):
            return self._open[1]
        self._close()
        target = open_target(self.target, game, self.real_time, self.records_guards, self.image)
        self._open = (str(game.folder), target)
        return self._open[1]

    def _close(self) -> None:
        if self._open is not None:
            self._open[1].close()
            self._open = None

    def vocabulary(self, game: Game) -> Vocabulary:
        """The names that scripts of `game` may use. Raises GameError."""
        key = str(game.folder)
        if key not in self._vocabularies:
            self._vocabularies[key] = of_game(game)
        return self._vocabularies[key]

    def _wires(self, game: Game) -> tuple[tuple[str, ...], tuple[str, ...]]:
        names = self.vocabulary(game).names
        return tuple(names.switches), tuple(names.coils)

    def _invalid(self, played: script.Script, reason: str) -> Outcome:
        return Outcome(
            str(played.path),
            played.title,
            played.covers,
            self.target,
            INVALID,
            reason=reason,
            real_time=self.real_time,
        )


def shown(path: Path) -> str:
    """A path as messages show it: relative when it is below the working directory."""
    try:
        return path.resolve().relative_to(Path.cwd()).as_posix()
    except ValueError:
        return str(path)


def find_scripts(given: list[str]) -> list[Path]:
    """The scripts of games by name, files, folders and patterns, in order. Raises ScriptError, UsageError."""
    found: list[Path] = []
    for name in given:
        path = games.BUILT_IN / name / "scripts" if name in games.built_in() else Path(name)
        if path.is_dir():
            inside = sorted(path.rglob(f"*{script.SUFFIX}"))
            if not inside:
                raise UsageError(f"the folder has no {script.SUFFIX} scripts", name)
        elif path.is_file():
            inside = [path]
        else:
            inside = [Path(match) for match in sorted(glob.glob(name, recursive=True))]
            if not inside:
                raise ScriptError("there is no such script" + _near_miss(path), name)
        found += [one for one in inside if one not in found]
    return found


def _near_miss(path: Path) -> str:
    if not path.parent.is_dir():
        return ""
    return did_you_mean(path.name, [other.name for other in sorted(path.parent.iterdir())])


def game_of(path: Path, named: str) -> Game:
    """The game a script belongs to: as named, else the folder that holds its `scripts` folder."""
    if named:
        return games.load(named)
    for folder in path.resolve().parents:
        if (folder / "game.py").is_file():
            return games.load(str(folder))
    raise UsageError("this script lies in no game's folder; name the game with --game", str(path))


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(replay)


OnTarget = Annotated[str, typer.Option(help="Target: desk, micropython, a serial port or a pyserial URL.")]
SameAs = Annotated[str, typer.Option(help="Run on this target too, in lock-step, and demand the same trace.")]
RealTime = Annotated[
    bool, typer.Option("--real-time", help="The target's own clock; its hash is never compared.")
]
ImageFile = Annotated[
    Path | None, typer.Option(help="The board's image, when it was deployed from elsewhere.")
]
LogFile = Annotated[
    Path | None, typer.Option(help="Write the contacts of one script as a script of its own.")
]
ExpectOption = Annotated[
    str, typer.Option("--expect", help="With --log: propose expectations: score, awards, lamps, everything.")
]
BisectOption = Annotated[
    tuple[Path, Path] | None,
    typer.Option(metavar="OLD NEW", help="Two folders of a game: by which changes a script ends otherwise."),
]
WithCoverage = Annotated[
    bool, typer.Option("--coverage", help="Print what the scripts cover of the game's charts.")
]
ChartsOption = Annotated[
    Path | None, typer.Option(help="Draw each chart there as SVG; what the scripts did not see is marked.")
]


def replay(
    scripts: Annotated[list[str], typer.Argument(help="Games by name, scripts, folders, or patterns.")],
    on: OnTarget = "desk",
    same_as: SameAs = "",
    game: Annotated[str, typer.Option(help="Game, by name or folder; usually told by the folder.")] = "",
    real_time: RealTime = False,
    image: ImageFile = None,
    junit: Annotated[Path | None, typer.Option(help="Write the verdicts as JUnit XML.")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print the verdicts as JSON.")] = False,
    ledger: Annotated[bool, typer.Option("--ledger", help="Print every award.")] = False,
    log: LogFile = None,
    expect: ExpectOption = "",
    bisect: BisectOption = None,
    coverage: WithCoverage = False,
    charts: ChartsOption = None,
    verbose: Annotated[bool, typer.Option("--verbose", help="Print whole trace hashes.")] = False,
) -> int:
    """Replay switch scripts on a target and judge them.

    Example: inlane replay honey_flow --on micropython

    Example: inlane replay seen.play --bisect before/my_game my_game

    Exit code 0 PASS, 1 FAIL, 2 a script is wrong (none is run), 3 INVALID.
    """
    paths = find_scripts(scripts)
    if bisect is not None:
        return bisection.run(paths, *bisect)
    _check_log(log, paths, real_time, expect)
    with Bench(on, real_time, records_guards=coverage or charts is not None, image=image) as bench:
        jobs = _read_all(bench, paths, game)
        _tell_unpowered([played for _script, played in jobs], on if real_time else "")
        outcomes = _run_all(bench, jobs, quiet=as_json, ledger=ledger, verbose=verbose)
        covered = bench.coverage if coverage else {}
        _tell_ended(bench)
        logged = [_log(bench, jobs[0], outcomes[0], log, expect)] if log is not None else []
    if same_as:
        outcomes += _run_there(Bench(same_as, image=image), jobs, outcomes, as_json, verbose)
    outcomes += logged
    if junit:
        report.write_junit(junit, outcomes)
    _draw(charts, bench.coverage, jobs)
    if as_json:
        print(as_json_with_coverage(outcomes, covered))
    else:
        _print_end(outcomes, logged, covered, verbose)
    return worst(outcomes)


Job = tuple[script.Script, Game]


def _read_all(bench: Bench, paths: list[Path], named: str) -> list[Job]:
    """Parse every script; when any is wrong, print every error and exit."""
    jobs = []
    errors = []
    for path in paths:
        try:
            game = game_of(path, named)
            jobs.append((bench.read(path, game), game))
        except ScriptError as error:
            errors.append(str(error))
    if errors:
        for message in errors:
            typer.echo(message, err=True)
        raise typer.Exit(USAGE)
    return jobs


def _tell_unpowered(played: list[Game], live: str) -> None:
    """Say of each game, once, which of its coils may not be energised.

    `live`: a target that runs by its own clock. One that drives coils then refuses a game that the sums
    refuse. Raises GameError.
    """
    for game in {str(one.folder): one for one in played}.values():
        if live and live not in HERE and (refused := refusals(game)):
            raise GameError("; ".join(refused), str(game.folder))
        if sentence := not_energised(game):
            typer.echo(sentence, err=True)


def _run_all(
    bench: Bench, jobs: list[Job], quiet: bool = False, ledger: bool = False, verbose: bool = False
) -> list[Outcome]:
    outcomes = []
    for played, game in jobs:
        outcome = bench.run(played, game)
        outcome.path = shown(played.path)
        outcomes.append(outcome)
        if not quiet:
            print("\n".join(report.lines(outcome, verbose, ledger)), flush=True)
    return outcomes


def _check_log(log: Path | None, paths: list[Path], real_time: bool, expect: str) -> None:
    """Raises UsageError when these scripts cannot be logged there, or not with such expectations."""
    if expect:
        check_level(expect)
    if log is None:
        if expect:
            raise UsageError("--expect goes with --log: it puts expectations into the log")
        return
    contact_log.check_name(log)
    if len(paths) > 1 or real_time:
        raise UsageError("--log takes one script, in lock-step")


def _run_there(
    bench: Bench, jobs: list[Job], here: list[Outcome], quiet: bool, verbose: bool
) -> list[Outcome]:
    """Run the scripts on another target, and compare their traces with those that were made `here`."""
    with bench:
        others = _run_all(bench, jobs, quiet=True)
    compare_all(here, others)
    if not quiet:
        _print_comparison(others, verbose)
    return others


def _print_end(
    outcomes: list[Outcome], logged: list[Outcome], covered: dict[str, Coverage], verbose: bool
) -> None:
    """The log's outcome, the counts of all, and the coverage by game."""
    if logged:
        print("\n".join(report.lines(logged[0], verbose)))
    print(report.summary(outcomes))
    for name, found in covered.items():
        print(f"{name}:", *found.lines(), sep="\n")


def _draw(folder: Path | None, covered: dict[str, Coverage], jobs: list[Job]) -> None:
    """Draw the charts of each game, in a folder of its own when there are several; none without a folder."""
    if folder is None:
        return
    played = {game.name: game for _script, game in jobs}
    for name, coverage in covered.items():
        place = folder / name if len(covered) > 1 else folder
        typer.echo(write_charts(coverage, played[name], place), err=True)


def _tell_ended(bench: Bench) -> None:
    if bench.ended:
        typer.echo(f"the device's program had ended before this, by {bench.ended}", err=True)


def _log(bench: Bench, job: Job, outcome: Outcome, path: Path, expect: str) -> Outcome:
    """Write a run's log, replay it, and demand the same trace. Raises UsageError.

    `expect`: the level of proposed expectations, "" for none.
    """
    played, game = job
    if outcome.code == INVALID or played.balls == script.REAL:
        raise UsageError("there is no log: the contacts are not known to the bench")
    if played.switches_power:
        raise UsageError("there is no log of a run that switches the power: a log has contacts only")
    title = played.title or played.name
    write_log(
        contact_log.Run(
            title,
            played.seed,
            outcome.contact_changes,
            outcome.simulated_ms,
            outcome.digest,
            played.settings,
            played.covers,
        ),
        path,
        game,
        expect,
    )
    again = bench.run(bench.read(path, game), game)
    again.path = shown(path)
    compare_all([outcome], [again])
    return again


def _print_comparison(others: list[Outcome], verbose: bool) -> None:
    for outcome in others:
        if outcome.code:
            print("\n".join(report.lines(outcome, verbose)))
    equal = sum(not outcome.code for outcome in others)
    print(f"{equal} of {len(others)} scripts pass with the same trace on {others[0].target}")
