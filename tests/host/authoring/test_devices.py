"""A device that is added comes with a small rule: feature, lamps, scripts that pass, a line in rules.md."""

import pytest
from typer.testing import CliRunner

from hil import games
from hil.authoring.starter.begin import begin
from hil.authoring.starter.wanted import Wanted
from hil.bench.outcome import PASS
from hil.checks.build import all_findings
from hil.command import app
from hil.command.replay import Bench, find_scripts

DEVICES = {
    "saucer": ("saucer", "pond"),
    "lock": ("lock", "grotto", "--n", "2"),
    "lanes": ("lanes", "gull", "--n", "3"),
    "bank": ("bank", "buoy", "--n", "3"),
    "target": ("bank", "post", "--n", "1"),
    "drops": ("drops", "crate", "--n", "3"),
    "spinner": ("spinner", "reel"),
    "bumpers": ("bumpers", "reed", "--n", "2"),
    "ramp": ("ramp", "bridge"),
    "orbit": ("orbit", "outer"),
}


def test_drop_targets_with_the_reset_of_another_bank_are_raised_by_their_rule(tmp_path):
    folder = tmp_path / "shared_reset"
    begin(folder, Wanted(bank=0, drops=3))
    words = ["add", "drops", "crate", "--n", "2", "--reset", "drop", "--to", str(folder)]
    added = CliRunner().invoke(app, words, standalone_mode=False)
    assert added.exception is None, added.output
    assert 'self.coil("drop_reset")' in (folder / "features/all_crate_targets.py").read_text()
    game = games.load(str(folder))
    with Bench("desk") as bench:
        codes = [bench.run(bench.read(path, game), game).code for path in find_scripts([str(game.scripts)])]
    assert set(codes) == {PASS}


@pytest.mark.parametrize("n", [0, -1])
def test_a_number_of_devices_below_one_is_refused(n, tmp_path):
    folder = tmp_path / "too_many"
    begin(folder, Wanted())
    added = CliRunner().invoke(app, ["add", "bank", "buoy", "--n", str(n), "--to", str(folder)])
    assert str(added.exception) == f"--n takes 1 to 24, not {n}"


@pytest.mark.sampled(5)
@pytest.mark.parametrize("kind", DEVICES)
def test_a_device_is_added_without_a_rule(kind, tmp_path):
    folder = tmp_path / f"bare_{kind}"
    begin(folder, Wanted())
    before = {path.name for path in folder.rglob("*.py")}
    scripts = set(folder.rglob("*.play"))
    sheet = (folder / "rules.md").read_text(encoding="utf-8")
    words = DEVICES[kind]
    added = CliRunner().invoke(app, ["add", *words, "--no-rule", "--to", str(folder)], standalone_mode=False)
    assert added.exception is None, added.output
    assert [str(finding) for finding in all_findings(str(folder)) if finding.fatal] == []
    assert set(folder.rglob("*.play")) == scripts
    assert (folder / "rules.md").read_text(encoding="utf-8") == sheet
    own = {f"{words[1]}.py"} if kind in ("saucer", "lock", "ramp", "orbit") else set()
    assert {path.name for path in folder.rglob("*.py")} - before == own
    assert f'"{words[1]}"' in (folder / "host/machine.py").read_text(encoding="utf-8")


@pytest.mark.sampled(5)
@pytest.mark.parametrize("kind", DEVICES)
def test_a_device_comes_with_a_rule_that_plays(kind, tmp_path):
    folder = tmp_path / f"added_{kind}"
    begin(folder, Wanted())
    before = set(folder.rglob("*.play"))
    sheet = (folder / "rules.md").read_text(encoding="utf-8")
    words = DEVICES[kind]
    added = CliRunner().invoke(app, ["add", *words, "--to", str(folder)], standalone_mode=False)
    assert added.exception is None, added.output
    notes = [str(finding) for finding in all_findings(str(folder))]
    assert notes == []
    assert len((folder / "rules.md").read_text(encoding="utf-8")) > len(sheet)
    shots = [row[0] for row in games.load(str(folder)).tables("routes").SHOTS]
    odds = dict(games.load(str(folder)).host("season").SHOT_ODDS)["regular"]
    assert {*shots} - {"plunge"} == {name for name, _ in odds}
    game = games.load(str(folder))
    new = sorted(set(find_scripts([str(game.scripts)])) - before)
    assert new
    with Bench("desk") as bench:
        codes = [bench.run(bench.read(path, game), game).code for path in find_scripts([str(game.scripts)])]
    assert set(codes) == {PASS}


LOCK = "rule Big Lock\nkind lock and multiball\nlit by standup\nlocks in grotto\nholds {n}\n"


@pytest.mark.parametrize(("n", "more"), [("2", ()), ("2", ("--no-rule",)), ("1", ("--no-rule",))])
def test_a_lock_that_is_added_is_one_that_a_described_rule_locks_balls_in(n, more, tmp_path):
    folder = tmp_path / "deep_lock"
    begin(folder, Wanted())
    described = tmp_path / "lock.txt"
    described.write_text(LOCK.format(n=n), encoding="utf-8")
    for words in (["lock", "grotto", "--n", n, *more], ["rule", "--from", str(described)]):
        added = CliRunner().invoke(app, ["add", *words, "--to", str(folder)], standalone_mode=False)
        assert added.exception is None, added.output
    games.forget("deep_lock")
    assert [str(finding) for finding in all_findings(str(folder))] == []
    assert set(outcomes(folder)) == {PASS}


def test_a_lock_lit_by_a_plain_switch_leaves_the_script_of_the_points_as_it_is(tmp_path):
    folder = tmp_path / "lit_plainly"
    begin(folder, Wanted(lock=2))
    described = tmp_path / "lock.txt"
    described.write_text(LOCK.format(n=2).replace("grotto", "vault"), encoding="utf-8")
    words = ["add", "rule", "--from", str(described), "--to", str(folder)]
    added = CliRunner().invoke(app, words, standalone_mode=False)
    assert added.exception is None, added.output
    assert set(outcomes(folder)) == {PASS}


def outcomes(folder):
    """The outcome of every script of a game."""
    game = games.load(str(folder))
    with Bench("desk") as bench:
        return [bench.run(bench.read(path, game), game).code for path in find_scripts([str(game.scripts)])]
