"""Charts as pictures and text."""

from pathlib import Path
from xml.etree import ElementTree

import pytest

from firmware.base.errors import UsageError
from firmware.charts.model import ANY, Region, State, after, external
from hil.command import draw
from hil.reports import diagram


class Owner:
    """Has the methods the rows name."""


ROWS = (
    ("dark", "inlane.left", "lit", "open"),
    ("lit", after(14_000), "dark", "expire"),
    ("lit", "orbit", external("lit"), ("a", "b"), "not full"),
    (ANY, "meadow", None, "build"),
)
REGION = Region("run", Owner(), ROWS, (State("dark"), State("lit", states=(State("slow"), State("fast")))))


def test_text_has_a_line_for_every_row() -> None:
    lines = diagram.as_text(diagram.of_region(REGION)).splitlines()
    assert lines[0] == "run"
    assert "slow in lit" in lines[1]
    assert lines[2:] == [
        "  dark -> lit: inlane.left / open",
        "  lit -> dark: after 14000 ms / expire",
        "  lit -> lit (external): orbit [not full] / a, b",
        "  (any) -> stays: meadow / build",
    ]


def test_picture_is_xml_with_every_state_and_marks_the_active_ones() -> None:
    made = diagram.of_region(REGION)
    picture = ElementTree.fromstring(diagram.as_svg(made, {"fast"}))
    words = {element.text: element for element in picture.iter("{http://www.w3.org/2000/svg}text")}
    assert {"(any)", "dark", "lit", "slow", "fast"} <= set(words)
    assert words["fast"].get("font-weight") == "bold"
    assert words["slow"].get("font-weight") is None


def test_mermaid_names_states_and_arrows() -> None:
    text = diagram.as_mermaid(diagram.of_region(REGION))
    assert text.startswith("stateDiagram-v2")
    assert 'state "dark" as s1' in text
    assert "s1 --> s2 : inlane.left / open" in text


def test_a_game_is_drawn_into_a_folder(tmp_path: Path) -> None:
    draw.draw("kit_room", "", tmp_path / "charts")
    assert (tmp_path / "charts" / "rush.svg").read_text().startswith("<svg")


def test_an_scxml_file_is_drawn(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "door.scxml"
    file.write_text(
        '<scxml xmlns="http://www.w3.org/2005/07/scxml" version="1.0"><state id="shut">'
        '<transition event="push" target="ajar"/></state><state id="ajar"/></scxml>'
    )
    draw.draw(str(file), "", None)
    assert "shut -> ajar" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("source", "chart", "out", "said"),
    [
        ("honey_flow", "polen_run", None, "did you mean 'pollen_run'"),
        ("honey_flow", "", Path("all.svg"), "one chart"),
        ("honey_flow", "waggle", Path("w.bmp"), ".svg, .mmd, .txt"),
        ("nowhere.scxml", "", None, "there is no file"),
    ],
)
def test_what_cannot_be_drawn_is_one_sentence(source: str, chart: str, out: Path | None, said: str) -> None:
    with pytest.raises(UsageError, match=said):
        draw.draw(source, chart, out)


@pytest.mark.parametrize("name", ["honey_flow", "kit_room", "kite_day"])
def test_no_label_is_cut_at_the_edge_of_a_picture(name: str, tmp_path: Path) -> None:
    draw.draw(name, "", tmp_path)
    for path in tmp_path.glob("*.svg"):
        root = ElementTree.parse(path).getroot()
        for text in root.iter("{http://www.w3.org/2000/svg}text"):
            if text.get("text-anchor") != "middle":
                assert float(text.get("x", 0)) + 7 * len(text.text or "") < float(root.get("width", 0)), path
