"""How the board's program ends, and the start after it: coils off, the sentence, the record, the way back."""

import importlib
import sys
import time
import traceback
from array import array
from types import SimpleNamespace
from typing import Any

import pytest

from firmware.base import crash as form
from firmware.base.trace import EDGE, EVENT, Trace
from firmware.link import frames
from firmware.play.faults import Faults
from hil.bench.targets import wire

NONCE = bytes(frames.NONCE)


class Line:
    """What was said on it; what a host sends is in `waiting`, then the person at it loses patience."""

    def __init__(self, waiting: bytes = b"") -> None:
        self.said: list[str] = []
        self.wrote = bytearray()
        self.waiting = list(waiting)
        self.patience = 3000

    def say(self, words: str) -> None:
        self.said.append(words)

    def write(self, data: bytearray, end: int) -> None:
        self.wrote += data[:end]

    def read(self) -> int:
        if self.waiting:
            return self.waiting.pop(0)
        self.patience -= 1
        if not self.patience:
            raise KeyboardInterrupt
        return -1


class Place:
    """The board's modules on a chip, and the files of its flash in a folder."""

    def __init__(self, chip: Any, monkeypatch: pytest.MonkeyPatch, folder: Any) -> None:
        self.chip = chip
        self.order: list[str] = []
        monkeypatch.setattr(sys, "print_exception", printed, raising=False)
        monkeypatch.setattr(time, "sleep_ms", self._sleep, raising=False)
        self.crash = importlib.import_module("boards.pico_matrix.crash")
        self.starts = importlib.import_module("boards.pico_matrix.restarts")
        self.ending = importlib.import_module("boards.pico_matrix.shutdown")
        monkeypatch.setattr(self.crash, "FILE", str(folder / "ended"))
        monkeypatch.setattr(self.crash, "READ", str(folder / "ended.read"))
        monkeypatch.setattr(self.ending, "off", lambda hardware: self.order.append("off"))
        monkeypatch.setattr(self.ending.flash, "identify", lambda nonce, slot: bytes(32))
        monkeypatch.setattr(self.ending.slots, "contents", lambda slot: b"")
        monkeypatch.setattr(self.ending, "show", lambda *said: self.order.append("displays"))
        self.line = Line()

    def _sleep(self, ms: int) -> None:
        self.chip.clock_ms += ms

    def ended(self, error: BaseException, may_restart: bool = True, began: bool = True) -> Any:
        """End by `error`, as it is raised; the ending."""
        ending = self.ending.Shutdown("firmware.games.some_game", -1, self.line, may_restart)
        ending.hardware = SimpleNamespace(slow_outputs=None)
        if began:
            ending.loop = self.turns()
        try:
            raise error
        except BaseException as raised:
            ending.end(raised)

    def turns(self) -> Any:
        trace = Trace(8)
        trace.note_in(self.crash.box())
        trace.note(EDGE, 5, 1)
        trace.note(EVENT, 6, 0)
        faults = Faults(trace)
        faults.report("rule_error", 0, 2)
        console = SimpleNamespace(play=SimpleNamespace(faults=faults), trace=trace)
        device = SimpleNamespace(end=lambda words: self.order.append("host: " + words))
        return SimpleNamespace(console=lambda: console, device=device)


def printed(error: BaseException, text: Any) -> None:
    """sys.print_exception."""
    traceback.print_exception(error, file=text)


@pytest.fixture
def place(chip: Any, monkeypatch: pytest.MonkeyPatch, tmp_path: Any) -> Place:
    return Place(chip, monkeypatch, tmp_path)


def test_after_an_error_coils_are_off_first_then_it_is_told_everywhere_and_starts_again(place: Place) -> None:
    with pytest.raises(SystemExit):
        place.ended(ValueError("told to"))
    (sentence,) = place.line.said
    assert sentence.startswith("an error in the program: ValueError: told to, at ")
    assert sentence.endswith(" in ended")
    assert place.order == ["off", "host: " + sentence, "displays", "off"]
    record = form.read(place.chip.kept)
    assert record
    assert (record.kind, record.sentence) == (form.PROGRAM, sentence[: form.WORDS_MOST])
    assert record.faults == [("rule_error", 0, 2)]
    assert [record.event(i)[1:] for i in range(record.count())] == [(EVENT, 6, 0), (EDGE, 5, 1)]


