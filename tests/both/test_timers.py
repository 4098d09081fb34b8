"""The timer table, also across the wrap of the tick counter."""

from firmware.base import ticks
from firmware.base.chance import Stream
from firmware.base.errors import GameError
from firmware.base.timers import Timers


def made(count, group=0, now=0):
    timers = Timers()
    timers.now = now
    for i in range(count):
        timers.add(100 + i, group)
    return timers


def popped(timers):
    found = []
    tid = timers.pop()
    while tid >= 0:
        found.append(tid)
        tid = timers.pop()
    return found


def test_timers_are_popped_in_order_of_due_time_then_number():
    timers = made(4)
    timers.start(3, 10)
    timers.start(1, 10)
    timers.start(0, 20)
    timers.start(2, 5)
    timers.now = 20
    assert popped(timers) == [2, 1, 3, 0]
    assert timers.due() == -1


def test_nothing_is_due_a_millisecond_early():
    timers = made(1)
    timers.start(0, 10)
    timers.now = 9
    assert timers.pop() == -1
    assert timers.due() == 1
    timers.now = 10
    assert timers.due() == 0
    assert timers.pop() == 0


def test_an_overdue_timer_has_nothing_left():
    timers = made(1)
    timers.start(0, 10)
    timers.now = 50
    assert timers.left(0) == 0
    assert timers.due() == 0
    assert timers.running(0)


def test_starting_again_takes_the_new_time():
    timers = made(2)
    timers.start(0, 10)
    timers.start(1, 20)
    timers.start(0, 30)
    assert timers.due() == 20
    timers.now = 30
    assert popped(timers) == [1, 0]


def test_a_stopped_timer_is_never_popped():
    timers = made(2)
    timers.start(0, 10)
    timers.start(1, 10)
    timers.stop(0)
    timers.stop(0)
    timers.now = 10
    assert popped(timers) == [1]
    assert not timers.running(0)
    assert timers.left(0) == 0


def test_a_frozen_group_keeps_what_it_has_left():
    timers = Timers()
    frozen = timers.add(1, 3)
    other = timers.add(2, 0)
    timers.start(frozen, 100)
    timers.start(other, 100)
    timers.now = 40
    timers.freeze(3)
    timers.now = 1000
    assert timers.left(frozen) == 60
    assert timers.running(frozen)
    assert popped(timers) == [other]
    assert timers.due() == -1
    timers.thaw(3)
    assert timers.due() == 60
    timers.now = 1060
    assert popped(timers) == [frozen]


def test_a_timer_started_in_a_frozen_group_waits_for_the_thaw():
    timers = made(1, group=5)
    timers.freeze(5)
    timers.start(0, 30)
    timers.now = 500
    assert timers.left(0) == 30
    assert timers.pop() == -1
    timers.thaw(5)
    timers.now = 530
    assert popped(timers) == [0]


def test_a_group_is_stopped_as_one():
    timers = Timers()
    for group in (0, 1, 1):
        timers.start(timers.add(7, group), 10)
    timers.stop_group(1)
    timers.now = 10
    assert popped(timers) == [0]


def test_the_event_may_be_set_later():
    timers = made(1)
    timers.event[0] = 42
    assert list(timers.event) == [42]


def test_timers_run_across_the_wrap_as_anywhere_else():
    timers = made(3, now=ticks.MASK - 5)
    timers.start(0, 3)
    timers.start(1, 20)
    timers.start(2, 6)
    assert timers.due() == 3
    timers.now = ticks.add(timers.now, 6)
    assert timers.now == 0
    assert popped(timers) == [0, 2]
    assert timers.left(1) == 14
    timers.now = 14
    assert popped(timers) == [1]


def test_a_snapshot_is_taken_up_under_another_clock():
    timers = made(4, group=2, now=ticks.MASK - 100)
    timers.start(0, 10)
    timers.start(1, 500)
    timers.now = ticks.add(timers.now, 50)
    timers.freeze(2)
    timers.start(2, 77)
    saved = bytearray(timers.size())
    assert timers.save(saved) == timers.size()
    other = made(4, group=2, now=123)
    assert other.load(saved) == other.size()
    assert [other.left(tid) for tid in range(4)] == [0, 450, 77, 0]
    assert other.pop() == -1
    other.thaw(2)
    assert other.pop() == 0
    other.now = 123 + 77
    assert popped(other) == [2]


def test_one_timer_can_be_saved_by_itself():
    timers = made(2)
    timers.start(1, 300)
    saved = bytearray(5)
    timers.save_one(1, saved, 0)
    timers.stop(1)
    timers.now = 1000
    timers.load_one(1, saved, 0)
    assert timers.left(1) == 300
    timers.save_one(0, saved, 0)
    timers.load_one(1, saved, 0)
    assert not timers.running(1)


def test_too_many_timers_and_unknown_groups_are_refused():
    timers = made(255)
    for add in (lambda: timers.add(0), lambda: made(1, group=64), lambda: made(1, group=-1)):
        try:
            add()
        except GameError:
            continue
        raise AssertionError("was not refused")


def slow_pop(due, now):
    """The (due, number) order by a look at every timer, with plain integers."""
    best = -1
    for tid in sorted(due):
        if due[tid] <= now and (best < 0 or due[tid] < due[best]):
            best = tid
    if best >= 0:
        del due[best]
    return best


def test_a_random_course_agrees_with_a_look_at_every_timer():
    stream = Stream(11)
    timers = made(12, now=ticks.MASK - 2000)
    now = 0
    due = {}
    for _ in range(1500):
        choice = stream.below(4)
        tid = stream.below(12)
        if choice == 0:
            delay = stream.below(300)
            timers.start(tid, delay)
            due[tid] = now + delay
        elif choice == 1:
            timers.stop(tid)
            due.pop(tid, None)
        else:
            step = stream.below(40)
            now += step
            timers.now = ticks.add(timers.now, step)
            expected = slow_pop(due, now)
            while expected >= 0:
                assert timers.pop() == expected
                expected = slow_pop(due, now)
            assert timers.pop() == -1
        for each in range(12):
            assert timers.left(each) == max(0, due.get(each, now) - now)
