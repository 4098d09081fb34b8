"""What the desk's own keys do, by the name of their function."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from firmware.base.errors import ScriptError
from simulator.desk.palette import PALETTES
from simulator.desk.panels import NAMES

if TYPE_CHECKING:
    from simulator.desk.desk import Desk

LONGEST_STEP_MS = 1000
LEAP_MS = 5000


def help_(desk: "Desk", detail: str) -> None:
    """Show the help, or go back to the game."""
    desk.show("game" if desk.panel == "help" else "help")


def panel(desk: "Desk", detail: str) -> None:
    """Show the next panel."""
    desk.show(NAMES[(NAMES.index(desk.panel) + 1) % len(NAMES)])


def panel_before(desk: "Desk", detail: str) -> None:
    """Show the panel before."""
    desk.show(NAMES[NAMES.index(desk.panel) - 1])


def chart(desk: "Desk", detail: str) -> None:
    """Show the charts, or go back to the game."""
    if not desk.charts.names():
        desk.message = "! this machine has no charts"
    else:
        desk.show("game" if desk.panel == "charts" else "charts")


def chart_before(desk: "Desk", detail: str) -> None:
    """Show the chart before; another panel turns a page back."""
    _turn(desk, -1)


def chart_after(desk: "Desk", detail: str) -> None:
    """Show the next chart; another panel turns a page."""
    _turn(desk, 1)


def _turn(desk: "Desk", by: int) -> None:
    if desk.panel in ("game", "charts") and desk.charts.names():
        desk.charts.choose_next(by)
        desk.show("charts")
    else:
        desk.page = max(0, desk.page + by)


def pause(desk: "Desk", detail: str) -> None:
    """Stop the time, or let it go on."""
    desk.pace.paused = not desk.pace.paused
    desk.message = "the time is stopped; P goes on" if desk.pace.paused else "the time goes on"


def slower(desk: "Desk", detail: str) -> None:
    """Let time run more slowly."""
    desk.pace.slower()


def faster(desk: "Desk", detail: str) -> None:
    """Let time run faster."""
    desk.pace.faster()


def step(desk: "Desk", detail: str) -> None:
    """Run to the next due action, at most LONGEST_STEP_MS on, and stop the time."""
    desk.pace.paused = True
    machine = desk.machine
    now = machine.now
    dues = [due for due in (machine.next_due(), desk.hands.next_due()) if due is not None]
    desk.run(min(max(min(dues, default=now), now + 1), now + LONGEST_STEP_MS) - now)
    desk.message = f"one step of {machine.now - now} ms"


def step_back(desk: "Desk", detail: str) -> None:
    """Go back to the event before, and stop the time."""
    now = desk.machine.now
    before = next((event.ms for event in reversed(desk.machine.view.history) if event.ms < now), None)
    if before is None:
        desk.message = "! nothing happened before"
    else:
        desk.go_to(before)


def back(desk: "Desk", detail: str) -> None:
    """Go LEAP_MS back."""
    if desk.past is None:
        desk.go_to(0)
    else:
        desk.go_to(max(desk.past.earliest, desk.past.now - LEAP_MS))


def on(desk: "Desk", detail: str) -> None:
    """Go LEAP_MS on, within what is recorded."""
    if desk.past is None:
        desk.go_to(0)
    else:
        desk.go_to(min(desk.past.latest, desk.past.now + LEAP_MS))


def begin(desk: "Desk", detail: str) -> None:
    """The part of the time that a script is to be made of begins here."""
    desk.timeline.begins_ms = desk.machine.now
    desk.message = f"a script begins at {desk.machine.now / 1000:.3f} s; ; ends and writes it"


def script(desk: "Desk", detail: str) -> None:
    """Write everything up to now as a switch script, with a mark where its part begins."""
    begins = desk.timeline.begins_ms
    if desk.past is None:
        desk.message = "! nothing is recorded that could be a script"
    elif begins is not None and begins > desk.machine.now:
        desk.message = "! the script begins later than here; go on, or begin it anew"
    else:
        desk.message = desk.past.write_script(begins)


def cradle(desk: "Desk", detail: str) -> None:
    """Hold both flippers up, so that a ball rests on one, or let them down."""
    desk.act()
    held = False
    for flipper in desk.flippers:
        desk.hands.toggle_latch(flipper)
        held = desk.hands.is_latched(flipper)
    desk.message = "flippers held up: ' lets them down" if held else "flippers down"


def sound(desk: "Desk", detail: str) -> None:
    """Switch sounds on or off."""
    desk.message = desk.sounds.toggle()


def palette(desk: "Desk", detail: str) -> None:
    """Draw in the next palette."""
    desk.use(PALETTES[(PALETTES.index(desk.palette) + 1) % len(PALETTES)])
    desk.message = f"colours: {desk.palette.name}"


def calm(desk: "Desk", detail: str) -> None:
    """Let lamps change slowly and flashers stay by themselves, or not."""
    field = desk.picture.field
    field.calm = not field.calm
    desk.message = "calm light on" if field.calm else "calm light off"


def full(desk: "Desk", detail: str) -> None:
    """Fill the screen, or go back to a window."""
    desk.wants_full = not desk.wants_full


def picture(desk: "Desk", detail: str) -> None:
    """Save what is seen as a picture."""
    desk.picture_wanted = True


def nudge(desk: "Desk", detail: str) -> None:
    """Push the cabinet."""
    desk.act()
    try:
        desk.machine.nudge(detail)
    except ScriptError as error:
        desk.message = f"! {error.text}"


def leave(desk: "Desk", detail: str) -> None:
    """Go back to the game's panel; from there, leave."""
    if desk.panel == "game":
        desk.is_open = False
    else:
        desk.show("game")


FUNCTIONS: dict[str, Callable[["Desk", str], None]] = {
    "help": help_,
    "panel": panel,
    "panel_before": panel_before,
    "chart": chart,
    "chart_before": chart_before,
    "chart_after": chart_after,
    "pause": pause,
    "slower": slower,
    "faster": faster,
    "step": step,
    "step_back": step_back,
    "back": back,
    "on": on,
    "begin": begin,
    "script": script,
    "cradle": cradle,
    "sound": sound,
    "palette": palette,
    "calm": calm,
    "full": full,
    "picture": picture,
    "nudge": nudge,
    "leave": leave,
}
