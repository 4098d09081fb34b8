"""`inlane play`: Honey Flow at the desk with real rules, and pictures of scripts without a screen."""

import sys

import pygame
import pytest

from hil import command, games
from hil.command.at_desk import DeskSetup

SCRIPT = """\
title  Two lit lanes
start  1 player
launch
tap    bee.1, bee.3
expect lamp bee.1 is on
wait   2 s
"""
FRAME = 16


@pytest.fixture(scope="module")
def table():
    return DeskSetup(games.load("honey_flow"))


def press(name, down=True):
    return pygame.event.Event(pygame.KEYDOWN if down else pygame.KEYUP, key=pygame.key.key_code(name))


class Player:
    """Someone at the desk of a real Honey Flow."""

    def __init__(self, table):
        self.machine = table.live(1, {})
        self.desk = table.desk(self.machine)
        self.view = self.machine.view
        self.seconds(1)

    def seconds(self, count, *events):
        for _ in range(round(count * 1000 / FRAME)):
            self.desk.step(FRAME, events)
            events = ()

    def press(self, name):
        self.seconds(0.1, press(name))
        self.seconds(0.1, press(name, down=False))

    def start(self):
        self.press("return")
        self.seconds(3)
        self.press("space")
        self.seconds(5)


def run(capsys, *words):
    """The exit code, output and errors of `inlane play`."""
    sys.argv = ["inlane", "play", *[str(word) for word in words]]
    with pytest.raises(SystemExit) as stop:
        command.main()
    told = capsys.readouterr()
    return stop.value.code, told.out, told.err


def test_keys_play_a_ball_from_start_to_score(table):
    player = Player(table)
    player.start()
    assert (player.view.playing, player.view.player, player.view.ball) == (True, 1, 1)
    assert player.machine.places()["playfield"] == 1
    before = player.view.score
    player.press("q")
    player.seconds(6)
    assert player.view.score >= before + 2500
    assert any(h.name == "orbit.left" and h.kind == "event" for h in player.view.history)


def test_a_held_flipper_key_holds_the_flipper_up(table):
    player = Player(table)
    player.start()
    player.seconds(0.5, press("left shift"))
    assert player.view.coils["flipper.left.hold"].value == -1
    assert player.view.switches["eos.left"]
    player.seconds(0.5, press("left shift", down=False))
    assert player.view.coils["flipper.left.hold"].value == 0
    assert not player.view.switches["eos.left"]


def test_a_click_on_a_mark_scores_its_target(table):
    player = Player(table)
    player.start()
    layout = player.desk.picture.layout
    mark = next(m for m in player.desk._drawing.marks if m.switch == "frame.2")
    at = (round(layout.field.x + mark.x * layout.scale), round(layout.field.y + mark.y * layout.scale))
    player.seconds(0.1, pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=at, button=1))
    player.seconds(0.1, pygame.event.Event(pygame.MOUSEBUTTONUP, pos=at, button=1))
    assert player.view.lamps["frame.2"] == 1


def test_three_swings_of_the_bob_tilt_the_ball(table):
    player = Player(table)
    player.start()
    for _ in range(3):
        player.press("tab")
        player.seconds(1)
    assert player.view.states["tilt"] == "tilted"
    assert "TILT" in "".join(player.view.lines)


def test_open_windows_are_told_with_their_time(table):
    player = Player(table)
    player.start()
    player.press("2")
    player.seconds(1)
    windows = {name: left for name, left, _ in player.machine.windows()}
    assert 12_000 < windows["pollen_run"] < 14_000


def test_a_hand_does_not_lift_a_ball_off_its_contact(table):
    player = Player(table)
    player.machine.switch("trough.1", True)
    player.machine.switch("trough.1", False)
    player.seconds(1)
    assert player.view.switches["trough.1"]


def test_two_machines_with_one_seed_and_the_same_keys_agree(table):
    histories = []
    for _ in range(2):
        player = Player(table)
        player.start()
        player.press("q")
        player.seconds(8)
        histories.append(player.view.history)
    assert histories[0] == histories[1]
    assert len(histories[0]) > 50