@pytest.mark.parametrize(
    ("error", "kind", "words"),
    [
        (MemoryError("no 2000 bytes"), form.MEMORY, "the memory ran out: MemoryError: no 2000 bytes, at "),
        (RuntimeError("maximum recursion depth exceeded"), form.DEPTH, "calls went too deep: RuntimeError"),
        (SystemExit(), form.PROGRAM, "an error in the program: SystemExit"),
    ],
)
def test_each_error_has_its_kind(place: Place, error: BaseException, kind: int, words: str) -> None:
    with pytest.raises(SystemExit):
        place.ended(error)
    record = form.read(place.chip.kept)
    assert record
    assert record.kind == kind
    assert place.line.said[0].startswith(words)


def test_a_fault_of_the_hardware_is_said_without_a_place_in_the_program(place: Place) -> None:
    with pytest.raises(SystemExit):
        place.ended(place.ending.HardwareFault("a drive is stuck on: 3"))
    assert place.line.said == ["the hardware has a fault: a drive is stuck on: 3"]


def test_an_error_while_it_is_told_does_not_keep_it_from_starting_again(place: Place) -> None:
    place.line.say = lambda words: 1 / 0  # type: ignore[assignment, method-assign, return-value]
    with pytest.raises(SystemExit):
        place.ended(ValueError("told to"))
    assert form.read(place.chip.kept)
    assert place.order[-1] == "off"


