"""Modules that `inlane quicken` compiled, in place of their sources; the same files stay the source.

They are used when the environment's INLANE_COMPILED names their folder, by commands that play many games and
by their workers. When a source has changed since, or they are of another Python, all is plain Python.
"""

import hashlib
import json
import os
import sys
from collections.abc import Sequence
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec
from importlib.util import spec_from_file_location
from pathlib import Path
from types import ModuleType

VARIABLE = "INLANE_COMPILED"
INDEX = "compiled.json"
ROOT = Path(__file__).parent.parent
MODULES = (
    "firmware.base.agenda",
    "firmware.base.chance",
    "firmware.base.numbers",
    "firmware.base.ring",
    "firmware.base.ticks",
    "firmware.base.timers",
    "firmware.base.trace",
    "firmware.cabinet.turns",
    "firmware.charts.action_sequence",
    "firmware.charts.configuration",
    "firmware.charts.engine",
    "firmware.charts.microstep",
    "firmware.charts.queue",
    "firmware.charts.region_state",
    "firmware.charts.table",
    "firmware.devices.coil_limiter",
    "firmware.devices.coils",
    "firmware.devices.coin_lockout",
    "firmware.devices.native.limiter",
    "firmware.devices.reflexes",
    "firmware.devices.switches",
    "firmware.pad",
    "firmware.parts.window",
    "firmware.play.ambient",
    "firmware.play.claims",
    "firmware.play.counts",
    "firmware.play.faults",
    "firmware.play.flashers",
    "firmware.play.memory",
    "firmware.play.offers",
    "firmware.play.pages",
    "firmware.play.requests",
    "firmware.play.rule_context",
    "firmware.play.score",
    "firmware.play.settings",
    "firmware.play.switch_monitor",
    "firmware.steps",
    "hil.bench.quiet_clock",
    "hil.bench.rewind",
    "hil.bench.tally",
    "simulator.ball",
    "simulator.ball_path",
    "simulator.devices",
    "simulator.flipper",
    "simulator.mechanisms",
    "simulator.plant",
    "simulator.player",
    "simulator.routes",
    "simulator.scheduler",
    "simulator.wheel",
)


class CompiledModules(MetaPathFinder):
    """Finds modules by the index of a folder: by name, the file of each."""

    def __init__(self, folder: Path, files: dict[str, str]) -> None:
        self._folder = folder
        self._files = files

    def find_spec(
        self, fullname: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        """The compiled module of this name, None when there is none."""
        file = self._files.get(fullname)
        return spec_from_file_location(fullname, self._folder / file) if file else None


def source(module: str) -> Path:
    """The source of a module."""
    return ROOT.joinpath(*module.split(".")).with_suffix(".py")


def stamp() -> str:
    """A digest of what the compiled modules are made from, and for which Python."""
    digest = hashlib.sha256(str(sys.implementation.cache_tag).encode())
    for module in MODULES:
        digest.update(module.encode() + source(module).read_bytes())
    return digest.hexdigest()


def use() -> bool:
    """Use the folder that the environment names, from the next import on; whether there are such modules."""
    folder = Path(os.environ.get(VARIABLE, ""))
    index = folder / INDEX
    if not os.environ.get(VARIABLE) or not index.is_file():
        return False
    made = json.loads(index.read_text(encoding="utf-8"))
    if made["stamp"] != stamp():
        print(f"{folder}: the sources have changed; running plain Python", file=sys.stderr)
        return False
    sys.meta_path.insert(0, CompiledModules(folder, made["files"]))
    return True


def leave() -> None:
    """Use plain Python, in processes that are started later too; none of MODULES is imported yet."""
    os.environ.pop(VARIABLE, None)
    sys.meta_path[:] = [finder for finder in sys.meta_path if not isinstance(finder, CompiledModules)]
