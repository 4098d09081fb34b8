"""`inlane mutants`: a seeded sample of small changes of the firmware, each of which a check must notice."""

import importlib.util
import json
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.progress import track

from firmware.base.errors import UsageError
from hil.command.mutant_checks import LISTED, SLOW, scripts_of, tests_of_both, tests_of_pytest
from hil.mutation import judgements
from hil.mutation.copies import TOP, source_files
from hil.mutation.hunt import draw, verdicts
from hil.mutation.judgements import ELSEWHERE, EQUIVALENT, Judgement
from hil.mutation.mutants import Mutant, applied, mutants
from hil.mutation.trial import Verdict
from hil.workers import workers_here

GAMES = ["honey_flow", "kit_room", "kite_day"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command(name="mutants")(hunt)


Where = Annotated[
    list[str] | None, typer.Argument(help="Files and folders from the checkout's top; firmware.")
]
Count = Annotated[int, typer.Option(min=1, help="How many mutants are drawn.")]
Seed = Annotated[int, typer.Option(min=0, help="Seed of chance: the same mutants again.")]
Again = Annotated[Path | None, typer.Option(help="Try the mutants of this list instead of drawn ones.")]
Tests = Annotated[
    bool, typer.Option("--pytest", help="The files of tests/mutants/pytest_slow.txt too: some minutes more.")
]
Known = Annotated[
    Path | None, typer.Option("--judged", help="TOML list of judgements; tests/mutants/judged.toml.")
]
Workers = Annotated[int, typer.Option(min=0, help="Mutants tried at a time; 0: one a core.")]
Written = Annotated[
    Path | None, typer.Option("--write", help="Write survivors without a judgement here, as TOML.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Print the verdicts as JSON.")]


def hunt(
    where: Where = None,
    count: Count = 100,
    seed: Seed = 1,
    again: Again = None,
    tests: Tests = False,
    known: Known = None,
    workers: Workers = 0,
    unjudged: Written = None,
    as_json: AsJson = False,
) -> int:
    """Change one place of the firmware at a time, in a copy; some script or test must fail.

    Example: inlane mutants firmware/parts --count 50 --seed 3

    Each mutant is tried by the checks that run its statement, the cheapest first, until one fails; one that
    takes ten times its CPU time has failed, too. Exit code 1 when a mutant survives without a judgement.
    """
    if not importlib.util.find_spec("pytest"):
        raise UsageError("some checks need pytest, which is not installed: pip install 'inlane[test]'")
    listed = judgements.read(known or TOP / "tests/mutants/judged.toml")
    drawn = listed_in(again) if again else draw(source_files(where or ["firmware"]), count, seed)
    files = (LISTED, SLOW) if tests else (LISTED,)
    checks = [*scripts_of(TOP, GAMES), *tests_of_both(TOP)]
    checks += [check for file in files for check in tests_of_pytest(TOP, file)]
    began = time.monotonic()
    tried = _tell(verdicts(drawn, checks, workers or workers_here()), len(drawn), listed, quiet=as_json)
    rest = [one for one in tried if not one.is_caught and not judgements.judged(listed, one.mutant)]
    if unjudged:
        unjudged.write_text("\n".join(judgements.as_toml(one.mutant) for one in rest), encoding="utf-8")
    if as_json:
        print(json.dumps([_plain(one, judgements.judged(listed, one.mutant)) for one in tried], indent=1))
    else:
        print(summary(tried, listed) + f"; {time.monotonic() - began:.0f} s")
    return 1 if rest else 0


def _tell(tried: Iterator[Verdict], count: int, listed: list[Judgement], quiet: bool) -> list[Verdict]:
    """The verdicts; each mutant that no check notices is printed when it is known, unless `quiet`."""
    found = []
    for verdict in track(tried, "mutants", count, console=Console(stderr=True)):
        found.append(verdict)
        if not quiet and not verdict.is_caught:
            print(_line(verdict, judgements.judged(listed, verdict.mutant)), flush=True)
    return found


def listed_in(path: Path) -> list[tuple[Mutant, str]]:
    """The mutants of a list of judgements, like `draw`. Raises UsageError when one is not there any more."""
    found = []
    for judgement in judgements.read(path):
        file = judgement.key[0]
        text = (TOP / file).read_text(encoding="utf-8")
        same = [mutant for mutant in mutants(file, text) if mutant.key == judgement.key]
        if not same:
            raise UsageError(f"{file} has no such mutant any more: {judgement.key[2]}", str(path))
        found.append((same[0], applied(text, same[0])))
    return found


def summary(tried: list[Verdict], listed: list[Judgement]) -> str:
    """How many were caught, of those that are not judged to be equivalent."""
    caught = sum(one.is_caught for one in tried)
    found = [judgements.judged(listed, one.mutant) for one in tried if not one.is_caught]
    same = sum(one is not None and one.judgement == EQUIVALENT for one in found)
    elsewhere = sum(one is not None and one.judgement == ELSEWHERE for one in found)
    rest = len(tried) - same
    words = f"{len(tried)} mutants: {caught} caught, {same} equivalent, {elsewhere} caught by other tests"
    share = f" ({(caught + elsewhere) / rest:.1%} of those not equivalent)" if rest else ""
    return f"{words}, {len(found) - same - elsewhere} survive{share}"


def _line(verdict: Verdict, judgement: Judgement | None) -> str:
    if verdict.problem:
        return f"PROBLEM   {verdict.mutant}: {verdict.problem}"
    word = judgement.judgement if judgement else "SURVIVES"
    return f"{word:9} {verdict.mutant} ({verdict.ran} checks)"


def _plain(verdict: Verdict, judgement: Judgement | None) -> dict[str, object]:
    told = {"file": verdict.mutant.file, "line": verdict.mutant.line, "kind": verdict.mutant.kind}
    told |= {"function": verdict.mutant.function, "old": verdict.mutant.old, "new": verdict.mutant.new}
    told |= {"by": verdict.by, "why": verdict.why, "ran": verdict.ran, "problem": verdict.problem}
    return told | {"judgement": judgement.judgement if judgement else ""}
