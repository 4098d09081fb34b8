"""`inlane replay`: switch scripts on a target, judged."""

import glob
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from firmware.base.errors import GameError, ScriptError, UsageError
from firmware.charts.suggest import did_you_mean
from hil import games
from hil.bench import contact_log, report
from hil.bench.compare import compare_all
from hil.bench.coverage import Coverage
from hil.bench.outcome import INVALID, USAGE, Outcome, worst
from hil.bench.scripts import script
from hil.bench.targets.bad_line import FORM
from hil.checks.coils import not_energised, refusals
from hil.command import bisection, logs, replay_faults, replay_files, replay_parts
from hil.command.covered import as_json as as_json_with_coverage
from hil.command.covered import write_charts
from hil.command.guarded_run import add_near_misses
from hil.command.replay_parts import HERE, Job, alone, workers_for
from hil.command.script_bench import Bench as Bench
from hil.command.script_bench import shown as shown
from hil.games import Game


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


def game_folder(path: Path) -> Path | None:
    """The game's folder that a script lies in."""
    return next((each for each in path.resolve().parents if (each / "game.py").is_file()), None)


def game_of(path: Path, named: str) -> Game:
    """The game a script belongs to: as named, else the folder that holds its `scripts` folder."""
    if named:
        return games.load(named)
    folder = game_folder(path)
    if folder:
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
VcdFile = Annotated[Path | None, typer.Option(help="Write the waveforms of one script (value change dump).")]
PageFile = Annotated[
    Path | None, typer.Option(help="Write the run as one page of HTML: stories, timeline, lamps, coverage.")
]
Through = Annotated[
    str, typer.Option(help="With --real-time: the port of a stand-in for the playfield; contacts go over it.")
]
Line = Annotated[str, typer.Option(help=f"Damage what goes over the line: any part of '{FORM}'.")]
Wire = Annotated[
    list[str] | None, typer.Option(help="A fault of the switches' wires, such as 'SWITCH bounces 8 ms'.")
]
Workers = Annotated[
    int, typer.Option(help="Processes that share the scripts at the desk or on micropython; 0: one a core.")
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
    through: Through = "",
    junit: Annotated[Path | None, typer.Option(help="Write the verdicts as JUnit XML.")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print the verdicts as JSON.")] = False,
    ledger: Annotated[bool, typer.Option("--ledger", help="Print every award.")] = False,
    log: LogFile = None,
    expect: ExpectOption = "",
    bisect: BisectOption = None,
    coverage: WithCoverage = False,
    vcd: VcdFile = None,
    page: PageFile = None,
    line: Line = "",
    wire: Wire = None,
    workers: Workers = 0,
    charts: ChartsOption = None,
    verbose: Annotated[bool, typer.Option("--verbose", help="Print whole trace hashes.")] = False,
    whole: Annotated[bool, typer.Option("--whole", help="Print all of a failure's story.")] = False,
) -> int:
    """Replay switch scripts on a target and judge them.

    Example: inlane replay honey_flow --on micropython

    Example: inlane replay seen.play --bisect before/my_game my_game

    Exit code 0 PASS, 1 FAIL, 2 a script is wrong (none is run), 3 INVALID.
    """
    return _replay(Asked(**locals()))


@dataclass(frozen=True)
class Asked:
    """What a replay was asked for: its options by their names."""

    scripts: list[str]
    on: str
    same_as: str
    game: str
    real_time: bool
    image: Path | None
    through: str
    junit: Path | None
    as_json: bool
    ledger: bool
    log: Path | None
    expect: str
    bisect: tuple[Path, Path] | None
    coverage: bool
    charts: Path | None
    vcd: Path | None
    page: Path | None
    line: str
    wire: list[str] | None
    workers: int
    verbose: bool
    whole: bool

    def bench(self) -> Bench:
        """The bench of the target that was asked for."""
        covers = self.coverage or self.charts is not None
        wires = tuple(self.wire or ())
        return Bench(self.on, self.real_time, covers, self.image, self.line, wires, self.through)

    def abreast(self, target: str, jobs: list[Job]) -> int:
        """How many processes play the scripts on a target; a bad line has its damage in one order."""
        return 1 if self.line else workers_for(self.workers, target, jobs, self.log is not None)


def _replay(asked: Asked) -> int:
    paths = find_scripts(asked.scripts)
    if asked.bisect is not None:
        return bisection.run(paths, *asked.bisect)
    _check(asked, paths)
    with asked.bench() as bench:
        jobs = _read_all(bench, paths, asked.game)
        _tell_unpowered([played for _script, played in jobs], asked.on if asked.real_time else "")
        outcomes = _run_all(bench, jobs, asked, asked.abreast(asked.on, jobs), asked.as_json)
        covered = dict(bench.coverage) if asked.coverage else {}
        _write_files(bench, jobs, outcomes, asked, covered)
        _tell_ended(bench)
        logged = [_log(bench, jobs[0], outcomes[0], asked.log, asked.expect)] if asked.log is not None else []
    judged = _judge_conditions(asked, jobs, outcomes)
    if asked.same_as:
        outcomes += _run_there(Bench(asked.same_as, image=asked.image), jobs, outcomes, asked)
    outcomes += logged
    if asked.junit:
        report.write_junit(asked.junit, outcomes)
    _draw(asked.charts, bench.coverage, jobs)
    if asked.as_json:
        print(as_json_with_coverage(outcomes, covered))
    else:
        _print_end(outcomes, logged, covered, asked.verbose)
        print("".join(f"{sentence}\n" for sentence in judged), end="")
    return worst(outcomes)


def _check(asked: Asked, paths: list[Path]) -> None:
    """Raises UsageError when what was asked for does not go together."""
    if asked.through and (not asked.real_time or asked.on in HERE):
        raise UsageError("--through is for a board in real time: --on PORT --through PORT_TWO --real-time")
    _check_log(asked.log, paths, asked.real_time, asked.expect)
    replay_faults.check(asked.on, asked.line, asked.real_time)
    replay_files.check(asked.vcd, asked.page, len(paths), asked.real_time)


def _write_files(
    bench: Bench,
    jobs: list[Job],
    outcomes: list[Outcome],
    asked: Asked,
    covered: dict[str, Coverage],
) -> None:
    """Write waveforms and page, from second runs of what they show. Raises UsageError."""

    def again(at: int) -> Outcome:
        return bench.run(*jobs[at], with_waves=True)

    if asked.vcd:
        replay_files.write_vcd(asked.vcd, outcomes, again)
    if asked.page:
        replay_files.write_page(asked.page, outcomes, [game for _, game in jobs], again, covered)


def _judge_conditions(asked: Asked, jobs: list[Job], outcomes: list[Outcome]) -> list[str]:
    """The verdict on a bad line or faulty wires, one sentence each."""
    wires = tuple(asked.wire or ())
    if asked.line:
        with Bench("desk", wires=wires) as good:
            return [replay_faults.judge_line(asked.line, outcomes, list(alone(good, jobs)))]
    return [replay_faults.judge_wires(wires, outcomes)] if wires else []


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


def _run_all(bench: Bench, jobs: list[Job], asked: Asked, workers: int, quiet: bool) -> list[Outcome]:
    outcomes = []
    for outcome in replay_parts.shared(bench, jobs, workers) if workers > 1 else alone(bench, jobs):
        outcomes.append(outcome)
        if not quiet:
            print("\n".join(report.lines(outcome, asked.verbose, asked.ledger, asked.whole)), flush=True)
    return outcomes


def _check_log(log: Path | None, paths: list[Path], real_time: bool, expect: str) -> None:
    """Raises UsageError when these scripts cannot be logged there, or not with such expectations."""
    logs.check(log, expect)
    if log is None:
        return
    if len(paths) > 1 or real_time:
        raise UsageError("--log takes one script, in lock-step")


def _run_there(bench: Bench, jobs: list[Job], here: list[Outcome], asked: Asked) -> list[Outcome]:
    """Run the scripts on another target, and compare their traces with those that were made `here`."""
    with bench:
        others = _run_all(bench, jobs, asked, asked.abreast(bench.target, jobs), quiet=True)
    compare_all(here, others)
    if not asked.as_json:
        _print_comparison(others, asked.verbose)
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
    logs.write_log(
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
    logged = bench.read(path, game)
    again = bench.run(logged, game)
    again.path = shown(path)
    add_near_misses(again, logged, game, bench.vocabulary(game))
    compare_all([outcome], [again])
    return again


def _print_comparison(others: list[Outcome], verbose: bool) -> None:
    for outcome in others:
        if outcome.code:
            print("\n".join(report.lines(outcome, verbose)))
    equal = sum(not outcome.code for outcome in others)
    print(f"{equal} of {len(others)} scripts pass with the same trace on {others[0].target}")
