"""What `inlane watch` shows of a machine that plays: one screen of text."""

from collections.abc import Iterable

from rich.columns import Columns
from rich.console import Group, RenderableType
from rich.panel import Panel
from rich.table import Table
from rich.text import Text

from hil.bench.view import OFF, CoilState, pattern_words
from hil.bench.watched import WatchedMachine

LAST_AWARDS = 6
RECENT_MS = 3000  # a coil that acted so lately is shown although it is cold
WARM = 0.02  # a share of what a coil bears
HOT = 0.8
BAR = 10  # letters


def screen(machine: WatchedMachine) -> RenderableType:
    """The machine as it was found by the last poll."""
    return Group(
        _head(machine),
        *(Text(f"  [{line}]", "bold") for line in machine.view.lines),
        Columns([_lamps(machine), _contacts(machine), _coils(machine)], expand=True),
        Columns([_windows(machine), _awards(machine), _faults(machine)], expand=True),
    )


def _head(machine: WatchedMachine) -> Text:
    view = machine.view
    scores = "  ".join(
        f"{'>' if player == view.player and view.playing else ' '}player {player}: {score:,}"
        for player, score in view.scores.items()
    )
    at = f"ball {view.ball}" if view.playing else "no game is on"
    parts = [machine.game_name, f"watched for {machine.now_ms / 1000:.1f} s", at, scores, _supplies(machine)]
    if machine.lost:
        parts.append(f"{machine.lost} records were missed")
    return Text("  ·  ".join(part for part in parts if part), "reverse")


def _supplies(machine: WatchedMachine) -> str:
    if not machine.sensed:
        return ""
    bus_mv, logic_mv, withheld = machine.sensed
    words = f"coil bus {bus_mv / 1000:.1f} V, logic {logic_mv / 1000:.2f} V"
    return words + (", coils withheld" if withheld else "")


def _box(title: str, lines: Iterable[str]) -> Panel:
    return Panel("\n".join(lines) or "none", title=title, title_align="left")


def _lamps(machine: WatchedMachine) -> Panel:
    lit = [(name, pattern) for name, pattern in machine.view.lamps.items() if pattern != OFF]
    return _box("lamps", [f"{name} {pattern_words(pattern)}" for name, pattern in lit])


def _contacts(machine: WatchedMachine) -> Panel:
    return _box("closed contacts", [name for name, closed in machine.view.switches.items() if closed])


def _coils(machine: WatchedMachine) -> Panel:
    """Those that acted lately or are warm; heat as a share of what each bears."""
    table = Table.grid(padding=(0, 2))
    shown = 0
    for name, coil in machine.view.coils.items():
        share = machine.heat.get(name, 0.0)
        ago = machine.view.now_ms - coil.since
        acts = coil.value != 0 and (coil.value < 0 or ago < RECENT_MS)
        if share >= WARM or acts:
            shown += 1
            table.add_row(name, _act(coil, ago) if acts else "", bar(share))
    return Panel(table if shown else "all cold", title="coils", title_align="left")


def _act(coil: CoilState, ago_ms: int) -> str:
    return "held" if coil.value < 0 else f"{coil.value} ms, {ago_ms / 1000:.1f} s ago"


def bar(share: float) -> Text:
    """A share of a coil's heat as a bar with its percent; red from HOT on."""
    filled = min(BAR, round(share * BAR))
    return Text(f"{'█' * filled}{'·' * (BAR - filled)} {share:4.0%}", "red" if share >= HOT else "")


def _windows(machine: WatchedMachine) -> Panel:
    return _box(
        "windows",
        [
            f"{one.name} {one.left_ms / 1000:.1f} s" + (", stands still" if one.frozen else "")
            for one in machine.windows
        ],
    )


def _awards(machine: WatchedMachine) -> Panel:
    awards = [one for one in machine.view.history if one.kind == "award"][-LAST_AWARDS:]
    return _box("awards", [f"{one.name} {one.value:,}" for one in awards])


def _faults(machine: WatchedMachine) -> Panel:
    return _box("faults", [f"{one.name} {one.detail}, {one.times}×" for one in machine.faults])
