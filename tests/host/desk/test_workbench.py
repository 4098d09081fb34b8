"""The workbench: what is saved is taken up while the game runs, and what is wrong is shown with its line."""

import os
import time

import pygame
import pytest
from typer.testing import CliRunner

from hil import games
from hil.bench.targets.target import MachineStopped
from hil.checks.source import Finding
from hil.command import app
from hil.command.at_desk import DeskSetup
from hil.command.past import RecordedMachine
from hil.command.workbench import Checking, Workbench, checked, refused_report
from simulator.desk.files import Line

FRAME = 16
RULE = "features/all_bank_targets.py"
CALL = "self._bank.light(self._bank.place(event))"


def press(name, down=True):
    return pygame.event.Event(pygame.KEYDOWN if down else pygame.KEYUP, key=pygame.key.key_code(name))


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("bench") / "bench_game"
    result = CliRunner().invoke(app, ["new", str(folder), "--bank", "3", "--saucer"])
    assert result.exit_code == 0, result.output
    return {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}, folder


class Accepts:
    """A check that refuses what it is told to, at once."""

    refused: list[Finding] = []

    def __init__(self, game):
        self.game = game

    def result(self):
        return list(self.refused)

    def end(self):
        pass


class Player:
    """Someone who plays a game of his own at the desk, with its files open beside it."""

    def __init__(self, folder, checking=Accepts):
        self.folder = folder
        games.forget(folder.name)
        self.setup = DeskSetup(games.load(str(folder)))
        self.machine = RecordedMachine(self.setup, lambda: self.setup.live(1, {}), 1, {})
        self.desk = self.setup.desk(self.machine, self.machine)
        self.seconds_passed = 0.0
        self.bench = Workbench(
            str(folder), self.setup, self.machine, self.maker, lambda: self.seconds_passed, checking
        )

    def maker(self, setup):
        return lambda: setup.live(1, {})

    def frame(self, *events):
        self.seconds_passed += FRAME / 1000
        try:
            self.desk.step(FRAME, events)
            self.desk = self.bench.tend(self.desk)
        except MachineStopped as error:
            self.desk = self.bench.halted(self.desk, error)

    def seconds(self, count, *events):
        for _ in range(round(count * 1000 / FRAME)):
            self.frame(*events)
            events = ()

    def press(self, name):
        self.seconds(0.1, press(name))
        self.seconds(0.1, press(name, down=False))

    def hit(self, switch):
        self.machine.switch(switch, True)
        self.seconds(0.2)
        self.machine.switch(switch, False)
        self.seconds(0.2)

    def save(self, name, old, new):
        path = self.folder / name
        text = path.read_text()
        assert text.count(old) >= 1
        path.write_text(text.replace(old, new))
        later = time.time() + self.seconds_passed + 1
        os.utime(path, (later, later))

    def start(self):
        self.seconds(1)
        self.press("return")
        self.seconds(3)
        self.press("space")
        self.seconds(4)
        assert self.machine.view.playing

    @property
    def score(self):
        return self.machine.view.score


@pytest.fixture
def folder(made):
    files, folder = made
    for path in folder.rglob("*"):
        if path.is_file() and path not in files:
            path.unlink()
    for path, data in files.items():
        path.write_bytes(data)
    return folder


@pytest.fixture
def player(folder):
    player = Player(folder)
    player.start()
    return player


def test_a_saved_rule_is_taken_up_and_ball_score_and_lights_stay(player):
    player.hit("bank.1")
    score, places, now = player.score, player.machine.places(), player.machine.now
    assert player.machine.view.lamps["bank.1"] == 1
    player.save(RULE, "pays=(10_000, 20_000)", "pays=(70_000, 20_000)")
    player.seconds(1.4)
    assert player.desk.files.title == "taken up"
    assert player.desk.files.words == "ball, score and states are as they were"
    assert player.machine.now > now
    assert (player.score, player.machine.places()) == (score, places)
    assert player.machine.view.lamps["bank.1"] == 1
    player.hit("bank.2")
    player.hit("bank.3")
    awards = [event for event in player.machine.view.history if event.kind == "award"]
    assert (awards[-1].name, awards[-1].value) == ("all_bank_targets.made", 70_000)
    assert player.machine.view.lamps["bank.1"] == 0


def test_the_past_after_a_change_is_of_the_changed_game_and_nobody_goes_beyond_it(player):
    player.save(RULE, "pays=(10_000, 20_000)", "pays=(70_000, 20_000)")
    player.seconds(1.4)
    changed_at = player.machine.earliest
    for switch in ("bank.1", "bank.2", "bank.3"):
        player.hit(switch)
    score, now = player.score, player.machine.now
    player.desk.go_to(0)
    assert player.machine.now == changed_at > 0
    player.machine.run_to(now)
    assert player.score == score


