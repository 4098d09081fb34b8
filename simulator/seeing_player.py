"""A simulated player who looks at the lamps, aims, misses, traps, nudges and holds balls."""

from collections.abc import Mapping

from firmware.base.chance import Stream
from simulator.aiming import Timing
from simulator.sight import Aim, Sight
from simulator.skill import Skill

STREAM = 16  # number of the random stream
LEAST_THINK_MS, MOST_THINK_MS = 60, 900
TRAP_MS = 1_200  # that a ball is held before a shot from rest
LONGEST_MS = 4_000  # between two decisions, of which danger comes
PARTS = 10_000
HOLDS = 6  # decisions at most that a ball is held for another one
BOB_PER_CENT = 8  # how often a nudge swings the tilt bob
BUTTON_PER_CENT = 30
OFF, SLOW, FAST = 0, 2, 3  # what a lamp shows; 1 is steadily lit
EYE_CATCHING = {SLOW: 2, FAST: 4}


class SeeingPlayer:
    """Plays a game by a skill, from what a person sees: the lamps, and where the balls are."""

    def __init__(self, skill: Skill, sight: Sight, seed: int, timing: Timing | None = None) -> None:
        """`timing`: what becomes of aimed shots, by a map, instead of by their angles."""
        self._timing = timing
        self._skill = skill
        self._sight = sight
        self._chance = Stream(seed, STREAM)
        self._weights = tuple(weight for _, weight in sight.loose)
        self._lamps: Mapping[str, int] = {}
        self._trapped = False
        self._swung = False
        self._held = 0
        self._looked_at = self._played = 0
        self._balls = 1

    def look(self, lamps: Mapping[str, int], now_ms: int) -> None:
        """See the lamps before a shot."""
        self._lamps = lamps
        self._played = min(now_ms - self._looked_at, LONGEST_MS)
        self._looked_at = now_ms

    def choose_balls(self, waiting: int, moving: int) -> int:
        """How many of the waiting balls are shot now; the others are held at the flippers."""
        if self._skill.waits and moving and self._held < HOLDS:
            self._held += 1
            return 0
        self._held = 0
        self._balls = waiting + moving
        return min(1, waiting) if self._skill.plans else waiting

    def choose_shot(self) -> str:
        """What becomes of the next ball that leaves a flipper."""
        sight, skill = self._sight, self._skill
        drawn = self._chance.below(PARTS)
        middle = self._danger(skill.drains if sight.sides else skill.drains + skill.sides)
        if sight.middle and drawn < middle:
            return self._one_of(sight.middle)
        if sight.sides and drawn - middle < self._danger(skill.sides) and not self._saves():
            return self._one_of(sight.sides)
        return self._aim() or self._sight.loose[self._chance.weighted(self._weights)][0]

    def draw_think_ms(self) -> int:
        """How long (ms) until the next decision; longer when the ball is trapped first."""
        self._trapped = self._chance.below(100) < self._skill.traps
        wait = LEAST_THINK_MS + self._chance.below(MOST_THINK_MS - LEAST_THINK_MS)
        return wait + TRAP_MS * self._trapped

    def choose_button(self) -> str:
        """The flipper button pressed before the shot, or ""."""
        if self._chance.below(100) >= BUTTON_PER_CENT:
            return ""
        return "button.right" if self._chance.below(2) else "button.left"

    def choose_aim(self) -> str:
        """The flipper button that a player who plans presses before a plunge, or ""."""
        return self.choose_button() if self._skill.plans else ""

    def choose_nudge(self) -> str:
        """The switch of the tilt bob when the last nudge made it swing, else ""."""
        swung, self._swung = self._swung, False
        return "tilt" if swung else ""

    def choose_player_count(self, most: int) -> int:
        """How many players start the game, 1 to `most`."""
        return 1 + self._chance.below(most)

    def _danger(self, rate: int) -> int:
        """How many of PARTS shots are lost at `rate` losses in 1,000 s of one ball, after this time."""
        parts = rate * self._played * self._balls // 100
        return parts // 2 if self._trapped else parts

    def _saves(self) -> bool:
        """Nudge a ball away from an outlane."""
        if self._chance.below(100) >= self._skill.nudges:
            return False
        self._swung = self._chance.below(100) < BOB_PER_CENT
        return True

    def _aim(self) -> str:
        """Aim at something that is lit; "": the player does not look, or nothing asks for a shot."""
        if self._chance.below(100) >= self._skill.looks:
            return ""
        wanted = [(aim, pull) for aim in self._sight.aims if (pull := self._pull(aim))]
        if not wanted:
            return ""
        if self._skill.plans:
            best = max(pull for _, pull in wanted)
            wanted = [(aim, pull) for aim, pull in wanted if pull == best]
        aim, _ = wanted[self._chance.weighted(tuple(pull for _, pull in wanted))]
        odds = self._timing.odds(aim.shot, self._trapped) if self._timing else ()
        if odds:
            return odds[self._chance.weighted(tuple(weight for _, weight in odds))][0]
        target = self._sight.target(aim.shot)
        return self._sight.reached(target, self._error()) if target else ""

    def _pull(self, aim: Aim) -> int:
        """How much a lamp draws the eye now; 0: not at all."""
        shown = self._lamps.get(aim.lamp, OFF)
        if aim.while_dark:
            return aim.worth if shown == OFF else 0
        return aim.worth * 2 * EYE_CATCHING.get(shown, 1) if shown != OFF else 0

    def _error(self) -> int:
        """A draw of nearly normal spread (the sum of twelve, less their mean), tenths of a degree."""
        total = sum(self._chance.below(1_000) for _ in range(12)) - 5_994
        spread = self._skill.spread // 2 if self._trapped else self._skill.spread
        return total * spread // 1_000

    def _one_of(self, names: tuple[str, ...]) -> str:
        return names[self._chance.below(len(names))]
