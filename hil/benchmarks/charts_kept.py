"""`inlane measure charts-kept`: random charts are saved to a snapshot and go on from it in a fresh engine."""

import importlib.util
from pathlib import Path
from typing import Annotated

import typer

from firmware.base.errors import UsageError
from hil import micropython

MACHINES = Path(__file__).parents[2] / "tests" / "both" / "kept_charts.py"
ON = ("process", "micropython")
TIMEOUT_S = 4 * 3600


def register(app: typer.Typer) -> None:
    """Add the sub-command."""
    app.command(name="charts-kept")(measure)


def measure(
    count: Annotated[int, typer.Option(min=1, help="How many machines: engines with random charts.")] = 10000,
    seed: Annotated[int, typer.Option(min=0, help="The first machine's seed; the next ones follow.")] = 0,
    on: Annotated[str, typer.Option(help="process (this Python) or micropython.")] = ON[0],
) -> int:
    """Snapshot random charts at a random step, restore them in a fresh engine under another clock, continue.

    Example: inlane measure charts-kept --count 10000 --seed 0

    A snapshot has configuration, history, timers (frozen ones too) and both queues. The fresh engine must
    then give the same actions, in order and with arguments, transitions, configurations and last snapshot as
    the engine that was not stopped. The machines are a file of the tests, so this needs a checkout. Exit
    code 1 at the first difference.
    """
    if on not in ON:
        raise UsageError(f"machines are run on {' or '.join(ON)}, not on '{on}'")
    if not MACHINES.is_file():
        raise UsageError("the machines are part of a checkout, not of an installed package")
    code = _in_process(count, seed) if on == ON[0] else _on_micropython(count, seed)
    if code == 0:
        print(f"{count} snapshots on {on}, seeds from {seed}: every fresh engine went on alike")
    return code


def _in_process(count: int, seed: int) -> int:
    spec = importlib.util.spec_from_file_location("kept_charts", MACHINES)
    assert spec is not None
    assert spec.loader is not None
    machines = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(machines)
    return int(machines.main(count, seed))


def _on_micropython(count: int, seed: int) -> int:
    done = micropython.run(str(MACHINES), str(count), str(seed), timeout_s=TIMEOUT_S)
    print(done.stdout, end="")
    if done.stderr:
        raise UsageError("MicroPython stopped: " + done.stderr.strip().splitlines()[-1])
    return done.returncode
