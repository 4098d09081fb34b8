"""What the coil sums refuse, what they derive, and how the command answers."""

import json
import subprocess
import sys
from dataclasses import replace

import pytest

from firmware.base.errors import UsageError
from hil.electrical.sums import fuse, limits
from hil.electrical.sums.drive import Drive, Feed, Hold, heat_of
from hil.electrical.sums.findings import REFUSED, choose_fuse, judge, with_reservoir
from hil.electrical.sums.sizing import work_out

GOOD = Drive(
    "bumper",
    ohms=4.0,
    feed=Feed(48.0, 0.3),
    pulse=0.030,
    period=3.0,
    henries=0.020,
    copper_heat=heat_of(4.0, 24, None),
    insulation="F",
    clamp="zener",
    zener=22.5,
    fuse=fuse.parse("1.6 slow"),
    longest=0.060,
)


def refusals(drive):
    return [finding.text for finding in judge(drive, work_out(drive)) if finding.weight == REFUSED]


def test_a_sound_drive_is_not_refused():
    assert refusals(GOOD) == []


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"fuse": fuse.parse("6.3 fast")}, "not promised to open"),
        ({"fuse": fuse.parse("2 slow"), "insulation": "A"}, "may take 10 s to open"),
        ({"fuse": fuse.parse("0.5 ul")}, "which by then is at more than 400 °C"),
        ({"hold": Hold(0.25)}, "held by PWM with a zener clamp"),
        ({"clamp": "none"}, "has no clamp"),
        ({"zener": 47.0}, "a 100 V MOSFET leaves too little margin, take at least 126 V"),
        ({"feed": Feed(70.0, 0.3), "zener": 1.0}, "above the 60 V that may be touched"),
        ({"feed": Feed(24.0, 0.3, smoothed=False), "fuse": fuse.parse("0.8 slow")}, "above the 25 V"),
        ({"feed": Feed(48.0, 0.3, isolated=False)}, "whose insulation from the mains is unknown"),
        ({"pulse": 8.0, "period": 20000.0}, "is longer than the"),
        ({"longest": 30.0}, "may be on 30000 ms by its table"),
        ({"period": 0.5}, "would settle at"),
    ],
)
def test_refused_in_one_sentence(change, words):
    found = refusals(replace(GOOD, **change))
    assert [text for text in found if words in text], found


def test_a_guarded_supply_above_60_volts_is_a_warning():
    guarded = replace(GOOD, feed=Feed(70.0, 0.3, guarded=True), zener=1.0)
    assert not [text for text in refusals(guarded) if "touched" in text]


def test_the_fuse_that_is_chosen_opens_in_time_and_the_next_does_not():
    chosen = choose_fuse(GOOD)
    assert refusals(replace(GOOD, fuse=chosen)) == []
    above = fuse.RATINGS[fuse.RATINGS.index(chosen.amperes) + 1]
    assert refusals(replace(GOOD, fuse=fuse.Fuse(chosen.kind, above)))


@pytest.mark.parametrize("gauge", [22, 24, 26, 28, 30])
@pytest.mark.parametrize("ohms", [2.5, 4.0, 8.0, 15.0])
@pytest.mark.parametrize("insulation", ["A", "F"])
def test_a_coil_kept_to_its_budget_stays_below_its_class(gauge, ohms, insulation):
    drive = replace(GOOD, ohms=ohms, copper_heat=heat_of(ohms, gauge, None), insulation=insulation)
    derived = limits.derive(drive, work_out(drive))
    seconds = 3 * derived.bucket_ms / 1000 + 60
    assert limits.simulate(drive, derived, seconds, 0.002) <= drive.limit


def test_a_budget_of_twice_the_size_would_burn_it():
    derived = limits.derive(GOOD, work_out(GOOD))
    doubled = replace(derived, bucket_ms=derived.bucket_ms * 2)
    assert limits.simulate(GOOD, doubled, 60) > GOOD.limit


def test_current_never_falls_below_nought_and_heat_never_with_time():
    sums = work_out(GOOD)
    assert sums.release > 0
    assert sums.permitted < sums.permitted_cold


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: replace(GOOD, ohms=0), "coil resistance of 0 cannot be"),
        (lambda: replace(GOOD, clamp="zenner"), "clamp 'zenner' is not one of diode, zener, none"),
        (lambda: replace(GOOD, insulation="X"), "insulation class 'X' is not one of"),
        (lambda: replace(GOOD, pulse=4.0), "the period must be longer"),
        (lambda: Hold(1.0), "a hold duty of 100 % cannot be"),
        (lambda: Feed(-1), "supply volts of -1 cannot be"),
        (lambda: fuse.parse("two slow"), "fuse 'two slow' is not understood"),
        (lambda: fuse.parse("0 slow"), "fuse '0 slow': a rating of 0 cannot be"),
        (lambda: fuse.parse("-2 slow"), "fuse '-2 slow': a rating of -2 cannot be"),
        (lambda: fuse.parse("nan fast"), "fuse 'nan fast': a rating of nan cannot be"),
        (lambda: fuse.parse("inf ul"), "fuse 'inf ul': a rating of inf cannot be"),
        (lambda: replace(GOOD, period=float("nan")), "period of nan cannot be"),
        (lambda: replace(GOOD, pulse=-0.03), "pulse of -0.03 cannot be"),
        (lambda: Feed(48.0, limit=-1), "the supply's current limit of -1 cannot be"),
        (lambda: heat_of(4, 7, None), "wire gauge 7 is outside AWG"),
    ],
)
def test_values_that_cannot_be(make, words):
    with pytest.raises(UsageError, match=words):
        make()


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (
            {"copper_heat": 0.0},
            "coil 'bumper' has no wire gauge declared: it is not energised",
        ),
        ({"fuse": None}, "coil 'bumper' has no fuse declared: it is not energised"),
        (
            {"copper_heat": 0.0, "fuse": None},
            "coil 'bumper' has no wire gauge and fuse declared: it is not energised",
        ),
        (
            {"ohms": 0.2},
            "coil 'bumper' of 0.2 Ω draws 80 A; a drive switches 24 A, and so few ohms are a short: measure"
            " again",
        ),
        (
            {"copper_heat": 0.0, "bears": 400.0},
            "load 'bumper' takes 697.0 W locked on at high mains; it bears 400 W",
        ),
    ],
)
def test_what_is_not_known_or_a_short_is_refused(change, sentence):
    assert sentence in refusals(replace(GOOD, **change))


