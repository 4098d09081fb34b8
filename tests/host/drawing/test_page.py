"""The page on how to draw: its example is a whole drawing of a small machine."""

import re
from pathlib import Path

import simulator.drawing
from simulator.drawing.drawing import Drawing
from simulator.drawing.items import ROLES

PAGE = (Path(simulator.drawing.__path__[0]) / "README.md").read_text(encoding="utf-8")


def test_the_example_has_a_place_for_what_it_names(machine):
    text = re.search(r"```svg\n(.*?)```", PAGE, re.S)[1]
    drawing = Drawing(text.encode(), "example.svg", machine)
    assert [remark.text for remark in drawing.remarks if remark.fatal] == []
    assert drawing.placed_switches() == {"post", "gong", "wall", "pit"}
    assert drawing.placed_lamps() == {"gong"}
    assert [bat.name for bat in drawing.bats] == ["bat"]
    assert set(drawing.paths) == {("pit", "gong")}


def test_the_table_lists_every_group():
    rows = re.findall(r"^\| `([\w-]+)` \|", PAGE, re.M)
    assert sorted(rows) == sorted(ROLES)
