"""The rule class that a new hole, ramp or orbit needs: it counts or gives balls back, without points."""

import ast
import re

from firmware.base.errors import GameError

HOLE = '''"""{Words}: gives balls back."""

from firmware.cabinet.hole import SETTLE, Hole
from firmware.charts.model import after


class {Name}(Hole):
    """{Words}: raises entered.{name} for each ball, and ejects what it need not hold."""

    name = "{name}"
    places = ({places})
    eject_coil = "{name}_eject"
    chart = (
        ("resting", "{name} opened.{name}", None, "changed"),
        ("resting", "eject.{name}", "ejecting", "pulse"),
        ("ejecting", "opened.{name}", None, "leave"),
        ("ejecting", after(SETTLE), "resting", "settle"),
    )
'''

LOCK = '''"""{Words}: gives balls back, or keeps those that a rule locks."""

from firmware.cabinet.hole import SETTLE, Hole
from firmware.charts.model import ANY, after


class {Name}(Hole):
    """{Words}: raises made.{name} for each ball while one is played, and ejects what it need not hold."""

    name = "{name}"
    places = ({places})
    eject_coil = "{name}_eject"
    chart = (
        ("resting", "{name} opened.{name}", None, "changed"),
        ("resting", "eject.{name}", "ejecting", "pulse"),
        ("ejecting", "opened.{name}", None, "leave"),
        ("ejecting", after(SETTLE), "resting", "settle"),
        (ANY, "entered.{name}", None, "make", "live"),
        (ANY, "slam", None, "empty"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._made = self.event("made.{name}")

    def live(self, event: int) -> bool:
        """Whether a ball is played."""
        return self.play.live

    def make(self, event: int) -> None:
        """It was shot."""
        self._made.raise_()

    def empty(self, event: int) -> None:
        """Every ball goes back into play."""
        self.unlock(self.locked)
        self.hold(0)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
'''

RAMP = '''"""{Words}: made when its second switch follows its first in time."""

from firmware.charts.model import after, external
from firmware.parts.ramp import CLIMB, Ramp


class {Name}(Ramp):
    """{Words}: raises made.{name}."""

    name = "{shot}"
    enter_switch = "{name}.enter"
    made_event = "made.{name}"
    chart = (
        ("clear", "{name}.enter", "climbing", "enter"),
        ("climbing", "{name}.enter", external("climbing"), "enter"),
        ("climbing", "{name}.made", "clear", ("leave", "make")),
        ("climbing", "playfield", None, "leave", "elsewhere"),
        ("climbing", after(CLIMB), "clear", "leave"),
    )
'''

ORBIT = '''"""{Words}: counts once while a ball goes round."""

from firmware.charts.model import after
from firmware.parts.orbit import Orbit

ROUND = 1500  # ms within which a second closure is the same ball going round


class {Name}(Orbit):
    """{Words}: raises made.{name}."""

    name = "{shot}"
    made_event = "made.{name}"
    chart = (
        ("quiet", "{name}", "heard", "make"),
        ("heard", after(ROUND), "quiet"),
    )
'''

SHOTS = '''"""Holes that were added: each counts as a shot."""

from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT


class HoleShots(Feature):
    """A hole counts as a shot only while a ball is played."""

    name = "hole_shots"
    span = PERSISTENT
    chart = ()

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)

    def live(self, event: int) -> bool:
        """Whether a ball is played."""
        return self.play.live


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
'''
HOLE_SHOTS = "HoleShots"

TEMPLATES = {"hole": HOLE, "lock": LOCK, "ramp": RAMP, "orbit": ORBIT}


def class_name(name: str) -> str:
    """The class of a device: LeftRamp for left_ramp."""
    return "".join(word.capitalize() for word in re.split(r"[._]", name))


def source(kind: str, name: str, places: tuple[str, ...] = ()) -> str:
    """The text of the feature's file; "" for a kind that needs none."""
    if kind not in TEMPLATES:
        return ""
    listed = ", ".join(f'"{place}"' for place in places) + ("," if len(places) == 1 else "")
    words = " ".join(re.split(r"[._]", name)).capitalize()
    shot = name.replace(".", "_") if kind == "orbit" else f"{name}_ramp" if kind == "ramp" else name
    return TEMPLATES[kind].format(Words=words, Name=class_name(name), name=name, places=listed, shot=shot)


def with_hole_shot(text: str, name: str) -> str:
    """A module whose class HoleShots also has a hole count as a shot; "" when it has no such class."""
    found = (node for node in ast.parse(text).body if isinstance(node, ast.ClassDef))
    kind = next((node for node in found if node.name == HOLE_SHOTS), None)
    if kind is None:
        return ""
    chart = next(n for n in kind.body if isinstance(n, ast.Assign) and ast.unparse(n.targets[0]) == "chart")
    init = next(n for n in kind.body if isinstance(n, ast.FunctionDef) and n.name == "__init__")
    attribute = name.replace(".", "_")
    lines = text.splitlines()
    method = (
        "",
        f"    def make_{attribute}(self, event: int) -> None:",
        f'        """The {name} was shot."""',
        f"        self._{attribute}.raise_()",
    )
    lines[_end(kind) : _end(kind)] = method
    lines.insert(_end(init), f'        self._{attribute} = self.event("made.{name}")')
    row = f'("on", "entered.{name}", None, "make_{attribute}", "live")'
    if chart.lineno == chart.end_lineno and isinstance(chart.value, ast.Tuple):
        rows = [str(ast.get_source_segment(text, each)) for each in chart.value.elts]
        written = ["    chart = (", *(f"        {one}," for one in (*rows, row)), "    )"]
        lines[chart.lineno - 1 : chart.lineno] = written
    else:
        lines.insert(_end(chart) - 1, f"        {row},")
    return "\n".join(lines) + "\n"


def _end(node: ast.stmt) -> int:
    return node.end_lineno or node.lineno


def with_feature(text: str, package: str, module: str, name: str) -> str:
    """A game.py with the class `name` of features/MODULE.py first in FEATURES, where shots stand.

    Raises GameError when FEATURES is no tuple of several lines.
    """
    lines = text.splitlines()
    for node in ast.parse(text).body:
        if not isinstance(node, ast.Assign) or ast.unparse(node.targets[0]) != "FEATURES":
            continue
        if isinstance(node.value, ast.Tuple) and node.value.lineno != node.value.end_lineno:
            lines.insert(node.value.lineno, f"    {name},")
            return _with_import(lines, f"from {package}.features.{module} import {name}")
    raise GameError("game.py has no FEATURES that is a tuple of several lines")


def _with_import(lines: list[str], line: str) -> str:
    imports = [at for at, each in enumerate(lines) if each.startswith("from ")]
    later = [at for at in imports if lines[at].split()[1] > line.split()[1]]
    lines.insert(later[0] if later else imports[-1] + 1, line)
    return "\n".join(lines) + "\n"
