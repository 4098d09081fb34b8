"""A lamp show that is added: its lamps go on and off in their order, and wrong ones are refused."""

import pytest
from typer.testing import CliRunner

from hil import games
from hil.authoring.starter.begin import begin
from hil.authoring.starter.wanted import Wanted
from hil.bench.outcome import PASS
from hil.checks.build import all_findings
from hil.command import app
from hil.command.replay import Bench, find_scripts

WATCHED = """title   A wave is seen
start 1 player
launch
tap ramp.enter, ramp.made
expect lamp bank.1 is on
wait 250 ms
expect lamp bank.1 is off
expect lamp bank.2 is on
wait 300 ms
expect lamp bank.3 is on
expect lamp bank.2 is off
wait 300 ms
expect lamp bank.1 is on
expect lamp bank.2 is on
expect lamp bank.3 is on
wait 300 ms
expect lamp bank.1 is on
expect lamp bank.2 is off
"""


def add(folder, *words):
    return CliRunner().invoke(app, ["add", "show", *words, "--to", str(folder)], standalone_mode=False)


@pytest.fixture
def folder(tmp_path):
    made = tmp_path / "waves"
    begin(made, Wanted(bank=3))
    return made


def test_a_show_is_added_with_scripts_and_its_line_in_the_rule_sheet(folder):
    added = add(folder, "Ramp Wave", "--started-by", "ramp")
    assert added.exception is None, added.output
    assert '(300, "bank.1 bank.2 bank.3", ""),' in (folder / "features/ramp_wave.py").read_text()
    assert "**Ramp Wave.** `ramp` starts a show" in (folder / "rules.md").read_text()
    assert [str(finding) for finding in all_findings(str(folder))] == []
    (folder / "scripts/watched.play").write_text(WATCHED)
    game = games.load(str(folder))
    with Bench("desk") as bench:
        outcomes = {
            path.stem: bench.run(bench.read(path, game), game) for path in find_scripts([str(game.scripts)])
        }
    assert {name for name, one in outcomes.items() if one.code != PASS} == set()
    assert {"ramp_wave_made", "ramp_wave_tilt", "watched"} <= set(outcomes)


def test_the_flasher_is_pulsed_in_the_last_step_alone_and_one_lamp_goes_on_and_off(folder):
    """Never in two steps running: the show of the rule kit refuses that."""
    (folder / "wiring.py").write_text(
        (folder / "wiring.py").read_text().replace("COILS = (", 'COILS = (\n    ("flash", 0),', 1)
    )
    added = add(folder, "One", "--started-by", "ramp", "--lamps", "bank.2", "--flasher", "flash")
    assert added.exception is None, added.output
    text = (folder / "features/one.py").read_text()
    assert '(300, "bank.2", ""),\n    (300, "", "flash"),\n' in text


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (
            ("--started-by", "ramp", "--lamps", "bank.1,bank.9"),
            "names 'bank.9', which is no lamp",
        ),
        (("--started-by", "ramp", "--lamps", "bank.1,bank.1"), "names 'bank.1' twice"),
        (("--started-by", "ramp", "--step", "100 ms"), "has steps of 100 ms; 125 ms are the least"),
        (
            ("--started-by", "ramp", "--for", "2 s"),
            "one round of its 4 steps to be seen needs 4",
        ),
        (("--started-by", "ramp", "--flasher", "flush"), "names 'flush', which is no coil"),
        (("--started-by", "rump"), "'started by' of rule 'Ramp Wave'"),
    ],
)
def test_a_show_that_does_not_fit_is_refused_and_nothing_is_written(folder, words, sentence):
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    added = add(folder, "Ramp Wave", *words)
    assert sentence in str(added.exception)
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before
