"""What a test expects of one thing of the machine: each method is one `expect` line of a script."""

from collections.abc import Callable

__tracebackhide__ = True  # pytest shows the test's own line

Said = Callable[[str], None]
"""Performs the rest of an `expect` line."""


class Expected:
    """The subject of an expectation; a method that is called completes it.

    `within` and `throughout` are times as scripts write them ("3 s"): at some instant of it, or at every one.
    """

    def __init__(self, subject: str, said: Said) -> None:
        self._subject = subject
        self._said = said

    def _is(self, words: str, within: str, throughout: str) -> None:
        verb = "stays" if throughout else "is"
        ending = f" for {throughout}" if throughout else ""
        self._said(f"{self._subject} {verb} {words}{_within(within)}{ending}")

    def _happened(self, words: str, times: int, within: str) -> None:
        counted = f" {times} times" if times else ""
        self._said(f"{self._subject} {words}{counted}{_within(within)}")


def _within(time: str) -> str:
    return f" within {time}" if time else ""


class ExpectedLamp(Expected):
    """A lamp."""

    def on(self, within: str = "", throughout: str = "") -> None:
        """It is on, not blinking."""
        self._is("on", within, throughout)

    def off(self, within: str = "", throughout: str = "") -> None:
        """It is off."""
        self._is("off", within, throughout)

    def lit(self, within: str = "", throughout: str = "") -> None:
        """It is on or blinking."""
        self._is("lit", within, throughout)

    def blinking(self, speed: str = "", within: str = "", throughout: str = "") -> None:
        """It blinks, at any speed or at this one: slow, fast, rapid."""
        self._is(f"blinking {speed}".strip(), within, throughout)


class ExpectedCoil(Expected):
    """A coil."""

    def fired(self, times: int = 0, within: str = "") -> None:
        """It fired since the last action: at least once, or exactly so often."""
        self._happened("fired", times, within)

    def not_fired(self, within: str = "") -> None:
        """It did not fire since the last action, nor does it within that time."""
        self._happened("not fired", 0, within)

    def refused(self, within: str = "") -> None:
        """The governor refused it."""
        self._happened("refused", 0, within)

    def held(self, within: str = "", throughout: str = "") -> None:
        """It is held on."""
        self._is("held", within, throughout)

    def not_held(self, throughout: str = "") -> None:
        """It is not held on."""
        self._is("not held", "", throughout)


class ExpectedDisplay(Expected):
    """A display, or any of them."""

    def shows(self, text: str, within: str = "", throughout: str = "") -> None:
        """It shows exactly this, outer blanks apart."""
        self._is(f'"{text}"', within, throughout)

    def contains(self, text: str, within: str = "", throughout: str = "") -> None:
        """It shows this somewhere."""
        self._is(f'containing "{text}"', within, throughout)

    def not_contains(self, text: str, throughout: str = "") -> None:
        """It shows this nowhere."""
        self._is(f'not containing "{text}"', "", throughout)


class ExpectedNumber(Expected):
    """A score, a gain, the number of a ball or a player, balls in a place."""

    def equals(self, n: int, within: str = "", throughout: str = "") -> None:
        """It is n."""
        self._is(str(n), within, throughout)

    def at_least(self, n: int, within: str = "", throughout: str = "") -> None:
        """It is n or more."""
        self._is(f"at least {n}", within, throughout)

    def at_most(self, n: int, within: str = "", throughout: str = "") -> None:
        """It is n or less."""
        self._is(f"at most {n}", within, throughout)


class ExpectedAward(Expected):
    """A named award."""

    def paid(self, points: int = 0, times: int = 0, within: str = "") -> None:
        """It was paid since the last action: with these points, so often; 0: any."""
        self._happened(f"paid {points}" if points else "paid", times, within)

    def not_paid(self, within: str = "") -> None:
        """It was not paid since the last action, nor is it within that time."""
        self._happened("not paid", 0, within)


class ExpectedCue(Expected):
    """A cue, the named request for a sound."""

    def played(self, times: int = 0, within: str = "") -> None:
        """It was played since the last action: at least once, or exactly so often."""
        self._happened("played", times, within)

    def not_played(self, within: str = "") -> None:
        """It was not played since the last action, nor is it within that time."""
        self._happened("not played", 0, within)


class ExpectedEvent(Expected):
    """An event of the charts."""

    def posted(self, times: int = 0, within: str = "") -> None:
        """It was posted since the last action: at least once, or exactly so often."""
        self._happened("posted", times, within)

    def not_posted(self, within: str = "") -> None:
        """It was not posted since the last action, nor is it within that time."""
        self._happened("not posted", 0, within)


class ExpectedState(Expected):
    """The state of a feature's chart, or whether the game is running."""

    def equals(self, state: str, within: str = "", throughout: str = "") -> None:
        """It is this one."""
        self._is(state, within, throughout)


class ExpectedSwitch(Expected):
    """A switch, as debounced."""

    def closed(self, within: str = "", throughout: str = "") -> None:
        """It is closed."""
        self._is("closed", within, throughout)

    def open(self, within: str = "", throughout: str = "") -> None:
        """It is open."""
        self._is("open", within, throughout)


class ExpectedGame(Expected):
    """The game."""

    def running(self, within: str = "", throughout: str = "") -> None:
        """One is played."""
        self._is("running", within, throughout)

    def over(self, within: str = "", throughout: str = "") -> None:
        """None is played."""
        self._is("over", within, throughout)
