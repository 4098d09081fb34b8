"""`inlane measure charts`: the engine beside dict dispatch by hand and other engines; what it allocates."""

import json
from dataclasses import dataclass
from typing import Annotated

import typer

from firmware.base.errors import UsageError
from hil.benchmarks import charts_memory, charts_race
from hil.benchmarks.charts_memory import OnBoard, Packed
from hil.benchmarks.charts_race import BY_HAND, ENGINE, NESTED, Race

ALL = "all"
HAND_BAR = 0.25
NESTED_BAR = 50.0
XSTATE_BAR = 5.0
ALL_BAR = 100_000
STATE_BAR = 32.0

Boards = dict[str, list[OnBoard]]


@dataclass(frozen=True)
class Bar:
    """One bar: what it asks, what was measured, whether that is enough."""

    asks: str
    found: str
    reached: bool


def register(app: typer.Typer) -> None:
    """Add the sub-command."""
    app.command(name="charts")(measure)


def measure(
    rounds: Annotated[int, typer.Option(min=3, help="Rounds; each figure is their median.")] = 7,
    memory: Annotated[bool, typer.Option(help="Measure on MicroPython as well.")] = True,
    as_json: Annotated[bool, typer.Option("--json", help="Print the figures as JSON.")] = False,
) -> int:
    """Measure the statechart engine side by side with others.

    Example: inlane measure charts --rounds 9

    Six scenarios (a to e) and "eight regions all answer", one event at a time; before anything is timed
    every way has to count the same. Exit code 1 when a bar is not reached.
    """
    races, missing = charts_race.run(rounds)
    boards, packed = _on_boards(missing) if memory else ({}, None)
    bars = list(speed_bars(races)) + list(memory_bars(boards, packed))
    if as_json:
        print(json.dumps(_plain(races, boards, packed, bars, missing), indent=2))
    else:
        _tell(races, boards, packed, bars, missing)
    return 0 if all(bar.reached for bar in bars) else 1


def _on_boards(
    missing: list[str],
) -> tuple[Boards, Packed | None]:
    boards = {}
    packed = None
    try:
        boards["MicroPython"] = charts_memory.on_micropython()
    except UsageError as error:
        missing.append(f"MicroPython: {error}")
    try:
        boards["MicroPython, 32 bits"], packed = charts_memory.on_32_bits()
    except UsageError as error:
        missing.append(f"MicroPython, 32 bits: {error}")
    return boards, packed


def speed_bars(races: list[Race]) -> list[Bar]:
    """The bars of speed; those that nothing was measured for are left out."""
    bars = []
    single = [race for race in races if race.scenario.name != ALL]
    for name, asked, races_asked in (
        (BY_HAND, HAND_BAR, single),
        (NESTED, NESTED_BAR, races),
        ("xstate", XSTATE_BAR, races),
    ):
        found = [(race.ratios[name], race.scenario.name) for race in races_asked if name in race.ratios]
        if found:
            least, where = min(found)
            words = f"at least {asked:g} times as fast as {name}"
            bars.append(Bar(words, f"{least:.2f} (scenario {where})", least >= asked))
    rate = next(race.rates[ENGINE] for race in races if race.scenario.name == ALL)
    bars.append(Bar(f"all eight regions answer {ALL_BAR:,} times a second", f"{rate:,.0f}", rate >= ALL_BAR))
    return bars


def memory_bars(boards: Boards, packed: Packed | None) -> list[Bar]:
    """The bars of memory."""
    bars = []
    for name, figures in boards.items():
        most = max(max(one.sent, one.settled) for one in figures)
        bars.append(Bar(f"no byte allocated an event on {name}", f"{most:g}", most == 0))
    if packed:
        each = packed.bytes / packed.states
        found = f"{each:.1f}; one more state costs {packed.bytes_a_state:.1f}"
        words = f"at most {STATE_BAR:g} bytes a state with its transitions, on 32 bits, names left out"
        bars.append(Bar(words, found, each <= STATE_BAR))
    return bars


def _tell(
    races: list[Race], boards: Boards, packed: Packed | None, bars: list[Bar], missing: list[str]
) -> None:
    for race in races:
        print(f"{race.scenario.name}: {race.scenario.title}")
        print(f"    {ENGINE:26}{race.rates[ENGINE]:12,.0f} events/s")
        for name, ratio in race.ratios.items():
            if name != ENGINE:
                print(
                    f"    {name:26}{race.rates[name]:12,.0f} events/s, {ENGINE} is {ratio:.2f} times as fast"
                )
    for name, figures in boards.items():
        print(name)
        for one in figures:
            print(
                f"    {one.name:4}{one.rate:12,.0f} events/s, {one.rate / one.by_hand:.2f} times by hand,"
                f" {max(one.sent, one.settled):g} bytes allocated an event"
            )
    if packed:
        print(
            f"packed charts: {packed.bytes:,} bytes for {packed.states} states and {packed.transitions}"
            f" transitions, {packed.bytes / packed.states:.1f} a state; besides {packed.names:,} for names"
        )
    for words in missing:
        print(f"not measured: {words}")
    for bar in bars:
        print(f"{'reached' if bar.reached else 'NOT REACHED'}: {bar.asks}: {bar.found}")


def _plain(
    races: list[Race], boards: Boards, packed: Packed | None, bars: list[Bar], missing: list[str]
) -> dict[str, object]:
    return {
        "scenarios": {
            race.scenario.name: {"title": race.scenario.title, "rates": race.rates, "ratios": race.ratios}
            for race in races
        },
        "boards": {name: [vars(one) for one in figures] for name, figures in boards.items()},
        "packed": vars(packed) if packed else None,
        "bars": [vars(bar) for bar in bars],
        "not_measured": missing,
    }
