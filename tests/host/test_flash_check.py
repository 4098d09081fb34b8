"""The standing check of flashers: too many flashes in a game are found, the operator's own are not."""

from hil.bench.evidence import Evidence
from hil.bench.judge import flashes
from hil.bench.view import TraceEvent, View
from hil.games import load

WIRING = load("honey_flow").wiring


def found(*gaps, calm=1, started=True):
    view = View.__new__(View)
    at = 1000
    view.history = [TraceEvent(0, "event", "game.started", 0)] if started else []
    for gap in (0, *gaps):
        at += gap
        view.history += [TraceEvent(at, "coil", "flash.jar", 60), TraceEvent(at + 60, "coil", "flash.jar", 0)]
    return flashes(Evidence(view, WIRING, at + 500, None, settings={"calm_lamps": calm}))


def test_flashes_too_close_are_found_with_their_time():
    (finding,) = found(400, 399)
    assert finding.expected == "flasher flash.jar at least 400 ms after its last flash"
    assert (finding.seen, finding.at_ms) == ("after 399 ms", 1799)


def test_four_a_second_are_allowed_with_calm_lamps_off_and_no_more():
    assert not found(250, calm=0)
    assert found(249, calm=0)
    assert found(250, calm=1)


def test_what_the_operator_tests_outside_a_game_is_not_judged():
    assert not found(100, started=False)
