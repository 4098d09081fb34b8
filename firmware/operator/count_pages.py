"""Counts: totals, awards, how scores spread, how lately each switch was seen, which are suspected."""

from firmware.operator.service_page import ListPage, number, words
from firmware.operator.wires import colours, place
from firmware.play.counts import SCORE_STEPS


class Totals(ListPage):
    """Every named count."""

    def count(self) -> int:
        """How many counts there are."""
        return len(self.menu.names.of_counts)

    def show(self, at: int) -> None:
        """Write a count's name and number."""
        self.show_line(0, words(self.menu.names.of_counts[at]))
        self.show_line(1, number(self.play.counts.values[at]))


class Awards(ListPage):
    """How often each award was paid."""

    def count(self) -> int:
        """How many awards there are."""
        return len(self.play.score.award_counts)

    def show(self, at: int) -> None:
        """Write an award's name and how often it was paid."""
        self.show_line(0, words(self.play.score.name(at)))
        self.show_line(1, number(self.play.score.award_counts[at]) + " TIMES")


class Scores(ListPage):
    """How many final scores fell between which limits."""

    def count(self) -> int:
        """How many steps of scores there are."""
        return len(self.play.counts.scores)

    def show(self, at: int) -> None:
        """Write a step's limit and how many scores lie below it."""
        if at < len(SCORE_STEPS):
            self.show_line(0, "BELOW " + number(SCORE_STEPS[at]))
        else:
            self.show_line(0, number(SCORE_STEPS[-1]) + " UP")
        self.show_line(1, number(self.play.counts.scores[at]) + " SCORES")


class Seen(ListPage):
    """How often each switch closed, and how many balls ago it last did."""

    def count(self) -> int:
        """How many switches there are."""
        return len(self.menu.names.of_switches)

    def show(self, at: int) -> None:
        """Write how often a switch closed, and how many balls ago."""
        counts = self.play.counts
        self.show_line(0, self.menu.names.of_switches[at])
        self.show_line(1, f"{number(counts.closures[at])} TIMES, {counts.unseen[at]} BALLS AGO")


class Suspects(ListPage):
    """The switches that the rules do without (play.switch_monitor)."""

    empty = "NO SUSPECTS"

    def count(self) -> int:
        """How many switches are excused."""
        return len(self._found())

    def show(self, at: int) -> None:
        """Write an excused switch, its place and its wires."""
        switch = self._found()[at]
        _name, _kind, _zone, row, column = self.menu.switches[switch]
        self.show_line(0, self.menu.names.of_switches[switch])
        self.show_line(1, f"{place(row, column)} {colours(row, column)}")

    def _found(self) -> "list[int]":
        return [
            i for i in range(len(self.play.switch_monitor.excused)) if self.play.switch_monitor.excused[i]
        ]
