"""Compiled modules: how a source is adapted, when they are used, and that they play the same games."""

import json
import os
import subprocess
import sys

import pytest

from firmware.base.errors import UsageError
from hil import compiled
from hil.build import quicken

SOURCE = '''"""A module."""

from other import thing

HALF = 0x20000000
_AT = const(3)  # a place
NAMES = (
    "one",
)
mixed = 4
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Protocol

    from firmware.base.timers import Timers

    class Put(Protocol):
        """Puts."""

        def __call__(self, event: int) -> None:
            """Put."""


class One:
    """One."""


@dataclass
class Two(One):
    """Two."""


class Three(NamedTuple):
    """Three."""
'''
ADAPTED = '''"""A module."""
from typing import Final

from mypy_extensions import mypyc_attr

from other import thing

HALF: Final = 0x20000000
_AT: Final = 3  # a place
NAMES: Final = (
    "one",
)
mixed = 4
TYPE_CHECKING = False
if TYPE_CHECKING:
    pass

    from firmware.base.timers import Timers

from typing import Protocol

class Put(Protocol):
    """Puts."""

    def __call__(self, event: int) -> None:
        """Put."""


@mypyc_attr(allow_interpreted_subclasses=True)
class One:
    """One."""


@mypyc_attr(allow_interpreted_subclasses=True)
@dataclass
class Two(One):
    """Two."""


class Three(NamedTuple):
    """Three."""
'''


def test_classes_may_be_inherited_from_constants_are_final_and_protocols_move():
    assert quicken.adapted(SOURCE) == ADAPTED


def test_rows_of_numbers_are_lists():
    path = compiled.ROOT / quicken.NUMBERS
    text = quicken.in_lists(path.read_text(encoding="utf-8"))
    assert "    Numbers = list[int]\n" in text
    assert "return [0] * size" in text
    assert "array(" not in text


def test_every_module_to_be_compiled_is_there():
    assert [module for module in compiled.MODULES if not compiled.source(module).is_file()] == []


def test_stale_modules_are_not_used(tmp_path, monkeypatch, capsys):
    (tmp_path / compiled.INDEX).write_text(json.dumps({"stamp": "old", "files": {}}))
    monkeypatch.setenv(compiled.VARIABLE, str(tmp_path))
    before = sys.meta_path[:]
    assert not compiled.use()
    assert sys.meta_path == before
    assert "the sources have changed; running plain Python" in capsys.readouterr().err


def test_a_folder_without_modules_is_not_used(tmp_path, monkeypatch):
    monkeypatch.setenv(compiled.VARIABLE, str(tmp_path))
    assert not compiled.use()
    monkeypatch.delenv(compiled.VARIABLE)
    assert not compiled.use()


@pytest.mark.parametrize(("command", "found"), [("season", "True"), ("tune", "True"), ("check", "False")])
def test_commands_that_look_into_sources_are_plain_python(tmp_path, command, found):
    (tmp_path / compiled.INDEX).write_text(
        json.dumps({"stamp": compiled.stamp(), "files": {"firmware.base.ring": "ring.py"}})
    )
    source = compiled.source("firmware.base.ring").read_text(encoding="utf-8")
    (tmp_path / "ring.py").write_text(source + "FOUND = True\n")
    program = "import os\nfrom hil import command\n"
    program += f"command._module({command!r})\nfrom firmware.base import ring\n"
    program += "print(hasattr(ring, 'FOUND'), 'INLANE_COMPILED' in os.environ)"
    environment = dict(os.environ, INLANE_COMPILED=str(tmp_path), PYTHONPATH=str(compiled.ROOT))
    ran = subprocess.run([sys.executable, "-c", program], env=environment, capture_output=True, text=True)
    assert ran.stdout.split() == [found, found], ran.stderr


def test_modules_of_these_sources_are_found_first(tmp_path):
    (tmp_path / compiled.INDEX).write_text(
        json.dumps({"stamp": compiled.stamp(), "files": {"firmware.steps": "steps.py"}})
    )
    (tmp_path / "steps.py").write_text("FOUND = True\n")
    program = "import hil\nfrom firmware import steps\nfrom firmware.base import ring\n"
    program += "print(steps.FOUND, ring.WORDS)"
    environment = dict(os.environ, INLANE_COMPILED=str(tmp_path), PYTHONPATH=str(compiled.ROOT))
    ran = subprocess.run([sys.executable, "-c", program], env=environment, capture_output=True, text=True)
    assert ran.stdout.split() == ["True", "3"]


def test_without_a_compiler_the_reason_is_said(tmp_path, monkeypatch):
    monkeypatch.setattr(quicken.shutil, "which", lambda name: None)
    with pytest.raises(UsageError, match="no mypyc here"):
        quicken.compile_into(tmp_path)
