"""A lamp show: steps in time over named lamps and flashers."""

from firmware.base.errors import GameError
from firmware.base.numbers import constants
from firmware.play.claims import DARK, NONE, ON, RULE, SHOW
from firmware.play.feature import Feature

LEAST = 125  # ms of a step at least: half a period of the fastest blink
CALM = 200  # and as long as the setting calm_lamps is on


class Show:
    """Lights lamps and pulses flashers in steps: `play` for some rounds, `keep` as long as a state lasts.

        class Party(Feature):
            name = "party"
            chart = (
                ("dark", "made.ramp", "lit", "begin"),
                ("lit", "party.over", "dark"),
                ("lit", "standup", "dark", "end"),
                ("lit", "ball.ended", "dark"),
            )

            def __init__(self, play):
                super().__init__(play)
                self._wave = Show(self, WAVE, rounds=3, over="party.over")

            def begin(self, event): self._wave.play()
            def end(self, event): self._wave.end()

        WAVE = (
            # ms, lamps that are lit, flashers that are pulsed
            (300, "top.1 bank.1", "flash"),
            (300, "top.2 bank.2", ""),
            (300, "top.3 bank.3", ""),
        )

    `over` is the event that is raised after the last round of `play`. A show ends by itself, without it,
    when the ball ends. With the priority SHOW it is above
    the rules and below windows, and those of its lamps that a step does not light are dark; with LOW it is
    below the rules, which light its lamps as they will. No step is shorter than 125 ms, or 200 ms with calm
    lamps, and no flasher is pulsed in two steps running: nothing comes on more often than a lamp may blink.
    """

    def __init__(
        self,
        feature: Feature,
        steps: "tuple[tuple[int, str, str], ...]",
        priority: int = SHOW,
        rounds: int = 1,
        over: "RaisedEvent | NoName" = "",
    ) -> None:
        self.rounds = rounds
        check(feature.name, steps, rounds)
        lamps, flashers = _named(steps, 1), _named(steps, 2)
        self._lamps = [feature.lamp(lamp, priority) for lamp in lamps]
        self._flashers = [feature.flasher(flasher) for flasher in flashers]
        self._ms = constants([ms for ms, _lamps, _flashers in steps])
        self._changes, self._changes_end = changes_of(steps, lamps)
        self._pulses, self._pulses_end = _pulses_of(steps, flashers)
        self._rest = DARK if priority > RULE else NONE
        self._claims = feature.play.lamps
        self._over = feature.event(over) if over else None
        self._clock = feature.clock(self._next)
        self._at = 0
        self._left = 0  # rounds of `play`, the one in progress among them; 0: it is kept on
        feature.play.shows.append(self)

    def is_running(self) -> bool:
        """Whether a step is shown."""
        return self._clock.is_running()

    def play(self) -> None:
        """Play all rounds; one that runs goes on from its present step."""
        self._left = self.rounds
        if not self.is_running():
            self._begin()

    def keep(self, on: bool) -> None:
        """Play round after round as long as this is called with True; for `show`, from states and memory."""
        if not on:
            self.end()
        elif not self.is_running():
            self._left = 0
            self._begin()

    def end(self) -> None:
        """End without an event; its lamps go back to the rules."""
        if self.is_running():
            self._clock.stop()
            self._give_back()

    def _begin(self) -> None:
        for claim in self._lamps:
            claim.set(self._rest)
        self._at = 0
        self._change(0, self._changes_end[0])
        self._go_on()

    def _next(self) -> None:
        """The step's time is up."""
        steps = len(self._ms)
        at = self._at + 1
        if at == steps:
            if self._left == 1:
                self._give_back()
                if self._over:
                    self._over.post()
                return
            if self._left:
                self._left -= 1
        self._change(self._changes_end[at - 1], self._changes_end[at])
        self._at = at % steps
        self._go_on()

    def _go_on(self) -> None:
        at = self._at
        for i in range(self._pulses_end[at - 1] if at else 0, self._pulses_end[at]):
            self._flashers[self._pulses[i]].pulse()
        ms = self._ms[at]
        self._clock.start(CALM if ms < CALM and self._claims.calm else ms)

    def _change(self, begin: int, end: int) -> None:
        for i in range(begin, end):
            change = self._changes[i]
            self._lamps[change >> 1].set(ON if change & 1 else self._rest)

    def _give_back(self) -> None:
        for claim in self._lamps:
            claim.set(NONE)


def check(feature: str, steps: "tuple[tuple[int, str, str], ...]", rounds: int) -> None:
    """Raises GameError: too few steps or rounds, a step too short, a flasher in two steps running."""
    if len(steps) < 2 or rounds < 1:
        raise GameError("a show of '" + feature + "' needs two steps and one round at least")
    for at in range(len(steps)):
        ms, _lamps, flashers = steps[at]
        if ms < LEAST:
            raise GameError(f"step {at + 1} of a show of '{feature}' takes {ms} ms; {LEAST} are the least")
        before = steps[at - 1][2].split()
        for flasher in flashers.split():
            if flasher in before:
                raise GameError(
                    "flasher '"
                    + flasher
                    + "' is in two steps running of a show of '"
                    + feature
                    + "': leave one out"
                )


def _named(steps: "tuple[tuple[int, str, str], ...]", column: int) -> "list[str]":
    """Each name of a column once, in its order."""
    found: list[str] = []
    for step in steps:
        for name in str(step[column]).split():
            if name not in found:
                found.append(name)
    return found


def changes_of(
    steps: "tuple[tuple[int, str, str], ...]", lamps: "list[str]"
) -> "tuple[Sequence[int], Sequence[int]]":
    """Which lamps change with each step, as twice the place, plus 1 where it is lit; where each step's end.

    One step more than there are: the first from dark, and last the first as it follows the last.
    """
    changes: list[int] = []
    ends: list[int] = []
    before: list[str] = []
    for at in range(len(steps) + 1):
        lit = steps[at % len(steps)][1].split()
        for place in range(len(lamps)):
            is_lit = lamps[place] in lit
            if is_lit != (lamps[place] in before):
                changes.append(2 * place + (1 if is_lit else 0))
        ends.append(len(changes))
        before = lit
    return constants(changes), constants(ends)


def _pulses_of(
    steps: "tuple[tuple[int, str, str], ...]", flashers: "list[str]"
) -> "tuple[Sequence[int], Sequence[int]]":
    """The places of the flashers that each step pulses, and where each step's end."""
    pulses: list[int] = []
    ends: list[int] = []
    for _ms, _lamps, named in steps:
        for name in named.split():
            pulses.append(flashers.index(name))
        ends.append(len(pulses))
    return constants(pulses), constants(ends)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

    from firmware.play.name_types import NoName, RaisedEvent
