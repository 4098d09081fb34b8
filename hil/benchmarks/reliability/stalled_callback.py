"""Row 22: steps of the callback's limiter in 32-bit integers, with stalls and runs begun anew.

The source of `firmware.devices.native.limiter` is compiled anew so that each result of its arithmetic is
checked to fit a machine word of the chip. What it drives is watched by a model of its own that counts real
milliseconds: a coil is on for no longer than its longest on-time and what the guard takes to drop it, rests,
and gets no more heat than its budget, however the callback stalls and however often a run begins.
"""

import ast
import inspect
from array import array
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from random import Random
from types import ModuleType

from boards.unix.trials.small_machine import SmallMachine
from firmware.base import ticks
from firmware.devices import coil_limiter, limiter_state
from firmware.devices.native import limiter as c
from hil.benchmarks.reliability import Result
from hil.game_tables import coil_rows
from hil.workers import map_in_order, parts

PART = 100_000  # steps of a piece
GUARD_MS = 8  # after so long without a feed the guard drops every drive
RUN_MS = 33  # from one new run to the next
LONGEST_STALL = 40
WORD = 1 << 31
LEASE_EVERY = 50


def run(_row: int, count: int, seed: int, _on: str, workers: int) -> Iterator[Result]:
    """`count` steps of a millisecond."""
    jobs = [(part, seed + number) for number, part in enumerate(parts(count, PART))]
    yield from map_in_order(partial(steps, False), jobs, min(workers, len(jobs)))


def steps(forgets: bool, job: tuple[int, int]) -> Result:
    """One piece: steps and seed. `forgets`: each run forgets heat and rest, which the model must see."""
    count, seed = job
    result = Result()
    trial = Trial(Random(seed), result, forgets)
    try:
        for _ in range(count):
            trial.step()
    except OverflowError as error:
        result.failed(f"seed {seed}, step {result.ran}: {error}")
    return result


def checked(value: int) -> int:
    """A result of the limiter's arithmetic. Raises OverflowError when no 32-bit word holds it."""
    if not -WORD <= value < WORD:
        raise OverflowError(f"{value} does not fit 32 bits")
    return value


class _Checks(ast.NodeTransformer):
    """Puts `checked` around each sum, product and shift."""

    def visit_BinOp(self, node: ast.BinOp) -> ast.AST:
        self.generic_visit(node)
        if isinstance(node.op, ast.Add | ast.Sub | ast.Mult | ast.LShift):
            return ast.Call(ast.Name("checked", ast.Load()), [node], [])
        return node

    def visit_AugAssign(self, node: ast.AugAssign) -> ast.AST:
        return node  # its target is a cell of an array of 32-bit integers, which raises by itself


def in_words() -> ModuleType:
    """The limiter's module with its arithmetic checked."""
    tree = _Checks().visit(ast.parse(inspect.getsource(c)))
    made = ModuleType(c.__name__)
    made.__dict__["checked"] = checked
    exec(compile(ast.fix_missing_locations(tree), str(c.__file__), "exec"), made.__dict__)
    return made


class LimiterInWords(coil_limiter.CoilLimiter):
    """The limiter on an array of 32-bit integers, as on the board."""

    def __init__(self) -> None:
        self.template = limiter_state.build(SmallMachine)
        self.state = array("i", self.template)
        self._left = 0


@dataclass
class Watched:
    """One coil by what its drive shows. Times in real ms; heat and its excuse in 1/100 ms of on-time."""

    name: str
    bit: int
    longest: int
    rest: int
    full: int
    cools: int
    heat: int = 0
    excused: int = 0  # heat of stalls, for which the guard answers; gone when the coil has cooled down
    on: int = 0
    off: int = 1 << 20

    def pass_ms(self, is_on: bool, stalled: bool, dropped: bool) -> str:
        """One real millisecond; what is wrong, or "". `dropped`: the guard interrupts what is on."""
        self.heat = max(0, self.heat - self.cools)
        self.excused = min(self.excused, self.heat)
        if is_on and dropped:
            return ""
        if not is_on:
            self.off += 1
            self.on = 0
            return ""
        rested, self.off = self.off, 0
        self.on += 1
        if self.full:
            self.heat += 100
            self.excused += 100 * stalled
        if self.on == 1 and rested < self.rest:
            return f"coil '{self.name}' rested {rested} ms of {self.rest}"
        if self.longest and self.on > self.longest + GUARD_MS:
            return f"coil '{self.name}' was on for {self.on} ms; {self.longest} are allowed"
        if self.full and self.heat > self.full + self.excused:
            return f"coil '{self.name}' has {self.heat} of {self.full} hundredths of ms of heat"
        return ""


