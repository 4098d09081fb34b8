"""Events per second through the whole path, contact to trace, and what an event allocates."""

import os
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from firmware.base.errors import UsageError
from hil import micropython
from hil.benchmarks import whole_run
from hil.benchmarks.contacts import Contacts
from hil.games import Game
from hil.micropython import ROOT

CPYTHON = "CPython"
MICROPYTHON = "MicroPython"
RUN_S = 600


@dataclass(frozen=True)
class Speed:
    """One Python's figures over some repeats; no heap figures where the Python does not say."""

    python: str
    us: int
    events: int
    records: int
    digest: str
    allocated: int | None
    heap_events: int
    worst_step: int

    @property
    def events_a_second(self) -> float:
        """Posted events a second of wall time."""
        return self.events * 1e6 / self.us

    @property
    def records_a_second(self) -> float:
        """Trace records a second of wall time."""
        return self.records * 1e6 / self.us

    @property
    def bytes_an_event(self) -> float | None:
        """Bytes of heap allocated for each event; None where the Python cannot say."""
        return None if self.allocated is None else self.allocated / self.heap_events


def measure(game: Game, contacts: Contacts, repeats: int, python: str, root: Path = ROOT) -> Speed:
    """Play the contacts `repeats` times in a process of its own, with the firmware in the checkout `root`.

    Raises UsageError.
    """
    also = "" if game.package.startswith("firmware.") else str(game.folder.parent)
    with tempfile.NamedTemporaryFile("w", suffix=".txt") as source:
        source.write(contacts.lines())
        source.flush()
        words = [str(whole_run.__file__), game.package, source.name, str(contacts.seed), str(repeats)]
        words += [f"{name}={value}" for name, value in sorted(contacts.settings.items())]
        paths = [str(root)] + ([also] if also else [])
        done = _micropython(words, paths) if python == MICROPYTHON else _cpython(words, paths)
    if done.returncode:
        last = (done.stderr.strip() or done.stdout.strip() or "no reason given").splitlines()[-1]
        raise UsageError(f"{python} stopped: {last}")
    told = dict(line.split(" ", 1) for line in done.stdout.splitlines())
    return Speed(
        python,
        int(told["us"]),
        int(told["events"]),
        int(told["records"]),
        told["digest"],
        int(told["allocated"]) if "allocated" in told else None,
        int(told.get("heap_events", 0)),
        int(told.get("worst_step", 0)),
    )


def race(game: Game, contacts: Contacts, python: str, other: Path, rounds: int) -> tuple[Speed, Speed]:
    """The fastest of `rounds` runs here and in the checkout `other`, run in turn. Raises UsageError."""
    here, there = [], []
    for _ in range(rounds):
        there.append(measure(game, contacts, 1, python, other))
        here.append(measure(game, contacts, 1, python))
    return min(here, key=lambda one: one.us), min(there, key=lambda one: one.us)


def _micropython(words: list[str], paths: list[str]) -> "subprocess.CompletedProcess[str]":
    environment = dict(os.environ, MICROPYPATH=":".join([*paths, ".frozen"]))
    command = [micropython.find(), *words]
    return subprocess.run(command, env=environment, capture_output=True, text=True, timeout=RUN_S)


def _cpython(words: list[str], paths: list[str]) -> "subprocess.CompletedProcess[str]":
    program = "import runpy, sys; sys.path[:0] = sys.argv[1].split(':'); sys.argv[1:] = sys.argv[2:]; "
    program += "runpy.run_path(sys.argv.pop(1), run_name='__main__')"
    command = [sys.executable, "-I", "-c", program, ":".join(paths), words[0], *words[1:]]
    return subprocess.run(command, capture_output=True, text=True, timeout=RUN_S)
