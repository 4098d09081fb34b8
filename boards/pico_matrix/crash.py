"""Where this board keeps what ended its program: 1 KB of RAM over the restart, then a file.

An error is written into RAM when it happens, since writing flash takes long and may fail. The next start puts
it into the file, coils off, and the file stays until a person has acknowledged the error, also without power.
"""

import os

import uctypes

from boards.pico_matrix.chip import chip
from firmware.base import crash

FILE = "/ended"
READ = "/ended.read"  # acknowledged: kept to be looked at
GUARD = b"\x5a\xc3\x96\x3c"  # at the end of the RAM, where the stack grows to
DEEP = ": the callback found no stack, and the watchdog restarted the program"


def record_bite() -> None:
    """The watchdog ended the program, which could not record anything itself."""
    ram = memory()
    if crash.read(ram) is None:
        if ram[crash.END :] == GUARD:
            crash.write(ram, crash.STOOD_STILL, crash.KINDS[crash.STOOD_STILL], [])
        else:
            crash.write(ram, crash.DEPTH, crash.KINDS[crash.DEPTH] + DEEP, [])


def box() -> "memoryview | None":
    """Where the events of a run go from now on; None while an error waits there for its file."""
    ram = memory()
    if crash.read(ram):
        return None
    crash.clear_box(ram)
    ram[crash.END :] = GUARD
    return crash.box(ram)


def memory() -> bytearray:
    """The RAM that outlasts a restart; without power it holds anything."""
    ram: bytearray = uctypes.bytearray_at(chip.CRASH_RECORD, crash.SIZE)
    return ram


def last() -> "crash.Crash | None":
    """What ended the program and was not acknowledged yet; afterwards the file has it. Coils must be off."""
    ram = memory()
    found = crash.read(ram)
    if found is None:
        crash.clear(ram)
        return _of(FILE)
    try:
        with open(FILE, "wb") as file:
            file.write(ram)
    except OSError:
        return found  # it stays in RAM, for the next start to try
    crash.clear(ram)
    return found


def before() -> "crash.Crash | None":
    """The last one that was acknowledged."""
    return _of(READ)


def acknowledge() -> None:
    """A person has read it."""
    crash.clear(memory())
    try:
        os.rename(FILE, READ)
    except OSError:
        pass  # it was in RAM only


def _of(path: str) -> "crash.Crash | None":
    try:
        with open(path, "rb") as file:
            return crash.read(file.read(crash.SIZE))
    except OSError:
        return None
