"""The linker script of an image: MicroPython's own, with other memory regions.

RP2040       RP2350
0x20000000   0x20000000   data and heap: 247 KB, and 503 KB
0x2003DC00   0x2007DC00   1 KB: the crash record, which no start clears
0x2003E000   0x2007E000   16 KB: the stack (8 and 12 KB on stock images; the callback works on it, too)
"""

from pathlib import Path

from firmware.base.errors import UsageError
from hil.build.chips import Chip

# What runs for nearly every bytecode. Stock images have the parser in RAM, too; nothing is parsed here.
IN_RAM = ("gc", "vm", "map", "objfun", "nlr", "nlrthumb", "bc")
CHANGES = (("*gc.c.obj *vm.c.obj *parse.c.obj", " ".join(f"*/{name}.c.o*" for name in IN_RAM)),)


def script(tree: Path, chip: Chip) -> str:
    """The script for this source tree. Raises UsageError when the tree's own is not the one expected."""
    text = (tree / "ports" / "rp2" / chip.script).read_text()
    for before, after in (*chip.changes, *CHANGES):
        if text.count(before) != 1:
            raise UsageError(f"{tree}/ports/rp2/{chip.script} lacks '{before}': another release?")
        text = text.replace(before, after)
    return text
