"""Charts with one thing wrong each; the line to blame ends in `# NAME`. GOOD has nothing wrong."""

from firmware.charts.model import ANY, Final, History, Parallel, State, after, external


class Owner:
    """Has the methods that the rows name."""

    wait_ms = 100

    def open(self, event: int) -> None: ...

    def close(self, event: int) -> None: ...

    def full(self, event: int) -> bool:
        return True


BOTH = (
    State("off"),
    Parallel(
        "both",
        states=(
            State("left", states=(State("l1"), State("l2"))),
            State("right", states=(State("r1"), State("r2"))),
        ),
    ),
)
MOVES = (
    ("off", "on", "both", None),
    ("l1", "flip", "l2", None),
    ("l2", "flip", "l1", None),
    ("r1", "flop", "r2", None),
    ("r2", "flop", "r1", None),
)

GOOD_STATES = (
    State("idle"),
    State(
        "busy",
        enter="open",
        exit="close",
        states=(State("slow"), State("fast"), Final("over"), History("past")),
    ),
    State("rest"),
)
GOOD = (
    ("idle", "go", "busy", "open"),
    ("slow", "faster", "fast", None, "full"),
    ("slow", "faster", None, None, "not full"),
    ("slow", "bee.1 bee.2", None, "open", "full"),
    ("slow", "bee", None, "close"),
    ("fast", after("wait_ms"), "slow", None),
    ("fast", "end", "over", None),
    ("busy", "pause", "rest", None),
    ("busy", "done.state.busy", "idle", None),
    ("rest", "go", "past", None, "not in busy"),
    (ANY, "bee", None, "close"),
    ("idle", "*", None, None),
)

ELSEWHERE = (
    ("dark", "go", "lit", None),
    ("lit", "go", "run/darkk", None),  # ELSEWHERE
    ("lit", "stop", "dark", None),
)
SLIP = (
    ("dark", "go", "litt", None),  # SLIP
    ("lit", "stop", "dark", None),
)
ASKED = (
    ("dark", "go", "lit", None, "in litt"),  # ASKED
    ("lit", "stop", "dark", None),
)
NUMBERED = (
    ("step1", "go", "step2", None),
    ("step2", "go", "step3", None),
)
UNREACHABLE = (
    ("dark", "go", "lit", None),
    ("lit", "stop", "dark", None),
    ("grey", "stop", "dark", None),  # UNREACHABLE
)
TRAP_STATES = (
    State("dark"),
    State("lit"),
    State("broken"),  # TRAP
)
TRAP = (
    ("dark", "go", "lit", None),
    ("lit", "stop", "dark", None),
    ("lit", "fail", "broken", None),
    ("broken", "fail", external("broken"), None),
    (ANY, "look", None, "open"),
)
TWICE = (
    ("dark", "go", "lit", None),
    ("lit", "bee", "dark", None),
    ("lit", "bee.1", "dark", "open", "full"),  # TWICE
)
TWICE_BY_PREFIX = (
    ("dark", "go bee.2", "lit", None),
    ("dark", "bee", None, "open"),  # TWICE_BY_PREFIX
    ("lit", "stop", "dark", None),
)
TWICE_ONE_GUARD = (
    ("dark", "go", "lit", None, "full"),
    ("dark", "go", None, "open", "full"),  # TWICE_ONE_GUARD
    ("lit", "stop", "dark", None),
)
TWICE_AT_ONCE = (
    ("dark", None, "lit", None),
    ("dark", None, "dark", None),  # TWICE_AT_ONCE
    ("lit", "stop", "dark", None),
)
TWICE_IN_TIME = (
    ("dark", after(50), "lit", None),
    ("dark", after(50), "dark", None),  # TWICE_IN_TIME
    ("lit", "stop", "dark", None),
)
CONFLICT = (
    *MOVES,
    ("l1", "stop", "off", None),
    ("r1", "stop.now", "off", "close"),  # CONFLICT
)
RESET = (
    *MOVES,
    ("l1", "jump", "r2", None),  # RESET
    (ANY, "stop", "off", None),
)
NO_ACTION = (
    ("dark", "go", "lit", ("open", "opne")),  # NO_ACTION
    ("lit", "stop", "dark", None),
)
NO_GUARD = (
    ("dark", "go", "lit", None, "not fulll"),  # NO_GUARD
    ("lit", "stop", "dark", None),
)
NO_ENTRY_STATES = (
    State("dark"),
    State("lit", enter="open", exit="closee"),  # NO_ENTRY
)
NO_ENTRY = (
    ("dark", "go", "lit", None),
    ("lit", "stop", "dark", None),
)
NO_TIME = (
    ("dark", after("wait"), "lit", None),  # NO_TIME
    ("lit", "stop", "dark", None),
)
NO_ROW = (
    ("dark", "go", "lit", None),
    ("lit", "stop"),  # NO_ROW
)


def made(first: str) -> tuple[tuple[object, ...], ...]:
    """Rows that a function makes."""
    return (
        (first, "go", "lit", None),
        ("lit", "stop", "dark", "shut"),  # MADE
    )


MADE = made("dark")
SUM = MOVES + (("off", "on", None, "opn"),)  # SUM
