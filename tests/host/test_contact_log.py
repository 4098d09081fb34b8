"""A run as a script of contacts: replayed, it makes the same trace."""

import sys

import pytest

from firmware.base.errors import UsageError
from firmware.parts.window import Window
from hil import command, games
from hil.bench import contact_log
from hil.bench.contact_log import ContactChange, Run, as_script
from hil.bench.outcome import FAIL, PASS
from hil.bench.targets.target import MachineStopped
from hil.command.at_desk import DeskSetup
from hil.command.replay import Bench

GAME = games.load("honey_flow")
SCRIPTS = sorted(GAME.scripts.glob("*.play"))
SOME = [GAME.scripts / "whole_game.play", *SCRIPTS[::40]]


def inlane(capsys, *words):
    """Exit code, output and errors of a command."""
    sys.argv = ["inlane", *[str(word) for word in words]]
    with pytest.raises(SystemExit) as stop:
        command.main()
    told = capsys.readouterr()
    return stop.value.code, told.out, told.err


def replayed(path):
    with Bench("desk") as bench:
        return bench.run(bench.read(path, GAME), GAME)


def actions(contact_changes, end_ms):
    text = as_script(Run("a test", 1, [ContactChange(*touch) for touch in contact_changes], end_ms, "0f"))
    return text.partition("\n\n")[2].splitlines()


def test_contacts_of_one_millisecond_stand_in_one_line_in_their_order():
    assert actions([(0, "a", True), (0, "b", True), (0, "a", False), (5, "b", False)], 9) == [
        "press   a, b",
        "release a",
        "wait    5 ms",
        "release b",
        "wait    4 ms",
    ]


def test_a_contact_closed_and_opened_again_is_one_hold():
    held = [(3, "a", True), (10, "a", False), (10, "b", True), (10, "b", False)]
    assert actions(held, 10) == ["wait    3 ms", "hold    a for 7 ms", "press   b", "release b"]


def test_the_header_carries_all_that_the_trace_depends_on():
    run = Run("a test", 7, [], 11 * 60_000, "0f", {"ball_save": 0}, ("game", "tilt"))
    assert as_script(run).partition("\n\n")[0].splitlines() == [
        "# Its trace hash was 0f.",
        "title   Log of a test",
        "covers  game, tilt",
        "seed    7",
        "set     ball_save to 0",
        "balls   moved",
        "limit   12 min",
    ]


@pytest.mark.parametrize("path", SOME, ids=lambda path: path.stem)
def test_a_scripts_log_makes_the_same_trace(path, tmp_path):
    first = replayed(path)
    log = tmp_path / "log.play"
    with Bench("desk") as bench:
        script = bench.read(path, GAME)
    run = Run(
        script.name, script.seed, first.contact_changes, first.simulated_ms, first.digest, script.settings
    )
    contact_log.write(run, log)
    again = replayed(log)
    assert (again.code, again.digest) == (PASS, first.digest)
    assert again.scores == first.scores


def test_a_log_with_a_contact_less_makes_another_trace(tmp_path, capsys):
    log = tmp_path / "log.play"
    code, _, _ = inlane(capsys, "replay", SOME[0], "--log", log)
    assert code == PASS
    whole = replayed(log)
    lines = log.read_text().splitlines()
    held = next(at for at, line in enumerate(lines) if line.startswith("hold    inlane.left"))
    lines[held] = lines[held].replace("hold    inlane.left for", "wait   ")
    log.write_text("\n".join(lines))
    assert replayed(log).digest != whole.digest


def test_the_command_writes_replays_and_compares(tmp_path, capsys):
    log = tmp_path / "out.play"
    code, out, _ = inlane(capsys, "replay", SOME[0], "--log", log)
    traces = [line.rpartition("trace ")[2] for line in out.splitlines() if line.startswith("PASS")]
    assert code == PASS
    assert len(traces) == 2
    assert len(set(traces)) == 1
    assert log.read_text().startswith(f"# Its trace hash was {traces[0]}")


def test_the_log_of_a_script_that_fails_makes_its_trace_too(tmp_path, capsys):
    script = tmp_path / "fails.play"
    script.write_text("start 1 player\nlaunch\ntap smoker.1\nexpect score is 7\n")
    log = tmp_path / "log.play"
    code, out, _ = inlane(capsys, "replay", script, "--game", "honey_flow", "--log", log)
    assert code == FAIL
    assert [line.split()[0] for line in out.splitlines() if "trace" in line] == ["FAIL", "PASS"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((SCRIPTS[0], SCRIPTS[1], "--log", "out.play"), "one script"),
        ((SCRIPTS[0], "--log", "out.txt"), "ends in .play"),
        ((SCRIPTS[0], "--log", SCRIPTS[0]), "overwrite"),
        ((SCRIPTS[0], "--log", "no/such/out.play"), "cannot be written"),
    ],
)
def test_what_cannot_be_logged_is_one_sentence(words, said, capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    code, _, err = inlane(capsys, "replay", *words)
    assert code == 2
    told = [line for line in err.splitlines() if "may not be energised" not in line]
    assert len(told) == 1
    assert said in told[0]
    assert list(tmp_path.iterdir()) == []


def test_a_run_that_is_too_long_for_a_script_is_refused(tmp_path):
    with pytest.raises(UsageError, match="too long"):
        contact_log.write(Run("long", 1, [], 5 * 60 * 60_000, ""), tmp_path / "long.play")


def test_a_game_played_by_hand_is_replayed_with_the_same_trace(tmp_path):
    """Balls vary by hand, keys come between frames; what counts is what the contacts did."""
    table = DeskSetup(GAME)
    machine = table.live(5, {"ball_save": 3})
    for step in range(600):
        machine.run_to(machine.now + 16 + step % 3)
        if step in (70, 80):
            machine.switch("start", step == 70)
        if step == 330:
            machine.shoot("plunge")
        if step % 50 == 0 and step > 350:
            machine.switch("button.left", True)
        if step % 50 == 9 and step > 350:
            machine.switch("button.left", False)
            waiting = any(ball.place.startswith("flipper") for ball in machine.balls)
            if waiting:
                machine.shoot("left_orbit")
    run = machine.log(5, {"ball_save": 3}, stopped=False)
    assert machine.view.score > 0
    log = tmp_path / "hand.play"
    contact_log.write(run, log)
    again = replayed(log)
    assert (again.code, again.digest) == (PASS, run.digest)


def test_a_game_played_by_hand_that_stopped_by_an_error_stops_again_when_its_log_is_replayed(
    tmp_path, monkeypatch
):
    """The error comes from a timer, between two frames; the log has to run to it."""

    def fail(self):
        raise ValueError("planted")

    machine = DeskSetup(GAME).live(5, {})
    monkeypatch.setattr(Window, "_warn", fail)

    def play():
        for step in range(3000):
            machine.run_to(machine.now + 16)
            if step in (70, 80):
                machine.switch("start", step == 70)
            if step == 330:
                machine.shoot("plunge")

    with pytest.raises(MachineStopped, match="planted"):
        play()
    log = tmp_path / "hand.play"
    contact_log.write(machine.log(5, {}, stopped=True), log)
    again = replayed(log)
    assert again.code == FAIL
    assert "planted" in again.problems[0].seen
    assert again.problems[0].at_ms == machine.now


def test_the_desk_refuses_a_log_beside_what_it_remembers(capsys, tmp_path):
    words = ("play", "--log", tmp_path / "out.play", "--kept", tmp_path / "kept")
    code, _, err = inlane(capsys, *words)
    assert code == 2
    assert "no --script, no --kept" in err
