"""Lamp claims: features request patterns, the highest priority wins; the result is one pattern a lamp."""

from firmware.base.errors import GameError
from firmware.base.trace import LAMP, Trace
from firmware.charts.suggest import did_you_mean

NONE = 0  # no request
ON = 1
SLOW = 2  # blinks at 1 Hz
FAST = 3  # blinks at 2.5 Hz
RAPID = 4  # blinks at 4 Hz; FAST while the setting calm_lamps is on
DARK = 5  # off, whatever claims of lower priority request

LOW = 0
RULE = 1
SHOW = 2
WINDOW = 3
CABINET = 4

MARK = b"\x01"  # a lamp that was touched


class Claim:
    """One feature's request for one lamp; it lasts until it is changed."""

    def __init__(self, claims: "Claims", lamp: int, priority: int) -> None:
        self.lamp = lamp
        self.priority = priority
        self.pattern = NONE
        self._claims = claims

    def set(self, pattern: int) -> None:
        """Request `pattern`; NONE leaves the lamp to others."""
        if pattern != self.pattern:
            self.pattern = pattern
            self._claims.touch(self.lamp)


class Claims:
    """Every claim, and what each lamp shows.

    `dark` (a tilt) leaves only CABINET claims; `touched`: a lamp has to be resolved.
    """

    def __init__(self, names: "tuple[str, ...]", trace: Trace) -> None:
        self.names = names
        self.shown = bytearray(len(names))
        self.dark = False
        self.calm = True
        self.override: bytearray | None = None  # the operator's patterns, above every claim
        self._dirty = bytearray(len(names))
        self.touched = False
        self._trace = trace
        self._by_lamp: list[list[Claim]] = [[] for _ in names]  # the highest priority first
        self._cabinet = bytearray(len(names))  # how many of them are CABINET claims

    def claim(self, name: str, priority: int = RULE, who: str = "") -> Claim:
        """A claim on the lamp called `name`. Raises GameError with the near miss."""
        if name not in self.names:
            raise GameError(
                "lamp '"
                + name
                + "' is used by "
                + who
                + " but not wired"
                + did_you_mean(name, list(self.names))
            )
        claim = Claim(self, self.names.index(name), priority)
        claims = self._by_lamp[claim.lamp]
        at = len(claims)
        while at and claims[at - 1].priority < priority:
            at -= 1
        claims.insert(at, claim)
        if priority >= CABINET:
            self._cabinet[claim.lamp] += 1
        return claim

    def touch(self, lamp: int) -> None:
        """Resolve `lamp` again in the next `resolve`."""
        self._dirty[lamp] = 1
        self.touched = True

    def touch_all(self) -> None:
        """Resolve every lamp again (after `dark` or `calm` changed)."""
        for lamp in range(len(self.shown)):
            self.touch(lamp)

    def resolve(self, show: "Callable[[int, int], None]") -> None:
        """Resolve the touched lamps in wiring order; calls `show(lamp, pattern)` for each change."""
        self.touched = False
        dirty = self._dirty
        lamp = dirty.find(MARK)
        while lamp >= 0:
            dirty[lamp] = 0
            pattern = self._winner(lamp)
            if pattern != self.shown[lamp]:
                self.shown[lamp] = pattern
                self._trace.add(LAMP, lamp, pattern)
                show(lamp, pattern)
            lamp = dirty.find(MARK, lamp + 1)

    def release(self) -> None:
        """The operator has left: claims count again."""
        if self.override is not None:
            self.override = None
            self.touch_all()

    def _winner(self, lamp: int) -> int:
        if self.override is not None:
            return self.override[lamp]
        claims = self._by_lamp[lamp]
        for i in range(self._cabinet[lamp] if self.dark else len(claims)):
            pattern = claims[i].pattern
            if pattern:
                return pattern if pattern < RAPID else self._special(pattern)
        return NONE

    def _special(self, pattern: int) -> int:
        if pattern == DARK:
            return NONE
        return FAST if self.calm else pattern


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
