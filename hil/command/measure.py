"""`inlane measure`: speed, memory and reliability, in figures that anyone can get again."""

import importlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.progress import Progress, track

from firmware.base.errors import UsageError
from firmware.steps import Steps
from hil import games
from hil.bench.scripts.vocabulary import of_game
from hil.bench.session import Session
from hil.benchmarks import budget as budgets
from hil.benchmarks import events as speed
from hil.benchmarks import heap, reliability
from hil.benchmarks.calls import CallDepth
from hil.benchmarks.contacts import Contacts, ContactTape
from hil.checks.call_depth import deepest_path
from hil.checks.heap import estimate
from hil.checks.stack import bound
from hil.command import chances, extras, frames, measure_link, rolled, season_speed, shots
from hil.command.replay import Bench, find_scripts
from hil.games import Game
from simulator.plant import Plant

WHOLE_GAME = "whole_game.play"
BOARD = "pico_matrix"
MODULES = (  # of hil.benchmarks, that add sub-commands of their own
    "board",
    "charts",
    "charts_kept",
    "charts_random",
    "twin",
)
ANY_WORDS = {"ignore_unknown_options": True, "allow_extra_args": True}
RUN_TO = (Steps.__module__, Steps.run_to.__qualname__)  # where hil.benchmarks.calls begins

Named = Annotated[str, typer.Option("--game", help="Game, by name or folder.")]
Scripted = Annotated[
    Path | None, typer.Option("--script", help="Script to play; the game's whole_game.play.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Print the figures as JSON.")]


def register(app: typer.Typer) -> None:
    """Add the sub-commands, and those of MODULES."""
    app.callback()(_measure)
    app.command()(events)
    app.command()(budget)
    app.command()(memory)
    app.command()(calls)
    app.command(name="reliability")(reliability_row)
    measure_link.register(app)
    frames.register(app)
    shots.register(app)
    chances.register(app)
    rolled.register(app)
    season_speed.register(app)
    for name in MODULES:
        try:
            importlib.import_module(f"hil.benchmarks.{name}").register(app)
        except ModuleNotFoundError as error:
            app.command(name=name, context_settings=ANY_WORDS)(
                _refusing(extras.refusal(f"measure {name}", error))
            )


def _refusing(refusal: UsageError) -> Callable[[], None]:
    def refuse() -> None:
        raise refusal

    refuse.__doc__ = f"Not here: {refusal}"
    return refuse


def _measure() -> None:
    """Measure speed, memory and reliability.

    Example: inlane measure reliability 5 --count 10000 --seed 1
    """


def taken_down(game: Game, script: Path | None) -> Contacts:
    """The contacts of a script, run at the desk. Raises UsageError when it does not pass there."""
    path = script or game.scripts / WHOLE_GAME
    bench = Bench("desk")
    played = bench.read(path, game)
    names = of_game(game).names
    plant = Plant(game.tables("routes"), tuple(names.switches), tuple(names.coils), seed=played.seed)
    tape = ContactTape(game)
    outcome = Session(played, tape, of_game(game), game.wiring, plant).run()
    if outcome.code:
        raise UsageError(f"the script does not pass at the desk: {outcome.verdict}", str(path))
    return tape.contacts()


def events(
    game: Named = "honey_flow",
    script: Scripted = None,
    repeats: Annotated[int, typer.Option(min=1, help="How often the script is played.")] = 5,
    scripts: Annotated[bool, typer.Option(help="Time the game's scripts through the bench too.")] = True,
    against: Annotated[
        Path | None,
        typer.Option(help="A checkout of another state, run side by side: how many times as fast."),
    ] = None,
    as_json: AsJson = False,
) -> int:
    """Events and scripts per second, and bytes allocated per event.

    Example: inlane measure events --repeats 10

    An event is one posted event with all that follows from it: transitions, points, lamps, coils, text.
    Exit code 1 when the traces differ.
    """
    found = games.load(game)
    contacts = taken_down(found, script)
    if against:
        return _race(found, contacts, against, repeats)
    speeds = [
        speed.measure(found, contacts, repeats, python) for python in (speed.CPYTHON, speed.MICROPYTHON)
    ]
    benches = [_bench(found, on) for on in ("desk", "micropython")] if scripts else []
    same = all(one.digest == contacts.digest for one in speeds)
    if as_json:
        print(json.dumps({"speeds": [_plain(one) for one in speeds], "benches": benches, "same_trace": same}))
    else:
        for one in speeds:
            print(_speed_line(one))
        for bench in benches:
            print(
                f"bench on {bench['on']}: {bench['scripts_a_second']:.1f} scripts/s,"
                f" {bench['simulated_s_a_second']:.0f} simulated s per s ({bench['scripts']} scripts,"
                f" {bench['passed']} PASS)"
            )
        print("the traces are the same" if same else "THE TRACES DIFFER")
    return 0 if same else 1


