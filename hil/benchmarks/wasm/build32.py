"""The npm package with the 32-bit MicroPython: fetched once into a cache folder, at a pinned version."""

import os
import shutil
import subprocess
from pathlib import Path

from firmware.base.errors import UsageError

PACKAGE = "@micropython/micropython-webassembly-pyscript"
VERSION = "1.27.0"
FETCH_S = 300
RUN_S = 600
RUNNER = Path(__file__).with_name("run.mjs")


def cache() -> Path:
    """Where fetched things are kept between runs."""
    base = os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache")
    return Path(base) / "inlane" / f"micropython-32-bit-{VERSION}"


def fetched() -> Path:
    """The package's folder. Raises UsageError with what is missing."""
    folder = cache() / "node_modules" / PACKAGE
    if not shutil.which("node"):
        raise UsageError("there is no 'node' command; the 32-bit MicroPython needs it (Debian: nodejs)")
    if (folder / "micropython.mjs").is_file():
        return folder
    npm = shutil.which("npm")
    if not npm:
        raise UsageError("there is no 'npm' command to fetch the 32-bit MicroPython with (Debian: npm)")
    cache().mkdir(parents=True, exist_ok=True)
    done = subprocess.run(
        [npm, "install", "--no-audit", "--no-fund", "--prefix", str(cache()), f"{PACKAGE}@{VERSION}"],
        capture_output=True,
        text=True,
        timeout=FETCH_S,
    )
    if done.returncode or not (folder / "micropython.mjs").is_file():
        words = done.stderr.strip().splitlines()
        raise UsageError(
            f"npm could not fetch {PACKAGE} {VERSION}: {words[0] if words else 'no reason given'}"
        )
    return folder


def run(files: Path, plan: Path) -> str:
    """What the plan prints with `files` on board. Raises UsageError when it breaks."""
    done = subprocess.run(
        ["node", str(RUNNER), str(fetched()), str(files), str(plan)],
        capture_output=True,
        text=True,
        timeout=RUN_S,
    )
    if done.returncode:
        last = (done.stderr.strip().splitlines() or ["no reason given"])[-1]
        raise UsageError(f"the 32-bit MicroPython stopped: {last}")
    return done.stdout
