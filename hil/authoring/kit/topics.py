"""What the reference lists beside the parts: classes of switches and coils, lamps, spans, events, shots."""

import inspect
import re
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from types import ModuleType

from firmware.base.chance import Stream
from firmware.devices import limiter_state, switches
from firmware.play import claims, memory
from firmware.play.claims import Claim
from firmware.play.feature import Feature
from firmware.play.offers import Offer
from firmware.play.requests import CoilHandle, Cue
from firmware.play.rule_context import Clock, RuleContext, Signal
from firmware.play.score import Award
from hil.authoring.kit.console import machine
from hil.authoring.methods import methods
from hil.host_tables import ShotRow
from hil.likeness import same_words

# What a rule holds of each kind, as the table of calls names it; of RuleContext, the methods rules call.
HANDLES: tuple[tuple[str, type], ...] = (
    ("AWARD", Award),
    ("LAMP", Claim),
    ("COIL", CoilHandle),
    ("CUE", Cue),
    ("OFFER", Offer),
    ("EVENT", Signal),
    ("CLOCK", Clock),
    ("STREAM", Stream),
)
OF_PLAY = ("find", "get", "stream", "switch")
NOT_OF_RULES = ("post", "reseed")
STATES_OF_PLAY = (
    ("self.play.live", "whether a ball is in play and the machine is not tilted"),
    ("self.play.players, .ball", "how many play; the number of the ball"),
    ("self.play.out, .held, .free", "balls on the playfield; of them in holes; that can be shot"),
    ("self.play.closed[self.play.switch(NAME)]", "whether a switch is closed"),
    ("self.play.settings.get(NAME).value", "a setting; get it in __init__, ask its value in play"),
    ("VALUE.value", "the number of a value: read it, set it, add to it"),
)

CONSTANT = re.compile(r"^([A-Z_]+) = (\d+)(?:  # (.*))?$", re.M)

COIL_USES = {
    "queued": "holes, troughs, plungers, resets: waits its turn, one after another",
    "snap": "bumpers, slings, kickbacks: now or not at all",
    "flipper": "the windings of a flipper; may be held",
    "flasher": "flasher lamps on a drive; no heat is counted",
    "motor": "motors, relays, magnets; may be held",
    "meter": "coin meters",
}

LAMP_USES = {
    "LOW": "what any rule may cover",
    "RULE": "a rule's own lamp, unless another is given",
    "WINDOW": "inserts of windows, above the rule's steady light",
    "CABINET": "start, tilt; the only claims that a tilt leaves lit",
}

# Event, the feature of the cabinet that raises it, when.
EVENTS = (
    ("game.started", "game", "a game begins, before its first ball"),
    ("player.added", "game", "another player joined"),
    ("ball.started", "game", "a ball begins: values of the span BALL are at their start"),
    ("ball.ready", "shooter", "a ball lies at the plunger"),
    ("ball.away", "shooter", "it left the shooter lane"),
    ("ball.lost", "trough", "a ball drained, not given back; its argument: balls in play or to be served"),
    ("ball.ended", "game", "the last ball in play is lost; the bonus follows"),
    ("ball.abandoned", "game", "the ball ends without that: a slam, or a new game in its middle"),
    ("bonus.counted", "no_bonus", "the end-of-ball bonus is paid"),
    ("tilted", "tilt", "the bob swung too often: this ball pays nothing more"),
    ("game.over", "game", "the last ball of the last player is over"),
    ("game.slammed", "game", "the slam switch ended the game"),
)

ALWAYS = (
    ("NAME", "the switch NAME closed; a name hears all that begin with it: bank hears bank.2"),
    ("opened.NAME", "the switch NAME opened"),
    ("playfield", "any playfield switch closed; its argument is the switch"),
    ("entered.NAME", "a hole took a ball, whether a ball is played or not"),
    (
        "made.NAME",
        "an orbit, a ramp or a hole counts as a shot (features/shots.py); see kit shots --game",
    ),
    ("NAME.expired", "the window NAME ran out"),
)


MADE = ("orbit.left", "orbit.right", "ramp", "saucer", "vault", "den")  # of the examples' machine


@dataclass(frozen=True)
class Topic:
    """A table of the reference: its title, heading and rows; how a rule imports its names, "" for none."""

    name: str
    purpose: str
    heading: tuple[str, ...]
    rows: Callable[[], list[tuple[str, ...]]]
    imports: str = ""