def _race(game: Game, contacts: Contacts, other: Path, rounds: int) -> int:
    """Print how many times as fast this checkout is as another; 1 when their traces differ."""
    if not (other / "firmware" / "console.py").is_file():
        raise UsageError("there is no checkout: it has no firmware/console.py", str(other))
    same = True
    for python in (speed.CPYTHON, speed.MICROPYTHON):
        here, there = speed.race(game, contacts, python, other.resolve(), rounds)
        same = same and here.digest == there.digest
        print(
            f"{python}: {here.events_a_second:,.0f} events/s here, {there.events_a_second:,.0f} there:"
            f" {there.us / here.us:.2f} times as fast"
        )
    print("the traces are the same" if same else "THE TRACES DIFFER")
    return 0 if same else 1


def budget(game: Named = "honey_flow", script: Scripted = None, as_json: AsJson = False) -> int:
    """What an event costs by its parts, from the contact to lamps and display: calls and bytecodes.

    Example: inlane measure budget

    Counted on this Python, the same every time; an event is one posted event with all that follows from it.
    """
    found = games.load(game)
    parts = budgets.measure(found, taken_down(found, script))
    if as_json:
        print(json.dumps([vars(part) for part in parts]))
        return 0
    whole = sum(part.bytecodes for part in parts)
    print(f"{'part':12}{'calls':>8}{'bytecodes':>11}{'share':>8}  an event")
    for part in parts:
        print(
            f"{part.name:12}{part.calls:8.1f}{part.bytecodes:11.0f}{part.bytecodes / whole:8.0%}  {part.what}"
        )
    print(f"{'together':12}{sum(part.calls for part in parts):8.1f}{whole:11.0f}")
    return 0


def _speed_line(one: speed.Speed) -> str:
    line = f"{one.python}: {one.events_a_second:,.0f} events/s, {one.records_a_second:,.0f} records/s"
    if one.bytes_an_event is not None:
        line += f", {one.bytes_an_event:.2f} bytes allocated per event (worst step {one.worst_step})"
    return line


def _plain(one: speed.Speed) -> dict[str, object]:
    return {
        "python": one.python,
        "events_a_second": round(one.events_a_second),
        "records_a_second": round(one.records_a_second),
        "bytes_an_event": one.bytes_an_event,
        "worst_step": one.worst_step,
        "digest": one.digest,
    }


def _bench(game: Game, on: str) -> dict[str, object]:
    """Every script of the game through the bench."""
    with Bench(on) as bench:
        outcomes = [bench.run(bench.read(path, game), game) for path in find_scripts([str(game.scripts)])]
    wall_s = sum(outcome.wall_s for outcome in outcomes)
    return {
        "on": on,
        "scripts": len(outcomes),
        "passed": sum(outcome.code == 0 for outcome in outcomes),
        "scripts_a_second": len(outcomes) / wall_s,
        "simulated_s_a_second": sum(outcome.simulated_ms for outcome in outcomes) / 1000 / wall_s,
    }


