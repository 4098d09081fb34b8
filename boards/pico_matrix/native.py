"""Modules that the image holds as machine code: loaded into RAM before anything imports them.

Frozen machine code would run from flash, half as fast, and MicroPython 1.28 aligns it to two bytes, where the
RP2040 wants four: functions read wrong constants. In RAM both are right.
The image has the compiled modules in a ROMFS, a bytes object of the frozen module `native_code`.
"""

import sys

MOUNT = "/native"

# Compiled as a whole: every function is viper, or native code. Functions decorated in a source are, too.
VIPER = (
    "firmware.devices.native.limiter",
    "firmware.devices.native.scanner",
    "firmware.devices.native.senses",
)
NATIVE: "tuple[str, ...]" = ()
DECORATED = (
    "boards.pico_matrix.isr",
    "boards.pico_matrix.painting",
)


# Loaded when asked for: few machines need them.
SELDOM = ("boards.pico_matrix.chain",)


def load_all() -> None:
    """Import what every start needs, each module under its own name."""
    import native_code
    import vfs

    vfs.mount(vfs.VfsRom(native_code.ROMFS), MOUNT)
    for name in VIPER + NATIVE + DECORATED:
        load(name)


def load(name: str) -> None:
    """Import the module called so from the ROMFS."""
    parent, _, last = name.rpartition(".")
    flat = name.replace(".", "_")
    __import__(parent)
    sys.path.insert(0, MOUNT)
    __import__(flat)
    sys.path.pop(0)
    module = sys.modules[name] = sys.modules.pop(flat)
    setattr(sys.modules[parent], last, module)
