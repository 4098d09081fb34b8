"""The reference model: what scan, reflexes and coil limits should do, counted millisecond by millisecond.

It shares neither code nor method with what runs (`firmware/devices/native`): it counts ages up where that
has due times, and has names where that has cells. `compare` runs both on random samples.
"""

from dataclasses import dataclass, field
from random import Random

from boards.unix.trials.small_machine import SmallMachine
from firmware.base import ticks
from firmware.devices.coil_limiter import CoilLimiter
from firmware.devices.limiter_state import BUDGETS
from firmware.devices.native import limiter as c
from firmware.devices.native import scanner
from firmware.devices.native.scanner import GROUPS
from firmware.devices.scan import Scan, place
from firmware.devices.switches import class_times
from hil.game_tables import coil_rows, reflex_rows, switch_rows

NEVER = 10**9
TOO_LONG, RESTING, HOT, SUPPLY, STORM, RESTED_ON, NO_LENGTH = 1, 2, 6, 7, 8, 9, 10
LONGEST = 250_000
LEASE = 500


@dataclass
class Coil:
    """One coil: its limits as the wiring table has them, and counters that `pass_time` moves. Times in ms.

    Heat, `budget` and `cools` (a ms) are in 1/1024 ms of on-time; `current` is in mA.
    """

    kind: str
    longest: int
    rest: int
    current: int
    budget: int
    cools: int
    on_left: int = 0  # ms of a pulse still to come
    held: bool = False
    rest_left: int = 0
    heat: int = 0


@dataclass
class Kick:
    """One reflex: its switch fires `coil` for `ms`. Counters of lockout, storms and resting ball: ms."""

    coil: int
    ms: int
    lockout: int
    open_for: int = NEVER
    was_open: bool = False
    closed: bool = False
    since_kick: int = NEVER
    wait: int = -1  # ms until a ball that rests there is kicked again
    turns: int = 0
    disarmed: bool = False
    storm: int = 0


@dataclass
class Flipper:
    """One flipper: is it up, has its end-of-stroke switch closed since, ms since the last repulse."""

    up: bool = False
    stroke_seen: bool = False
    since_repulse: int = NEVER