def memory(game: Named = "honey_flow", script: Scripted = None, as_json: AsJson = False) -> int:
    """Heap of firmware and game on a 32-bit MicroPython (WebAssembly, run by node), as if all were frozen.

    Example: inlane measure memory --game ./my_game --script ./my_game/scripts/a.play

    At the start, after a script, in a second run, with the operator's pages open, and after them. Exit code 1
    when the trace is not the desk's.
    """
    found = games.load(game)
    contacts = taken_down(found, script)
    took = heap.measure(found, contacts)
    same = took.digest == contacts.digest
    if as_json:
        print(json.dumps({**vars(took), "estimate": estimate(found), "same_trace": same}))
        return 0 if same else 1
    for name in ("imported", "start", "after", "second", "pages", "left"):
        print(f"{name:10} {getattr(took, name):9,} B")
    print(f"{'estimate':10} {estimate(found):9,} B at the start, as 'inlane check --board' counts it")
    print("the trace is the desk's" if same else "THE TRACE IS NOT THE DESK'S")
    return 0 if same else 1


def calls(
    game: Named = "honey_flow",
    scripts: Annotated[list[Path] | None, typer.Argument(help="Scripts or folders; the game's own.")] = None,
    as_json: AsJson = False,
) -> int:
    """How deep the rules call while scripts are played at the desk, beside what the sources allow.

    Example: inlane measure calls --game ./my_game

    Prints the deepest path of calls from power-on, too, as the sources have it. Exit code 1 when a script
    went deeper than the count from the sources says is possible.
    """
    found = games.load(game)
    paths = find_scripts([str(path) for path in scripts or [found.scripts]])
    watched = CallDepth(found)
    with Bench("desk") as bench:
        for path in track(paths, "scripts", disable=as_json):
            script = bench.read(path, found)
            with watched:
                outcome = bench.run(script, found)
            if outcome.code:
                raise UsageError(f"the script does not pass at the desk: {outcome.verdict}", str(path))
    depth, most = len(watched.deepest), bound.most_calls(BOARD, found, RUN_TO)
    counted = bound.bound(BOARD, found)
    if as_json:
        said = {"depth": depth, "most": most, "deepest": watched.deepest, "bytes": counted.bytes}
        print(json.dumps(said | {"path": deepest_path(counted)}))
    else:
        print(f"{depth} calls in each other at the deepest, in {len(paths)} scripts:")
        print("  " + " > ".join(watched.deepest))
        print(f"the sources allow {most}" + ("" if depth <= most else ": THAT COUNT IS WRONG"))
        print(f"from power-on on the Pico board, {counted.bytes:,} B of stack:")
        print("\n".join(f"  {line}" for line in deepest_path(counted)))
    return 0 if depth <= most else 1


def reliability_row(
    row: Annotated[int, typer.Argument(help="Number of a row of the reliability table.")],
    count: Annotated[int, typer.Option(min=1, help="How many faults to inject.")] = 1000,
    seed: Annotated[int, typer.Option(min=0, help="Seed of chance: the same faults again.")] = 1,
    on: Annotated[str, typer.Option(help="process or micropython; the row's first tier by default.")] = "",
    workers: Annotated[
        int,
        typer.Option(min=0, help="Processes that share the count, where a row allows it; 0: one a core."),
    ] = 0,
    as_json: AsJson = False,
) -> int:
    """Run one row of the reliability table.

    Example: inlane measure reliability 5 --count 1000000 --seed 1

    Exit code 1 when one injected fault led to anything but what the row demands.
    """
    with Progress(*Progress.get_default_columns(), console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(f"row {row}", total=count)
        known, tier, result = reliability.run(
            row, count, seed, on, workers, lambda ran: bar.update(task, completed=ran)
        )
    if as_json:
        told = {"row": row, "title": known.title, "on": tier, "count": count, "seed": seed, "ran": result.ran}
        told |= {"passed": result.passed, "counts": result.counts, "wrong": result.wrong}
        print(json.dumps(told))
        return 0 if result.passed else 1
    print(f"row {row}: {known.title}, on {tier}, count {count}, seed {seed}")
    for name in sorted(result.counts):
        print(f"  {name}: {result.counts[name]}")
    for words in result.wrong:
        print(f"  WRONG: {words}")
    verdict = "passed" if result.passed else f"FAILED, {result.failures} of them"
    print(f"row {row}: {result.ran} injected, {verdict}")
    return 0 if result.passed else 1
