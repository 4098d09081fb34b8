"""`inlane measure charts-random`: random charts in the engine and in another, compared."""

import sys
from collections import Counter
from collections.abc import Callable
from functools import partial
from importlib import import_module, metadata
from pathlib import Path
from types import ModuleType
from typing import Annotated

import typer

from firmware.base.errors import UsageError

REFERENCE = Path(__file__).parents[2] / "tests" / "reference" / "charts"
STEPS = 25
SPEC = "recommendation"
LIBRARY = "transitions"


def register(app: typer.Typer) -> None:
    """Add the sub-command."""
    app.command(name="charts-random")(measure)


def measure(
    count: Annotated[int, typer.Option(min=1, help="How many charts (of each zone).")] = 6000,
    seed: Annotated[int, typer.Option(min=0, help="The first chart's seed; the next ones follow.")] = 0,
    against: Annotated[str, typer.Option(help="recommendation, or transitions (the library).")] = SPEC,
) -> int:
    """Compare the engine with another, on random charts of 25 events each.

    Example: inlane measure charts-random --count 6000 --seed 0

    Example: inlane measure charts-random --against transitions --count 7500

    By default against a transcription of the Recommendation's appendix D, which has to do exactly the same.
    The library has to do exactly the same in zone 1 (no parallel states, no target within its source), and
    the same steps in any order in zone 2 (parallel states side by side, each event heard in one region).
    Both live with the tests, so this needs a checkout. Exit code 1 at the first difference.
    """
    if against == SPEC:
        charts = reference("random_charts")
        return _run(count, seed, "exactly as appendix D", charts.difference)
    if against != LIBRARY:
        raise UsageError(f"the engine is compared with {SPEC} or {LIBRARY}, not '{against}'")
    charts = reference("random_simple")
    for zone, words in ((1, "exactly as"), (2, "the same steps and configurations as")):
        alike = partial(charts.difference, zone)
        if _run(count, seed, f"zone {zone}, {words} {LIBRARY} {metadata.version(LIBRARY)}", alike):
            return 1
    return 0


def _run(count: int, seed: int, words: str, difference: Callable[[int, int, Counter[str]], str]) -> int:
    """Every chart, up to the first difference."""
    tally: Counter[str] = Counter()
    for number in range(seed, seed + count):
        found = difference(number, STEPS, tally)
        if found:
            print(found)
            return 1
    for name in sorted(tally):
        print(f"  {name}: {tally[name]:,}")
    print(f"{count} charts, {STEPS} events each, seeds from {seed}: {words}")
    return 0


def reference(name: str) -> ModuleType:
    """A module of the tests' reference. Raises UsageError where there is no checkout."""
    if not REFERENCE.is_dir():
        raise UsageError("the reference is part of a checkout, not of an installed package")
    if str(REFERENCE) not in sys.path:
        sys.path.insert(0, str(REFERENCE))
    try:
        return import_module(name)
    except ModuleNotFoundError as absent:
        raise UsageError(f"there is no '{absent.name}' here: pip install 'inlane[test]'") from None
