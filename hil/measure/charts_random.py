"""`inlane measure charts-random`: random charts in the engine and in a transcript of the Recommendation."""

import sys
from importlib import import_module
from pathlib import Path
from typing import Annotated, Any

import typer

from firmware.base.errors import UsageError

REFERENCE = Path(__file__).parents[2] / "tests" / "reference" / "charts"
STEPS = 25


def register(app: typer.Typer) -> None:
    """Add the sub-command."""
    app.command(name="charts-random")(measure)


def measure(
    count: Annotated[int, typer.Option(min=1, help="How many charts.")] = 6000,
    seed: Annotated[int, typer.Option(min=0, help="The first chart's seed; the next ones follow.")] = 0,
) -> int:
    """Hold the engine against appendix D of the Recommendation, on random charts of 25 events each.

    Example: inlane measure charts-random --count 6000 --seed 0

    The transcription lives with the tests, so this needs a checkout. Exit code 1 at the first difference.
    """
    charts = reference("random_charts")
    for number in range(seed, seed + count):
        difference = charts.difference(number, STEPS)
        if difference:
            print(difference)
            return 1
    print(f"{count} charts, {STEPS} events each, seeds from {seed}: exactly as appendix D")
    return 0


def reference(name: str) -> Any:
    """A module of the tests' reference. Raises UsageError where there is no checkout."""
    if not REFERENCE.is_dir():
        raise UsageError("the reference is part of a checkout, not of an installed package")
    if str(REFERENCE) not in sys.path:
        sys.path.insert(0, str(REFERENCE))
    return import_module(name)
