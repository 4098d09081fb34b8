"""The linker script of an image: MicroPython's own, with other memory regions.

0x20000000  247 KB  data and heap
0x2003DC00    1 KB  the crash record, which no start clears
0x2003E000   16 KB  the stack (8 KB on a stock image; the callback works on it, too)
"""

from pathlib import Path

from firmware.base.errors import UsageError

SCRIPT = "memmap_mp_rp2040.ld"
# What runs for nearly every bytecode. Stock images have the parser in RAM, too; nothing is parsed here.
IN_RAM = ("gc", "vm", "map", "objfun", "nlr", "nlrthumb", "bc")
CHANGES = (
    ("RAM(rwx) : ORIGIN =  0x20000000, LENGTH = 256k", "RAM(rwx) : ORIGIN =  0x20000000, LENGTH = 247k"),
    (
        "SCRATCH_Y(rwx) : ORIGIN = 0x20040000, LENGTH = 8k",
        "SCRATCH_Y(rwx) : ORIGIN = 0x2003E000, LENGTH = 16k",
    ),
    ("__StackBottom = __StackTop - SIZEOF(.stack_dummy);", "__StackBottom = ORIGIN(SCRATCH_Y);"),
    ("*gc.c.obj *vm.c.obj *parse.c.obj", " ".join(f"*/{name}.c.o*" for name in IN_RAM)),
)


def script(tree: Path) -> str:
    """The script for this source tree. Raises UsageError when the tree's own is not the one expected."""
    text = (tree / "ports" / "rp2" / SCRIPT).read_text()
    for before, after in CHANGES:
        if text.count(before) != 1:
            raise UsageError(f"{tree}/ports/rp2/{SCRIPT} does not hold '{before}' once: another release?")
        text = text.replace(before, after)
    return text