def test_memory_that_runs_out_once_more_leaves_a_sentence_for_the_line(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    def none_left(error: BaseException, text: Any) -> None:
        raise MemoryError

    monkeypatch.setattr(sys, "print_exception", none_left, raising=False)
    with pytest.raises(SystemExit):
        place.ended(ValueError("told to"))


@pytest.mark.parametrize(("may_restart", "began"), [(False, True), (True, False)])
def test_what_cannot_start_or_ends_too_often_stays_and_repeats_its_sentence(
    place: Place, may_restart: bool, began: bool
) -> None:
    place.chip.writes[0x40058004] = lambda value: place.order.append("fed")
    with pytest.raises(KeyboardInterrupt):
        place.ended(ImportError("no module named 'x'"), may_restart, began)
    kind = form.START_UP if not began else form.PROGRAM
    assert place.line.said[0].startswith(form.KINDS[kind] + ": ImportError: no module named 'x'")
    assert len(place.line.said) == 2  # 3,000 turns of 5 ms
    assert place.order.count("fed") > 2900
    lit = [level for gpio, level in place.chip.levels if gpio == 25]
    assert sum(lit) >= kind * 3


def test_a_program_that_stays_tells_a_host_who_it_is_and_why_nothing_runs(place: Place) -> None:
    hello = wire.pack(0, frames.HELLO, NONCE + bytes((frames.PROTOCOL,)))
    start = wire.pack(1, frames.START, b"\0" + bytes(4))
    place.line.waiting = list(b"\0" + hello + start)
    with pytest.raises(KeyboardInterrupt):
        place.ended(ImportError("no module named 'x'"), began=False)
    answers = [wire.unpack(chunk) for chunk in bytes(place.line.wrote).split(b"\0") if chunk]
    assert [kind for _, kind, _ in answers] == [frames.WELCOME, frames.FAULT]
    assert answers[0][2][33:].startswith(b"some_game\0the program could not start: ImportError")
    assert b"the program could not start" in answers[1][2]


def test_a_person_at_the_prompt_has_everything_off_and_no_watchdog(place: Place, capsys: Any) -> None:
    place.chip.writes[0x40058000 + 0x3000] = lambda value: place.order.append("watchdog off")
    place.ending.Shutdown("games.x", -1, place.line, True).prompt()
    assert place.order == ["off", "watchdog off"]
    assert "coils are off" in capsys.readouterr().out
    assert not place.starts.stood_still()


# The next start


def test_what_was_in_ram_goes_to_a_file_that_lasts_until_it_is_acknowledged(place: Place) -> None:
    form.write(place.chip.kept, form.MEMORY, "the memory ran out", [])
    first = place.crash.last()
    assert first.sentence == "the memory ran out"
    place.chip.kept[:] = bytes(range(256)) * 4  # the power was cut
    assert place.crash.last().sentence == "the memory ran out"
    assert place.crash.before() is None
    place.crash.acknowledge()
    assert place.crash.last() is None
    assert place.crash.before().sentence == "the memory ran out"


def test_a_file_that_cannot_be_written_leaves_the_record_in_ram_and_no_box_over_it(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(place.crash, "FILE", "/nowhere/at/all")
    form.write(place.chip.kept, form.PROGRAM, "it ended", [])
    assert place.crash.last().sentence == "it ended"
    assert place.crash.box() is None
    assert place.crash.last().sentence == "it ended"
    place.crash.acknowledge()
    assert place.crash.last() is None
    assert place.crash.box() is not None


def test_a_damaged_file_is_none(place: Place) -> None:
    form.write(place.chip.kept, form.PROGRAM, "it ended", [])
    place.crash.last()
    with open(place.crash.FILE, "r+b") as file:
        file.truncate(700)
    assert place.crash.last() is None


def test_a_watchdog_s_bite_is_recorded_at_the_next_start_unless_an_error_was(place: Place) -> None:
    place.turns()
    place.crash.record_bite()
    found = place.crash.last()
    assert (found.kind, found.sentence) == (form.STOOD_STILL, form.KINDS[form.STOOD_STILL])
    assert found.count() == 2
    form.write(place.chip.kept, form.PROGRAM, "it ended", [])
    place.crash.record_bite()
    assert place.crash.last().sentence == "it ended"


def test_a_bite_after_the_stack_reached_the_record_says_that_calls_went_too_deep(place: Place) -> None:
    place.turns()
    place.chip.kept[-20:] = bytes(range(20))
    place.crash.record_bite()
    found = place.crash.last()
    assert found.kind == form.DEPTH
    assert found.sentence.startswith("calls went too deep: ")
    assert found.count() == 2


# The main loop after it


class Started:
    """A machine whose program ended before, on hardware that is not there."""

    def __init__(self, place: Place, monkeypatch: pytest.MonkeyPatch, refusals: Any, ended: Any) -> None:
        self.main = main = importlib.import_module("boards.pico_matrix.main")
        self.isr = importlib.import_module("boards.pico_matrix.isr")
        self.told: list[Any] = []
        self.cells = array("i", [0] * self.isr.CELLS)
        self.hardware = SimpleNamespace(
            cells=self.cells,
            limiter=None,
            scan=array("i", [0] * 404),
            fresh=lambda: None,
            fault=lambda: self.fault,
            alive=lambda: None,
            off=lambda: self.cells.__setitem__(self.isr.ENABLED, 0),
            now=lambda: place.chip.clock_ms,
            edges=lambda console: None,
            report_faults=lambda console: None,
            slow_outputs=SimpleNamespace(i2c=None, turn=lambda now: None),
        )
        self.fault = ""
        self.waits: Any = None
        self.pad = SimpleNamespace(
            show_notice=lambda *lines: self.told.append(lines),
            is_usable=lambda: self.serves,
            require_acknowledgement=lambda ended, read: setattr(self, "waits", read),
            ended=None,
        )
        self.serves = True
        self.faults = Faults(Trace(8))
        self.console = SimpleNamespace(
            play=SimpleNamespace(faults=self.faults),
            pad=self.pad,
            trace=Trace(8),
            run_to=lambda ms: None,
            coils=SimpleNamespace(drain=lambda: None),
            reflexes=SimpleNamespace(renew=lambda: None),
            edges_lost=0,
            engine=SimpleNamespace(plays_on=False),
        )
        monkeypatch.setattr(main, "BoardStore", lambda *_given: None)
        self.machine = object.__new__(main.PicoMachine)
        self.machine.name = "some_game"
        self.machine.bring_up = None
        self.machine.hardware = self.hardware
        self.machine.refusals = list(refusals)
        self.machine.crash = None
        self.machine.console = lambda *_given: self.console
        self.machine.version = lambda: b"version"
        self.machine.refuse(False, ended)
        self.line = place.line

    def turns(self) -> Any:
        return self.main.MainLoop(self.machine, self.line)

    def enabled(self) -> bool:
        return bool(self.cells[self.isr.ENABLED])


def a_crash() -> Any:
    memory = bytearray(form.SIZE)
    form.write(memory, form.DEPTH, "calls went too deep: here", [("rule_error", 0, 4)])
    return form.read(memory)


@pytest.fixture
def started(place: Place, monkeypatch: pytest.MonkeyPatch) -> Any:
    def make(refusals: Any = (), ended: Any = None) -> Started:
        return Started(place, monkeypatch, refusals, ended)

    return make


def test_a_sound_start_enables_coils_and_says_nothing(started: Any) -> None:
    start = started()
    turns = start.turns()
    assert start.enabled()
    turns.run_once()
    assert (start.line.said, start.told, turns._led.code) == ([], [], 0)
    assert start.console.engine.plays_on
    assert turns.standalone.board.files_digest == b"version"
    assert start.console.trace.box is not None


def test_a_refused_machine_enables_nothing_and_tells_the_operator_and_the_line(started: Any) -> None:
    start = started([("firmware_changed", 0, "its sum is another")])
    turns = start.turns()
    turns.run_once()
    assert not start.enabled()
    assert start.told == [(b"COILS STAY OFF", b"FIRMWARE CHANGED")]
    assert start.faults.names == ["firmware_changed"]
    assert start.line.said == ["coils stay off: its sum is another"]
    assert turns._led.code == form.REFUSED
    start.fault = "the drive chain does not answer"
    turns.run_once()  # goes on


def test_after_a_crash_coils_stay_off_until_it_is_acknowledged(started: Any, place: Place) -> None:
    start = started((), a_crash())
    turns = start.turns()
    turns.run_once()
    assert not start.enabled()
    assert start.machine.ended == "calls went too deep: here"
    assert start.machine.board().reason == "calls went too deep: here"
    assert [(start.faults.name(i), *start.faults.numbers(i)[:2]) for i in range(2)] == [
        ("program_ended", form.DEPTH, 1),
        ("rule_error", 0, 4),
    ]
    assert start.line.said == ["coils stay off: calls went too deep: here"]
    for _ in range(25):
        place.chip.clock_ms += 1000
        turns.run_once()
    assert len(start.line.said) == 3
    assert turns._led.code == form.DEPTH
    start.waits()
    assert start.enabled()
    assert (start.machine.ended, start.machine.refusals) == ("", [])
    turns.run_once()
    assert (turns._led.code, len(start.line.said)) == (0, 3)
    start.fault = "a drive is stuck on: 2"
    with pytest.raises(start.main.HardwareFault, match="stuck on: 2"):
        turns.run_once()


def test_what_the_self_test_found_outlasts_an_acknowledgement(started: Any) -> None:
    start = started([("chain_unread", 0, "no chain")], a_crash())
    start.turns()
    start.waits()
    assert not start.enabled()
    assert start.machine.reasons() == "no chain"


def test_a_game_without_a_pad_is_free_again_at_the_next_start(started: Any, place: Place) -> None:
    form.write(place.chip.kept, form.PROGRAM, "it ended", [])
    start = started((), place.crash.last())
    start.serves = False
    start.turns()
    assert not start.enabled()
    assert place.crash.last() is None


def test_the_watchdog_is_fed_by_the_loop_while_coils_are_refused_and_by_the_callback_otherwise(
    started: Any, place: Place
) -> None:
    fed = []
    place.chip.writes[0x40058004] = fed.append
    for refusals in ([], [("chain_unread", 0, "no chain")]):
        start = started(refusals)
        turns = start.turns()
        start.cells[start.isr.ALIVE] = 1500
        turns.run_once()
        assert start.cells[start.isr.ALIVE] == 0
        assert bool(fed) == bool(refusals)


def test_a_host_that_takes_over_leaves_the_watchdog_enabled(started: Any, place: Place) -> None:
    cleared: list[int] = []
    place.chip.writes[0x40058000 + 0x3000] = cleared.append
    start = started()
    turns = start.turns()
    hello = wire.pack(0, frames.HELLO, bytes(frames.NONCE) + bytes([frames.PROTOCOL]))
    start.line.waiting = list(b"\0" + hello)
    turns.receive()
    assert turns.standalone is None
    assert not start.enabled()
    assert cleared == []


@pytest.mark.parametrize("code", range(1, 9))
def test_the_led_blinks_as_often_as_its_code_says(place: Place, code: int) -> None:
    status_led = importlib.import_module("boards.pico_matrix.status_led")
    levels = [status_led.lit(code, ms) for ms in range(0, code * status_led.BLINK_MS + status_led.PAUSE_MS)]
    assert sum(not one and two for one, two in zip([False, *levels], levels, strict=False)) == code
    assert not any(levels[-status_led.PAUSE_MS :])
    assert not status_led.lit(0, 100)
