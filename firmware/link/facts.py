"""What a host may ask of a console that runs: numbers of one kind, the fault log. It is only looked at."""

from firmware.base import ticks
from firmware.devices.native import limiter as c
from firmware.link import frames

PERMILLE = 1000
COOLEST_MS = 1_000_000  # longer than any coil stays warm; times what it cools in a ms it is a small integer
SCORES_AT = 4  # place of player 1's score


def send(out: "Sender", console: "Console", what: int, at: int, sensed: "tuple[int, ...]", now: int) -> None:
    """Answer ASK for the numbers of `what` from place `at` on, or for entry `at` of the fault log.

    `sensed` is what the board knows of itself; `now` is the tick by which the coil limiter counts.
    """
    if what == frames.FAULTS:
        _send_entry(out, console.play.faults, at)
        return
    out.begin(frames.FACTS)
    out.u8(what)
    _put_u16(out, at)
    end = min(count(console, what, sensed), at + frames.FACTS_MOST)
    while at < end:
        out.u32(number(console, what, at, sensed, now))
        at += 1
    out.send()


def _send_entry(out: "Sender", faults: "Faults", at: int) -> None:
    """An entry of the fault log; without numbers and a name when there is none at this place."""
    out.begin(frames.ENTRY)
    _put_u16(out, at)
    _put_u16(out, faults.count)
    if at < faults.count:
        detail, times = faults.numbers(at)[:2]
        out.u32(detail)
        out.u32(times)
        out.put(faults.name(at).encode()[: frames.NAME_MOST])
    out.send()


def _put_u16(out: "Sender", n: int) -> None:
    out.u8(n & 0xFF)
    out.u8(n >> 8)


def count(console: "Console", what: int, sensed: "tuple[int, ...]") -> int:
    """How many numbers there are of this kind."""
    play = console.play
    if what == frames.WINDOWS:
        return len(play.windows)
    if what == frames.VALUES:
        return len(console.memory.values)
    if what == frames.SWITCHES:
        return len(play.closed)
    if what == frames.LAMPS:
        return len(play.lamps.shown)
    if what == frames.COILS or what == frames.HEAT:
        return console.coils.limiter.state[c.COILS]
    if what == frames.TEXTS:
        return len(play.pages.shown)
    if what == frames.STATES:
        return console.table.charts
    if what == frames.SCORES:
        return SCORES_AT + len(play.score.scores)
    if what == frames.SETTINGS:
        return len(console.settings.all)
    return len(sensed)


def number(console: "Console", what: int, at: int, sensed: "tuple[int, ...]", now: int) -> int:
    """The number at this place."""
    play = console.play
    if what == frames.WINDOWS:
        return console.window_left(at)
    if what == frames.VALUES:
        return console.memory.values[at].value
    if what == frames.SWITCHES:
        return play.closed[at]
    if what == frames.LAMPS:
        return play.lamps.shown[at]
    if what == frames.COILS:
        return console.coils.limiter.state[c.HEAD + at * c.COIL + c.STATE]
    if what == frames.HEAT:
        return heat(console.coils.limiter.state, at, now)
    if what == frames.TEXTS:
        return play.pages.shown[at]
    if what == frames.STATES:
        return console.engine.leaf[at]
    if what == frames.SCORES:
        return _score(console, at)
    if what == frames.SETTINGS:
        return console.settings.all[at].value
    return sensed[at]


def heat(state: "MutableSequence[int]", coil: int, now: int) -> int:
    """The heat of a coil in thousandths of what it bears; the limiter's own figure is left as it is."""
    row = c.HEAD + coil * c.COIL
    if not state[row + c.BUDGET]:
        return 0
    past = min(max(0, ticks.diff(now, state[row + c.HEAT_AT])), COOLEST_MS)
    left = state[row + c.HEAT] - past * state[row + c.COOLS]
    return max(0, left) // (state[row + c.BUDGET] // PERMILLE or 1)


def _score(console: "Console", at: int) -> int:
    """Playing player from 1, players, ball, whether a game runs; then each player's score."""
    play = console.play
    if at >= SCORES_AT:
        return play.score.scores[at - SCORES_AT]
    if at == 0:
        return play.score.player + 1
    if at == 1:
        return play.players
    return play.ball if at == 2 else int(not console.pad.is_attract())


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import MutableSequence

    from firmware.console import Console
    from firmware.link.frames import Sender
    from firmware.play.faults import Faults