def test_a_load_that_bears_being_on_for_ever_needs_no_fuse_that_opens():
    lamp = replace(GOOD, ohms=480.0, copper_heat=0.0, henries=0.0, bears=8.0, fuse=fuse.parse("0.25 slow"))
    assert refusals(lamp) == []
    assert work_out(lamp).duty == 1.0


def test_an_unsmoothed_supply_is_judged_by_its_peaks_and_heats_by_its_effective_volts():
    """34 V RMS at high mains: 76 V at the drain where 34 V DC would give 61 (ngspice, test_coil_spice)."""
    feed = Feed(34.0, 0.3, smoothed=False)
    assert work_out(replace(GOOD, feed=feed)).drain_peak == pytest.approx(76.1, abs=0.05)
    assert work_out(replace(GOOD, feed=Feed(34.0, 0.3))).drain_peak == pytest.approx(60.6, abs=0.05)
    assert (
        work_out(replace(GOOD, feed=feed)).permitted_cold
        == work_out(replace(GOOD, feed=Feed(34.0))).permitted_cold
    )
    assert work_out(replace(GOOD, feed=feed)).settled == pytest.approx(34 * 2**0.5 / 4.4)


def test_a_reservoir_raises_an_unsmoothed_supply_and_may_pass_what_may_be_touched():
    feed = Feed(34.0, 0.3, smoothed=False)
    assert feed.with_reservoir().volts == pytest.approx(48.08, abs=0.01)
    then = work_out(replace(GOOD, feed=feed.with_reservoir()))
    assert then.permitted_cold == pytest.approx(work_out(replace(GOOD, feed=feed)).permitted_cold / 2)
    told = {volts: with_reservoir(Feed(volts, smoothed=False)) for volts in (34.0, 40.0)}
    assert "to 48 V DC, 53 V at high mains, and what a coil takes locked on to 2 times" in told[34.0].text
    assert [told[volts].weight for volts in (34.0, 40.0)] == ["note", "warning"]
    assert told[40.0].text.endswith("it passes the 60 V that may be touched")


def test_a_supply_that_limits_itself_may_never_open_the_fuse():
    assert refusals(replace(GOOD, feed=Feed(48.0, 0.3, limit=8.0))) == []
    (text,) = refusals(replace(GOOD, feed=Feed(48.0, 0.3, limit=3.0)))
    assert "coil 'bumper' locked on draws 3.0 A at low mains (all that the supply gives, of 9.8 A)" in text


def inlane(*arguments):
    return subprocess.run(
        [sys.executable, "-c", "from hil.command import main; main()", "coil", *arguments],
        capture_output=True,
        text=True,
        timeout=120,
    )


def test_the_command_says_what_is_refused_and_leaves_1():
    done = inlane("sling", "--ohms", "4", "--gauge", "24", "--fuse", "6.3 fast", "--json")
    assert done.returncode == 1
    told = json.loads(done.stdout)
    assert [f for f in told["findings"] if f["weight"] == REFUSED and "not promised" in f["text"]]


def test_a_longest_on_time_of_nought_is_not_printed_as_a_limit():
    """In a wiring table 0 is no limit at all."""
    done = inlane("bat", "--volts", "34", "--ohms", "3", "--gauge", "23", "--mh", "15", "--hold", "25")
    assert done.returncode == 1
    assert "none: it bears no pulse" in done.stdout
    assert "│ 0 ms" not in done.stdout


def test_json_of_a_whole_game_is_refused():
    done = inlane("--game", "kite_day", "--json")
    assert done.returncode == 2
    assert "--json is for a coil that is given by its values" in done.stderr


def test_the_command_draws(tmp_path):
    pytest.importorskip("matplotlib")
    picture = tmp_path / "coil.png"
    done = inlane(
        "sling", "--ohms", "4", "--gauge", "24", "--mh", "20", "--clamp", "zener", "--insulation", "F",
        "--fuse", "1.6 slow", "--picture", str(picture),
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    assert picture.read_bytes().startswith(b"\x89PNG")


@pytest.mark.sampled(5)
@pytest.mark.parametrize(
    "arguments",
    [
        ("--fuse", "big"),
        ("--fuse", "0 slow"),
        ("--fuse", "0"),
        ("--fuse", "-1 slow"),
        ("--fuse", "nan slow"),
        ("--pulse", "-30"),
        ("--every", "nan"),
        ("--limit", "nan"),
        ("--reservoir", "-1"),
        ("--bleeder", "nan"),
        ("--volts", "nan"),
        ("--mh", "-1"),
        ("--cooling", "0"),
        ("--picture", "/no/such/folder/x.png"),
        ("--spice", "x.cir"),
        ("--beside", "3,-4"),
    ],
)
def test_bad_input_is_one_sentence_and_leaves_2(arguments):
    done = inlane("x", "--ohms", "4", *arguments)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.count("\n") == 1
