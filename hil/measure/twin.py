"""`inlane measure twin`: the limiter and the scan as they ship against the reference model."""

import json
import time
from typing import Annotated

import typer

from hil.reference_model import compare

PIECE = 20_000  # samples between two fresh starts: coils half hot, the clock about to wrap


def register(app: typer.Typer) -> None:
    """Add the sub-command."""
    app.command()(twin)


def twin(
    count: Annotated[
        int, typer.Option(min=1, help="Samples of every contact, a millisecond each.")
    ] = 100_000,
    seed: Annotated[int, typer.Option(min=0, help="Seed of the contacts.")] = 1,
    as_json: Annotated[bool, typer.Option("--json", help="Print the figures as JSON.")] = False,
) -> int:
    """Compare limiter and scan with the reference model: edges, reports and drives of every random sample.

    Example: inlane measure twin --count 10000000 --seed 1

    Exit code 1 at the first difference.
    """
    began = time.monotonic()
    counts: dict[str, int] = {}
    difference = ""
    done = 0
    while done < count and not difference:
        piece = min(PIECE, count - done)
        found, difference = compare(piece, seed + done // PIECE)
        done += piece
        for name, n in found.items():
            counts[name] = counts.get(name, 0) + n
    if as_json:
        told = {"count": done, "seed": seed, "counts": counts, "difference": difference}
        print(json.dumps(told))
    else:
        for name in sorted(counts):
            print(f"  {name}: {counts[name]:,}")
        print(f"{done:,} samples, seed {seed}, {time.monotonic() - began:.0f} s: {difference or 'equal'}")
    return 1 if difference else 0
