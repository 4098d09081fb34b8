"""The tests of tests/both, run under MicroPython."""

from pathlib import Path

import pytest

from firmware.base.errors import UsageError
from hil import micropython

RUNNER = Path(__file__).parents[1] / "both" / "run.py"


@pytest.mark.slow
def test_tests_both_passes_under_micropython():
    try:
        micropython.find()
    except UsageError as error:
        pytest.skip(str(error))
    done = micropython.run("-X", "heapsize=8m", str(RUNNER))
    assert done.returncode == 0, done.stdout + done.stderr
    assert ", 0 failed" in done.stdout
    assert not done.stdout.startswith("0 passed")


def test_the_runner_says_so_when_a_test_fails(tmp_path):
    try:
        micropython.find()
    except UsageError as error:
        pytest.skip(str(error))
    (tmp_path / "run.py").write_text(RUNNER.read_text())
    (tmp_path / "test_bad.py").write_text("def test_no():\n    assert False\n\ndef test_yes():\n    pass\n")
    done = micropython.run("-X", "heapsize=8m", str(tmp_path / "run.py"))
    assert done.returncode == 1
    assert done.stdout.splitlines()[-1] == "1 passed, 1 failed"
