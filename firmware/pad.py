"""The service pad: when its pages may open, which events reach the rules meanwhile, and safe mode.

The pages themselves (firmware.operator) are imported when they are first opened, so that a machine whose
pages nobody opens has no memory taken by them.
"""

from firmware.base.trace import REFUSED
from firmware.play.pages import OPERATOR

NAMES = ("pad.leave", "pad.less", "pad.more", "pad.open")
OPEN = 3  # place of pad.open among them
SAFE_MS = 1000  # ms after power-on in which closing pad.open starts safe mode
NOTICE_MS = 3000
NOT_ARMED = 3  # reason of a refusal, see devices.coil_limiter
NOWHERE = -1
DEVICE = 1  # place of "device" among devices.switches.ZONES


class ServicePad:
    """One machine's pad.

    `coils_blocked`: no coil moves for the rules: pages are open, safe mode, or an error that is not
    acknowledged yet.
    `awake`: it takes every edge; otherwise those of its `buttons` only (by switch: 1 + the
    place among NAMES, or 0).
    `ended`: the base.crash record of the error that ended the program before this start, None without one.
    `waiting`: called when a person has acknowledged it; None when nothing waits for that.
    """

    _flow: "Flow"

    def __init__(self, console: "PadConsole", game: "GameModule") -> None:
        play = console.play
        names = play.switch_names
        self.console = console
        # Gives the game's service tables; a game that has none of its own has those of its wiring.
        self.service: Callable[[], ServiceTables] = getattr(game, "service", None) or DefaultServiceTables(
            game.WIRING
        )
        self.game = getattr(game, "NAME", "")
        self.safe = False
        self.coils_blocked = False
        self.awake = True
        self.ended: Crash | None = None
        self.waiting: Callable[[], None] | None = None
        self._fresh = True  # no edge came later than SAFE_MS yet; the time alone would wrap
        self.screen = play.pages.page(OPERATOR)
        self.ticker = play.clock(self._tick)
        self.moved = play.cues.cue("pad")
        self.refused = play.cues.cue("pad_refused")
        self.heard = play.cues.cue("pad_heard")
        self.buttons = bytearray([1 + NAMES.index(name) if name in NAMES else 0 for name in names])
        self.door = names.index("door") if "door" in names else NOWHERE
        self.key = names.index("service_key") if "service_key" in names else NOWHERE
        self._menu: MenuNavigator | None = None

    def bind(self) -> None:
        """Set-up is over."""
        self._flow = self.console.play.find("game")

    def is_door_open(self) -> bool:
        """Whether the coin door is open."""
        return self.door >= 0 and bool(self.console.play.closed[self.door])

    def is_key_on(self) -> bool:
        """Whether the keyed service switch is on."""
        return self.key >= 0 and bool(self.console.play.closed[self.key])

    def is_attract(self) -> bool:
        """Whether no game is on."""
        return self._flow.is_in("attract")

    def is_open(self) -> bool:
        """Whether the pages are open."""
        return self._menu is not None

    def button(self, switch: int) -> int:
        """Its place among NAMES; NOWHERE for any other switch."""
        return self.buttons[switch] - 1

    def handle_edge(self, switch: int, closed: int) -> bool:
        """Whether the pad takes an edge, so that it does not reach the rules."""
        taken = self._handle_edge(switch, closed)
        self.awake = self._fresh or self.coils_blocked
        return taken

    def _handle_edge(self, switch: int, closed: int) -> bool:
        if self._fresh and self.console.now >= SAFE_MS:
            self._fresh = False
        if self._menu:
            self._menu.edge(switch, closed)
            if switch == self.door and not closed:
                self.close()
        elif closed:
            button = self.button(switch)
            if button == OPEN and self._fresh:
                self._begin_safe()
                return True
            if button >= 0 and self._begin(button):
                return True
        if self.coils_blocked:
            return switch != self.door and self.console.zones[switch] != DEVICE
        return False

    def blocks_coil(self, coil: int) -> bool:
        """Whether the rules may not move `coil`; a refusal is recorded."""
        if self.coils_blocked:
            self.console.trace.add(REFUSED, coil, NOT_ARMED)
        return self.coils_blocked

    def close(self) -> None:
        """Leave the pages: coils off, lamps and display back to the rules."""
        play = self.console.play
        if self._menu:
            self._menu.stop()
            self._menu = None
        self.console.coils.all_off()
        self.coils_blocked = self.safe or self.waiting is not None
        self.ticker.stop()
        play.lamps.release()
        self.console.settings_changed()
        self._rest()

    def show_notice(self, first: bytes, second: bytes) -> None:
        """Two lines for a moment, when no page is open."""
        self._say(first, second)
        self.ticker.start(NOTICE_MS)

    def require_acknowledgement(self, ended: "Crash", acknowledged: "Callable[[], None]") -> None:
        """No coil moves and no game starts until a person has acknowledged what ended the program."""
        self.ended = ended
        self.waiting = acknowledged
        self.coils_blocked = self.awake = True
        self._rest()

    def acknowledge(self) -> None:
        """The error was read: the board may enable coils, and the rules have them when the pages are left."""
        acknowledged, self.waiting = self.waiting, None
        if acknowledged:
            acknowledged()

    def is_usable(self) -> bool:
        """Whether there is a pad behind a door: a game may do without."""
        return self.door >= 0 and self.buttons.find(bytes([OPEN + 1])) >= 0  # no `in`: the chip's has none

    def _rest(self) -> None:
        """Write the two lines while no page is open."""
        if self.safe:
            self._say(b"SAFE MODE", b"COILS ARE OFF")
        elif self.waiting:
            self._say(b"ENDED BY ERROR", b"OPEN COIN DOOR")
        else:
            self.screen.hide()

    def _say(self, first: bytes, second: bytes) -> None:
        self.screen.title(0, first)
        self.screen.title(1, second)
        self.screen.show()

    def _begin(self, button: int) -> bool:
        """Whether the pages opened. Not in a game, and only with the door open."""
        play = self.console.play
        if play.live or not (self.safe or self.is_attract()):
            self.refused.play()
            return False
        if not self.is_door_open():
            self.refused.play()
            self.show_notice(b"DOOR IS SHUT", b"OPEN IT FIRST")
            return False
        self.console.coils.all_off()
        self.coils_blocked = True
        self.ticker.stop()
        from firmware.operator.navigator import MenuNavigator  # here: they take memory

        self._menu = MenuNavigator(self, play)
        return True

    def _begin_safe(self) -> None:
        self.safe = True
        self.coils_blocked = True
        self.console.coils.all_off()
        self.console.board.enable(False)
        self._rest()

    def _tick(self) -> None:
        if self._menu:
            self._menu.tick()
        else:
            self._rest()


class DefaultServiceTables:
    """The service tables of a game that has no `service`: its wiring, no presets, no answers."""

    def __init__(self, wiring: "WiringTables") -> None:
        self._tables = (wiring.SWITCHES, wiring.LAMPS, wiring.COILS, wiring.FLIPPERS, wiring.TROUGH, (), ())

    def __call__(self) -> "ServiceTables":
        """The tables, in the order of play.interfaces.ServiceTables."""
        return self._tables


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.base.crash import Crash
    from firmware.cabinet.flow import Flow
    from firmware.operator.interfaces import PadConsole
    from firmware.operator.navigator import MenuNavigator
    from firmware.play.interfaces import GameModule, ServiceTables, WiringTables
