"""The inside of a console for the panels of the desk: values, heat of coils, what made an event."""

from collections.abc import Sequence

from firmware.base import ticks
from firmware.devices.native import limiter as c
from hil.bench.view import View
from hil.command.causes import CauseConsole
from hil.command.rule_sentences import RuleSentences
from hil.game_tables import coil_rows, lamp_rows, switch_rows
from hil.games import Game
from simulator.desk.inside import Cause, CoilHeat, Held, Input, RuleWords

SPANS = ("ball", "player", "game", "persistent")
CABINET = ("firmware.cabinet.", "firmware.operator.")
ATTRACT = "attract_light"  # the operator's setting
FULL = 100
TILTED = 25  # the general light goes down


def inputs_of(game: Game) -> list[Input]:
    """Where each switch is read."""
    return [Input(row.name, row.row, row.column) for row in switch_rows(game.wiring)]


def leds_of(game: Game) -> tuple[str, ...]:
    """Lamps that are LEDs."""
    return tuple(row.name for row in lamp_rows(game.wiring) if row.row == 0)


class ConsoleInside:
    """As simulator.desk.inside.Inside describes it. `console` is that of the present run."""

    def __init__(self, game: Game, console: CauseConsole, view: View) -> None:
        wiring = game.wiring
        self._console = console
        self._view = view
        self._coils = coil_rows(wiring)
        self.inputs: Sequence[Input] = inputs_of(game)
        self.leds = leds_of(game)
        self._sentences = RuleSentences(console)
        self.own = frozenset(
            one.name for one in console.play.features if not type(one).__module__.startswith(CABINET)
        )

    def values(self) -> list[Held]:
        """Every value, in the order of declaration."""
        return [Held(one.name, one.value, SPANS[one.span]) for one in self._console.memory.values]

    def heat(self) -> list[CoilHeat]:
        """Every coil, in the order of the wiring table."""
        return [CoilHeat(row.name, row.kind, self._share(at)) for at, row in enumerate(self._coils)]

    def light(self) -> int:
        """The general light, 0 to 100."""
        play = self._console.play
        if play.tilted:
            return TILTED
        if play.score.live:
            return FULL
        return next((one.value for one in play.settings.all if one.name == ATTRACT), FULL)

    def cause(self, at: int) -> Cause:
        """What made the event at this place of the history."""
        return self._console.causes.of(self._view, at)

    def rule_of(self, lamp: str) -> RuleWords | None:
        """The game's rule that lights a lamp, or that would."""
        at = self._console.lamp_names.index(lamp)
        owner = next((name for name in self._console.causes.owners(at) if name in self.own), "")
        return self._sentences.of(owner) if owner else None

    def _share(self, coil: int) -> float:
        """The heat of a coil as a share of what it bears; read only, for the limiter cools it when asked."""
        state = self._console.coils.limiter.state
        row = c.HEAD + coil * c.COIL
        if not state[row + c.BUDGET]:
            return 0.0
        past = max(0, ticks.diff(self._console.timers.now, state[row + c.HEAT_AT]))
        return max(0, state[row + c.HEAT] - past * state[row + c.COOLS]) / state[row + c.BUDGET]
