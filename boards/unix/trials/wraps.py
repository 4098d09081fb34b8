"""Row 12: a clock that wraps in mid-play; the trace must equal that of a clock that does not.

In four of five trials the ticks wrap, in the fifth the console's own count of milliseconds since its
start, as on a machine that stays on for 12.4 days.
"""

from boards.unix.trials import machines
from boards.unix.trials.tally import Tally
from firmware.base import ticks
from firmware.base.chance import Stream

PERIOD = ticks.MASK + 1
PLAY_MS = 8_000
EACH = 10  # wraps at random moments of one and the same play
OWN_COUNT = 5


def run(_row: int, count: int, seed: int) -> Tally:
    """`count` wraps, at random moments of random plays on the games in turn."""
    tally = Tally()
    chance = Stream(seed, 12)
    played = 0
    while tally.ran < count:
        name = machines.GAMES[played % len(machines.GAMES)]
        own_seed = seed + played
        played += 1
        plain = _digest(tally, name, own_seed, 0, 0)
        for turn in range(min(EACH, count - tally.ran)):
            at = 1 + chance.below(PLAY_MS - 1)
            own = turn % OWN_COUNT == OWN_COUNT - 1
            found = _digest(tally, name, own_seed, 0 if own else PERIOD - at, PERIOD - at if own else 0)
            tally.ran += 1
            tally.count("wraps of the time since the start" if own else "wraps of the clock")
            if found != plain:
                what = "its own time" if own else "the clock"
                tally.failed(f"{name}, seed {own_seed}: {what} wraps at {at} ms, and the trace is another")
    tally.count("plays that do not wrap", played)
    return tally


def _digest(tally: Tally, name: str, seed: int, start_ms: int, age_ms: int) -> str:
    play = machines.play(name, seed, start_ms, age_ms)
    play.go(PLAY_MS)
    tally.count("events", play.events)
    tally.count("coil commands", play.commands)
    return play.digest()