@dataclass
class ReferenceModel:
    """Switches, coils, reflexes and the flipper of the SmallMachine; `step` is one millisecond."""

    coils: list[Coil] = field(default_factory=list)
    kicks: dict[int, Kick] = field(default_factory=dict)
    flipper: Flipper = field(default_factory=Flipper)
    lease: int = 0
    edges: list[tuple[int, int]] = field(default_factory=list)
    reports: list[tuple[int, int, int]] = field(default_factory=list)

    def __post_init__(self) -> None:
        heat = {name: (current, budget, percent) for name, current, budget, percent in SmallMachine.HEAT}
        budgets = {kind: (budget, percent) for kind, budget, percent in BUDGETS}
        for name, kind, _pulse, longest, rest, _drive in SmallMachine.COILS:
            current, budget, percent = heat.get(name) or (0, *budgets[kind])
            full = max(budget, 2 * longest) * 1024 if longest and budget else 0
            coil = Coil(kind, longest, rest, current, full, 1024 * percent // 100 if full else 0)
            coil.heat = full // 2
            self.coils.append(coil)
        switches = switch_rows(SmallMachine)
        names = [switch.name for switch in switches]
        coils = [coil.name for coil in coil_rows(SmallMachine)]
        for reflex in reflex_rows(SmallMachine):
            coil_id = coils.index(reflex.coil)
            self.kicks[names.index(reflex.switch)] = Kick(coil_id, reflex.pulse_ms, reflex.lockout_ms)
        self.names = names
        places = [place(switch.name, switch.row, switch.column) for switch in switches]
        order = sorted(range(len(names)), key=places.__getitem__)
        self.groups = [[i for i in order if places[i] // 16 == group] for group in range(GROUPS)]
        self.raw = [0] * len(names)
        self.still = [0] * len(names)
        self.age = [0] * len(names)
        self.times = [class_times(switch.debounce_class, switch.name) for switch in switches]
        self.strong, self.hold = coils.index("strong"), coils.index("hold")

    def renew(self, armed: bool) -> None:
        """Renew the lease of the reflexes for `LEASE` ms; not `armed`: end it, and lower the flipper."""
        self.lease = LEASE if armed else 0
        if not armed:
            self.fall()

    def step(self, one: list[int], two: list[int]) -> None:
        """A millisecond: time first, then every contact in order, then what has settled in its group."""
        self.pass_time()
        for group in range(GROUPS):
            for i in self.groups[group]:
                if one[i] == two[i] and one[i] != self.raw[i]:
                    self.raw[i] = one[i]
                    self.age[i] = 0
                    self.contact(i, one[i])
            for i in self.groups[group]:
                needed = self.times[i][0] if self.raw[i] else self.times[i][1]
                if self.raw[i] != self.still[i] and self.age[i] >= needed:
                    self.still[i] = self.raw[i]
                    self.edges.append((i, self.raw[i]))

    def pass_time(self) -> None:
        """One millisecond passes: count every pulse, rest, lockout and lease down, and let coils cool."""
        for coil in self.coils:
            coil.on_left = max(0, coil.on_left - 1)
            coil.rest_left = max(0, coil.rest_left - 1)
            coil.heat = max(0, coil.heat - coil.cools)
        self.age = [age + 1 for age in self.age]
        self.flipper.since_repulse += 1
        if self.lease:
            self.lease -= 1
            if not self.lease:
                self.fall()
        for kick in self.kicks.values():
            kick.open_for += 1
            kick.since_kick += 1
            kick.storm = max(0, kick.storm - 1)
            if kick.wait > 0:
                kick.wait -= 1
        for kick in self.kicks.values():
            if kick.wait == 0:
                self.again(kick)

    def again(self, kick: Kick) -> None:
        """A ball still rests on the switch: fire once more, at most three times, then disarm the reflex."""
        kick.wait = -1
        if not self.lease:
            return
        if kick.turns == 3:
            kick.disarmed = True
            self.reports.append((c.REFUSED, kick.coil, RESTED_ON))
        else:
            kick.turns += 1
            self.strike(kick)

    def contact(self, switch: int, closed: int) -> None:
        """The raw level of `switch` has changed; a reflex or the flipper may answer."""
        if switch in self.kicks:
            self.kick_contact(self.kicks[switch], closed)
        elif self.names[switch] == "button":
            if not closed and self.flipper.up:
                self.lower()
            elif closed and self.lease and self.fire(self.strong, 40):
                self.flipper.up = True
                self.flipper.stroke_seen = False
                self.fire(self.hold, -1)
        elif self.names[switch] == "stroke" and self.flipper.up:
            self.stroke(closed)

    def kick_contact(self, kick: Kick, closed: int) -> None:
        """The raw level of a reflex's switch has changed."""
        if not closed:
            kick.open_for = 0
            kick.was_open = True
            kick.wait = -1
            return
        if kick.was_open and kick.open_for < (2000 if kick.disarmed else 5):
            return
        kick.disarmed = False
        kick.turns = 0
        if kick.since_kick >= kick.lockout and self.lease:
            self.strike(kick)

    def strike(self, kick: Kick) -> None:
        """Fire a reflex's coil, unless it fired too often lately (the storm limit)."""
        kick.wait = 500
        if kick.storm + 200 > 4000:
            self.reports.append((c.REFUSED, kick.coil, STORM))
        elif self.fire(kick.coil, kick.ms):
            kick.storm += 200
            kick.since_kick = 0

    def stroke(self, closed: int) -> None:
        """The end-of-stroke switch: closing ends the strong pulse, opening gives a new one every 334 ms."""
        if closed:
            self.flipper.stroke_seen = True
            self.off(self.strong)
        elif self.flipper.stroke_seen and self.lease and self.flipper.since_repulse >= 334:
            self.flipper.since_repulse = 0 if self.fire(self.strong, 40) else self.flipper.since_repulse

    def fall(self) -> None:
        """The lease has ended: lower the flipper if it is up."""
        if self.flipper.up:
            self.lower()

    def lower(self) -> None:
        """Both windings of the flipper off."""
        self.flipper.up = False
        self.off(self.strong)
        self.off(self.hold)

    def fire(self, number: int, ms: int) -> bool:
        """Fire coil `number` for `ms` (−1: held on) within the limits and report it; whether it fired."""
        coil = self.coils[number]
        why = self.why(coil, ms)
        self.reports.append((c.REFUSED, number, why) if why else (c.FIRED, number, ms))
        if why:
            return False
        if ms < 0:
            coil.held = True
        else:
            coil.held = False
            coil.on_left = ms
            coil.rest_left = ms + coil.rest
            coil.heat += ms * 1024 if coil.budget else 0
        return True

    def why(self, coil: Coil, ms: int) -> int:
        """Why a request is refused, as the reason's number in a report; 0 when it is granted."""
        if ms != -1 and ms < 1:
            return NO_LENGTH
        if (ms < 0 and coil.longest) or ms > (coil.longest or LONGEST):
            return TOO_LONG
        if ms > 0 and coil.rest_left:
            return RESTING
        if ms > 0 and coil.budget and coil.heat + ms * 1024 > coil.budget:
            return HOT
        others = sum(each.current for each in self.coils if each.on_left or each.held)
        if coil.kind != "flipper" and not (coil.on_left or coil.held):
            return SUPPLY if others + coil.current > SmallMachine.SUPPLY_MA else 0
        return 0

    def off(self, number: int) -> None:
        """Switch coil `number` off before its time; its rest starts now."""
        coil = self.coils[number]
        if not (coil.on_left or coil.held):
            return
        if coil.budget:
            coil.heat = max(0, coil.heat - coil.on_left * 1024)
        coil.on_left = 0
        coil.held = False
        coil.rest_left = coil.rest
        self.reports.append((c.ENDED, number, 0))

    def driven(self) -> int:
        """The drives that are on, a bit each: drive 1 is bit 0."""
        wired = zip(coil_rows(SmallMachine), self.coils, strict=True)
        return sum(1 << row.drive - 1 for row, coil in wired if coil.on_left or coil.held)


# ms between changes of a contact, less one; among them the last that a limit refuses, or the first it grants
MIXED = (0, 1, 3, 4, 6, 12, 20, 40, 80, 150, 292, 333, 900, 1998, 2600)
HAMMER = (4, 6, 8, 12, 30, 50)
RESTS = (4, 400, 1900, 1998, 1999, 2100, 2300)
MOODS = (MIXED, HAMMER, RESTS)
REQUESTS = ((5, 30), (5, 70), (2, 25), (4, -1), (5, 0), (0, -7), (3, 1 << 29), (4, 1 << 19), (4, 90))


class Samples:
    """Random contacts of the SmallMachine: bounces, hits and rests, or hammered, or resting, by the seed."""

    def __init__(self, seed: int) -> None:
        self._rng = Random(seed)
        self._waits = MOODS[seed % len(MOODS)]
        self._level = [0] * len(SmallMachine.SWITCHES)
        self._hold = [0] * len(SmallMachine.SWITCHES)

    def next(self) -> tuple[list[int], list[int]]:
        """Two samples of each switch."""
        one = []
        two = []
        for i in range(len(self._level)):
            self._hold[i] -= 1
            if self._hold[i] < 0:
                self._level[i] ^= 1
                self._hold[i] = self._rng.choice(self._waits)
            one.append(self._level[i])
            two.append(self._level[i] ^ (self._rng.random() < 0.02))
        return one, two


def grouped(values: list[int]) -> list[int]:
    """Switch levels as the five groups of the scan."""
    groups = [0] * GROUPS
    for switch, value in zip(switch_rows(SmallMachine), values, strict=True):
        contact = place(switch.name, switch.row, switch.column)
        groups[contact >> 4] |= value << (contact & 15)
    return groups


class Shipped:
    """Limiter and scan as they ship, on the SmallMachine, with what they reported since the last step."""

    def __init__(self, start: int) -> None:
        self.limiter = CoilLimiter(SmallMachine)
        self.limiter.begin(start)
        self.scan = Scan(SmallMachine.SWITCHES, self.limiter)
        self.now = start
        quiet = [0] * GROUPS
        for _ in range(8):
            self.step(quiet, quiet)

    def step(self, one: list[int], two: list[int]) -> None:
        """Advance the clock by 1 ms and scan two samples of each group."""
        self.now = ticks.add(self.now, 1)
        self.scan.step(one, two, self.now)

    def take_edges(self) -> list[tuple[int, int]]:
        """Remove the debounced edges from the ring of the scan: (switch, closed), oldest first."""
        s = self.scan.state
        found = []
        while s[scanner.RING_HELD]:
            edge = s[scanner.AT_RING + s[scanner.RING_FIRST]]
            s[scanner.RING_FIRST] = (s[scanner.RING_FIRST] + 1) % scanner.RING
            s[scanner.RING_HELD] -= 1
            found.append((edge >> 1, edge & 1))
        return found

    def take_reports(self) -> list[tuple[int, int, int]]:
        """Remove the reports from the ring of the limiter: (what, coil, value), oldest first."""
        found = []
        at = self.limiter.first()
        while at >= 0:
            found.append((self.limiter.state[at], self.limiter.state[at + 1], self.limiter.state[at + 2]))
            self.limiter.drop_first()
            at = self.limiter.first()
        return found


def compare(count: int, seed: int, start: int = ticks.MASK - 5000) -> tuple[dict[str, int], str]:
    """Both on `count` samples, beginning just before the clock wraps: (what happened, first difference)."""
    shipped = Shipped(start)
    model = ReferenceModel()
    for _ in range(8):
        model.pass_time()
    samples = Samples(seed)
    rng = Random(seed + 1)
    counts: dict[str, int] = {}
    for at in range(count):
        one, two = samples.next()
        if rng.random() < 0.004:
            armed = rng.random() < 0.9
            shipped.limiter.renew(armed, shipped.now)
            model.renew(armed)
        elif rng.random() < 0.002:
            coil, ms = rng.choice(REQUESTS)
            shipped.limiter.fire(coil, ms, shipped.now)
            model.fire(coil, ms)
        shipped.step(grouped(one), grouped(two))
        model.step(one, two)
        reports = shipped.take_reports()
        mine = (shipped.take_edges(), reports, shipped.limiter.state[c.DRIVEN])
        theirs = (model.edges, model.reports, model.driven())
        if mine != theirs:
            return counts, f"sample {at} of seed {seed}: the shipped code gave {mine}, the model {theirs}"
        _tally(counts, mine[0], reports)
        model.edges = []
        model.reports = []
    return counts, ""


def _tally(counts: dict[str, int], edges: list[tuple[int, int]], reports: list[tuple[int, int, int]]) -> None:
    counts["edges"] = counts.get("edges", 0) + len(edges)
    for what, _coil, value in reports:
        name = {c.FIRED: "fired", c.ENDED: "ended early"}.get(what, f"refused for {value}")
        counts[name] = counts.get(name, 0) + 1
