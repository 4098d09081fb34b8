"""The fault log: the newest first; open acknowledges all."""

from firmware.base.crash import KINDS
from firmware.operator.service_page import ListPage, words
from firmware.play.rows import names

ENDED = "program_ended"  # its number is one of base.crash.KINDS
SENTENCES = (
    # name, what the display shows; any other name is shown as it is
    (ENDED, "THE PROGRAM ENDED:"),
    ("events_dropped", "TOO MANY EVENTS AT ONCE, SOME DROPPED"),
    ("rules_without_rest", "RULES GO IN CIRCLES, STOPPED"),
    ("rule_error", "ERROR IN A RULE"),
    ("snapshot_refused", "DAMAGED SNAPSHOT, NOT USED"),
    ("edges_lost", "SWITCH CHANGES LOST"),
    ("reports_lost", "COIL REPORTS LOST"),
    ("records_lost", "RECORDS FOR THE BENCH LOST"),
)


class FaultLog(ListPage):
    """One fault a row: what, where, how often, when, and whether it is new."""

    empty = "NO FAULTS"

    def count(self) -> int:
        """How many faults are listed."""
        return int(self.play.faults.count)

    def show(self, at: int) -> None:
        """Write a fault: what, where, whether new, how often, when."""
        faults = self.play.faults
        entry = faults.count - 1 - at
        name = faults.name(entry)
        detail, times, date, start, second, seen = faults.numbers(entry)
        self.show_line(0, f"{fault_sentence(name)} {self._detail(name, detail)}")
        when = f"DAY {date}" if date else f"START {start}"
        state = "READ" if seen else "NEW"
        self.show_line(1, f"{state}, {times} TIMES, {when}, AT {clock(second)}")

    def open_(self) -> None:
        """Acknowledge."""
        if self.play.faults.unacknowledged():
            self.play.faults.acknowledge()
            self.draw()
        else:
            self.refuse()

    def _detail(self, name: str, detail: int) -> str:
        kind = name.partition("_")[0]
        if kind in ("switch", "coin"):
            return (
                str(self.menu.names.of_switches[detail])
                if detail < len(self.menu.names.of_switches)
                else str(detail)
            )
        if kind == "coil":
            coils = names(self.menu.coils)
            return words(coils[detail]) if detail < len(coils) else str(detail)
        if name == ENDED and 0 < detail < len(KINDS):
            return KINDS[detail].upper()
        return str(detail) if detail else ""


def fault_sentence(name: str) -> str:
    """The words on the display for the fault `name`."""
    for known, sentence in SENTENCES:
        if known == name:
            return sentence
    return words(name)


def clock(second: int) -> str:
    """Hours, minutes and seconds."""
    parts = [str(second // 3600), str(second // 60 % 60), str(second % 60)]
    return ":".join([part if len(part) > 1 else "0" + part for part in parts])
