"""What a panel draws from."""

from collections.abc import Mapping
from typing import NamedTuple

from simulator.desk.charts import ChartViewer
from simulator.desk.files import UNWATCHED, FilesReport
from simulator.desk.hits import Hits
from simulator.desk.keymap import KeyMap
from simulator.desk.machine import DeskMachine
from simulator.desk.recent import Recent


class Scene(NamedTuple):
    """A machine and what happened lately. `colours`: of lamps; `page`: how many were turned.

    `files`: what happened to the game's files.
    """

    machine: DeskMachine
    recent: Recent
    keymap: KeyMap
    charts: ChartViewer
    hits: Hits
    colours: Mapping[str, str]
    page: int = 0
    files: FilesReport = UNWATCHED


def feature_of(name: str) -> str:
    """The feature that an award or a value is of: FEATURE.what."""
    return name.partition(".")[0]
