"""The menu of the service pages: which page is shown, what a button does, when time passes."""

import sys

from firmware.operator.service_page import MenuPage, ServicePage
from firmware.play.names import Names

TICK = 100
LEAVE, LESS, MORE, OPEN = range(4)  # the pad's buttons
REPEAT = 6  # ticks after which a held less or more repeats itself
LONG = 10  # ticks after which a held open means more than a press

# What is shown, and the page as MODULE.CLASS, or a further list.
TRY = (
    ("SWITCHES", "switch_pages.Live"),
    ("LAST EDGES", "switch_pages.Recent"),
    ("LAMPS", "lamp_page.Lamps"),
    ("COILS", "coil_page.OneCoil"),
    ("FLIPPERS", "flipper_page.Flippers"),
    ("DISPLAY", "sight_pages.Display"),
    ("CUES", "sight_pages.Cues"),
    ("WHEEL", "wheel_page.Wheel"),
    ("TROUGH", "ball_pages.Trough"),
    ("COINS", "coin_page.Coins"),
)
LAST_ERROR = ("LAST ERROR", "error_page.LastError")
COUNTED = (
    ("TOTALS", "count_pages.Totals"),
    ("AWARDS", "count_pages.Awards"),
    ("SCORES", "count_pages.Scores"),
    ("SWITCHES SEEN", "count_pages.Seen"),
    ("SUSPECTS", "count_pages.Suspects"),
)
TOP = (
    ("FAULTS", "fault_page.FaultLog"),
    ("TRY PARTS", TRY),
    ("SETTINGS", "setting_pages.Each"),
    ("PRESETS", "setting_pages.Presets"),
    ("COUNTS", COUNTED),
    ("EMPTY OF BALLS", "ball_pages.Empty"),
    ("SET BACK", "reset_page.Resets"),
    ("VERSIONS", "version_page.Versions"),
    LAST_ERROR,
)


class MenuNavigator:
    """Lives from the first press of a pad button until the operator leaves or the door is shut."""

    def __init__(self, pad: "PagePad", play: "RuleContext") -> None:
        self.pad = pad
        self.play = play
        self.moved: Cue = pad.moved
        self.heard: Cue = pad.heard
        self.refused: Cue = pad.refused
        tables = pad.service()
        self.switches, self.lamps, self.coils, self.flippers = tables[:4]
        self.trough, self.presets, self.answers = tables[4:]
        self.names = Names(play)
        self._path: list[ServicePage] = [MenuPage(self, "PAGES", TOP)]
        self._held = -1
        self._held_ticks = 0
        self.moved.play()
        pad.ticker.start(TICK)
        self._path[-1].draw()
        if pad.waiting:
            self.enter(*LAST_ERROR)

    def enter(self, title: str, what: "str | tuple[MenuRow, ...]") -> None:
        """Go into a list or a page."""
        self._path.append(MenuPage(self, title, what) if isinstance(what, tuple) else page(what)(self))
        self._path[-1].draw()

    def stop(self) -> None:
        """The pages are left."""
        self._path[-1].stop()

    def edge(self, switch: int, closed: int) -> None:
        """A debounced edge of any switch."""
        button = self.pad.button(switch)
        if button < 0:
            self._path[-1].edge(switch, closed)
        elif closed:
            self._held = button
            self._held_ticks = 0
            self.moved.play()
            self._press(button)
        else:
            self._held = -1

    def tick(self) -> None:
        """A tenth of a second passed."""
        self.pad.ticker.start(TICK)
        if self._held >= 0:
            self._held_ticks += 1
            if self._held_ticks >= REPEAT and self._held in (LESS, MORE):
                self._press(self._held)
        self._path[-1].scroll()
        self._path[-1].tick()

    def held_open(self) -> bool:
        """Whether open has just been held for LONG ticks; True once a press."""
        return self._held == OPEN and self._held_ticks == LONG

    def _press(self, button: int) -> None:
        sheet = self._path[-1]
        if button == LESS:
            sheet.less()
        elif button == MORE:
            sheet.more()
        elif button == OPEN:
            sheet.open_()
        elif button == LEAVE and sheet.leave():
            self._out()

    def _out(self) -> None:
        self._path.pop().stop()
        if self._path:
            self._path[-1].draw()
        else:
            self._path.append(ServicePage(self))
            self.pad.close()


def page(place: str) -> "type[ServicePage]":
    """The class of a page, given as MODULE.CLASS. Its module is imported when the page is first opened."""
    module, _, name = place.partition(".")
    module = "firmware.operator." + module
    __import__(module)
    found: type[ServicePage] = getattr(sys.modules[module], name)
    return found


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.operator.interfaces import PagePad
    from firmware.operator.service_page import MenuRow
    from firmware.play.requests import Cue
    from firmware.play.rule_context import RuleContext
