"""A machine behind a serial line at the desk: the board runs the game, in lock-step; balls are simulated.

What panels show comes from the trace and from what the board answers. Who asked for a lamp or a coil does not
go over the line.
"""

from collections.abc import Collection, Sequence
from functools import cached_property
from pathlib import Path

from firmware.base.errors import UsageError
from hil.bench.run_clock import RunClock
from hil.bench.scripts.vocabulary import Vocabulary
from hil.bench.targets.choose import open_target
from hil.bench.targets.linked import LinkTarget
from hil.bench.view import View
from hil.command.at_desk import LONGEST_GAME_MS, DeskSetup
from hil.command.causes import CauseConsole, Causes
from hil.command.inside import ATTRACT, FULL, SPANS, inputs_of, leds_of
from hil.command.rule_sentences import RuleSentences
from hil.command.run_machine import RunMachine
from hil.game_tables import coil_rows, setting_rows
from hil.games import Game
from simulator.desk.inside import Cause, CoilHeat, Held, Input, RuleWords

BALLS = "balls"  # the operator's setting
NOT_TOLD = ("lamp", "coil", "refused")  # kinds of events whose cause does not go over the line


class BoardInside:
    """As simulator.desk.inside.Inside describes it. `settings`: those that were given."""

    def __init__(
        self,
        game: Game,
        target: LinkTarget,
        clock: RunClock,
        vocabulary: Vocabulary,
        settings: dict[str, int],
    ) -> None:
        console = game.console(settings=settings, kind=CauseConsole)  # for what never changes
        assert isinstance(console, CauseConsole)
        self._claims = console.causes
        self._lamps = console.lamp_names
        self._sentences = RuleSentences(console)
        self.inputs: Sequence[Input] = inputs_of(game)
        self.leds = leds_of(game)
        self.own = frozenset(vocabulary.names.own)
        self._spans = [(one.name, SPANS[one.span]) for one in console.memory.values]
        self._coils = coil_rows(game.wiring)
        self._target = target
        self._clock = clock
        usual = {row.name: row.default for row in setting_rows(game.module)}
        self._attract = settings.get(ATTRACT, usual.get(ATTRACT, FULL))
        self._answers: dict[str, tuple[int, list[int]]] = {}

    def values(self) -> list[Held]:
        """Every value, in the order of declaration."""
        numbers = self.asked("values")
        return [Held(name, number, span) for (name, span), number in zip(self._spans, numbers, strict=True)]

    def heat(self) -> list[CoilHeat]:
        """Every coil, in the order of the wiring table."""
        shares = self.asked("heat")
        return [
            CoilHeat(row.name, row.kind, share / 1000) for row, share in zip(self._coils, shares, strict=True)
        ]

    def light(self) -> int:
        """The general light, 0 to 100; that it goes down at a tilt is not known here."""
        return FULL if self._clock.view.playing else self._attract

    def cause(self, at: int) -> Cause:
        """What made the event at this place of the history, as far as the trace has it."""
        event = self._clock.view.history[at]
        if event.kind in NOT_TOLD:
            return Cause(-1, f"{event.kind} {event.name}: who asked for it does not go over the line")
        return Causes().of(self._clock.view, at)

    def rule_of(self, lamp: str) -> RuleWords | None:
        """The game's rule that a lamp usually belongs to; which of several lights it is not known here."""
        owners = self._claims.usual_owners(self._lamps.index(lamp))
        owner = next((name for name in owners if name in self.own), "")
        return self._sentences.of(owner) if owner else None

    def asked(self, what: str) -> list[int]:
        """What the board answers, asked once an instant. Raises LinkError."""
        known = self._answers.get(what)
        if known is None or known[0] != self._clock.now:
            numbers: list[int] = getattr(self._target, what)()
            known = self._answers[what] = self._clock.now, numbers
        return known[1]


class BoardMachine(RunMachine):
    """As simulator.desk.machine.DeskMachine describes it. Most methods raise LinkError."""

    def __init__(self, setup: DeskSetup, target: LinkTarget, seed: int, settings: dict[str, int]) -> None:
        plant = setup.plant(seed, varied=True)
        names = setup.vocabulary.names
        clock = RunClock(target, View(names), plant, LONGEST_GAME_MS)
        clock.start(seed, settings)
        super().__init__(setup.game, clock, plant, setup.vocabulary)
        self.inside = BoardInside(setup.game, target, clock, setup.vocabulary, settings)
        self._names = names
        self._target = target
        self._game = setup.game
        usual = {row.name: row.default for row in setting_rows(setup.game.module)}
        self.balls_a_game = settings.get(BALLS, usual.get(BALLS, 1))

    def close(self) -> None:
        """Everything off on the board, and the line given back."""
        self._target.close()

    def next_due(self) -> int | None:
        """When (ms) the plant next has something to do; what the board's rules wait for is not known."""
        return self._plant.due()

    def windows(self) -> list[tuple[str, int, bool]]:
        """Open windows: name, ms left, whether their time is frozen."""
        lefts = self.inside.asked("windows")
        return [
            (name, abs(left), left < 0) for name, left in zip(self._names.windows, lefts, strict=True) if left
        ]

    def active(self, chart: str) -> Collection[str]:
        """The state that a chart rests in, and those that hold it."""
        return self._holders.get((chart, self.view.states[chart]), ())

    @cached_property
    def _holders(self) -> dict[tuple[str, str], tuple[str, ...]]:
        """By chart and state: the state and what holds it."""
        table = self._game.console().table
        found = {}
        for root in table.roots[: table.charts]:
            inside = range(root + 1, table.end[root])
            for state in inside:
                held = [one for one in inside if one <= state < table.end[one]]
                names = tuple(table.names[one].rpartition("/")[2] for one in held)
                found[table.names[root].rpartition("/")[2], names[-1]] = names
        return found


def board_machine(
    setup: DeskSetup, port: str, seed: int, settings: dict[str, int], image: Path | None = None
) -> BoardMachine:
    """A machine on the board at this port that was just switched on. Raises LinkError, UsageError.

    `image`: the board's, when it was not deployed from this machine.
    """
    target = open_target(port, setup.game, image=image)
    if not isinstance(target, LinkTarget):
        raise UsageError(f"'{port}' is no board; leave --on out to play at the desk alone")
    try:
        return BoardMachine(setup, target, seed, settings)
    except BaseException:
        target.close()
        raise
