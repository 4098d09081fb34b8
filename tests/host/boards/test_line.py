"""The board's line: bytes of frames are data, and what a terminal or mpremote sends to break in is heard."""

import importlib
from types import SimpleNamespace
from typing import Any

import pytest

from firmware.link import frames

PAUSE = 31  # ms, longer than a frame is ever held up in its middle


class Host:
    """What waits to be read by the board."""

    def __init__(self, chip: Any, monkeypatch: pytest.MonkeyPatch) -> None:
        module = importlib.import_module("boards.pico_matrix.line")
        self.chip = chip
        self.waiting = bytearray()
        poll = SimpleNamespace(register=lambda *_given: None, ipoll=lambda _ms: [1] if self.waiting else [])
        stream = SimpleNamespace(buffer=self)
        monkeypatch.setattr(module, "select", SimpleNamespace(poll=lambda: poll, POLLIN=1, POLLOUT=4))
        monkeypatch.setattr(module, "sys", SimpleNamespace(stdin=stream, stdout=stream))
        self.chip.clock_ms = 5000
        self.line = module.Line()

    def readinto(self, into: bytearray) -> int:
        into[0] = self.waiting.pop(0)
        return 1

    def sends(self, data: bytes, pause: int = 0) -> bytes:
        """What the board reads of it, and of nothing for `pause` ms afterwards."""
        self.waiting += data
        read = bytearray()
        for _ in range(len(self.waiting)):
            read.append(self.line.read())
        for _ in range(pause):
            self.chip.clock_ms += 1
            assert self.line.read() == -1
        return bytes(read)


@pytest.fixture
def host(chip: Any, monkeypatch: pytest.MonkeyPatch) -> Host:
    return Host(chip, monkeypatch)


def test_every_byte_value_is_data(host: Host) -> None:
    for first in range(1, 256):
        data = bytes([0, first, 200, 3, 3, 13, 3, 1, *range(1, 20), 0])
        assert host.sends(data, PAUSE) == data


@pytest.mark.parametrize("said", [b"\x03", b"\r\x03", b"\x03\x03", b"\r\x03\x03"])
def test_ctrl_c_with_nothing_after_it_breaks_in(host: Host, said: bytes) -> None:
    host.sends(b"\0")
    host.sends(said, PAUSE - 1)
    with pytest.raises(KeyboardInterrupt):
        host.sends(b"", 1)


def test_return_alone_breaks_nothing(host: Host) -> None:
    host.sends(b"\0")
    assert host.sends(b"\r", 500) == b"\r"


def test_mpremote_breaks_in_and_the_rest_is_left_for_the_prompt(host: Host) -> None:
    host.sends(b"\x07\x01\x02\x03\x04\x05\x06\0")
    with pytest.raises(KeyboardInterrupt):
        host.sends(b"\r\x03\r\x01")
    assert host.waiting == b"\x01"


def test_no_frame_has_a_break_for_its_beginning(host: Host) -> None:
    """The third byte on the line is the type where the two before it are neither code nor zero."""
    types = [getattr(frames, name) for name in ("HELLO", "SETTING", "START", "CONTACT", "ADVANCE", "FINISH")]
    types += [frames.ALIVE, frames.STOP]
    assert host.line.read() == -1
    for kind in types:
        for begin in (b"\r\x03", b"\x03\x03"):
            data = begin + bytes([kind]) + b"\x09\x09\x09\0"
            assert host.sends(data, PAUSE) == data
    assert importlib.import_module("boards.pico_matrix.line").RETURN not in types


def test_a_frame_after_a_break_that_was_none_is_read_whole(host: Host) -> None:
    data = b"\x03\x03\x07\x09\0"
    assert host.sends(data[:2], PAUSE - 2) + host.sends(data[2:], PAUSE) == data


def test_what_was_typed_before_does_not_keep_ctrl_c_out(host: Host) -> None:
    host.sends(b"hello\r\x03", PAUSE)
    host.chip.clock_ms += 1000
    with pytest.raises(KeyboardInterrupt):
        host.sends(b"\x03", PAUSE)
