"""An outhole: a trough of one ball, which rests where it drained until it is kicked to the shooter lane."""

from firmware.cabinet.trough import Trough
from firmware.charts.model import ANY


class Outhole(Trough):
    """The one ball is counted when it is still; a kick that does not bring it to the lane is tried again."""

    eject_coil = "outhole_kick"
    jam_switch = None
    chart = (
        ("resting", "serve.wanted", "ejecting", "eject"),
        ("ejecting", "trough_ejected", "resting", "served"),
        ("ejecting", "trough_late", "resting", "slip", "has_left"),
        ("ejecting", "trough_late", None, "eject", "may_retry"),
        ("ejecting", "trough_late", "stuck", "give_up", "not may_retry"),
        ("stuck", "trough_ejected", "resting", "served"),
        ("stuck", "start", "ejecting", "eject_again"),
        ("stuck", "trough_still", "ejecting", ("count", "eject_again")),
        (ANY, "outhole opened.outhole", None, "moved"),
        (ANY, "trough_still", None, "count"),
    )
