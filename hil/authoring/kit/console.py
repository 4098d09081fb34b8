"""A small machine in which the kit's examples run: its machine file, its cabinet, one example's features."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import cast

from firmware.base.errors import GameError
from firmware.cabinet.credits import Credits
from firmware.cabinet.flow import Flow
from firmware.cabinet.hole import SETTLE, Hole
from firmware.cabinet.news import News
from firmware.cabinet.no_bonus import NoBonus
from firmware.cabinet.scoreboard import Scoreboard
from firmware.cabinet.shooter import Shooter
from firmware.cabinet.tilt import Tilt
from firmware.cabinet.trough import Trough
from firmware.charts.model import ANY, after, external
from firmware.console import Console
from firmware.parts.lit_outlane import FALL
from firmware.parts.orbit import Orbit
from firmware.parts.ramp import CLIMB
from firmware.parts.special import ExtraBalls
from firmware.parts.window import Window
from firmware.play.claims import FAST, NONE, ON, SLOW
from firmware.play.feature import Feature
from firmware.play.memory import BALL, GAME, PERSISTENT, PLAYER
from firmware.play.rule_context import RuleContext
from hil.authoring.kit.parts import Part
from hil.game_tables import GameModule
from hil.machine.editing import made_of
from hil.machine.tables import MachineTables, WiringTables

MACHINE = """
MACHINE = (
    trough(3, at=(1, 1), jam=(1, 4), coil=Coil(1)),
    shooter(at=(1, 5), coil=Coil(2), over="top"),
    lanes("top", 3, at=(1, 6), lamps=Lamp("white", (1, 1))),
    bumpers("bumper", 3, at=(2, 1), coil=Coil(3)),
    spinner("spinner", at=(2, 4)),
    orbit("orbit", ("left", "right"), at=(2, 5)),
    ramp("ramp", at=(2, 7), to="inlane.left"),
    targets("bank", 3, at=(3, 1), lamps=Lamp("amber", (1, 4))),
    drops("drop", 2, at=(3, 4), reset=Coil(6)),
    targets("standup", at=(3, 6)),
    lanes("inlane", ("left", "right"), at=(4, 1)),
    lanes("outlane", ("left", "right"), at=(4, 3), lamps=Lamp("red", (1, 7)), drains=True),
    kickback("kickback", lane="outlane.left", coil=Coil(9)),
    hole("saucer", at=(4, 5), coil=Coil(10)),
    hole("vault", 2, at=(4, 6), coil=Coil(11)),
    drops("gate", at=(4, 8), reset=Coil(12)),
    hole("den", at=(5, 1), coil=Coil(13)),
    flippers(strong=Coil(15), hold=Coil(17)),
    cabinet(knocker=Coil(19)),
    flashers("flash", coil=Coil(20)),
    wheel("wheel", 8, at=16, motor=Coil(21), lamps=Lamp("blue", (2, 1))),
    lamps("times", 3, colour="green", at=(3, 1), first=2),
    lamps(("lit", "lock", "guard", "extra_ball"), colour="amber", at=((3, 4), (3, 5), (3, 6), (3, 7))),
    lamps(("again", "start", "tilt", "rollover"), colour="white", at=((4, 1), (4, 2), (4, 3), (4, 4))),
)
"""

SETTINGS = (
    ("balls", 3, 1, 5, "balls", "balls in a game"),
    ("tilt_warnings", 2, 0, 3, "warnings", "swings of the bob before a tilt"),
    ("plunge_after", 0, 0, 120, "s", "when a ball left in the shooter lane is plunged; 0 never"),
    ("restart", 0, 0, 2, "choice", "start held in a later ball is a new game: 0 no, 1 in free play, 2 yes"),
    ("free_play", 1, 0, 1, "yes", "games cost nothing"),
    ("coins_1", 1, 1, 10, "coins", "coins of chute 1 for a credit"),
    ("coins_2", 1, 1, 10, "coins", "coins of chute 2 for a credit"),
    ("calm_lamps", 1, 0, 1, "yes", "no lamp blinks faster than 2.5 times a second"),
    ("extra_balls", 1, 0, 5, "balls", "extra balls of a player's game at most"),
    ("consolation", 100_000, 0, 1_000_000, "points", "score below which the last ball gets help; 0 never"),
    ("special", 0, 0, 2, "choice", "a special is: 0 points, 1 a credit, 2 an extra ball"),
    ("wheel_odds", 0, 0, 1, "choice", "odds of the wheel: 0 generous, 1 strict"),
)


class Vault(Hole):
    """A hole for two balls."""

    name = "vault"
    places = ("vault.1", "vault.2")
    eject_coil = "vault_eject"
    chart = (
        ("resting", "vault opened.vault", None, "changed"),
        ("resting", "eject.vault", "ejecting", "pulse"),
        ("ejecting", "opened.vault", None, "leave"),
        ("ejecting", after(SETTLE), "resting", "settle"),
    )


class LeftOrbit(Orbit):
    """The left orbit."""

    name = "left_orbit"
    made_event = "made.orbit.left"
    chart = (
        ("quiet", "orbit.left", "heard", "make"),
        ("heard", after(1500), "quiet"),
    )


class ExtraBall(Feature):
    """An extra ball, for what wins one."""

    name = "extra_ball"
    chart = (("on", "extra_ball.win", None, "win"),)

    def __init__(self, play: RuleContext) -> None:
        super().__init__(play)
        self._balls = ExtraBalls(self, instead=50_000)

    def bind(self) -> None:
        """Set-up is over: find the flow of the game."""
        super().bind()
        self._balls.bind()

    def win(self, event: int) -> None:
        """One more ball."""
        self.give()

    def give(self) -> None:
        """One more ball for this player, or points when the limit is reached."""
        self._balls.give()


SHOTS = (Vault, LeftOrbit, ExtraBall)
CABINET = (NoBonus, Trough, Shooter, Tilt, Credits, Flow, Scoreboard, News)

# What an example need not import.
WORDS: dict[str, object] = {
    "Feature": Feature,
    "Window": Window,
    "ANY": ANY,
    "after": after,
    "external": external,
    "FALL": FALL,
    "CLIMB": CLIMB,
    "NONE": NONE,
    "ON": ON,
    "SLOW": SLOW,
    "FAST": FAST,
    "BALL": BALL,
    "PLAYER": PLAYER,
    "GAME": GAME,
    "PERSISTENT": PERSISTENT,
}


Make = Callable[[RuleContext], Feature]
"""Makes a feature: its class, or what records how it is made."""


@dataclass(frozen=True)
class KitGame:
    """A game of one example, as `Console` takes it."""

    FEATURES: tuple[Make, ...]
    WIRING: WiringTables
    SETTINGS: tuple[tuple[str, int, int, int, str, str], ...] = SETTINGS
    NAME: str = "kit"
    TITLE: bytes = b"KIT"
    SAVERS: tuple[str, ...] = ()


@cache
def machine() -> MachineTables:
    """The tables of the examples' machine."""
    made, errors = made_of(MACHINE, "the machine of the kit's examples")
    if made is None:
        raise errors[0]
    return made


def features_of(part: Part) -> list[type[Feature]]:
    """The feature classes of a part's example, in their order. Raises GameError: no Python, or none in it."""
    made: dict[str, object] = dict(WORDS)
    made[part.cls.__name__] = part.cls
    before = set(made)
    try:
        exec(compile(part.example, f"the example of {part.cls.__name__}", "exec"), made)
    except SyntaxError as error:
        raise GameError(f"the example of {part.cls.__name__} is no Python: {error}") from None
    found = [
        value
        for name, value in made.items()
        if name not in before and isinstance(value, type) and issubclass(value, Feature)
    ]
    if not found:
        raise GameError(f"the example of {part.cls.__name__} has no feature")
    return found


def console(features: Sequence[tuple[str, Make]]) -> Console:
    """A console with these features, by name, in the place of the usual ones. Raises GameError: not wired."""
    names = {name for name, _make in features}
    shots = [each for each in SHOTS if each.name not in names]
    cabinet = [each for each in CABINET if each.name not in names]
    game = KitGame((*shots, *(make for _name, make in features), *cabinet), machine().wiring)
    return Console(cast(GameModule, game))
