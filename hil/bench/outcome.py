"""The result of one script, as plain data for the report."""

from dataclasses import dataclass, field

from hil.bench.contact_log import ContactChange
from hil.bench.story import Story
from hil.bench.view import TraceEvent
from hil.bench.waves import Waves

PASS, FAIL, USAGE, INVALID = 0, 1, 2, 3
VERDICTS = {PASS: "PASS", FAIL: "FAIL", USAGE: "ERROR", INVALID: "INVALID"}


@dataclass(frozen=True)
class Problem:
    """A reason for another verdict than PASS; `line` is 0 when it belongs to no line of the script."""

    line: int
    expected: str
    seen: str
    at_ms: int
    standing: bool = False


@dataclass
class Outcome:
    """The verdict on one script with its evidence. `code` is the exit code for it."""

    path: str
    title: str
    covers: tuple[str, ...]
    target: str
    code: int = PASS
    problems: list[Problem] = field(default_factory=list)
    reason: str = ""
    digest: str = ""
    records: int = 0
    simulated_ms: int = 0
    wall_s: float = 0.0
    real_time: bool = False
    last: list[str] = field(default_factory=list)
    ledger: list[str] = field(default_factory=list)
    scores: dict[int, int] = field(default_factory=dict)
    story: Story | None = field(default=None, repr=False)
    """What the report tells of a run that did not pass."""
    history: list[TraceEvent] = field(default_factory=list, repr=False)
    faults: list[str] | None = None
    """What the machine's fault log has at the end; None: it is not known on this target."""
    waves: Waves | None = field(default=None, repr=False)
    """Every signal over time, of a run that recorded them."""
    contact_changes: list[ContactChange] = field(default_factory=list, repr=False)

    @property
    def verdict(self) -> str:
        """PASS, FAIL, ERROR or INVALID."""
        return VERDICTS[self.code]


def worst(outcomes: list[Outcome]) -> int:
    """The exit code for several scripts: the highest."""
    return max((outcome.code for outcome in outcomes), default=PASS)