def test_what_check_refuses_stops_the_time_and_stays_out(player, monkeypatch):
    refusal = Finding("the lamp 'banc' is not wired", f"{player.folder}/{RULE}:30")
    monkeypatch.setattr(Accepts, "refused", [refusal])
    player.save(RULE, "pays=(10_000, 20_000)", "pays=(70_000, 20_000)")
    player.seconds(1.4)
    report = player.desk.files
    assert (report.is_bad, report.words, report.where) == (True, refusal.text, refusal.where)
    assert player.desk.panel == "files"
    assert player.desk.pace.paused
    now = player.machine.now
    player.seconds(1)
    assert player.machine.now == now
    monkeypatch.setattr(Accepts, "refused", [])
    player.save(RULE, "pays=(70_000, 20_000)", "pays=(30_000, 20_000)")
    player.seconds(1.4)
    assert not player.desk.files.is_bad
    assert not player.desk.pace.paused
    for switch in ("bank.1", "bank.2", "bank.3"):
        player.hit(switch)
    awards = [event for event in player.machine.view.history if event.kind == "award"]
    assert awards[-1].value == 30_000


def test_an_error_in_a_rule_shows_its_line_and_rows_and_a_mended_file_plays_on_from_before(player):
    player.save(RULE, CALL, "self._bank.light(1 // 0)")
    player.seconds(1.4)
    assert player.desk.files.title == "taken up"
    score, places = player.score, player.machine.places()
    player.machine.switch("bank.2", True)
    player.seconds(0.5)
    report = player.desk.files
    assert report.is_bad
    assert report.words.startswith("ZeroDivisionError")
    line = next(
        number
        for number, text in enumerate((player.folder / RULE).read_text().splitlines(), 1)
        if "1 // 0" in text
    )
    assert report.where == f"all_bank_targets.py:{line}"
    assert report.source == Line(line, "self._bank.light(1 // 0)")
    assert [row.text for row in report.rows] == ['("up", "bank", None, "hit", "not fills"),']
    assert player.desk.pace.paused
    assert player.machine.places() == places
    player.save(RULE, "self._bank.light(1 // 0)", CALL)
    player.seconds(1.4)
    assert not player.desk.files.is_bad
    player.machine.switch("bank.2", True)
    player.seconds(0.5)
    assert player.machine.view.lamps["bank.2"] == 1
    assert player.score > score


def test_a_state_and_a_value_that_are_gone_are_named(player):
    player.save(RULE, '("up", ', '("ready", ')
    player.save("features/points.py", "class ", "# changed\nclass ")
    player.seconds(1.4)
    assert player.desk.files.title == "taken up"
    assert any("all_bank_targets was in up, which is gone" in one for one in player.desk.files.remarks)
    player.hit("bank.1")
    assert player.machine.view.lamps["bank.1"] == 1
    assert player.machine.view.states["all_bank_targets"] == "ready"


def test_another_wiring_switches_the_machine_on_anew_and_does_the_same_again(player):
    score = player.score
    path = player.folder / "wiring.py"
    player.save(
        "wiring.py", path.read_text().splitlines()[0], path.read_text().splitlines()[0] + "\n# changed"
    )
    player.seconds(1.4)
    assert "switched on anew, and did again what was done by hand" in player.desk.files.words
    assert player.machine.view.playing
    assert player.score == score


@pytest.mark.slow  # a process of its own, by a real clock
def test_check_itself_names_the_line_of_a_wrong_game_from_its_own_process(folder):
    path = folder / RULE
    path.write_text(path.read_text().replace('"bank.3"', '"bank.9"'))
    checking = Checking(str(folder))
    deadline = time.monotonic() + 120
    while (found := checking.result()) is None:
        assert time.monotonic() < deadline
        time.sleep(0.1)
    assert found
    assert "bank.9" in found[0].text
    assert RULE in found[0].where
    report = refused_report(found)
    assert report.is_bad
    assert report.source == Line(20, "self._bank = Bank(")


def test_a_game_that_check_accepts_has_no_refusal(folder):
    games.forget(folder.name)
    assert checked(str(folder)) == []


def test_the_files_panel_shows_line_and_rows(player):
    player.desk.report(refused_report([Finding("no such lamp", f"{player.folder}/{RULE}:34")]))
    before = player.desk.screenshot((1024, 600)).get_size()
    assert before == (1024, 600)
    assert player.desk.message.startswith("! refused by check")


def test_a_script_of_a_changed_game_says_so_and_claims_no_hash(player, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    assert "otherwise" not in player.machine.write_script(None)
    player.save(RULE, "pays=(10_000, 20_000)", "pays=(70_000, 20_000)")
    player.seconds(1.4)
    assert player.machine.write_script(None).endswith("rules changed meanwhile, so it may score otherwise")
    first, second = sorted(tmp_path.glob("*.play"))
    assert "trace hash" in first.read_text()
    assert "trace hash" not in second.read_text()


def test_nothing_is_taken_up_while_the_pages_of_the_operator_are_open(player, monkeypatch):
    monkeypatch.setattr(type(player.machine), "is_serviced", True)
    player.save(RULE, "pays=(10_000, 20_000)", "pays=(70_000, 20_000)")
    player.seconds(2)
    assert player.desk.files.title != "taken up"
    monkeypatch.setattr(type(player.machine), "is_serviced", False)
    player.seconds(1)
    assert player.desk.files.title == "taken up"
