"""The state machine of the host's side of the link: its page, and where each thing leads it."""

from pathlib import Path

import pytest
from transitions import MachineError

from firmware.base.errors import LinkError
from hil.bench.targets import link_states
from hil.bench.targets.link_states import ASKING, CLOSED, LOST, OPENING, READY, RUNNING, LinkStates
from hil.bench.targets.linked import LinkTarget

PAGE = Path(link_states.__file__).parent / "README.md"


def over(port, game):
    return LinkTarget.over(port, game, patience_s=1.0, clock=port.clock)


def test_the_page_has_the_diagram_that_transitions_writes():
    assert f"```mermaid\n{link_states.diagram()}\n```" in PAGE.read_text()


def test_a_run_goes_from_opening_to_ready_to_running_and_back(port, game):
    target = over(port, game)
    assert target.state == OPENING
    target.start(1, {})
    assert target.state == RUNNING
    target.advance(100)
    target.finish()
    assert target.state == READY
    target.close()
    assert target.state == CLOSED


def test_a_second_run_follows_in_the_same_session(port, game):
    target = over(port, game)
    target.start(1, {})
    target.advance(100)
    target.finish()
    nonce = target._nonce
    target.start(1, {})
    assert target._nonce == nonce
    target.start(1, {})  # the run before was not finished
    assert target._nonce != nonce


def test_a_damaged_frame_loses_the_link_until_it_asks_again(port, game, monkeypatch):
    target = over(port, game)
    target.start(1, {})
    read = port.read
    monkeypatch.setattr(
        port, "read", lambda size: bytes(byte ^ 1 if byte > 1 else byte for byte in read(size))
    )
    with pytest.raises(LinkError):
        target.advance(100)
    assert target.state == LOST
    monkeypatch.undo()
    target.start(1, {})
    assert target.state == RUNNING


def test_a_closed_link_stays_closed_and_ready_is_reached_by_a_welcome_alone():
    states = LinkStates()
    with pytest.raises(MachineError):
        states.take("start")
    states.take("ask")
    assert states.state == ASKING
    with pytest.raises(MachineError):
        states.take("start")
    states.take("close")
    states.take("close")
    with pytest.raises(MachineError):
        states.take("ask")
