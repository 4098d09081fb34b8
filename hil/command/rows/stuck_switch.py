"""Row 9: each switch stuck, closed and open, from one phase of a game on.

Passes when nothing raises, no coil exceeds its limits or fires endlessly, and the game reaches its end. A
switch that a game needs (trough, lane, start, a button) may stop the game; its coils must then stay off.
A playfield contact stuck closed must be in the fault log, one stuck open after as many balls as the
operator set.

On the MicroPython tier the same contacts are played there too: trace and faults must be the same.
"""

import tempfile
from collections.abc import Iterator, Sequence
from itertools import islice
from random import Random

from hil import games, micropython
from hil.bench.evidence import Evidence
from hil.bench.judge import coil_limits
from hil.bench.names import Names
from hil.bench.run_clock import OutOfTime, RunClock
from hil.bench.season import SimulatedGame
from hil.bench.targets.target import MachineStopped
from hil.benchmarks.contacts import Contacts, ContactTape
from hil.benchmarks.reliability import MICROPYTHON, Result
from hil.command.rows import stuck_tape
from hil.command.season_game import names_of
from hil.game_tables import switch_rows
from hil.games import Game
from hil.workers import FEW, map_in_order
from simulator.plant import Plant
from simulator.player import SimulatedPlayer, odds_of

GAME = "honey_flow"
PHASES = ("attract", "waiting", "ball", "counting")
LIMIT_MS = 15 * 60_000
SETTINGS = {"balls": 5, "watch_balls": 4, "plunge_after": 5}
NEEDED = ("trough.", "lane", "start", "button.", "slam", "tilt", "pad.", "door", "coin.", "service_key")
RESTS = ("rest", "lane", "flipper", "service")  # debounce classes whose contacts may rest closed
A_MINUTE = 90  # pulses of one coil in the last minute: more is firing without end
MINUTE_MS = 60_000
LOOKED_MS = 45_000  # two looks of the switch watch

Case = tuple[str, bool, str]


class StuckRunClock(RunClock):
    """A RunClock on which one contact can get stuck."""

    stuck = ""

    def stick(self, switch: str, closed: bool) -> None:
        """Close or open a contact for good."""
        super().contact(switch, closed)
        self.stuck = switch

    def contact(self, switch: str, closed: bool) -> None:
        """A contact changes, unless it is the stuck one."""
        if switch != self.stuck:
            super().contact(switch, closed)


class StuckSwitchGame(SimulatedGame):
    """A game in which a switch sticks as soon as its phase is reached."""

    clock_kind = StuckRunClock
    target_kind = ContactTape
    limit_ms = LIMIT_MS
    trouble: Case = ("", False, "")

    def _move(self) -> None:
        self.look()
        super()._move()

    def look(self) -> None:
        """Make the switch stick once the game is in its phase."""
        switch, closed, phase = self.trouble
        assert isinstance(self.clock, StuckRunClock)
        if not self.clock.stuck and self.view.states.get("game") == phase:
            self.clock.stick(switch, closed)

    def _tap(self, switch: str) -> None:
        self.look()
        super()._tap(switch)


def run(number: int, count: int, seed: int, on: str, workers: int) -> Iterator[Result]:
    """Try every switch, closed and open, in each phase; or `count` of these cases, drawn by seed."""
    drawn = islice(cases(names_of(GAME).switches, seed), count)
    jobs = [(case, seed, on) for case in drawn]
    yield from map_in_order(_case, jobs, workers if len(jobs) > FEW else 1)


def _case(job: tuple[Case, int, str]) -> Result:
    case, seed, on = job
    game = games.load(GAME)
    result = Result(ran=1)
    match = _one(game, names_of(GAME), case, seed, result)
    if match and on == MICROPYTHON:
        _there(game, match, _words(case), result)
    return result


def cases(switches: Sequence[str], seed: int) -> list[Case]:
    """Every (switch, closed, phase), in an order drawn by the seed."""
    ways = [(closed, phase) for closed in (True, False) for phase in PHASES]
    found = [(switch, *way) for switch in switches for way in ways]
    Random(seed).shuffle(found)
    return found


def _words(case: Case) -> str:
    switch, closed, phase = case
    return f"{switch} {'closed' if closed else 'open'} from {phase} on"


