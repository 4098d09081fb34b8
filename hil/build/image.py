"""Builds an image: compiler, staged sources, MicroPython's own build with our board definition.

Everything is written below one build folder; the source tree is only read. The first build takes some
minutes, that of another game seconds. Equal sources give equal bytes: an image holds no date and no path.
"""

import os
import re
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

from firmware.base.errors import GameError, UsageError
from hil.build import linking, native, release, staging
from hil.build.chips import Chip
from hil.build.layout import Image, make
from hil.games import Game

DEFINITION = "image"  # the folder of a board that MicroPython's build takes as its board definition
BOARDS = ("pico_matrix",)  # that images are built for
NAME = "INLANE_PICO"
FROZEN, MACHINE_CODE = "frozen", "machine_code"  # folders below the build folder
ALIGNED = 4
Progress = Callable[[str, int], None]  # what is being done, per cent of it


def build(game: Game, board: str, chip: Chip, tree: Path, work: Path, progress: Progress) -> Image:
    """The image of a game. Raises UsageError or GameError with the first complaint of a tool."""
    if board not in BOARDS:
        raise UsageError(f"there is no board '{board}' to build an image for; known are {', '.join(BOARDS)}")
    release.check_tools()
    release.check_tree(tree)
    work.mkdir(parents=True, exist_ok=True)
    compiler = mpy_cross(tree, work, progress)
    engine, rules = staging.engine_sources(board), staging.game_sources(game)
    _lay_out(game, chip, engine | rules, compiler, work)
    folder = work / "build"
    _configure(board, chip, tree, work, folder)
    _make(folder, work, progress)
    check_alignment(_run(["arm-none-eabi-nm", str(folder / "firmware.elf")]))
    binary = (folder / "firmware.bin").read_bytes()
    return make(binary, game.package, staging.digest(engine), staging.digest(rules), chip)


def mpy_cross(tree: Path, work: Path, progress: Progress) -> Path:
    """The tree's own compiler, built once."""
    compiler = work / "mpy-cross" / "mpy-cross"
    if not compiler.is_file():
        progress("MicroPython's compiler", 0)
        _run(["make", "-C", str(tree / "mpy-cross"), f"BUILD={work / 'mpy-cross'}", f"-j{os.cpu_count()}"])
    return compiler


def _lay_out(game: Game, chip: Chip, found: staging.Files, compiler: Path, work: Path) -> None:
    frozen, ours = native.split(found)
    staging.lay_out(frozen | staging.written(game), work / FROZEN)
    staging.lay_out(native.machine_code(ours, compiler, chip.arch), work / MACHINE_CODE)


def _configure(board: str, chip: Chip, tree: Path, work: Path, folder: Path) -> None:
    """Set the build up, anew when the board definition, the linker script or the tree changed."""
    definition = staging.BOARDS / board / DEFINITION
    script = linking.script(tree, chip)
    stamp = "\n".join([str(tree), script, *(path.read_text() for path in sorted(definition.iterdir()))])
    configured = folder / "inlane.txt"
    if configured.is_file() and configured.read_text() == stamp:
        return
    shutil.rmtree(folder, ignore_errors=True)
    (work / "memory.ld").write_text(script)
    _run(
        [
            "cmake",
            *("-S", str(tree / "ports" / "rp2"), "-B", str(folder), "-DPICO_BUILD_DOCS=0"),
            f"-DMICROPY_BOARD={NAME}",
            f"-DMICROPY_BOARD_DIR={definition}",
            *((f"-DMICROPY_BOARD_VARIANT={chip.variant}",) if chip.variant else ()),
            f"-DMICROPY_FROZEN_MANIFEST={definition / 'manifest.py'}",
            f"-DMICROPY_MANIFEST_STAGED={work / FROZEN}",
            f"-DMICROPY_MANIFEST_STAGED_NATIVE={work / MACHINE_CODE}",
            f"-DMICROPY_BOARD_LINKER_SCRIPT={work / 'memory.ld'}",
        ],
        _environment(work) | dict.fromkeys(("CFLAGS", "CXXFLAGS", "ASMFLAGS"), _paths_hidden(tree, work)),
    )
    configured.write_text(stamp)


def _paths_hidden(tree: Path, work: Path) -> str:
    return f"-ffile-prefix-map={tree}=/micropython -ffile-prefix-map={work}=/build"


def _make(folder: Path, work: Path, progress: Progress) -> None:
    """Run the build, saying how far it is. Raises GameError or UsageError with its first error."""
    command = ["make", "-C", str(folder), f"-j{os.cpu_count()}"]
    said = []
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=_environment(work)
    ) as running:
        for line in running.stdout or ():
            said.append(line.rstrip())
            done = re.match(r"\[ *(\d+)%\]", line)
            if done:
                progress("MicroPython with the game", int(done.group(1)))
    if running.returncode:
        (work / "build.log").write_text("\n".join(said))
        raise _failure(said, work / "build.log")


def _failure(said: list[str], log: Path) -> Exception:
    for i, line in enumerate(said):
        if line.startswith("error compiling"):
            _error, _compiling, path, *_ = line.split()
            return GameError(" ".join(said[i : i + 6][-1].split()), path.rstrip(":"))
    errors = [line for line in said if re.search(r"\berror\b[: ]", line, re.IGNORECASE)] or said[-1:]
    return UsageError(f"the build failed: {errors[0].strip()}; all of it is in {log}")


def check_alignment(symbols: str) -> None:
    """Raises UsageError unless every function of frozen machine code begins at an address divisible by four.

    `symbols`: what nm prints of the linked program; bytecode lies elsewhere, as data.
    """
    found = re.findall(r"^([0-9a-f]+) t (fun_data_\w+)$", symbols, re.MULTILINE)
    wrong = [name for address, name in found if int(address, 16) % ALIGNED]
    if wrong or not found:
        what = ", ".join(wrong[:3]) or "no machine code was found"
        raise UsageError(f"frozen machine code is not aligned to {ALIGNED} bytes: {what}")


def _environment(work: Path) -> dict[str, str]:
    """Without a date, a repository's tag or a compiler from elsewhere."""
    fixed = {
        "SOURCE_DATE_EPOCH": "0",
        "MICROPY_GIT_TAG": f"v{release.RELEASE}",
        "MICROPY_GIT_HASH": "release",
        "MICROPY_MPYCROSS": str(work / "mpy-cross" / "mpy-cross"),
        "ZERO_AR_DATE": "1",
    }
    return {**os.environ, **fixed}


def _run(command: list[str], environment: dict[str, str] | None = None) -> str:
    done = subprocess.run(command, capture_output=True, text=True, env=environment)
    if done.returncode:
        said = [line for line in (done.stderr + done.stdout).splitlines() if "rror" in line]
        raise UsageError(f"{command[0]} failed: {said[0].strip() if said else 'it did not say why'}")
    return done.stdout
