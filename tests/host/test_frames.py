"""`inlane measure frames`: what it counts; how long a frame takes is measured, not tested."""

import json
import os
import sys

os.environ["SDL_VIDEODRIVER"] = "dummy"
os.environ["SDL_AUDIODRIVER"] = "dummy"

import pytest

from hil import command
from hil.command.frames import percentile

pytest.importorskip("pygame")


def run(capsys, *words):
    sys.argv = ["inlane", "measure", "frames", *words]
    with pytest.raises(SystemExit) as stop:
        command.main()
    told = capsys.readouterr()
    return stop.value.code, told.out, told.err


def test_a_percentile_is_one_of_the_times():
    times = [5.0, 1.0, 4.0, 2.0, 3.0]
    assert [percentile(times, percent) for percent in (1, 50, 90, 100)] == [1.0, 3.0, 5.0, 5.0]


@pytest.mark.slow
def test_it_prints_frames_with_a_swarm_out_and_the_share_at_rest(capsys):
    code, out, _ = run(capsys, "--seconds", "1", "--shots", "--repeats", "2", "--json")
    told = json.loads(out.splitlines()[-1])
    assert code == 0
    assert told["frames"] == 60
    assert 0 < told["p50_ms"] <= told["p99_ms"] <= told["p100_ms"]
    assert told["late"] <= 60
    assert 0 < told["paused_share"] < 1


@pytest.mark.slow
def test_balls_that_do_not_come_out_are_one_sentence(capsys):
    words = ("--seconds", "1", "--shots", "--balls", "3", "--contacts", "frame.1")
    code, _, err = run(capsys, *words)
    assert (code, len(err.strip().splitlines())) == (2, 1)
    assert "balls, not 3, were out after 120 s" in err
