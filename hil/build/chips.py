"""The chips that an image of the driver board can be built for: what differs between a Pico and a Pico 2.

Their registers are in `boards/pico_matrix/rp2040.py` and `rp2350.py`. UF2 families: pico-sdk 2.2.0,
boot/uf2.h; `arch`: MicroPython 1.28's ports/rp2/CMakeLists.txt (both read).
"""

from dataclasses import dataclass

from firmware.base.errors import UsageError

Changes = tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Chip:
    """One chip.

    `arch`: its processor as mpy-cross calls it; `family`: its number in UF2 files; `variant`: of the board
    definition, "" for none; `script`: MicroPython's linker script; `changes`: to its memory regions and to
    what is in RAM; `drive`: the boot loader's drive; `caution`: what is printed with an image for it.
    """

    name: str
    pico: str
    arch: str
    family: int
    variant: str
    script: str
    changes: Changes
    drive: str
    caution: str = ""


# Functions of files that are in RAM otherwise (linking.IN_RAM) and that play calls never or seldom: 2 KB
# that the heap of an RP2040 needs.
IN_FLASH = (
    ("gc", ("gc_init", "gc_info", "gc_nbytes", "gc_realloc", "gc_dump_alloc_table", "gc_dump_info")),
    ("map", ("mp_map_rehash", "mp_set_lookup", "mp_set_rehash")),
    ("objfun", ("convert_obj_for_inline_asm", "fun_asm_call", "mp_obj_fun_bc_get_name")),
)
BEHIND_TEXT = "        *(.fini)\n"  # in the script's section of code in flash


def _in_flash() -> str:
    lines = [f"*/{file}.c.o*({' '.join('.text.' + name for name in names)})" for file, names in IN_FLASH]
    return "".join(f"        {line}\n" for line in lines)


RP2040 = Chip(
    name="rp2040",
    pico="Pico",
    arch="armv6m",
    family=0xE48BFF56,
    variant="",
    script="memmap_mp_rp2040.ld",
    changes=(
        ("RAM(rwx) : ORIGIN =  0x20000000, LENGTH = 256k", "RAM(rwx) : ORIGIN =  0x20000000, LENGTH = 247k"),
        (
            "SCRATCH_Y(rwx) : ORIGIN = 0x20040000, LENGTH = 8k",
            "SCRATCH_Y(rwx) : ORIGIN = 0x2003E000, LENGTH = 16k",
        ),
        ("__StackBottom = __StackTop - SIZEOF(.stack_dummy);", "__StackBottom = ORIGIN(SCRATCH_Y);"),
        (BEHIND_TEXT, _in_flash() + BEHIND_TEXT),
    ),
    drive="RPI-RP2",
)
RP2350 = Chip(
    name="rp2350",
    pico="Pico 2",
    arch="armv7m",
    family=0xE48BFF59,  # ARM, secure
    variant="RP2350",
    script="memmap_mp_rp2350.ld",
    changes=(
        ("RAM(rwx) : ORIGIN =  0x20000000, LENGTH = 512k", "RAM(rwx) : ORIGIN =  0x20000000, LENGTH = 503k"),
        (
            "SCRATCH_Y(rwx) : ORIGIN = 0x20080000, LENGTH = 8k",
            "SCRATCH_Y(rwx) : ORIGIN = 0x2007E000, LENGTH = 16k",
        ),
        ("ORIGIN(RAM) + LENGTH(RAM) - __micropy_extra_stack__;", "ORIGIN(RAM) + LENGTH(RAM);"),
        ("__StackBottom = __GcHeapEnd;", "__StackBottom = ORIGIN(SCRATCH_Y);"),
    ),
    drive="RP2350",
    caution=(
        "UNTRIED: no image for a Pico 2 has run anywhere, on a chip or emulated. Read 'A Pico 2' in"
        " boards/pico_matrix/README.md, and connect no coil supply to it."
    ),
)
CHIPS = {chip.name: chip for chip in (RP2040, RP2350)}


def named(name: str) -> Chip:
    """The chip called so. Raises UsageError with those that there are."""
    if name not in CHIPS:
        raise UsageError(f"there is no chip '{name}' for this board; known are {', '.join(CHIPS)}")
    return CHIPS[name]


def of_family(family: int) -> Chip | None:
    """The chip with this number in UF2 files; None for any other."""
    return next((chip for chip in CHIPS.values() if chip.family == family), None)
