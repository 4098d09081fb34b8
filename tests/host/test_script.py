"""The switch-script language: what it reads, and the one sentence for everything it refuses."""

import random
from pathlib import Path

import pytest

from firmware.base.errors import ScriptError
from hil.bench.names import Names
from hil.bench.scripts import script, steps
from hil.bench.scripts.conditions import Happened, Lamp, Not
from hil.bench.scripts.vocabulary import Range, Vocabulary

NAMES = Names(
    switches=("bee.1", "bee.2", "inlane.left", "start", "lane", "spinner"),
    lamps=("pollen", "nectar"),
    coils=("kickback", "flipper.left.hold"),
    cues=("warning",),
    awards=("pollen_run.value",),
    events=("ball.started", "game.over"),
    regions={"pollen_run": ("dark", "lit")},
)
WORDS = Vocabulary(
    NAMES,
    debounce={"bee.1": (4, 20), "start": (30, 170), "spinner": (1, 8)},
    shots={
        "left_orbit": {"turns": Range(0, 20), "lane": Range(0, 3)},
        "drain": {},
        "plunge": {"lane": Range(0, 3)},
    },
    settings={"ball_save": Range(0, 20, "s")},
    features=("pollen_run", "tilt"),
    places=("trough", "playfield"),
)


def read(text: str) -> script.Script:
    return script.parse(text, Path("a.play"), WORDS)


def only_step(line: str) -> steps.Step:
    return read(line).steps[-1]


def refusal(text: str) -> str:
    with pytest.raises(ScriptError) as caught:
        read(text)
    return str(caught.value)


def test_header_says_how_the_script_is_run():
    played = read(
        "title Pollen Run, made in time # not part of it\n"
        "covers pollen_run, tilt\nseed 7\nset ball_save to 0\nballs moved\nlimit 20 min\nwait 1 s\n"
    )
    assert played.title == "Pollen Run, made in time"
    assert played.covers == ("pollen_run", "tilt")
    assert (played.seed, played.settings, played.balls) == (7, {"ball_save": 0}, "moved")
    assert played.limit_ms == 20 * 60_000


def test_empty_lines_and_comments_do_not_count_but_keep_their_numbers():
    assert read("# first\n\nwait 1 s   # really\n").steps[0].line == 3


@pytest.mark.parametrize(
    ("written", "ms"),
    [
        ("250 ms", 250),
        ("250ms", 250),
        ("1.5 s", 1500),
        ("2 min", 120_000),
        ("0.02 s", 20),
        ("13.999s", 13_999),
    ],
)
def test_times_have_units(written, ms):
    assert only_step(f"wait {written}") == steps.Wait(1, f"wait {written}", ms)


def test_press_and_release_take_several_switches():
    assert only_step("press bee.1, bee.2").switches == ("bee.1", "bee.2")
    assert only_step("release bee.1").switches == ("bee.1",)


def test_tap_lasts_until_both_edges_are_read():
    assert only_step("tap start").rhythm == {"start": (50, 190)}


def test_taps_can_come_in_a_given_rhythm():
    step = only_step("tap spinner 40 times every 50 ms")
    assert (step.times, step.rhythm) == (40, {"spinner": (21, 29)})


def test_shots_take_their_options_in_either_order():
    assert only_step("shoot left_orbit with 12 turns and lane 2").options == {"turns": 12, "lane": 2}
    assert only_step("shoot left_orbit with 1 turn").options == {"turns": 1}
    assert only_step("shoot drain, drain").shots == ("drain", "drain")


def test_lamp_expectation_knows_every_blink():
    step = only_step("expect lamp pollen is blinking slow within 2 s")
    assert (step.condition, step.when, step.for_ms) == (Lamp("pollen", (2,)), steps.WITHIN, 2000)
    assert only_step("expect lamp pollen is blinking").condition == Lamp("pollen", (2, 3, 4))


def test_not_turns_a_condition_round():
    assert only_step("expect lamp pollen is not on").condition == Not(Lamp("pollen", (1,)))


def test_not_within_must_hold_all_the_time():
    step = only_step("expect coil kickback not fired within 3 s")
    assert (step.when, step.for_ms) == (steps.STAYS, 3000)


def test_a_number_of_times_is_counted_at_the_end():
    step = only_step("expect award pollen_run.value paid 30,000 2 times within 3 s")
    assert step.condition == Happened("award", "pollen_run.value", "paid", 2, 30_000)
    assert step.when == steps.AT_END


