"""A driver board's senses on a bench of their own; not a test itself."""

from firmware.devices import supply_monitor
from firmware.devices.native import senses
from firmware.devices.native.senses import sense
from firmware.devices.supply_monitor import (
    SupplyMonitor,
)

JUDGED_MV = 9_000
ALL_OFF = 0xFFFF  # drains of a board with the bus up and every drive off


class Wiring:
    SWITCHES = ()
    LAMPS = ()
    COILS = (
        ("kick", "snap", 20, 30, 60, 1),
        ("eject", "queued", 30, 60, 300, 2),
        ("strong", "flipper", 40, 60, 10, 4),
        ("hold", "flipper", -1, 0, 0, 5),
        ("strong.two", "flipper", 40, 60, 10, 6),
        ("hold.two", "flipper", -1, 0, 0, 25),
        ("flash", "flasher", 60, 120, 180, 17),
    )
    REFLEXES = ()
    FLIPPERS = (("a", "b", "strong", "hold", 40), ("c", "d", "strong.two", "hold.two", 40))
    HEAT = (("kick", 10000, 4000, 2), ("eject", 5000, 4000, 2), ("hold", 120, 4000, 10))


class Bench:
    """A board that is fed, enabled, shut, with its bus up."""

    def __init__(self):
        self.s = supply_monitor.new(JUDGED_MV)
        self.supply = SupplyMonitor(self.s, 0b111111, 33_000, 0)
        self.bus = 48_000
        self.fed = self.enabled = self.shut = 1
        self.drains = ALL_OFF
        self.sent = 0
        self.see()
        assert self.run(250) == 0
        assert self.s[senses.WITHHELD] == 0

    def run(self, ms):
        """The first fault in so many ms, 0 when there was none."""
        for _ in range(ms):
            fault = sense(self.s, self.drains, self.sent, self.fed, self.enabled, self.shut, self.bus)
            if fault:
                return fault
        return 0

    def see(self, coil_mv=48_000, logic_mv=5000, drawn=0, predicted=0):
        return self.supply.sample(coil_mv, logic_mv, drawn, predicted)


class NoReflexes(Wiring):
    FLIPPERS = ()


class Log:
    def __init__(self):
        self.told = []

    def report(self, name, detail=0):
        self.told.append((name, detail))
