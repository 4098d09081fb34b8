"""The clock of a game without records: from one thing that is due to the next."""

from pathlib import Path

from firmware.base.errors import LinkError
from hil.bench.quiet_console import CoilBoard, QuietConsole, numbers
from hil.bench.run_clock import MOST_STANDSTILLS, OutOfTime
from hil.bench.season import SeasonPlant
from hil.bench.targets.desk import crash_message
from hil.bench.targets.endless import EndlessGuard
from hil.bench.targets.target import MachineStopped


class QuietClock:
    """Runs a console from one thing that is due to the next; coils reach the plant as in RunClock."""

    def __init__(self, console: QuietConsole, plant: SeasonPlant, limit_ms: int, folder: Path) -> None:
        self.now = 0
        self.limit_ms = limit_ms
        self._console = console
        self._folder = folder
        self._plant = plant
        self._coils = console.coil_names
        self._ids = numbers(console.switch_names)
        self._commands: list[tuple[int, int]] = []
        self._standstills = 0
        self._endless = EndlessGuard()

    def start(self, seed: int, settings: dict[str, int]) -> None:
        """Begin a run at time 0, with the balls at rest."""
        board = CoilBoard(lambda coil, value: self._commands.append((coil, value)))
        self._console.begin(board, seed, self._console.settings.by_place(settings), 0)
        self._plant.start(0)
        self._answer()

    def contact(self, switch: str, closed: bool) -> None:
        """Change a contact now. Raises MachineStopped."""
        if self._console.now != self.now:
            self._run_console(self.now)
        self._console.contact(self._ids[switch], closed)

    def run_to(self, until_ms: int) -> None:
        """Run to `until_ms`. Raises OutOfTime, MachineStopped, LinkError."""
        goal = min(until_ms, self.limit_ms + 1)
        while self.now < goal:
            self.run_on(goal)
        if self.now > self.limit_ms:
            raise OutOfTime

    def run_on(self, until_ms: int) -> None:
        """Run until a ball has come to rest or the tally has stopped the console, at most to `until_ms`."""
        plant, console, tally = self._plant, self._console, self._console.trace
        rests, stops = plant.rests, tally.stops
        with self._endless:
            while self.now < until_ms and plant.rests == rests and tally.stops == stops:
                due = plant.due()
                wait = console.due()
                if due is not None and due <= until_ms and (wait < 0 or due < console.now + wait):
                    self.now = due  # the console has nothing to do until then
                    self._take()
                else:
                    goal = until_ms if due is None or due > until_ms else due
                    self._run_console(goal)
                    self._answer()

    def _run_console(self, goal: int) -> None:
        """Run the console to `goal` or a coil command, and pass its commands to the plant."""
        try:
            reached = self._console.run_to(goal, True)
        except Exception as error:
            raise MachineStopped(crash_message(error, self._folder)) from error
        for coil, value in self._commands:
            self._plant.coil(self._coils[coil], value, reached)
        self._commands.clear()
        self._standstills = 0 if reached > self.now else self._standstills + 1
        if self._standstills > MOST_STANDSTILLS:
            raise LinkError(f"the machine's time stands still at {reached} ms")
        self.now = reached

    def _answer(self) -> None:
        """Let the plant do what is due by now."""
        due = self._plant.due()
        while due is not None and due <= self.now:
            self._take()
            due = self._plant.due()

    def _take(self) -> None:
        for switch, closed in self._plant.take(self.now):
            self.contact(switch, closed)

    def finish(self) -> str:
        """End the run; without a trace there is no hash. Raises LinkError when events were lost."""
        dropped = self._console.engine.dropped
        if dropped:
            raise LinkError(f"the charts' queues overflowed: {dropped} events lost")
        return ""
