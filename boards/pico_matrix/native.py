"""Which modules the image holds as machine code: every function of them, without a decorator in the source.

They run as plain Python everywhere else. Functions that a source decorates (`isr.py`, `painting.py`,
`chain.py`) are machine code, too. It lies in flash, each function at an address divisible by four; what a
reflex waits for longest is loaded into RAM, where it runs twice as fast: it costs the heap its size.
"""

import sys

VIPER = (
    "firmware.devices.native.limiter",
    "firmware.devices.native.scanner",
    "firmware.devices.native.senses",
)
NATIVE: "tuple[str, ...]" = ()
IN_RAM = ("firmware.devices.native.limiter",)  # of those above
MOUNT = "/native"


def load() -> None:
    """Import IN_RAM under their own names, before anything else does.

    The image has them in a ROMFS, a bytes object of the frozen module `native_code`.
    """
    import native_code  # pyright: ignore[reportMissingImports] # the image has it
    import vfs

    vfs.mount(vfs.VfsRom(native_code.ROMFS), MOUNT)  # pyright: ignore[reportAttributeAccessIssue] # not in the stubs
    sys.path.insert(0, MOUNT)
    for name in IN_RAM:
        parent, _, last = name.rpartition(".")
        flat = name.replace(".", "_")
        __import__(parent)
        __import__(flat)
        module = sys.modules[name] = sys.modules.pop(flat)
        setattr(sys.modules[parent], last, module)
    sys.path.remove(MOUNT)
    vfs.umount(MOUNT)