def test_a_script_is_drawn_without_a_screen(tmp_path, capsys):
    script, picture = tmp_path / "lanes.play", tmp_path / "out.png"
    script.write_text(SCRIPT)
    code, out, _ = run(capsys, "--script", script, "--picture", picture)
    assert code == 0, out
    assert "PASS" in out
    assert "bee.1 on" in out
    image = pygame.image.load(picture)
    assert image.get_size() == (1280, 800)
    assert len({image.get_at((x, 120))[:3] for x in range(480)}) > 20


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (("--seed", 3), "--seed cannot go with --script"),
        (("--set", "ball_save=0"), "--set cannot go with --script"),
        (("--kept", "kept.file"), "--kept cannot go with --script"),
        (("--sound",), "--sound cannot go with --script"),
        (("--seed", 1, "--set", "balls=1"), "--seed and --set cannot go with --script"),
    ],
)
def test_what_a_script_says_itself_is_refused_beside_it(tmp_path, capsys, words, named):
    script, picture = tmp_path / "lanes.play", tmp_path / "out.png"
    script.write_text(SCRIPT)
    code, out, err = run(capsys, "--script", script, "--picture", picture, *words)
    assert code == 2
    assert named in err
    assert len(err.strip().splitlines()) == 1
    assert out == ""
    assert not picture.exists()


def test_a_script_that_fails_is_drawn_and_gives_its_exit_code(tmp_path, capsys):
    script, picture = tmp_path / "wrong.play", tmp_path / "out.png"
    script.write_text(SCRIPT + "expect lamp bee.2 is on\n")
    code, out, _ = run(capsys, "--script", script, "--picture", picture)
    assert code == 1
    assert "FAIL" in out
    assert picture.is_file()


def test_at_stops_the_script_at_that_time(tmp_path, capsys):
    script, picture = tmp_path / "lanes.play", tmp_path / "out.png"
    script.write_text(SCRIPT)
    code, out, _ = run(capsys, "--script", script, "--picture", picture, "--at", "1.2s")
    assert code == 0
    assert "time 1.200 s" in out
    assert "PASS" not in out


def test_arranging_needs_a_screen_and_plays_nothing(monkeypatch, capsys):
    for name in ("DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("SDL_VIDEODRIVER", "dummy")
    code, _, err = run(capsys, "--arrange")
    assert (code, len(err.strip().splitlines())) == (2, 1)
    assert "--arrange needs one" in err
    code, _, err = run(capsys, "--arrange", "--kept", "some.json")
    assert code == 2
    assert "--arrange plays nothing" in err


def test_without_a_screen_one_sentence_says_what_to_do(monkeypatch, capsys):
    for name in ("DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("SDL_VIDEODRIVER", "dummy")
    code, out, err = run(capsys)
    assert code == 2
    assert "there is no screen here" in err
    assert "inlane play --script FILE --picture out.png" in err
    assert len(err.strip().splitlines()) == 1
    assert out == ""


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("--script", "nowhere.play"), "nowhere.play"),
        (("--at", "3 s"), "--at goes with --script"),
        (("--script", "nowhere.play", "--at", "soon"), "'soon' is no time"),
        (("--set", "balls"), "--set takes a setting and a number"),
        (("honey_flaw",), "did you mean 'honey_flow'"),
    ],
)
def test_bad_input_is_one_sentence_and_exit_code_2(words, sentence, capsys):
    code, _, err = run(capsys, *words)
    assert code == 2
    assert sentence in err
    assert "Traceback" not in err


def test_a_picture_must_be_a_png(tmp_path, capsys):
    script = tmp_path / "lanes.play"
    script.write_text(SCRIPT)
    code, _, err = run(capsys, "--script", script, "--picture", tmp_path / "out.jpg")
    assert code == 2
    assert "ends in .png, not 'out.jpg'" in err


def test_a_setting_that_is_not_there_is_refused(monkeypatch, table):
    from firmware.base.errors import GameError

    with pytest.raises(GameError, match="bals"):
        table.live(1, {"bals": 3})


def test_help_carries_the_caution(capsys):
    _, out, _ = run(capsys, "--help")
    assert "flashing light" in " ".join(out.split())
