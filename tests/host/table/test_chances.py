"""A map of shots goes to a file, and from there to chances and to a season."""

import csv
import json

import pytest


@pytest.mark.slow
def test_a_map_is_written_and_says_what_becomes_of_aimed_shots(inlane, tmp_path):
    path = tmp_path / "shots.csv"
    code, out, _ = inlane("measure", "shots", "kite_day", "--step", 40, "--csv", path)
    assert code in (0, 1), "with few timings something may be met by none"
    assert f"map: {path}" in out
    with path.open(encoding="utf-8") as lines:
        rows = list(csv.DictReader(lines))
    assert {row["shot"] for row in rows if not row["meets"] and not row["result"]} == {""}
    assert all(row["shot"] for row in rows if row["result"] == "drained")
    code, out, _ = inlane("measure", "chances", "kite_day", path, "--spread", "20ms", "--json")
    found = json.loads(out)
    assert code == 0
    assert len(found) > 3
    for shot, row in found.items():
        assert sum(row.values()) == pytest.approx(1), shot
    code, out, _ = inlane("measure", "chances", "kite_day", path)
    assert {line.split()[0] for line in out.splitlines()[1:]} == set(found)
    code, out, _ = inlane("season", "kite_day", "--games", 2, "--map", path, "--spread", "15 ms", "--json")
    assert code == 0
    assert json.loads(out)["findings"] == 0
    code, out, err = inlane("season", "honey_flow", "--map", path)
    assert code == 2
    assert "the map of shots is of the game 'kite_day', not of honey_flow" in err
    code, out, err = inlane("season", "kite_day", "--map", path)
    assert code == 2
    assert "the skill 'regular' has no spread; give --spread, or a row of SPREADS in host/season.py" in err


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("--spread", "12ms"), "--spread goes with --map, a map of shots from `inlane measure shots --csv`"),
        (("--map", "x.csv", "--spread", "12s"), "--spread takes 0.1ms to 500ms, such as 12ms, not '12s'"),
        (("--map", "x.csv", "--spread", "0"), "--spread takes 0.1ms to 500ms, such as 12ms, not '0'"),
        (("--map", "x.csv", "--spread", "12ms"), "x.csv: the map of shots cannot be read"),
    ],
)
@pytest.mark.parametrize("command", ["season", "tune"])
def test_wrong_maps_and_spreads_are_refused(inlane, command, words, sentence):
    code, _, err = inlane(command, "honey_flow", *words)
    assert code == 2
    assert sentence in err
