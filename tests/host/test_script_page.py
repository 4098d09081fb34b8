"""The examples of the script language's page are scripts of the demo that pass."""

import re
from pathlib import Path

import pytest

from hil import games
from hil.bench import report
from hil.bench.outcome import PASS
from hil.bench.scripts import script
from hil.command.replay import Bench

PAGE = Path(script.__file__).parents[1] / "SCRIPTS.md"
EXAMPLES = re.findall(r"^```\n(.*?)^```$", PAGE.read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL)


def test_the_page_has_examples():
    assert EXAMPLES


@pytest.mark.parametrize("example", EXAMPLES)
@pytest.mark.parametrize("target", ["desk", pytest.param("micropython", marks=pytest.mark.micropython)])
def test_an_example_of_the_page_passes(example, target):
    game = games.load("honey_flow")
    with Bench(target) as bench:
        outcome = bench.run(script.parse(example, PAGE, bench.vocabulary(game)), game)
    assert outcome.code == PASS, "\n".join(report.lines(outcome))


def rows_of(heading):
    """First cells of the table below a heading of the page."""
    _, _, rest = PAGE.read_text(encoding="utf-8").partition(heading)
    return re.findall(r"^\|[^|]*\|(.*)\|$", rest.partition("\n## ")[0].partition("\n### ")[0], re.MULTILINE)


def test_every_whole_expectation_of_the_page_is_read():
    vocabulary = Bench("desk").vocabulary(games.load("honey_flow"))
    read = 0
    for cell in rows_of("## Expectations"):
        for line in re.findall(r"`(expect [^`]*)`", cell):
            script.parse(f"mark\n{with_names(line)}\n", PAGE, vocabulary)
            read += 1
    assert read >= 15


def with_names(line):
    """A line of the page with names of the demo in the place of NAME."""
    names = {
        "lamp": "pollen",
        "coil": "kickback",
        "award": "pollen_run.collected",
        "cue": "pollen",
        "event": "ball.ended",
        "window": "pollen_run",
        "value": "pollen_run.value",
        "switch": "inlane.left",
    }
    line = line.replace("state of REGION is STATE", "state of pollen_run is lit")
    line = line.replace("display player.1 is", "line 1 is")  # a name of a machine with DISPLAYS
    return line.replace("NAME", names.get(line.split()[1], "?"))
