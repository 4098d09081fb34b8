"""The figures of `inlane measure`, as far as they do not depend on the machine."""

import json
import shutil

import pytest
import typer.testing

from firmware.base.errors import UsageError
from firmware.charts.microstep import Microstep
from firmware.play.claims import Claims
from hil import command, games, micropython
from hil.benchmarks import budget, events
from hil.benchmarks.wasm import build32
from hil.benchmarks.whole_run import Run
from hil.command import measure


@pytest.fixture(scope="module")
def game():
    return games.load("honey_flow")


@pytest.fixture(scope="module")
def contacts(game):
    return measure.taken_down(game, None)


def test_contacts_taken_down_make_the_same_trace_again(game, contacts):
    told = events.measure(game, contacts, 1, events.CPYTHON)
    assert told.digest == contacts.digest
    assert told.records == contacts.records > 1000
    assert told.allocated is None


@pytest.mark.micropython
def test_micropython_makes_the_same_trace_and_tells_its_heap(game, contacts):
    told = events.measure(game, contacts, 1, events.MICROPYTHON)
    assert told.digest == contacts.digest
    assert told.events == told.heap_events > 100
    assert told.allocated is not None


def test_a_checkout_is_as_fast_as_itself_by_the_same_events(game, contacts):
    here, there = events.race(game, contacts, events.CPYTHON, micropython.ROOT, 1)
    assert (here.digest, here.events) == (there.digest, there.events)
    assert here.us > 0


def test_a_folder_that_is_no_checkout_is_refused(tmp_path):
    done = run("events", "--against", str(tmp_path))
    assert isinstance(done.exception, UsageError)
    assert "no firmware/console.py" in str(done.exception)


def test_the_budget_of_an_event_is_the_same_every_time_and_has_every_part(game, contacts):
    one, two = budget.measure(game, contacts), budget.measure(game, contacts)
    assert one == two
    assert [part.name for part in one] == [row[0] for row in budget.PARTS]
    assert all(part.calls > 0 and part.bytecodes > part.calls for part in one)


def test_a_function_is_in_the_part_of_its_name_before_that_of_its_file():
    assert budget.part_of(Claims.resolve.__code__) == "lamps"
    assert budget.part_of(Claims.touch.__code__) == "show"
    assert budget.part_of(Microstep.step.__code__) == "engine"
    assert budget.part_of(Run.step.__code__) == "actions"  # no file of firmware: the game's


def test_without_node_the_reason_is_plain(monkeypatch, tmp_path):
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(UsageError, match="there is no 'node' command"):
        build32.fetched()


@pytest.mark.skipif(not shutil.which("node"), reason="there is no 'node' command")
def test_without_npm_the_reason_is_plain(monkeypatch, tmp_path):
    (tmp_path / "node").symlink_to(shutil.which("node"))
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    with pytest.raises(UsageError, match="there is no 'npm' command"):
        build32.fetched()


def test_the_command_prints_row_count_seed_and_result():
    done = run("reliability", "5", "--count", "50", "--seed", "9")
    assert done.exit_code == 0, done.output
    assert "row 5: link: flipped bits, on process, count 50, seed 9" in done.output
    assert done.output.splitlines()[-1].endswith("injected, passed")


def test_the_command_fails_when_the_row_does(monkeypatch):
    from hil.benchmarks import reliability

    def fails(row, count, seed, on, workers, watch):
        result = reliability.Result(ran=1)
        result.failed("planted")
        return reliability.ROWS[0], "process", result

    monkeypatch.setattr(reliability, "run", fails)
    done = run("reliability", "5")
    assert done.return_value == 1
    assert "WRONG: planted" in done.output


def test_the_figures_come_as_json():
    done = run("reliability", "6", "--count", "20", "--json")
    told = json.loads(done.output)
    assert told["row"] == 6
    assert told["passed"] is True


def run(*words):
    app = typer.Typer()
    measure.register(app)
    return typer.testing.CliRunner().invoke(app, words, standalone_mode=False)


def test_measure_is_a_command():
    assert "measure" in command.COMMANDS
