"""One feature in an engine of its own, for tests of parts; not a test itself."""

import struct

from firmware.base.trace import FORMAT, RECORD, Trace
from firmware.charts.engine import Engine
from firmware.charts.model import Region
from firmware.charts.pack import pack
from firmware.play.rule_context import RuleContext
from firmware.play.settings import Settings


class Wiring:
    SWITCHES = tuple(
        [(n, "target", "playfield", 1, 1) for n in ("a.1", "a.2", "a.3", "up", "top", "round", "z", "scoop")]
        + [(n, "flipper", "cabinet", 0, 1) for n in ("button.left", "button.right")]
    )
    LAMPS = tuple(
        [
            (n, "amber", 1, 1)
            for n in ("a.1", "a.2", "a.3", "run", "times.2", "times.3", "again", "guard")
            + ("outlane.right", "outlane.left", "wheel.1", "wheel.2", "wheel.3", "wheel.4")
        ]
    )
    COILS = (
        ("flash", "flasher", 60, 120, 180, 1),
        ("kick", "snap", 20, 30, 60, 2),
        ("reset", "queued", 80, 150, 500, 3),
        ("wheel_motor", "motor", -1, 0, 0, 4),
        ("knocker", "queued", 30, 50, 200, 5),
    )
    REFLEXES = ()
    FLIPPERS = ()
    BALLS = 3


class Machine:
    """One feature in an engine of its own."""

    def __init__(self, make, settings=(), seed=1):
        self.trace = Trace()
        self.play = RuleContext(Wiring, Settings(settings), self.trace, seed)
        for name in self.play.switch_names:
            self.play.events.add(name)
        self.play.events.add("playfield")
        for name in self.play.switch_names:
            self.play.events.add("opened." + name)
        self.play.news = self
        self.feature = make(self.play)
        self.play.features.append(self.feature)
        self.play.memory.close()
        feature = self.feature
        self.play.engine = Engine(
            pack([Region(feature.name, feature, feature.chart, feature.states)], self.play.events),
            self.play.timers,
        )
        self.play.score.live = True
        self.feature.bind()
        self.play.engine.start()
        self.free(1)

    def announce(self, title, points):
        """Stands in for the news."""

    def free(self, balls):
        self.play.out = balls
        self.play.count_free()

    def post(self, name, value=0):
        self.play.engine.post(self.play.events.add(name), value)
        self.play.engine.settle()

    def to(self, now):
        timers = self.play.timers
        while True:
            wait = timers.due()
            if wait < 0 or timers.now + wait > now:
                break
            timers.now += wait
            self.trace.now = timers.now
            ident = timers.pop()
            while ident >= 0:
                hook = self.play.hooks.get(ident)
                if hook:
                    hook()
                else:
                    self.play.engine.post(timers.event[ident], 0)
                self.play.engine.settle()
                ident = timers.pop()
        timers.now = now
        self.trace.now = now

    def records(self, kind):
        out = bytearray(256 * RECORD)
        n = self.trace.take(out, 0, 256)
        found = [struct.unpack_from(FORMAT, out, i * RECORD) for i in range(n)]
        return [r for r in found if r[1] == kind]

    def lamp(self, name):
        self.play.lamps.resolve(lambda lamp, pattern: None)
        return self.play.lamps.shown[self.play.lamps.names.index(name)]

    def wishes(self):
        n = self.play.coils.count
        for _ in range(n):
            self.play.coils.drop()
        return n
