"""The queue of coil requests: first in, first out, round the end of its array, counted when full."""

from firmware.base.errors import GameError
from firmware.play.requests import CAPACITY, HOLD, CoilQueue

NAMES = tuple(["c" + str(i) for i in range(4)])


def queue():
    return CoilQueue(NAMES, (20, 30, 40, 50))


def taken(requests):
    found = []
    while requests.count:
        found.append((requests.next_coil(), requests.next_ms()))
        requests.drop()
    return found


def test_requests_come_out_in_the_order_they_went_in():
    requests = queue()
    requests.put(2, 20)
    requests.put(0, HOLD)
    requests.put(1, 30)
    assert taken(requests) == [(2, 20), (0, HOLD), (1, 30)]


def test_the_order_holds_round_the_end_of_the_array():
    requests = queue()
    for n in range(3 * CAPACITY):
        requests.put(n % 4, n)
        requests.put(3, 1000 + n)
        assert taken(requests) == [(n % 4, n), (3, 1000 + n)], n


def test_what_finds_the_queue_full_is_counted_and_the_rest_stays():
    requests = queue()
    for n in range(CAPACITY + 2):
        requests.put(0, n)
    assert requests.lost == 2
    assert taken(requests) == [(0, n) for n in range(CAPACITY)]


def test_a_coil_that_is_not_wired_is_refused_with_its_near_miss():
    try:
        queue().coil("c33", "somebody")
    except GameError as error:
        assert str(error).startswith("coil 'c33' is used by somebody but not wired")
        assert "c3" in str(error).replace("c33", "")
    else:
        raise AssertionError("it was taken")
