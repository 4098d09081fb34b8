"""The builder's page of the machine file names every kind, everything it takes, and its example is right."""

import re
from pathlib import Path

import pytest

import hil.machine
from hil.machine.binding import parameters
from hil.machine.expanding import expand
from hil.machine.kinds import KINDS

PAGE = (Path(hil.machine.__path__[0]) / "MACHINE.md").read_text(encoding="utf-8")
ROWS = {
    cells[1].strip(" `"): re.findall(r"\w+", re.sub(r"\(.*?\)", "", cells[2]))
    for cells in (line.split("|") for line in PAGE.partition("## The kinds")[2].splitlines())
    if len(cells) > 3 and cells[1].strip().startswith("`")
}


def test_the_page_has_every_kind_and_no_other():
    assert list(ROWS) == list(KINDS)


@pytest.mark.parametrize("kind", KINDS)
def test_the_page_names_what_a_kind_takes(kind):
    assert set(ROWS[kind]) == set(parameters(KINDS[kind])) - {"name"}


def test_its_example_is_without_mistakes(tmp_path):
    path = tmp_path / "machine.py"
    path.write_text(PAGE.partition("```python\n")[2].partition("```")[0])
    made, errors = expand(path, "machine.py")
    assert errors == []
    assert len(made.wiring.SWITCHES) == 29


def test_a_folder_s_readme_leads_to_the_page():
    assert "[MACHINE.md](MACHINE.md)" in (Path(hil.machine.__path__[0]) / "README.md").read_text()
