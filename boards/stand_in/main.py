"""The stand-in's program: bytes in, answers out, samples looked at, for ever.

`main.py` of its flash calls `main`.
"""

import time

import micropython

from boards.pico_matrix.line import WRITE_MS, Line
from boards.stand_in.hardware import Hardware
from boards.stand_in.session import Session
from firmware.base import ticks

BURST = 32  # bytes heard before the samples are looked at again


def main() -> None:
    """Serve until somebody breaks in with Ctrl-C. Whatever ends it, every contact opens."""
    hardware = Hardware()
    line = Line()
    line.wait_ms = WRITE_MS
    session = Session(hardware.contacts, hardware.samples, line.write, hardware.show_direct)
    began = time.ticks_ms()
    micropython.kbd_intr(-1)  # every byte value is data; Line hears Ctrl-C that stands alone
    try:
        while True:
            turn(line, session, hardware, time.ticks_diff(time.ticks_ms(), began) & ticks.MASK)
    finally:
        hardware.open_all()
        micropython.kbd_intr(3)


def turn(line: Line, session: Session, hardware: Hardware, now_ms: int) -> None:
    """What the samples show, then a frame's worth of bytes at most."""
    hardware.look()
    try:
        for _ in range(BURST):
            byte = line.read()
            if byte < 0:
                break
            session.take(byte, now_ms)
        session.tick(now_ms)
    except OSError:  # the host does not read: as good as gone
        session.leave()
