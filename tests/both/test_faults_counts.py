"""The fault log, counts, the switch watch, volume and quiet hours."""

from watch_rig import BANK_1, Time, heap_lock, heap_unlock, rule_context

from firmware.base.errors import GameError
from firmware.base.trace import Trace
from firmware.play.counts import MOST, SCORE_STEPS, Counts
from firmware.play.faults import CAPACITY, Faults

# Faults


def test_the_same_fault_again_is_counted_until_it_was_acknowledged():
    faults = Faults(Trace())
    faults.report("eject_failed", 3)
    faults.report("eject_failed", 3)
    assert (faults.count, faults.numbers(0)[1]) == (1, 2)
    faults.report("eject_failed", 4)
    assert faults.names == ["eject_failed", "eject_failed"]
    faults.acknowledge()
    assert (faults.names, faults.unacknowledged()) == ([], 0)
    faults.report("eject_failed", 3)
    assert (faults.count, faults.unacknowledged()) == (3, 1)


def test_a_fault_is_dated():
    trace = Trace()
    faults = Faults(trace)
    faults.start = 7
    faults.date = 20260131
    trace.now = 61_999
    faults.report("wheel_mute")
    assert faults.numbers(0) == (0, 1, 20260131, 7, 61, 0)


def test_the_log_is_bounded_and_says_what_it_lost():
    faults = Faults(Trace())
    for n in range(CAPACITY + 3):
        faults.report("eject_failed", n)
    assert (faults.count, faults.lost) == (CAPACITY, 3)
    assert [faults.numbers(at)[0] for at in range(CAPACITY)] == list(range(3, CAPACITY + 3))


def test_an_entry_moves_up_whole_when_the_oldest_goes():
    trace = Trace()
    faults = Faults(trace)
    whole = []
    for n in range(CAPACITY + 2):
        faults.start, faults.date, trace.now = 100 + n, 20260101 + n, n * 1000
        faults.report("fault_" + str(n), n)
        if n % 2:
            faults.report("fault_" + str(n), n)
        if n == 5:
            faults.acknowledge()
        whole.append(("fault_" + str(n), (n, 1 + n % 2, 20260101 + n, 100 + n, n, 1 if n <= 5 else 0)))
    assert [(faults.name(at), faults.numbers(at)) for at in range(CAPACITY)] == whole[2:]
    assert faults.names == ["fault_" + str(n) for n in range(6, CAPACITY + 2)]


def test_what_was_read_and_what_was_not_saved_yet_is_known():
    faults = Faults(Trace())
    faults.report("wheel_mute", 2)
    faults.mark_saved()
    assert faults.unsaved() == []
    faults.report("wheel_mute", 2)
    assert faults.unsaved() == [("wheel_mute", 2, 1)]
    faults.changed = False
    faults.acknowledge()
    assert faults.changed
    faults.restore("hive_stuck", (1, 4, 0, 1, 0, 0))
    assert faults.unsaved() == [("wheel_mute", 2, 1)]


def test_reporting_allocates_nothing():
    faults = Faults(Trace())
    heap_lock()
    try:
        for n in range(2 * CAPACITY):
            faults.report("eject_failed", n)
            faults.report("eject_failed", n)
    finally:
        heap_unlock()
    assert faults.lost == CAPACITY


# Counts


def test_a_count_is_declared_before_it_grows():
    counts = Counts(1)
    try:
        counts.index("pancakes")
    except GameError as error:
        assert "pancakes" in str(error)
    else:
        raise AssertionError("an unknown count was taken")
    counts.add(counts.declare("pancakes"), 2)
    counts.declare("pancakes")
    assert counts.get("pancakes") == 2


def test_counts_stop_where_a_number_would_not_be_small_any_more():
    counts = Counts(1)
    for most, value in ((MOST - 1, MOST), (MOST, MOST)):
        counts.closures[0] = most
        counts.closed(0)
        assert counts.closures[0] == value, most
    counts.values[0] = MOST - 3
    for value in (MOST - 1, MOST - 1):
        counts.add(0, 2)
        assert counts.values[0] == value


def test_what_is_counted_is_to_be_saved():
    play = rule_context()
    counts = play.counts
    for count in (
        lambda: counts.add(0),
        lambda: counts.score(10),
        lambda: counts.game_begins(0),
        lambda: counts.game_over(play.score, 1, 5),
    ):
        counts.changed = False
        count()
        assert counts.changed


def test_scores_fall_between_the_steps():
    counts = Counts(1)
    for points in (
        0,
        SCORE_STEPS[0] - 10,
        SCORE_STEPS[0],
        SCORE_STEPS[-1] - 10,
        SCORE_STEPS[-1],
        900_000_000,
    ):
        counts.score(points)
    assert list(counts.scores) == [2, 1, 0, 0, 0, 0, 1, 2]


def test_a_game_counts_its_players_and_its_time():
    play = rule_context()
    play.counts.game_begins(5_000)
    play.score.scores[0] = 120_000
    play.score.scores[1] = 10
    play.counts.game_over(play.score, 2, 65_999)
    counts = play.counts
    assert (counts.get("games"), counts.get("players"), counts.get("play_seconds")) == (1, 2, 60)
    assert list(counts.scores)[:2] == [1, 1]


def test_the_two_looks_are_twenty_seconds_apart():
    for late, names in ((-1, []), (0, ["switch_stuck"])):
        play = rule_context()
        time = Time(play)
        time.edge(BANK_1, 1)
        time.run(40_000 + late)
        assert play.faults.names == names, late


def test_counts_are_set_back_together_and_are_to_be_saved():
    counts = Counts(3)
    mine = counts.declare("mine")
    counts.add(mine, 5)
    counts.score(SCORE_STEPS[0])
    counts.score(SCORE_STEPS[-1])
    counts.closed(2)
    counts.ball_over(bytearray(b"\1\1\1"))
    assert list(counts.unseen) == [1, 1, 0]
    counts.changed = False
    counts.clear()
    assert counts.changed
    assert (set(counts.values), set(counts.scores), set(counts.closures)) == ({0}, {0}, {0})
    assert list(counts.unseen) == [0, 0, 0]


def test_a_fault_log_is_emptied_and_that_is_to_be_saved():
    faults = Faults(Trace())
    for number in range(CAPACITY + 2):
        faults.report("one", number)
    assert (faults.count, faults.lost) == (CAPACITY, 2)
    faults.changed = False
    faults.clear()
    assert (faults.count, faults.lost, faults.names, faults.changed) == (0, 0, [], True)
