"""`inlane faults`: plant faults one at a time, and see that the scripts catch each."""

import json
import statistics
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.progress import track

from firmware.base.errors import UsageError
from hil import games
from hil.bench import faults
from hil.bench.faults import FaultResult
from hil.bench.outcome import FAIL, PASS
from hil.command import listed_faults
from hil.command.rule_faults import RuleFault, RuleHunt, write_small
from hil.command.rule_games import check_judge
from hil.command.small_scripts import SmallScript
from hil.workers import workers_here

LISTING = ".toml"
DEFAULT_GAME = "honey_flow"

What = Annotated[str, typer.Argument(help="A game, by name or folder, or a TOML list of planted faults.")]
OfGame = Annotated[str, typer.Option(help="The built-in game whose scripts hunt the faults of a list.")]
Everywhere = Annotated[
    bool,
    typer.Option("--all-scripts", help="Of a list: replay every script, not those of its feature alone."),
]
JudgeBy = Annotated[
    str, typer.Option(help="Of a list: 'model': games judged by host/model.py of the game hunt them.")
]
Games = Annotated[int, typer.Option("--games", help="With --judge: how many games a fault.")]
Count = Annotated[int, typer.Option(min=1, help="Of a game: at most so many mutations, drawn by the seed.")]
Seed = Annotated[int, typer.Option(min=0, help="Of a game: seed of chance; the same mutations again.")]
Shrunk = Annotated[
    Path | None, typer.Option(help="Write the smallest script that shows each caught fault into this folder.")
]
Workers = Annotated[int, typer.Option(min=0, help="Faults tried at a time; 0: one a core.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print the results as JSON.")]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command(name="faults")(hunt)


def hunt(
    what: What,
    game: OfGame = DEFAULT_GAME,
    everywhere: Everywhere = False,
    judge: JudgeBy = "",
    games_a_fault: Games = 200,
    count: Count = 200,
    seed: Seed = 1,
    shrunk: Shrunk = None,
    workers: Workers = 0,
    as_json: AsJson = False,
) -> int:
    """Plant faults, one at a time, in a copy; the game's scripts must catch each.

    Example: inlane faults ./my_game --count 50 --shrunk small/

    Example: inlane faults tests/faults/honey_flow.toml

    Of a game, changes of its rules are drawn by a seed: a comparison turned, a number one greater or smaller,
    a row of a chart dropped, a guard removed or turned, a span changed. Each is tried by the scripts that run
    its line, those first that cover its feature. Of a list, each fault is tried by the scripts that cover
    its feature.
    With --judge model a season, judged by the game's independent model, hunts the faults of a list.

    Exit code 0 when each is caught, 1 when one is not.
    """
    abreast = workers or workers_here()
    if what.endswith(LISTING):
        how = listed_faults.Way(game, everywhere, judge, games_a_fault, abreast)
        return _listed(Path(what), how, shrunk, as_json)
    if judge or everywhere or game != DEFAULT_GAME:
        raise UsageError(f"--judge, --all-scripts and --game go with a list ({LISTING}), not with a game")
    return _own(what, count, seed, shrunk, abreast, as_json)


def _own(what: str, count: int, seed: int, shrunk: Path | None, workers: int, as_json: bool) -> int:
    rules = RuleHunt(games.load(what), count, seed)
    console = Console(stderr=True)
    found = []
    for one in track(rules.run(workers), "mutations", len(rules.drawn), console=console):
        found.append(one)
        if not as_json and not one.verdict.is_caught:
            print(_rule_line(one), flush=True)
    if shrunk is not None:
        found = list(track(rules.shrink(found, workers), "shrinking", len(found), console=console))
        write_small(found, shrunk)
    if as_json:
        print(json.dumps([_plain_rule(one) for one in found], indent=1))
    else:
        print("\n".join(_rule_lines(found, shrunk)))
    return PASS if all(one.verdict.is_caught for one in found) else FAIL


def _rule_lines(found: list[RuleFault], shrunk: Path | None) -> Iterator[str]:
    """Those caught, and the counts; those that nobody noticed were printed when they were found."""
    yield from (_rule_line(one) for one in found if one.verdict.is_caught)
    caught = sum(one.verdict.is_caught for one in found)
    yield f"{caught} of {len(found)} mutations caught"
    if shrunk is not None:
        yield sizes([one.small for one in found if one.small is not None], shrunk)


