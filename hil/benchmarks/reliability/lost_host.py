"""Row 7: the host is killed while it holds a flipper up in real time; the pin log shows when all is off.

In turn the line stays open (another process holds it, so only silence shows the loss) and ends with the
host. Times are measured from the kill to the last output that went off, by one wall clock.
"""

import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from random import Random

from hil.benchmarks.reliability import Result
from hil.benchmarks.reliability.bad_line import GAME
from hil.game_tables import coil_rows
from hil.games import Game, load
from hil.micropython import Spawned

PROMISE_MS = 250
POLL_MS = 2  # the board looks every millisecond; a busy turn may take a second one
AT_ONCE = 3
READY_S = 20.0
HOLD = "flipper.left.hold"


@dataclass(frozen=True)
class Trial:
    """The result of one killed host; `off_ms` counts from the kill, −1: not everything went off."""

    energised: bool
    off_ms: float
    still_on: list[str]
    reason: str


def run(_row: int, count: int, seed: int, _on: str) -> Iterator[Result]:
    """Kill `count` hosts, AT_ONCE at a time."""
    rng = Random(seed)
    game = load(GAME)
    plans = [(rng.uniform(0.0, 0.3), turn % 2 == 0) for turn in range(count)]
    with ThreadPoolExecutor(AT_ONCE) as pool:
        for (_, held), trial in zip(plans, pool.map(lambda plan: kill_one(game, *plan), plans), strict=True):
            result = Result()
            _judge(result, trial, "line still held" if held else "line ends too")
            yield result


def _judge(result: Result, trial: Trial, what: str) -> None:
    result.ran += 1
    result.count(f"{what}: {trial.reason}")
    result.most(f"{what}: longest to off, ms", trial.off_ms)
    if not trial.energised:
        result.failed(f"{what}: nothing was driven when the host was killed, so nothing is shown")
    elif trial.off_ms < 0 or trial.still_on:
        result.failed(f"{what}: still on: {', '.join(trial.still_on) or 'unknown'}")
    elif trial.off_ms > PROMISE_MS + POLL_MS:
        result.failed(f"{what}: off after {trial.off_ms:.1f} ms")


def kill_one(game: Game, after_s: float, hold_line: bool) -> Trial:
    """One run: a host plays and is killed `after_s` after the flipper went up; the pin log is read."""
    with tempfile.TemporaryDirectory() as folder:
        log = Path(folder) / "pins.log"
        spawned = Spawned(game, pins=log)
        host = subprocess.Popen([sys.executable, "-m", "hil.benchmarks.reliability.live_play", spawned.port])
        pin = f"drive.{[row.name for row in coil_rows(game.wiring)].index(HOLD)}"
        try:
            ready = _wait_for(log, f" {pin} 1\n", host)
            if not hold_line:
                spawned.release_line()
            time.sleep(after_s)
            on_before = levels(log.read_text()) if ready else {}
            killed_us = time.time_ns() // 1000
            host.kill()
            host.wait()
            _wait_for(log, " off ", None, PROMISE_MS / 1000 * 4)
            return _read(log.read_text() if ready else "", on_before, killed_us, pin)
        finally:
            host.kill()
            host.wait()
            spawned.close()


def _wait_for(log: Path, words: str, host: "subprocess.Popen[bytes] | None", wait_s: float = READY_S) -> bool:
    deadline = time.monotonic() + wait_s
    while time.monotonic() < deadline:
        if log.exists() and words in log.read_text():
            return True
        if host and host.poll() is not None:
            return False
        time.sleep(0.005)
    return False


def levels(log: str) -> dict[str, int]:
    """The last level of each pin in a log."""
    found: dict[str, int] = {}
    for line in log.splitlines():
        _, name, level = line.split(" ", 2)
        if name != "off":
            found[name] = int(level)
    return found


def _read(log: str, on_before: dict[str, int], killed_us: int, pin: str) -> Trial:
    energised = bool(on_before.get("enable") and on_before.get(pin))
    still_on = [name for name, level in levels(log).items() if level]
    ends = [line for line in log.splitlines() if line.split(" ")[1] == "off"]
    changes = [int(line.split(" ")[0]) for line in log.splitlines() if line.split(" ")[1] != "off"]
    if not ends or not changes:
        return Trial(energised, -1, still_on, "never said off")
    _us, _off, reason = ends[0].split(" ", 2)
    return Trial(energised, (changes[-1] - killed_us) / 1000, still_on, reason)
