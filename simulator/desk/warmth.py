"""How bright each lamp is: a bulb's filament warms and cools, an LED follows at once.

First order: the difference from what it is driven to falls by 1 − 1/e in a time constant, of some tens of ms
for small bulbs (common practice, no source); cooling takes longer.
"""

import math
from collections.abc import Collection, Mapping

from firmware.devices.lamps import lit

WARMS_MS = 35
COOLS_MS = 70
CALM_MS = 300  # both, where a calm picture is wanted
LEVELS = 12
JUMP_MS = 400  # after a longer step, or one back, every lamp is where it was driven to


class Warmth:
    """Follows lamps in time; `levels` by name, 0 dark to LEVELS. `instant`: those that are LEDs."""

    def __init__(self, instant: Collection[str] = ()) -> None:
        self.is_calm = False
        self.levels: dict[str, int] = {}
        self.is_changing = False
        self._instant = frozenset(instant)
        self._heat: dict[str, float] = {}
        self._at: int | None = None

    def settle(self) -> None:
        """Let every lamp be where it is driven to, the next time it is looked at."""
        self._at = None

    def follow(self, lamps: Mapping[str, int], now_ms: int) -> None:
        """Let lamps of these patterns reach `now_ms`."""
        self.drive({name: lit(pattern, now_ms) for name, pattern in lamps.items()}, now_ms)

    def drive(self, driven: Mapping[str, bool], now_ms: int) -> None:
        """Let lamps that are driven (True) or not reach `now_ms`."""
        passed = None if self._at is None else now_ms - self._at
        self._at = now_ms
        jumps = passed is None or not 0 <= passed <= JUMP_MS
        step = 0 if passed is None else passed
        up, down = (CALM_MS, CALM_MS) if self.is_calm else (WARMS_MS, COOLS_MS)
        rising, falling = 1 - math.exp(-step / up), 1 - math.exp(-step / down)
        self.is_changing = False
        for name, on in driven.items():
            goal = 1.0 if on else 0.0
            heat = self._heat.get(name, goal)
            if heat != goal:
                at_once = jumps or name in self._instant
                heat = goal if at_once else heat + (goal - heat) * (rising if on else falling)
                if abs(heat - goal) < 0.5 / LEVELS:
                    heat = goal
                self.is_changing = self.is_changing or heat != goal
            self._heat[name] = heat
            self.levels[name] = round(heat * LEVELS)
