"""The verbs of the script language in Python, on one machine; hil/bench/SCRIPTS.md says what each does."""

from typing import TypeVar

from firmware.base.errors import ScriptError
from hil.bench import report
from hil.bench.actions import ScriptStopped
from hil.bench.open_session import OpenSession
from hil.bench.targets.target import MachineStopped
from hil.pytest_plugin import expected
from hil.pytest_plugin.expected import Expected

__tracebackhide__ = True  # pytest shows the test's own line

Made = TypeVar("Made", bound=Expected)


class NotAsExpected(AssertionError):
    """A line failed; the text is the bench's report, then the run as a script."""


class Hands:
    """One machine from its power-on; each method is one line of the script language.

    Times are written as in scripts ("250 ms", "1.5 s", "2 min"). Methods raise ScriptError (no such name or
    form), NotAsExpected (the line fails) and LinkError (the target failed).
    """

    def __init__(self, session: OpenSession) -> None:
        self.session = session
        self._asked = ""  # an expectation that no method has completed yet

    def line(self, text: str) -> None:
        """Perform any line of the script language."""
        self._check_completed()
        try:
            self.session.line(text)
        except ScriptStopped:
            raise NotAsExpected(self._report()) from None
        except ScriptError as error:
            raise ScriptError(error.text, error.where) from None  # its frames are of no use to a tester
        except MachineStopped as error:
            raise NotAsExpected(f"{error}\n{self._as_script()}") from error

    def expect(self, text: str) -> None:
        """An expectation in the words of the script language, without `expect`."""
        self.line(f"expect {text}")

    def end(self) -> None:
        """Make the standing checks and end the run; after a failed line nothing is left to be said."""
        if self.session.has_failed:
            return
        self._check_completed()
        if self.session.finish().code:
            raise NotAsExpected(self._report())

    def seed(self, n: int) -> None:
        """The seed of chance; before the first action."""
        self.line(f"seed {n}")

    def set(self, setting: str, value: int) -> None:
        """An operator setting of this run; before the first action."""
        self.line(f"set {setting} to {value}")

    def balls(self, how: str) -> None:
        """Who moves the balls: simulated, moved, real; before the first action."""
        self.line(f"balls {how}")

    def press(self, *switches: str) -> None:
        """Close contacts in one millisecond, and leave them closed."""
        self.line(f"press {', '.join(switches)}")

    def release(self, *switches: str) -> None:
        """Open contacts in one millisecond."""
        self.line(f"release {', '.join(switches)}")

    def tap(self, *switches: str, times: int = 1, every: str = "") -> None:
        """Close and open contacts, one after another."""
        counted = f" {times} times" if times != 1 else ""
        self.line(f"tap {', '.join(switches)}{counted}" + (f" every {every}" if every else ""))

    def hold(self, *switches: str, time: str) -> None:
        """Keep contacts closed together for a time."""
        self.line(f"hold {', '.join(switches)} for {time}")

    def wait(self, time: str) -> None:
        """Let time run."""
        self.line(f"wait {time}")

    def shoot(self, *shots: str, **options: int) -> None:
        """Whole shots by a ball, with the options that the game's table gives them."""
        given = " and ".join(f"{name} {value}" for name, value in options.items())
        self.line(f"shoot {', '.join(shots)}" + (f" with {given}" if given else ""))

    def start(self, players: int = 1) -> None:
        """Start a game and wait for the first ball at the plunger."""
        self.line(f"start {players} players")

    def launch(self) -> None:
        """Bring the ball into play without closing a playfield switch."""
        self.line("launch")

    def end_ball(self) -> None:
        """Drain the ball and wait for the next one, or for the end of the game."""
        self.line("end ball")

    def mark(self) -> None:
        """Gains and happenings count from here."""
        self.line("mark")

    @property
    def score(self) -> int:
        """Points of the playing player."""
        return self.session.view.score

    @property
    def now_ms(self) -> int:
        """Milliseconds since power-on."""
        return self.session.clock.now

    def expect_lamp(self, name: str) -> expected.ExpectedLamp:
        """Expect something of a lamp."""
        return self._ask(expected.ExpectedLamp, f"lamp {name}")

    def expect_coil(self, name: str) -> expected.ExpectedCoil:
        """Expect something of a coil."""
        return self._ask(expected.ExpectedCoil, f"coil {name}")

    def expect_display(self, name: str = "") -> expected.ExpectedDisplay:
        """Expect something of a display, or of any of them."""
        return self._ask(expected.ExpectedDisplay, f"display {name}".strip())

    def expect_line(self, number: int) -> expected.ExpectedDisplay:
        """Expect something of a display line, from 1."""
        return self._ask(expected.ExpectedDisplay, f"line {number}")

    def expect_score(self, player: int = 0) -> expected.ExpectedNumber:
        """Expect a score, of the playing player or of another."""
        return self._ask(expected.ExpectedNumber, "score" + _of(player))

    def expect_gain(self, player: int = 0) -> expected.ExpectedNumber:
        """Expect the points since the last mark."""
        return self._ask(expected.ExpectedNumber, "gain" + _of(player))

    def expect_ball(self) -> expected.ExpectedNumber:
        """Expect the number of the ball in play."""
        return self._ask(expected.ExpectedNumber, "ball")

    def expect_player(self) -> expected.ExpectedNumber:
        """Expect the number of the playing player."""
        return self._ask(expected.ExpectedNumber, "player")

    def expect_players(self) -> expected.ExpectedNumber:
        """Expect the number of players."""
        return self._ask(expected.ExpectedNumber, "players")

    def expect_balls_in(self, place: str) -> expected.ExpectedNumber:
        """Expect a number of simulated balls in a place."""
        return self._ask(expected.ExpectedNumber, f"balls in {place}")

    def expect_award(self, name: str) -> expected.ExpectedAward:
        """Expect something of an award."""
        return self._ask(expected.ExpectedAward, f"award {name}")

    def expect_cue(self, name: str) -> expected.ExpectedCue:
        """Expect something of a cue."""
        return self._ask(expected.ExpectedCue, f"cue {name}")

    def expect_event(self, name: str) -> expected.ExpectedEvent:
        """Expect something of an event."""
        return self._ask(expected.ExpectedEvent, f"event {name}")

    def expect_state(self, region: str) -> expected.ExpectedState:
        """Expect a state of a feature's chart."""
        return self._ask(expected.ExpectedState, f"state of {region}")

    def expect_switch(self, name: str) -> expected.ExpectedSwitch:
        """Expect a state of a debounced switch."""
        return self._ask(expected.ExpectedSwitch, f"switch {name}")

    def expect_game(self) -> expected.ExpectedGame:
        """Expect something of the game."""
        return self._ask(expected.ExpectedGame, "game")

    def _ask(self, kind: type[Made], subject: str) -> Made:
        self._check_completed()
        self._asked = subject
        return kind(subject, self._completed)

    def _completed(self, text: str) -> None:
        self._asked = ""
        self.expect(text)

    def _check_completed(self) -> None:
        """An expectation that demands nothing would pass whatever the machine does."""
        asked, self._asked = self._asked, ""
        if asked:
            raise ScriptError(f"'expect {asked}' demands nothing; call one of its methods, such as .on()")

    def _report(self) -> str:
        return "\n".join([*report.lines(self.session.finish_failed()), self._as_script()])

    def _as_script(self) -> str:
        lines = self.session.text.splitlines()
        return "\n".join(["    the run as a script:", *(f"      {line}" for line in lines)])


def _of(player: int) -> str:
    return f" of player {player}" if player else ""