def _one(game: Game, names: Names, case: Case, seed: int, result: Result) -> StuckSwitchGame | None:
    """Play one game; None when the machine stopped by an error."""
    switch, closed, _ = case
    what = _words(case)
    plant = Plant(game.tables("routes"), tuple(names.switches), tuple(names.coils), seed=seed, varied=True)
    hand = SimulatedPlayer(odds_of(game.host("season"), "regular"), seed)
    # Few balls are played, so others are not seen either: the log has 16 places for those that are closed.
    settings = {**SETTINGS, "watch_balls": 0} if closed else SETTINGS
    match = StuckSwitchGame(game, names, plant, hand, seed, settings)
    match.trouble = case
    ended = True
    try:
        match.play(1, SETTINGS["balls"])
        match.clock.run_to(match.clock.now + LOOKED_MS)
    except OutOfTime:
        ended = False
    except MachineStopped as error:
        result.failed(f"{what}: {error}")
        return None
    evidence = Evidence(match.view, game.wiring, match.clock.now, plant)
    for finding in coil_limits(evidence):
        result.failed(f"{what}: expected {finding.expected}, seen {finding.seen}")
    _at_the_end(match, what, result)
    if not ended and not switch.startswith(NEEDED):
        result.failed(f"{what}: the game does not end; faults {match.target.faults}")
    _named(match, case, what, ended, result)
    return match


def _there(game: Game, match: StuckSwitchGame, what: str, result: Result) -> None:
    """The same contacts under MicroPython."""
    assert isinstance(match.target, ContactTape)
    match.target.finish()
    contacts = match.target.contacts()
    digest, *faults = run_on_micropython(game, contacts)
    result.count("played again under MicroPython")
    if digest != contacts.digest:
        result.failed(f"{what}: under MicroPython the trace is another: {digest}")
    here = [f"{name} {detail}" for name, detail in match.target.faults]
    if faults != here:
        result.failed(f"{what}: faults under MicroPython {faults}, here {here}")


def run_on_micropython(game: Game, contacts: Contacts) -> list[str]:
    """Trace hash and faults from a MicroPython process, or how it ended."""
    with tempfile.NamedTemporaryFile("w", suffix=".txt") as source:
        source.write(contacts.lines())
        source.flush()
        words = [f"{name}={value}" for name, value in sorted(contacts.settings.items())]
        done = micropython.run(
            str(stuck_tape.__file__), game.package, source.name, str(contacts.seed), *words
        )
    lines = done.stdout.splitlines()
    if done.returncode or not lines:
        return [f"it ended early: {(done.stderr + done.stdout)[-200:]}"]
    return lines


def _at_the_end(match: StuckSwitchGame, what: str, result: Result) -> None:
    """No coil fires more often than A_MINUTE at the end."""
    pulses: dict[str, int] = {}
    for event in match.view.history:
        if event.kind == "coil" and event.value and event.ms >= match.clock.now - MINUTE_MS:
            pulses[event.name] = pulses.get(event.name, 0) + 1
    for coil, times in pulses.items():
        result.most("most pulses of a coil in the last minute", times)
        if times > A_MINUTE:
            result.failed(f"{what}: coil {coil} fired {times} times in the last minute")


def _named(match: StuckSwitchGame, case: Case, what: str, ended: bool, result: Result) -> None:
    """A contact that the switch watch can detect is in the fault log: stuck closed by its class, stuck
    open on the playfield."""
    switch, closed, phase = case
    rows = {row.name: (number, row) for number, row in enumerate(switch_rows(match.wiring))}
    number, row = rows[switch]
    named = any(name.startswith(("switch", "coin")) and at == number for name, at in match.target.faults)
    result.count("named as this switch" if named else "not named as this switch")
    result.count("something named to the operator", 1 if match.target.faults else 0)
    result.count("games that went on to their end" if ended else "games held up")
    latched = switch in match.wiring.LATCHED
    tells = (
        row.debounce_class not in RESTS and not latched
        if closed
        else row.zone == "playfield" and phase != "counting"
    )
    if tells and not named and ended:
        result.failed(f"{what}: it is not named to the operator, but {match.target.faults}")