@pytest.mark.parametrize(
    "line",
    [
        "expect score is 12,340",
        "expect score of player 2 is at least 1000",
        "expect ball is 2",
        "expect player is 1",
        "expect players is 4",
        "expect balls in trough is 3",
        "expect cue warning played",
        "expect cue warning not played within 1 s",
        "expect event ball.started posted 2 times",
        "expect award pollen_run.value paid",
        "expect award pollen_run.value paid 2 times",
        "expect coil flipper.left.hold stays held for 1 s",
        "expect coil kickback refused",
        'expect line 1 is "PLAYER 1"',
        'expect line 2 stays containing "TILT" for 1 s',
        'expect display contains "12,340"',
        "expect state of pollen_run is lit",
        "expect switch lane is closed within 5 s",
        "expect game is over",
        "mark\nexpect gain is 30,000",
        "start 2 players\nlaunch\nend ball",
        "hold bee.1, bee.2 for 3 s",
    ],
)
def test_lines_of_the_language_are_read(line):
    assert read(line).steps


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("press bee.4", "a.play:1: there is no switch 'bee.4'; did you mean 'bee.1'?"),
        (
            "wait 1 s\ntap inlane.lft",
            "a.play:2: there is no switch 'inlane.lft'; did you mean 'inlane.left'?",
        ),
        ("expect lamp polen is on", "a.play:1: there is no lamp 'polen'; did you mean 'pollen'?"),
        ("expect coil kickbak fired", "a.play:1: there is no coil 'kickbak'; did you mean 'kickback'?"),
        ("expect cue warnin played", "a.play:1: there is no cue 'warnin'; did you mean 'warning'?"),
        ("expect state of pollen_run is lid", "a.play:1: pollen_run has no state 'lid'; it has dark, lit"),
        (
            "expect state of polen_run is lit",
            "a.play:1: there is no region 'polen_run'; did you mean 'pollen_run'?",
        ),
        ("shoot left_orbt", "a.play:1: there is no shot 'left_orbt'; did you mean 'left_orbit'?"),
        ("shoot left_orbit with 21 turns", "a.play:1: turns must be 0 to 20, not 21"),
        ("shoot left_orbit with 3 turn", "a.play:1: 'turn' is no option; did you mean 'turns'?"),
        ("shoot drain with 2 turns", "a.play:1: shot drain takes no options"),
        ("shot drain", "a.play:1: no line begins with 'shot'; did you mean 'shoot'?"),
        ("power up", "a.play:1: 'up' is no way to switch the power"),
        ("power", "a.play:1: the line ends where way to switch the power was expected: 'off', 'on'"),
        ("power off while", "a.play:1: 'while' was not expected here"),
        ("power off now", "a.play:1: 'now' was not expected here"),
        ("power on", "a.play:1: the machine is on already"),
        ("power off\nwait 1 s\npower off", "a.play:3: the machine is off already"),
        (
            "power off\nlaunch",
            "a.play:2: 'launch' needs a machine that is on; 'power on' switches it on",
        ),
        (
            "balls real\npower off",
            "a.play:2: the bench cannot switch the power of a real machine",
        ),
        ("wait soon", "a.play:1: 'soon' is no time; write it as 250 ms, 1.5 s or 2 min"),
        ("wait 3", "a.play:1: the time 3 has no unit; ms, s or min"),
        ("wait 3 sec", "a.play:1: 'sec' is no unit of time; ms, s or min"),
        ("wait 0.0005 s", "a.play:1: 0.0005 s is not a whole number of milliseconds"),
        ("wait 0 s", "a.play:1: a time must be 1 ms to 24 hours, not 0 s"),
        ("wait -3 s", "a.play:1: '-3' is no time; write it as 250 ms, 1.5 s or 2 min"),
        ("wait", "a.play:1: the line ends where a time, such as 250 ms or 1.5 s, was expected"),
        ("wait 3 s please", "a.play:1: 'please' was not expected here"),
        (
            "set ball_sav to 0\nwait 1 s",
            "a.play:1: there is no setting 'ball_sav'; did you mean 'ball_save'?",
        ),
        ("set ball_save to 21\nwait 1 s", "a.play:1: ball_save must be 0 to 20, not 21"),
        ("set ball_save 3\nwait 1 s", "a.play:1: 'to' was expected, not '3'"),
        ("wait 1 s\nseed 3", "a.play:2: 'seed' belongs above the first action"),
        ("seed 1\nseed 2\nwait 1 s", "a.play:2: 'seed' is given twice"),
        (
            "covers polen_run\nwait 1 s",
            "a.play:1: there is no feature 'polen_run'; did you mean 'pollen_run'?",
        ),
        (
            "balls moved\nlaunch",
            "a.play:2: 'launch' needs 'balls simulated', and this script says 'balls moved'",
        ),
        ("expect lamp pollen stays on", "a.play:1: 'stays' needs 'for' and a time, such as for 3 s"),
        ("expect lamp pollen is on for 3 s", "a.play:1: 'for' a time goes with 'stays'; "),
        (
            "expect lamp pollen stays on within 3 s",
            "a.play:1: 'stays' goes with 'for' a time, not with 'within'",
        ),
        ("expect lamp pollen is not on within 3 s", "a.play:1: 'is not … within' could mean two things; "),
        (
            "expect lamp pollen is blue",
            "a.play:1: 'blue' is no lamp pattern; allowed: 'on', 'off', 'lit', 'blinking'",
        ),
        ("expect score is lots", "a.play:1: score must be a whole number, not 'lots'"),
        ('expect line 1 is "PLAYER', 'a.play:1: the text "PLAYER has no closing quote'),
        ('expect line 3 is "A"', "a.play:1: the display line must be 1 to 2, not 3"),
        ("expect gain is 30", "a.play:1: a gain counts from a 'mark' line; there is none above"),
        ("tap spinner 2 times every 5 ms", "a.play:1: spinner cannot be told apart every 5 ms; 11 ms is the"),
        ("wait 11 min", "a.play:1: the script would run past its limit of 10 min; a 'limit' line raises it"),
        ("", "a.play: the script has no action"),
        ("title\nwait 1 s", "a.play:1: the line ends where the title was expected"),
    ],
)
def test_a_slip_is_one_sentence_with_its_place(text, said):
    told = refusal(text)
    assert told.startswith(said)
    assert "\n" not in told


