"""A small playfield whose switches are watched; not a test itself."""

from firmware.base.trace import Trace
from firmware.play.rule_context import RuleContext
from firmware.play.settings import Settings

try:
    from micropython import heap_lock, heap_unlock
except ImportError:

    def heap_lock():
        pass

    heap_unlock = heap_lock


class Wiring:
    SWITCHES = (
        ("bank.1", "target", "playfield", 1, 1),
        ("bank.2", "target", "playfield", 1, 2),
        ("spinner", "spinner", "playfield", 1, 3),
        ("drop", "target", "playfield", 1, 4),
        ("trough.1", "rest", "device", 1, 5),
        ("coin.1", "coin", "cabinet", 0, 1),
        ("door", "service", "cabinet", 0, 2),
    )
    LAMPS = ()
    COILS = ()
    BALLS = 1
    LATCHED = ("drop",)


BANK_1, BANK_2, SPINNER, DROP, TROUGH, COIN, DOOR = range(7)


def rule_context(settings=()):
    return RuleContext(Wiring, Settings(settings), Trace(), 1)


class Time:
    """Moves a playfield's timers and edges."""

    def __init__(self, play):
        self.play = play

    def edge(self, switch, closed):
        self.play.closed[switch] = closed
        self.play.switch_monitor.record_edge(switch, closed)

    def run(self, ms):
        timers = self.play.timers
        end = timers.now + ms
        while 0 <= timers.due() <= end - timers.now:
            timers.now += timers.due()
            self.play.trace.now = timers.now
            tid = timers.pop()
            while tid >= 0:
                self.play.hooks[tid]()
                tid = timers.pop()
        timers.now = end
        self.play.trace.now = end
