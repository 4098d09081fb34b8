"""Remarks on a ball that nothing is heard of, before the machine looks for it and at last gives it up."""

from simulator.desk.machine import DeskMachine
from simulator.drawing.drawing import Drawing

FIRST_MS = 10_000  # the firmware's search begins 5 s later (firmware/cabinet/ball_search.py)
AGAIN_MS = 30_000
SOON = "no contact for 10 s: the machine will look for the ball; ' holds it on a flipper, P stops the time"
LATER = "no contact for {} s: the machine looks for the ball and gives it up in the end; P stops the time"


class IdleBall:
    """Watches the contacts of the playfield while a ball is out."""

    def __init__(self, drawing: Drawing) -> None:
        self._switches = {name for name, one in drawing.machine.switches.items() if one.zone != "cabinet"}
        self._read = 0
        self._heard_ms = 0
        self._due_ms = FIRST_MS

    def remark(self, machine: DeskMachine) -> str:
        """A sentence when one is due, else ""."""
        history = machine.view.history
        if len(history) < self._read or machine.now < self._heard_ms:  # it went back in time
            self._read = 0
        for event in history[self._read :]:
            if event.kind == "edge" and event.name in self._switches:
                self._hear(event.ms)
        self._read = len(history)
        if all(ball.place != "playfield" for ball in machine.balls) or not machine.view.playing:
            self._hear(machine.now)
        quiet = machine.now - self._heard_ms
        if quiet < self._due_ms:
            return ""
        self._due_ms += AGAIN_MS
        return SOON if quiet < FIRST_MS + AGAIN_MS else LATER.format(quiet // 1000)

    def _hear(self, ms: int) -> None:
        self._heard_ms = ms
        self._due_ms = FIRST_MS