def test_a_missing_file_is_said_with_its_name(tmp_path):
    with pytest.raises(ScriptError, match=r"none\.play: the script cannot be read: No such file"):
        script.read(tmp_path / "none.play", WORDS)


def test_bytes_that_are_no_text_are_refused_with_their_line(tmp_path):
    path = tmp_path / "bad.play"
    path.write_bytes(b"wait 1 s\nwait \xff s\n")
    with pytest.raises(ScriptError, match=r"bad\.play:2: a script is UTF-8 text"):
        script.read(path, WORDS)


EVERY_LINE = """title A, b
covers pollen_run, tilt
seed 7
set ball_save to 0
limit 20 min
start 2 players
launch
tap spinner 40 times every 50 ms
shoot left_orbit with 12 turns and lane 2
hold bee.1, bee.2 for 3 s
mark
expect lamp pollen stays blinking slow for 1.5 s
expect coil kickback not fired within 3 s
expect award pollen_run.value paid 30,000 2 times within 3 s
expect line 2 is not containing "BALL"
expect score of player 2 is at least 1,000
expect state of pollen_run is lit
end ball
"""


def mutations(count):
    draw = random.Random(5)
    letters = 'abz09 ,."#-\t\n\r\0é∞'
    for _ in range(count):
        text = list(EVERY_LINE)
        for _ in range(draw.randint(1, 4)):
            at = draw.randrange(len(text))
            text[at : at + draw.randint(0, 3)] = draw.choice(letters)
        yield "".join(text)


def complaint(text: str) -> ScriptError | None:
    try:
        read(text)
    except ScriptError as error:
        return error
    return None


@pytest.mark.slow
def test_damaged_scripts_are_read_or_refused_in_one_sentence_and_nothing_else():
    assert read(EVERY_LINE).steps
    complaints = [error for error in map(complaint, mutations(3000)) if error]
    assert len(complaints) > 1000
    assert [error for error in complaints if "\n" in error.text or not error.where.startswith("a.play")] == []


def test_every_beginning_of_a_script_is_read_or_refused():
    complaints = [complaint(EVERY_LINE[:end]) for end in range(len(EVERY_LINE))]
    assert [error for error in complaints if error and not error.where.startswith("a.play")] == []
