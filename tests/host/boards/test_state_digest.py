"""The same contacts leave the same state in every cell, under either Python and on a board."""

import contextlib
import io
import subprocess
from pathlib import Path
from types import TracebackType
from typing import Any

import pytest

from boards.unix.trials import contact_storm, small_machine, state_digest
from firmware.base.chance import Stream
from firmware.base.errors import UsageError
from firmware.devices.native import limiter
from hil import micropython
from hil.benchmarks import twin

ROOT = Path(__file__).parents[3]
SCRIPT = """
from boards.unix.trials.contact_storm import ContactStorm
from boards.unix.trials.state_digest import StateDigest
from boards.unix.trials.small_machine import SmallMachine
from firmware.base.chance import Stream
print(StateDigest(ContactStorm(SmallMachine, 5), Stream(5, 22)).run(3000))
"""


def test_micropython_leaves_the_state_that_cpython_leaves() -> None:
    try:
        command = micropython.find()
    except UsageError as error:
        pytest.skip(str(error))
    done = subprocess.run([command, "-c", SCRIPT], capture_output=True, text=True, check=True, cwd=ROOT)
    made = state_digest.StateDigest(contact_storm.ContactStorm(small_machine.SmallMachine, 5), Stream(5, 22))
    assert done.stdout.strip() == made.run(3000)
    assert made.edges > 50
    assert made.fired > 10


class Prompt:
    """A board whose prompt runs what it is given in this process, with `planted` done between two pieces."""

    planted: Any = None

    def __init__(self, _port: str) -> None:
        self.names: dict[str, Any] = {"__name__": "board"}

    def __enter__(self) -> "Prompt":
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        pass

    def run(self, source: str) -> str:
        printed = io.StringIO()
        if self.planted and source.startswith("print(run("):
            self.planted(self.names)
        with contextlib.redirect_stdout(printed):
            exec(source, self.names)
        return printed.getvalue()


def test_a_board_that_runs_the_same_files_is_equal(monkeypatch: pytest.MonkeyPatch, capsys: Any) -> None:
    monkeypatch.setattr(twin, "Prompt", Prompt)
    assert twin.twin(count=600, seed=3, on="a port") == 0
    assert "600 samples, seed 3" in capsys.readouterr().out


def test_one_cell_that_differs_is_found(monkeypatch: pytest.MonkeyPatch, capsys: Any) -> None:
    def change(names: dict[str, Any]) -> None:
        names["run"].__self__._storm.limiter.state[limiter.SWITCHES] += 1

    monkeypatch.setattr(Prompt, "planted", staticmethod(change))
    monkeypatch.setattr(twin, "Prompt", Prompt)
    assert twin.twin(count=600, seed=3, on="a port") == 1
    assert "between sample 0 and 250 of seed 3 a cell differs" in capsys.readouterr().out
