"""Fault runs: what is changed or fails, and what must be off by when; ngspice says whether it is.

Times in s from the run's start. Everything is up at READY; the fault comes at FAULT.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from hil.electrical.circuit import ngspice, values
from hil.electrical.circuit.decks import deck
from hil.electrical.circuit.netlist import Circuit

READY = 0.030
FIRE = 0.034
FAULT = 0.040
STOP = 0.240
GATE_OFF = (
    1.0  # V at a gate below which nothing flows: under the least threshold of a logic-level MOSFET (mem)
)

DRIVES_OFF = values.guard_seconds()[1]
SUPPLY_OFF = values.supply_seconds()[1]
RELEASE = 0.015  # s in which the relay's current falls and its contact opens, with some room


@dataclass(frozen=True)
class Must:
    """One demand: `what` in words; `measured` below (or above) `limit` from one time to another."""

    what: str
    measured: str
    limit: float
    start: float
    end: float = STOP
    above: bool = False

    @property
    def extreme(self) -> str:
        """Which of the values in that time is the worst one."""
        return "min" if self.above else "max"

    def holds(self, value: float) -> bool:
        """Whether the worst value measured is within the limit."""
        return value > self.limit if self.above else value < self.limit


@dataclass(frozen=True)
class Run:
    """One run: a change to the circuit, changed stimuli, and what must hold."""

    name: str
    must: tuple[Must, ...]
    change: Callable[[Circuit], Circuit] = lambda circuit: circuit
    stimuli: Mapping[str, str] = field(default_factory=dict)
    charged: Mapping[str, float] = field(default_factory=dict)
    stop: float = STOP


def feed(until: float, level: float = 0.0) -> str:
    """500 Hz until a time, then stuck at a level (0 or 1)."""
    points = ["0 0", f"{0.004} 0"]
    time, high = 0.004, 0
    while time < until:
        points.append(f"{time!r} {high}")
        high = 1 - high
        points.append(f"{time + 1e-6!r} {high}")
        time = round(time + 0.001, 6)
    points.append(f"{time + 2e-6!r} {high}")
    points.append(f"{time + 3e-6!r} {level!r}")
    return f"pwl({' '.join(points)})"


def step(at: float, before: float, after: float) -> str:
    """A step at a time."""
    return f"pwl(0 {before!r} {at!r} {before!r} {at + 1e-5!r} {after!r})"


def usual(volts: float = values.COIL_SUPPLY) -> dict[str, str]:
    """Everything well: rails up, door shut, both feeds, one drive asked for from FIRE on."""
    return {
        "supply_PS1": f"{volts!r}",
        "supply_PS2": f"pwl(0 0 0.001 {values.LOGIC!r})",
        "supply_PS3": f"{values.RELAY_SUPPLY!r}",
        "pico": "pwl(0 0 0.001 0 0.0011 1)",
        "door_a": "1",
        "door_b": "1",
        "says_guard_feed": feed(STOP),
        "says_supply_feed": feed(STOP),
        "asked_drive_1": step(FIRE, 0, 1),
    }


def judge(run: Run, circuit: Circuit) -> list[str]:
    """What does not hold, one sentence each. Raises UsageError: no ngspice, or it gave nothing."""
    stimuli = {**usual(), **run.stimuli}
    volts = float(stimuli["supply_PS1"].split()[0]) if stimuli["supply_PS1"][0].isdigit() else 0.0
    charged = {"C201": volts, "C701": 0.0, "C702": values.RELAY_SUPPLY, **run.charged}
    text = deck(run.change(circuit), stimuli, charged, run.stop)
    measures = [
        f"m{n} {must.extreme} {must.measured} from={must.start!r} to={min(must.end, run.stop)!r}"
        for n, must in enumerate(run.must)
    ]
    found = ngspice.measure(text, measures)
    return [
        f"{run.name}: {must.what}: {must.measured} is {found[f'm{n}']:.3g}, limit {must.limit:g}"
        for n, must in enumerate(run.must)
        if not must.holds(found[f"m{n}"])
    ]


def off(after: float, at: float = FAULT, name: str = "1") -> Must:
    """The drive's gate is off `after` s from the fault on."""
    return Must(f"drive {name} off within {after * 1e3:.1f} ms", f"v(n_gate_{name})", GATE_OFF, at + after)


def bus_open(after: float, at: float = FAULT) -> Must:
    """No current flows from the reservoir to the coil bus."""
    what = f"coil supply off within {after * 1e3:.0f} ms"
    return Must(what, "par('abs(i(vwK1))')", 0.1, at + after)