def _rule_line(one: RuleFault) -> str:
    verdict = one.verdict
    if not verdict.is_caught:
        return f"SURVIVES  {verdict.mutant}: {verdict.problem or _why_not(one)}"
    by = Path(one.script).name or "no script: the game does not start"
    size = f" ({one.small.before} lines became {len(one.small.lines)})" if one.small else ""
    return f"caught    {verdict.mutant}: {by}{size}"


def _why_not(one: RuleFault) -> str:
    """What the scripts that ran a survivor's line made of it."""
    ran, changed = one.verdict.ran, one.changed
    if not ran:
        return "no script runs this line"
    if changed is None:
        return f"{ran} scripts have this chart, and pass"
    if not changed:
        return f"the trace of none of {ran} scripts is another"
    first = Path(changed[0]).name
    return f"{len(changed)} of {ran} scripts have another trace ({first}), and expect nothing of it"


def sizes(small: list[SmallScript], folder: Path) -> str:
    """The sizes before and after, in a sentence."""
    if not small:
        return "no script was shrunk"
    before = statistics.median(one.before for one in small)
    after = statistics.median(len(one.lines) for one in small)
    longest = max(len(one.lines) for one in small)
    became = f"median {before:g} lines became {after:g}, {longest} at most"
    return f"{len(small)} shrunk into {folder}: {became}"


def _plain_rule(one: RuleFault) -> dict[str, object]:
    verdict = one.verdict
    told: dict[str, object] = {
        "file": verdict.mutant.file,
        "line": verdict.mutant.line,
        "kind": verdict.mutant.kind,
        "old": verdict.mutant.old,
        "new": verdict.mutant.new,
        "caught": verdict.is_caught,
        "script": one.script,
        "why": verdict.why,
        "ran": verdict.ran,
        "other_traces": None if one.changed is None else list(one.changed),
        "problem": verdict.problem,
    }
    return told | _plain_small(one.small)


def _plain_small(small: SmallScript | None) -> dict[str, object]:
    if small is None:
        return {"lines_before": None, "lines": None}
    return {"lines_before": small.before, "lines": small.lines}


def _listed(listing: Path, how: listed_faults.Way, shrunk: Path | None, as_json: bool) -> int:
    check_judge(games.load(how.game), how.judge, None)
    if how.judge and shrunk is not None:
        raise UsageError("--shrunk shrinks scripts; with --judge none is run")
    results = listed_faults.tried(faults.read(listing), how)
    small: dict[str, SmallScript] = {}
    if shrunk is not None:
        small = listed_faults.shrink(results, how)
        listed_faults.write_small(small, shrunk)
    if as_json:
        told = [_plain(one) | _plain_small(small.get(one.fault.name)) for one in results]
        print(json.dumps(told, indent=2))
    else:
        print("\n".join(_line(one, bool(how.judge), small.get(one.fault.name)) for one in results))
        print(f"{sum(result.is_caught for result in results)} of {len(results)} faults caught")
        if shrunk is not None:
            print(sizes(list(small.values()), shrunk))
    return PASS if all(result.is_caught for result in results) else FAIL


def _line(result: FaultResult, judged: bool, small: SmallScript | None = None) -> str:
    if result.failed_scripts:
        script, expected = next(iter(result.failed_scripts.items()))
        more = f" and {len(result.failed_scripts) - 1} more" if len(result.failed_scripts) > 1 else ""
        size = f" ({small.before} lines became {len(small.lines)})" if small else ""
        return f"caught  {result.fault.name}: {script}{more}, expected {expected}{size}"
    if result.problem:
        return f"BROKEN  {result.fault.name}: {result.problem}"
    if not result.failed_elsewhere and judged:
        return f"MISSED  {result.fault.name}: no game shows it"
    by = f", only by {', '.join(result.failed_elsewhere)}" if result.failed_elsewhere else ""
    return f"MISSED  {result.fault.name}: no script that covers {result.fault.feature} fails{by}"


def _plain(result: FaultResult) -> dict[str, object]:
    return {
        "fault": result.fault.name,
        "feature": result.fault.feature,
        "file": result.fault.file,
        "caught": result.is_caught,
        "problem": result.problem,
        "red": result.failed_scripts,
        "red_elsewhere": result.failed_elsewhere,
    }
