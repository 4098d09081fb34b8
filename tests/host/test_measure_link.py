"""`inlane measure link`: every figure is of exchanges that happened; scripts are shared in their order."""

from pathlib import Path

import pytest

from firmware.base.errors import UsageError
from hil import games
from hil.benchmarks import round_trip
from hil.command import replay_parts
from hil.command.replay import replay

KIT_ROOM = games.load("kit_room")


@pytest.mark.micropython
def test_both_lines_are_measured_as_often():
    trips = round_trip.measure(KIT_ROOM, 20, rounds=2)
    assert trips.count == 20
    assert trips.link > 0 < trips.echo


def test_parts_hold_every_script_in_order_and_one_game_each():
    scripts = [(Path(f"{n}.play"), "a" if n < 30 else "b") for n in range(50)]
    parts = replay_parts.split(scripts, 2)
    assert [(path, part.game) for part in parts for path in part.scripts] == scripts
    assert len(parts) >= 4


def replayed(capsys, workers):
    code = replay([str(KIT_ROOM.scripts)], workers=workers, coverage=True, verbose=True)
    return code, [line for line in capsys.readouterr().out.splitlines() if " of play in " not in line]


def test_two_workers_print_what_one_prints_coverage_included(capsys):
    assert replayed(capsys, 2) == replayed(capsys, 1)


def test_workers_on_one_machine_are_refused():
    with pytest.raises(UsageError, match="is one machine"):
        replay([str(KIT_ROOM.scripts)], on="/dev/ttyNONE", workers=2)
