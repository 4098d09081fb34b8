"""A machine file from a text, and what it gives."""

import pytest

from hil.machine.expanding import expand
from hil.machine.tables import MachineTables

HEAD = """SUPPLY = Supply(36, ohms=0.3)
SMALL = Winding(6, mh=30, awg=25, fuse="1 slow", insulation="F")
THROW = Winding(3, mh=15, awg=23, fuse="1.6 slow", insulation="F")
"""
BALLS = """trough(3, at=(2, 3), jam=(2, 6), coil=Coil(1, SMALL)),
    shooter(at=(2, 7), coil=Coil(2, THROW)),"""


class MachineText:
    """Writes a machine file with some lines, and expands it."""

    def __init__(self, path):
        self.path = path

    def expand(self, *lines, balls=BALLS, head=HEAD):
        """The tables and the complaints, each as "line: text", of these lines with a trough and a shooter."""
        body = "\n    ".join([*lines, balls])
        self.path.write_text(f"{head}\nMACHINE = (\n    {body}\n)\n", encoding="utf-8")
        made, errors = expand(self.path, "machine.py")
        return made, [f"{error.where.removeprefix('machine.py:')}: {error.text}" for error in errors]

    def tables(self, *lines, **options) -> MachineTables:
        """The tables of lines without a mistake."""
        made, errors = self.expand(*lines, **options)
        assert errors == []
        assert made is not None
        return made


@pytest.fixture
def machine(tmp_path):
    """A machine file to write."""
    return MachineText(tmp_path / "machine.py")
