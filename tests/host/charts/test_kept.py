"""`inlane measure charts-kept`, with a small count."""

import pytest

from firmware.base.errors import UsageError
from hil.benchmarks import charts_kept


def test_a_few_machines_go_on_alike(capsys: pytest.CaptureFixture[str]) -> None:
    assert charts_kept.measure(5, 100, "process") == 0
    assert "5 snapshots on process, seeds from 100" in capsys.readouterr().out


def test_the_place_is_one_of_two() -> None:
    with pytest.raises(UsageError, match="process or micropython, not on 'board'"):
        charts_kept.measure(5, 100, "board")
