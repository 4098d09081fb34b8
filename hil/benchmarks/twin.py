"""`inlane measure twin`: limiter and scan as they ship against the reference model, or on a board."""

import json
import time
from pathlib import Path
from typing import Annotated

import typer

from boards.unix.trials import contact_storm, small_machine, state_digest
from firmware.base.chance import Stream
from hil.benchmarks.reference_model import compare
from hil.build.prompt import Prompt

PIECE = 20_000  # samples between two fresh starts: coils half hot, the clock about to wrap
LINE_PIECE = 250  # samples that a board is asked for at a time
USE = 22  # of chance, see firmware.base.chance


def register(app: typer.Typer) -> None:
    """Add the sub-command."""
    app.command()(twin)


def twin(
    count: Annotated[
        int, typer.Option(min=1, help="Samples of every contact, a millisecond each.")
    ] = 100_000,
    seed: Annotated[int, typer.Option(min=0, help="Seed of the contacts.")] = 1,
    on: Annotated[
        str, typer.Option(help="A board's port: compare its machine code with the same files run here.")
    ] = "",
    as_json: Annotated[bool, typer.Option("--json", help="Print the figures as JSON.")] = False,
) -> int:
    """Compare limiter and scan with the reference model: edges, reports and drives of every random sample.

    Example: inlane measure twin --count 10000000 --seed 1

    With --on a board's own code is compared with the same files run here: every cell of their state after
    every sample, through a hash. Exit code 1 at the first difference.
    """
    began = time.monotonic()
    done, counts, difference = _on_board(on, count, seed) if on else _here(count, seed)
    if as_json:
        found = {"count": done, "seed": seed, "counts": counts, "difference": difference}
        print(json.dumps(found))
    else:
        for name in sorted(counts):
            print(f"  {name}: {counts[name]:,}")
        print(f"{done:,} samples, seed {seed}, {time.monotonic() - began:.0f} s: {difference or 'equal'}")
    return 1 if difference else 0


def _here(count: int, seed: int) -> tuple[int, dict[str, int], str]:
    counts: dict[str, int] = {}
    done = 0
    while done < count:
        piece = min(PIECE, count - done)
        found, difference = compare(piece, seed + done // PIECE)
        done += piece
        for name, n in found.items():
            counts[name] = counts.get(name, 0) + n
        if difference:
            return done, counts, difference
    return done, counts, ""


def _on_board(port: str, count: int, seed: int) -> tuple[int, dict[str, int], str]:
    """The same contacts and requests there and here, piece by piece."""
    here = state_digest.StateDigest(
        contact_storm.ContactStorm(small_machine.SmallMachine, seed), Stream(seed, USE)
    )
    with Prompt(port) as there:
        for module in (small_machine, contact_storm, state_digest):
            there.run(Path(str(module.__file__)).read_text())
        there.run("from firmware.base.chance import Stream")
        there.run(f"run = StateDigest(ContactStorm(SmallMachine, {seed}), Stream({seed}, {USE})).run")
        done = 0
        difference = ""
        while done < count and not difference:
            piece = min(LINE_PIECE, count - done)
            answer = there.run(f"print(run({piece}))").strip()
            if answer != here.run(piece):
                difference = f"between sample {done} and {done + piece} of seed {seed} a cell differs"
            done += piece
    return done, {"edges": here.edges, "fired": here.fired}, difference