def constants(module: ModuleType) -> dict[str, str]:
    """The small numbers that a module names, in their order, with the remark of each line."""
    return {name: remark for name, _number, remark in CONSTANT.findall(inspect.getsource(module))}


def _debounce() -> list[tuple[str, ...]]:
    return [(name, f"{close_ms} ms", f"{open_ms} ms") for name, close_ms, open_ms in switches.CLASSES]


def _coils() -> list[tuple[str, ...]]:
    return [
        (name, f"{ms:,} ms" if ms else "not counted", f"{percent} %" if ms else "", COIL_USES[name])
        for name, ms, percent in limiter_state.BUDGETS
    ]


def _lamps() -> list[tuple[str, ...]]:
    patterns = constants(claims)
    wanted = ("NONE", "ON", "SLOW", "FAST", "RAPID")
    shown = [("pattern", name, patterns[name] or "lit without a break") for name in wanted]
    return [*shown, *(("priority", name, LAMP_USES[name]) for name in patterns if name in LAMP_USES)]


def _spans() -> list[tuple[str, ...]]:
    remarks = constants(memory)
    return [(name, remarks[name]) for name in ("BALL", "PLAYER", "GAME", "PERSISTENT")]


def _feature() -> list[tuple[str, ...]]:
    """The methods of Feature and of its handles, and what RuleContext offers to a rule."""
    rows: list[tuple[str, ...]] = [(f"self.{call}", what) for call, what in methods(Feature)]
    rows += [(f"self.play.{call}", what) for call, what in methods(RuleContext) if _name(call) in OF_PLAY]
    rows += list(STATES_OF_PLAY)
    for words, kind in HANDLES:
        rows += [(f"{words}.{call}", what) for call, what in methods(kind) if _name(call) not in NOT_OF_RULES]
    return rows


def _name(call: str) -> str:
    return call.partition("(")[0]


def _events() -> list[tuple[str, ...]]:
    rows = [(name, words) for name, words in ALWAYS]
    return [*rows, *((name, f"{when} (raised by {feature})") for name, feature, when in EVENTS)]


def _event_of(shot: str, events: Collection[str]) -> str:
    """The event that a shot raises: that of the made shot, else its switch; "" when there is none."""
    made = same_words(shot, [event for event in events if event.startswith("made.")])
    return made or (shot if shot in events else same_words(shot, events))


def _shots() -> list[tuple[str, ...]]:
    shown = machine()
    names = [f"made.{name}" for name in MADE]
    return shot_rows(shown.host.SHOTS, [*names, *(row[0] for row in shown.wiring.SWITCHES)])


def shot_rows(shots: Sequence[ShotRow], events: Collection[str]) -> list[tuple[str, ...]]:
    """Shots as scripts name them: name, the event that a chart hears of each, options, what it is."""
    return [
        (
            shot.name,
            _event_of(shot.name, events),
            ", ".join(f"{name} {least} to {most}" for name, least, most, *_ in shot.options),
            shot.help,
        )
        for shot in shots
    ]


TOPICS = (
    Topic(
        "debounce",
        "classes of switches: how long a contact is still until it counts",
        ("class", "closed after", "open after"),
        _debounce,
    ),
    Topic(
        "coils",
        "classes of coils: which wait their turn, and the on-time allowed where the winding is not known",
        ("class", "heats up in", "borne for ever", "for"),
        _coils,
    ),
    Topic(
        "lamps",
        "lamp patterns, and the priorities of claims: the highest wins",
        ("what", "name", "meaning"),
        _lamps,
        "from firmware.play.claims import FAST, NONE, ON, RAPID, SLOW, WINDOW",
    ),
    Topic(
        "spans",
        "how long a value, or a chart's states, last",
        ("span", "until"),
        _spans,
        "from firmware.play.memory import BALL, GAME, PERSISTENT, PLAYER",
    ),
    Topic(
        "feature",
        "what a rule may call of itself (self.), of the machine (self.play.), and of what it declared",
        ("call", "what it does"),
        _feature,
        "from firmware.play.feature import Feature",
    ),
    Topic("events", "events that charts hear", ("event", "when"), _events),
    Topic(
        "shots",
        "shots of a small machine, as scripts and the desk name them; --game lists a game's",
        ("shot", "event", "options", "what"),
        _shots,
    ),
)