def watched() -> list[Watched]:
    """The coils of the small machine, half hot."""
    heat = {name: (budget, percent) for name, _ma, budget, percent in SmallMachine.HEAT}
    usual = {kind: (budget, percent) for kind, budget, percent in limiter_state.BUDGETS}
    found = []
    for row in coil_rows(SmallMachine):
        budget, percent = heat.get(row.name) or usual[row.kind]
        full = max(budget, 2 * row.longest_ms) * 100 if row.longest_ms and budget else 0
        found.append(
            Watched(row.name, 1 << row.drive - 1, row.longest_ms, row.rest_ms, full, percent, full // 2)
        )
    return found


class Trial:
    """The limiter stepped as the callback does, requests and contacts at random, and the model beside it."""

    def __init__(self, random: Random, result: Result, forgets: bool) -> None:
        self._random = random
        self._result = result
        self._forgets = forgets
        self._native = in_words()
        self._limiter = LimiterInWords()
        self._now = ticks.MASK - random.choice((100, 40_000, 1 << 20, 1 << 29))
        self._coils = watched()
        self._levels = [0] * len(SmallMachine.SWITCHES)
        self._real = self._run = 0
        self._limiter.begin(self._now)

    def step(self) -> None:
        """One call of the callback, and what comes between two of them."""
        random, a, n = self._random, self._limiter.state, self._native
        self._result.ran += 1
        self._now = (self._now + 1) & ticks.MASK
        if self._result.ran % LEASE_EVERY == 0:
            self._limiter.renew(True, self._now)
        n.advance(a, c.ALL_KICKS, self._now)
        n.serve(a, self._now)
        self._ask()
        if self._real // RUN_MS != self._run:
            self._run = self._real // RUN_MS
            self._begin_anew()
        self._pass(1)
        if not random.randrange(500):
            self._pass(random.randrange(1, LONGEST_STALL), stalled=True)
            self._result.count("stalls")
        while self._limiter.first() >= 0:
            what = a[self._limiter.first()]
            self._result.count("fired" if what == c.FIRED else "refused" if what == c.REFUSED else "ended")
            self._limiter.drop_first()

    def _ask(self) -> None:
        """At most one request and one contact."""
        random, a, n = self._random, self._limiter.state, self._native
        drawn = random.randrange(8)
        if drawn < 5:
            n.request(a, c.FIRE, random.randrange(len(self._coils)), self._length())
            n.serve(a, self._now)
        elif drawn == 5:
            n.request(a, c.SWITCH_OFF, random.randrange(len(self._coils)), 0)
            n.serve(a, self._now)
        elif drawn == 6:
            switch = random.randrange(len(self._levels))
            self._levels[switch] ^= 1
            kick = n.contact(a, switch, self._levels[switch], self._now)
            if kick:
                n.advance(a, kick, self._now)
                n.serve(a, self._now)

    def _length(self) -> int:
        """A pulse: as wired, anything short, held, negative, huge."""
        random = self._random
        longest = random.choice((30, 60))
        return random.choice(
            (longest, random.randrange(70), -1, -random.randrange(1 << 31), random.randrange(1 << 31))
        )

    def _pass(self, ms: int, stalled: bool = False) -> None:
        """Real time in which the drives stay as they are, until the guard drops them."""
        driven = self._limiter.state[c.DRIVEN]
        for passed in range(ms):
            self._real += 1
            dropped = stalled and passed >= GUARD_MS
            for coil in self._coils:
                wrong = coil.pass_ms(bool(driven & coil.bit), stalled, dropped)
                if wrong:
                    self._result.failed(f"{wrong}, at {self._real} ms")

    def _begin_anew(self) -> None:
        """Every coil off, and a new run, as a board begins it."""
        self._limiter.renew(False, self._now)
        for coil in range(len(self._coils)):
            self._limiter.off(coil, self._now)
        if self._forgets:
            self._limiter.state[:] = self._limiter.template
            self._limiter.begin(self._now)
        else:
            self._limiter.restart(self._limiter.template)
        self._result.count("runs")
