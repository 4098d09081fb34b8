"""The scenarios against each other: the engine, dict dispatch by hand, and other people's engines.

Times are of the processor, so that a busy machine does not colour them; ways are timed in turn, and
the ratio of a round is taken before the median. Before a way is timed its counts are compared.
"""

import json
import os
import shutil
import statistics
import subprocess
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Generic, TypeVar

from firmware.base.errors import InlaneError, UsageError
from hil.benchmarks import charts_libraries as libraries
from hil.benchmarks.charts_libraries import Contender, Send
from hil.benchmarks.charts_outline import Place, outline
from hil.benchmarks.charts_scenarios import SCENARIOS, Owner, Scenario

Event = TypeVar("Event")

CHECKED = 101  # sends after which counts are compared
ROUND_S = 0.02
XSTATE = "5.33.0"
FETCH_S = 300

ENGINE = "inlane"
BY_HAND = "by hand"
FLAT = "transitions flat"
NESTED = "transitions hierarchical"
OTHERS = {
    FLAT: libraries.transitions_flat,
    NESTED: libraries.transitions_nested,
    "sismic": libraries.sismic,
    "python-statemachine": libraries.statemachine,
}


class CountsDiffer(InlaneError):
    """Two ways of running one scenario do not do the same: the figures would be worth nothing."""


class SendOne(Generic[Event]):
    """A call that sends one event; the timing loop calls `send` itself, without this function around it."""

    def __init__(self, send: Callable[[Event], object], event: Event) -> None:
        self.send = send
        self.event = event

    def __call__(self) -> None:
        """Send it."""
        self.send(self.event)


@dataclass
class Race:
    """One scenario's figures: by way the median rate, and the engine's rate over it."""

    scenario: Scenario
    rates: dict[str, float] = field(default_factory=dict)
    ratios: dict[str, float] = field(default_factory=dict)


def run(rounds: int) -> "tuple[list[Race], list[str]]":
    """Every scenario, and in words what could not be compared with."""
    missing: list[str] = []
    races = [_race(scenario, rounds, missing) for scenario in SCENARIOS]
    try:
        _add_xstate(races, rounds)
    except UsageError as error:
        missing.append(f"xstate: {error}")
    return races, missing


def _race(scenario: Scenario, rounds: int, missing: list[str]) -> Race:
    contenders = {ENGINE: _engine(scenario), BY_HAND: _by_hand(scenario)}
    for name, make in OTHERS.items():
        try:
            made = make(scenario)
            if made is not None:
                contenders[name] = made
        except ImportError as error:
            if not any(words.startswith(name) for words in missing):
                missing.append(f"{name}: {error}")
    expected = _counts_after(contenders[ENGINE])
    for name, contender in contenders.items():
        found = expected if name == ENGINE else _counts_after(contender)
        if found != expected:
            raise CountsDiffer(f"scenario {scenario.name}: {name} counts {found}, the engine {expected}")
    return _timed(scenario, {name: contender.send for name, contender in contenders.items()}, rounds)


def _engine(scenario: Scenario) -> Contender:
    owner = Owner()
    engine, numbers = scenario.engine(owner)
    return Contender(owner, SendOne(engine.send, numbers[0]))


def _by_hand(scenario: Scenario) -> Contender:
    machine = scenario.hand()
    return Contender(machine, SendOne(machine.send, scenario.round[0]))


def _counts_after(contender: Contender) -> tuple[int, ...]:
    for _ in range(CHECKED):
        contender.send()
    counts = contender.counts
    return counts.count, counts.left, counts.entered


def _timed(scenario: Scenario, sends: dict[str, Send], rounds: int) -> Race:
    times = {name: max(3, round(ROUND_S / _seconds(send, 20))) for name, send in sends.items()}
    taken: dict[str, list[float]] = {name: [] for name in sends}
    for _ in range(rounds):
        for name, send in sends.items():
            taken[name].append(_seconds(send, times[name]))
    race = Race(scenario)
    for name in sends:
        race.rates[name] = 1 / statistics.median(taken[name])
        ratios = [other / own for own, other in zip(taken[ENGINE], taken[name], strict=True)]
        race.ratios[name] = statistics.median(ratios)
    return race


def _seconds(send: Send, times: int) -> float:
    """Processor seconds a send."""
    if not isinstance(send, SendOne):
        start = time.process_time()
        for _ in range(times):
            send()
        return (time.process_time() - start) / times
    call, event = send.send, send.event
    start = time.process_time()
    for _ in range(times):
        call(event)
    return (time.process_time() - start) / times


def _add_xstate(races: list[Race], rounds: int) -> None:
    """Add xstate's figures. Raises UsageError where there is no node, no npm, or no answer."""
    package = _fetched()
    described = [
        {
            "name": race.scenario.name,
            "machine": _machine(outline(race.scenario)),
            "event": race.scenario.round[0],
            "sends": CHECKED,
        }
        for race in races
    ]
    with tempfile.NamedTemporaryFile("w", suffix=".json") as source:
        json.dump(described, source)
        source.flush()
        program = str(Path(__file__).with_name("charts_xstate.mjs"))
        done = subprocess.run(
            ["node", program, str(package), source.name, str(rounds)], capture_output=True, text=True
        )
    if done.returncode:
        raise UsageError((done.stderr.strip().splitlines() or ["no reason given"])[-1])
    for race, line in zip(races, done.stdout.splitlines(), strict=True):
        told = json.loads(line)
        expected = _counts_after(_engine(race.scenario))
        if tuple(told["counts"]) != expected:
            raise CountsDiffer(
                f"scenario {race.scenario.name}: xstate counts {told['counts']}, not {expected}"
            )
        race.rates["xstate"] = 1e9 / statistics.median(told["ns"])
        race.ratios["xstate"] = race.rates[ENGINE] / race.rates["xstate"]


def _machine(regions: list[Place]) -> dict[str, object]:
    """The configuration xstate's `createMachine` takes."""
    if len(regions) > 1:
        return {"type": "parallel", "states": {region.name: _state(region) for region in regions}}
    inside = regions[0].inside
    return {"initial": inside[0].name, "states": {place.name: _state(place) for place in inside}}


def _state(place: Place) -> dict[str, object]:
    moves: dict[str, list[dict[str, str]]] = {}
    given: dict[str, object] = {"on": moves}
    if place.inside:
        given |= {"initial": place.inside[0].name, "states": {p.name: _state(p) for p in place.inside}}
    if place.enter:
        given["entry"] = place.enter
    if place.exit:
        given["exit"] = place.exit
    for move in place.moves:
        transition = {"actions": move.does}
        if move.target:
            transition["target"] = move.target
        if move.guard:
            transition["guard"] = move.guard
        moves.setdefault(move.event, []).append(transition)
    return given


def _fetched() -> Path:
    """The npm package's folder, fetched once."""
    base = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "inlane" / f"xstate-{XSTATE}"
    folder = base / "node_modules" / "xstate"
    for tool in ("node", "npm"):
        if not shutil.which(tool):
            raise UsageError(f"there is no '{tool}' command")
    if not folder.is_dir():
        base.mkdir(parents=True, exist_ok=True)
        done = subprocess.run(
            ["npm", "install", "--no-audit", "--no-fund", "--prefix", str(base), f"xstate@{XSTATE}"],
            capture_output=True,
            text=True,
            timeout=FETCH_S,
        )
        if done.returncode or not folder.is_dir():
            raise UsageError("npm could not fetch it: " + (done.stderr.strip().splitlines() or ["?"])[0])
    return folder
