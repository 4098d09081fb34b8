"""The way to each page: a function imports the page's class and lets its module go.

What a page takes is free again when the last instance goes. A bundle keeps each page in a file of its
own, and gives these functions another body.
"""

from firmware.base.apart import forget


def live() -> "Any":
    from firmware.operator.switch_pages import Live

    forget("firmware.operator.switch_pages")
    return Live


def recent() -> "Any":
    from firmware.operator.switch_pages import Recent

    forget("firmware.operator.switch_pages")
    return Recent


def lamps() -> "Any":
    from firmware.operator.lamp_page import Lamps

    forget("firmware.operator.lamp_page")
    return Lamps


def one_coil() -> "Any":
    from firmware.operator.coil_page import OneCoil

    forget("firmware.operator.coil_page")
    return OneCoil


def flippers() -> "Any":
    from firmware.operator.flipper_page import Flippers

    forget("firmware.operator.flipper_page")
    return Flippers


def display() -> "Any":
    from firmware.operator.sight_pages import Display

    forget("firmware.operator.sight_pages")
    return Display


def cues() -> "Any":
    from firmware.operator.sight_pages import Cues

    forget("firmware.operator.sight_pages")
    return Cues


def wheel() -> "Any":
    from firmware.operator.wheel_page import Wheel

    forget("firmware.operator.wheel_page")
    return Wheel


def trough() -> "Any":
    from firmware.operator.ball_pages import Trough

    forget("firmware.operator.ball_pages")
    return Trough


def coins() -> "Any":
    from firmware.operator.coin_page import Coins

    forget("firmware.operator.coin_page")
    return Coins


def totals() -> "Any":
    from firmware.operator.count_pages import Totals

    forget("firmware.operator.count_pages")
    return Totals


def awards() -> "Any":
    from firmware.operator.count_pages import Awards

    forget("firmware.operator.count_pages")
    return Awards


def scores() -> "Any":
    from firmware.operator.count_pages import Scores

    forget("firmware.operator.count_pages")
    return Scores


def seen() -> "Any":
    from firmware.operator.count_pages import Seen

    forget("firmware.operator.count_pages")
    return Seen


def suspects() -> "Any":
    from firmware.operator.count_pages import Suspects

    forget("firmware.operator.count_pages")
    return Suspects


def faults() -> "Any":
    from firmware.operator.fault_page import FaultLog

    forget("firmware.operator.fault_page")
    return FaultLog


def settings() -> "Any":
    from firmware.operator.setting_pages import Each

    forget("firmware.operator.setting_pages")
    return Each


def presets() -> "Any":
    from firmware.operator.setting_pages import Presets

    forget("firmware.operator.setting_pages")
    return Presets


def empty() -> "Any":
    from firmware.operator.ball_pages import Empty

    forget("firmware.operator.ball_pages")
    return Empty


def resets() -> "Any":
    from firmware.operator.reset_page import Resets

    forget("firmware.operator.reset_page")
    return Resets


def versions() -> "Any":
    from firmware.operator.version_page import Versions

    forget("firmware.operator.version_page")
    return Versions


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any
