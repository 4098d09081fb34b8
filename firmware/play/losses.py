"""What the charts lose goes to the fault log, each kind by its name and with how often.

The engine counts; its `new_losses` tells whether there is news.
"""


class Losses:
    """Carries an engine's counters to the fault log."""

    def __init__(self, engine: "Engine", faults: "Faults") -> None:
        self._engine = engine
        self._faults = faults
        self._dropped = 0
        self._livelocks = 0
        self._suppressed = 0
        self._refused = 0

    def report_new(self) -> None:
        """Report what was lost since the last look; allocates nothing."""
        engine = self._engine
        engine.new_losses = 0
        self._report("events_dropped", engine.dropped - self._dropped)
        self._report("rules_without_rest", engine.livelocks - self._livelocks)
        self._report("rule_error", engine.suppressed - self._suppressed)
        self._report("snapshot_refused", engine.refused - self._refused)
        self._dropped = engine.dropped
        self._livelocks = engine.livelocks
        self._suppressed = engine.suppressed
        self._refused = engine.refused

    def _report(self, name: str, times: int) -> None:
        if times:
            self._faults.report(name, 0, times)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.charts.engine import Engine
    from firmware.play.faults import Faults
