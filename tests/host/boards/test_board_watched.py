"""The Pico board's program: watched while it plays by itself, and contacts that it refuses in real time."""

import gc
import struct
import weakref
from pathlib import Path
from typing import Any

import pytest
from board_program import Program

from firmware.link import frames
from hil import games
from hil.bench.outcome import INVALID, PASS
from hil.bench.targets.link import Link
from hil.bench.targets.linked import LinkTarget

GAME = games.load("honey_flow")
SCRIPT = "title one\nballs moved\nset free_play to 1\nwait 100 ms\ntap start\nwait 200 ms\n"
KEY = "service_key"


@pytest.fixture
def board(chip: Any, tmp_path: Path) -> Program:
    return started(chip, tmp_path)


def started(chip: Any, folder: Path, volts: float = 48.0) -> Program:
    made = Program(chip, GAME, folder / "bring_up", volts)
    made.connected = 0xFFFF
    made.wait(2600)
    return made


def link_of(board: Program) -> Link:
    return Link(board.wire, lambda: board.now / 1000)


def watch(link: Link) -> bytes:
    return link.greet(bytes(16), 1.0, frames.WATCH)


def asked(link: Link, kind: int, payload: bytes = b"") -> tuple[int, bytes]:
    link.send(kind, payload)
    link.flush()
    return link.receive(1.0)


def test_watching_leaves_the_game_and_its_coils_alone(board: Program) -> None:
    alone = board.loop.standalone
    link = link_of(board)
    welcome = watch(link)
    assert welcome[1 + frames.DIGEST :].decode() == GAME.name
    for _ in range(20):
        kind, payload = asked(link, frames.LOOK)
        assert kind == frames.SEEN
        assert struct.unpack_from("<I", payload, 4) == (0,)
    assert board.loop.standalone is alone
    assert board.inputs() & 1 << 12 == 0, "the guard is fed"
    assert board.end == ""


def test_what_a_hand_closes_is_seen_and_a_coil_that_it_fires(board: Program) -> None:
    link = link_of(board)
    watch(link)
    switch = [row[0] for row in GAME.wiring.SWITCHES].index("start")
    board.move("start", 1)
    board.wait(100)
    kind, payload = asked(link, frames.ASK, bytes([frames.SWITCHES]) + bytes(2))
    assert kind == frames.FACTS
    assert struct.unpack_from("<i", payload, 3 + 4 * switch) == (1,)


def test_the_bus_is_told_in_millivolts(board: Program) -> None:
    link = link_of(board)
    watch(link)
    _, payload = asked(link, frames.ASK, bytes([frames.SENSED]) + bytes(2))
    bus, logic, withheld = struct.unpack("<iii", payload[3:])
    assert 46_000 < bus < 50_000
    assert 4_800 < logic < 5_200
    assert withheld == 0


def test_a_board_that_says_sentences_says_none_to_whoever_watches(chip: Any, tmp_path: Path) -> None:
    (tmp_path / "bring_up").write_text("1 0")
    board = started(chip, tmp_path, 0)
    link = link_of(board)
    watch(link)
    before = len(board.wire.said)
    for _ in range(120):
        assert asked(link, frames.LOOK)[0] == frames.SEEN
        board.wait(100)
    assert len(board.wire.said) == before
    link.send(frames.STOP)
    link.flush()
    board.wait(10_100)
    assert len(board.wire.said) > before


def test_a_bench_takes_over_from_whoever_watches(board: Program) -> None:
    watch(link_of(board))
    target = LinkTarget.over(board.wire, GAME, False, clock=lambda: board.now / 1000)
    target.start(1, {})
    assert board.loop.standalone is None
    assert target.advance(50) == 50


def test_noise_on_the_line_ends_no_game(board: Program) -> None:
    alone = board.loop.standalone
    board.wire.write(bytes([0, 0, 5, 7, 0, 1, 0]) * 20)
    board.wait(50)
    assert board.loop.standalone is alone


# Contacts in real time ---------------------------------------------------------------------------


def test_with_the_coil_supply_on_a_contact_from_outside_ends_the_run(board: Program) -> None:
    before = board.feeds
    outcome = board.play(SCRIPT)
    assert outcome.code == INVALID
    assert "contacts from outside would fire coils: the coil bus has" in outcome.reason
    board.wait(20)
    assert board.outputs == 0
    fed = board.feeds
    board.wait(50)
    assert board.feeds == fed >= before


def test_with_the_key_on_it_is_taken(board: Program) -> None:
    board.move(KEY, 1)
    board.wait(50)
    assert board.play(SCRIPT).code == PASS


def test_a_key_that_the_host_closes_does_not_count(board: Program) -> None:
    outcome = board.play(f"title one\nballs moved\npress {KEY}\nwait 200 ms\ntap start\n")
    assert outcome.code == INVALID
    assert "contacts from outside" in outcome.reason


def test_without_the_coil_supply_it_is_taken(chip: Any, tmp_path: Path) -> None:
    board = started(chip, tmp_path, 0)
    assert board.play(SCRIPT).code == PASS


@pytest.mark.parametrize("what", ["the key is turned off", "the supply comes up"])
def test_a_run_ends_when_coils_could_fire_after_all(chip: Any, tmp_path: Path, what: str) -> None:
    board = started(chip, tmp_path, 0 if "supply" in what else 48.0)
    if "key" in what:
        board.move(KEY, 1)
        board.wait(50)
        board.hands.append((board.now + 700, KEY, 0))
    target = LinkTarget.over(board.wire, GAME, True, clock=lambda: board.now / 1000)
    target.start(1, {})
    target.contact(0, True)
    target.advance(300)
    if "supply" in what:
        board.mains_mv = 48_000
    with pytest.raises(Exception, match="contacts from outside"):
        target.advance(3000)
    board.wait(20)
    assert board.outputs == 0
    assert board.inputs() & 1 << 12, "enable has fallen"


def test_a_run_that_ended_is_forgotten_before_the_next_is_built(board: Program) -> None:
    """Two consoles do not fit into a board's memory."""
    board.move(KEY, 1)
    board.wait(50)
    target = LinkTarget.over(board.wire, GAME, True, clock=lambda: board.now / 1000)
    target.start(1, {})
    target.advance(100)
    ended = weakref.ref(board.loop.console())
    target.finish()
    board.wait(2)
    gc.collect()
    assert ended() is None
    target.start(1, {})
    assert target.advance(100) >= 100
