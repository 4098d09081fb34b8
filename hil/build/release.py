"""The MicroPython release that images are built from: its source tree and the tools it needs."""

import re
import shutil
import subprocess
from pathlib import Path
from typing import NamedTuple

from firmware.base.errors import UsageError

RELEASE = "1.28.0"
SOURCES = "https://github.com/micropython/micropython"
MODULES = ("pico-sdk", "tinyusb", "mbedtls")  # submodules below lib/


class Tool(NamedTuple):
    """A command that a build needs: what for, and the package that has it."""

    command: str
    purpose: str
    debian: str
    homebrew: str


TOOLS = (
    Tool("cmake", "the build", "cmake", "cmake"),
    Tool("make", "the build", "make", "make"),
    Tool("cc", "MicroPython's compiler, which runs here", "build-essential", "gcc"),
    Tool("arm-none-eabi-gcc", "code for the chip", "gcc-arm-none-eabi", "arm-none-eabi-gcc"),
    Tool("arm-none-eabi-g++", "code for the chip", "libstdc++-arm-none-eabi-newlib", "arm-none-eabi-gcc"),
)


def check_tools() -> None:
    """Raises UsageError, naming every tool that is missing and what to install for it."""
    missing = [tool for tool in TOOLS if not shutil.which(tool.command)]
    if missing:
        names = ", ".join(f"{tool.command} ({tool.purpose})" for tool in missing)
        debian = " ".join(dict.fromkeys(tool.debian for tool in missing))
        brew = " ".join(dict.fromkeys(tool.homebrew for tool in missing))
        raise UsageError(
            f"to build an image this machine lacks {names}; on Debian or Ubuntu: apt-get install {debian};"
            f" with Homebrew: brew install {brew}. 'inlane replay --image FILE' needs none of them"
        )


def check_tree(tree: Path) -> None:
    """Raises UsageError unless `tree` holds the sources of RELEASE with the submodules they need."""
    header = tree / "py" / "mpconfig.h"
    if not header.is_file():
        raise UsageError(f"{tree} does not hold MicroPython's sources; without --sources they are cloned")
    found = version(header.read_text())
    if found != RELEASE:
        raise UsageError(f"{tree} holds MicroPython {found}; images are built from release {RELEASE}")
    for name in MODULES:
        if not any((tree / "lib" / name).glob("*")):
            raise UsageError(
                f"{tree}/lib/{name} is empty; run: make -C {tree}/ports/rp2 BOARD=RPI_PICO submodules"
            )


def version(header: str) -> str:
    """The release that MicroPython's py/mpconfig.h is of; one that is not out has -preview behind it."""
    numbers = {}
    for name in ("MAJOR", "MINOR", "MICRO", "PRERELEASE"):
        match = re.search(rf"^#define MICROPY_VERSION_{name} (\d+)", header, re.MULTILINE)
        numbers[name] = match.group(1) if match else "?"
    preview = "-preview" if numbers["PRERELEASE"] == "1" else ""
    return f"{numbers['MAJOR']}.{numbers['MINOR']}.{numbers['MICRO']}{preview}"


def clone(tree: Path) -> None:
    """Clone the release with the submodules it needs, some 600 MB. Raises UsageError with git's complaint."""
    if not shutil.which("git"):
        raise UsageError("git is not installed: it clones MicroPython's sources; or name them with --sources")
    tree.parent.mkdir(parents=True, exist_ok=True)
    part = tree.with_name(tree.name + ".part")
    shutil.rmtree(part, ignore_errors=True)
    _run("git", "clone", "--depth", "1", "--branch", f"v{RELEASE}", SOURCES, str(part))
    modules = [f"lib/{name}" for name in MODULES]
    _run("git", "-C", str(part), "submodule", "update", "--init", "--depth", "1", *modules)
    part.rename(tree)


def _run(*command: str) -> None:
    done = subprocess.run(command, capture_output=True, text=True)
    if done.returncode:
        said = (done.stderr.strip().splitlines() or ["no word of why"])[-1]
        raise UsageError(f"{' '.join(command[:3])} failed: {said}")
