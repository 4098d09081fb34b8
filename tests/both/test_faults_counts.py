"""The fault log, counts, the switch watch, volume and quiet hours."""

from firmware.base.errors import GameError
from firmware.base.trace import Trace
from firmware.play.ambient import Ambient
from firmware.play.counts import MOST, SCORE_STEPS, Counts
from firmware.play.faults import CAPACITY, Faults
from firmware.play.rule_context import RuleContext
from firmware.play.settings import Settings

try:
    from micropython import heap_lock, heap_unlock
except ImportError:

    def heap_lock():
        pass

    heap_unlock = heap_lock


class Wiring:
    SWITCHES = (
        ("bank.1", "target", "playfield", 1, 1),
        ("bank.2", "target", "playfield", 1, 2),
        ("spinner", "spinner", "playfield", 1, 3),
        ("drop", "target", "playfield", 1, 4),
        ("trough.1", "rest", "device", 1, 5),
        ("coin.1", "coin", "cabinet", 0, 1),
        ("door", "service", "cabinet", 0, 2),
    )
    LAMPS = ()
    COILS = ()
    BALLS = 1
    LATCHED = ("drop",)


BANK_1, BANK_2, SPINNER, DROP, TROUGH, COIN, DOOR = range(7)


def rule_context(settings=()):
    return RuleContext(Wiring, Settings(settings), Trace(), 1)


class Time:
    """Moves a playfield's timers and edges."""

    def __init__(self, play):
        self.play = play

    def edge(self, switch, closed):
        self.play.closed[switch] = closed
        self.play.switch_monitor.record_edge(switch, closed)

    def run(self, ms):
        timers = self.play.timers
        end = timers.now + ms
        while 0 <= timers.due() <= end - timers.now:
            timers.now += timers.due()
            self.play.trace.now = timers.now
            tid = timers.pop()
            while tid >= 0:
                self.play.hooks[tid]()
                tid = timers.pop()
        timers.now = end
        self.play.trace.now = end


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


# The switch watch


def test_a_switch_not_seen_for_many_balls_is_reported_once_and_excused_until_it_closes():
    play = rule_context()
    time = Time(play)
    for _ in range(play.switch_monitor.unseen_balls - 1):
        time.edge(BANK_1, 1)
        time.edge(BANK_1, 0)
        time.run(2000)
        play.switch_monitor.ball_over()
    assert (play.faults.count, sum(play.switch_monitor.excused)) == (0, 0)
    for _ in range(5):
        time.edge(BANK_1, 1)
        time.edge(BANK_1, 0)
        time.run(2000)
        play.switch_monitor.ball_over()
    found = [play.faults.numbers(at)[:2] for at in range(play.faults.count)]
    assert found == [(BANK_2, 1), (SPINNER, 1), (DROP, 1)]
    assert list(play.switch_monitor.excused) == [0, 1, 1, 1, 0, 0, 0]
    time.edge(BANK_2, 1)
    time.edge(BANK_2, 0)
    play.switch_monitor.ball_over()
    assert not play.switch_monitor.excused[BANK_2]


def test_a_ball_that_touched_nothing_says_nothing_about_switches():
    play = rule_context()
    for _ in range(3 * play.switch_monitor.unseen_balls):
        play.switch_monitor.ball_over()
    assert (play.faults.count, play.counts.unseen[BANK_1]) == (0, 0)


def test_a_contact_that_stays_closed_is_stuck_after_two_looks():
    play = rule_context()
    time = Time(play)
    time.edge(BANK_1, 1)
    time.run(19_000)
    assert play.faults.names == []
    time.run(21_500)
    assert play.faults.names == ["switch_stuck"]
    assert play.switch_monitor.excused[BANK_1]
    time.run(200_000)
    assert play.faults.numbers(0)[1] == 1


def test_the_two_looks_are_twenty_seconds_apart():
    for late, names in ((-1, []), (0, ["switch_stuck"])):
        play = rule_context()
        time = Time(play)
        time.edge(BANK_1, 1)
        time.run(40_000 + late)
        assert play.faults.names == names, late


def test_a_stuck_switch_is_excused_in_the_next_ball_too_until_it_opens():
    play = rule_context()
    time = Time(play)
    time.edge(BANK_1, 1)
    time.run(45_000)
    play.switch_monitor.ball_over()
    play.switch_monitor.ball_over()
    assert play.switch_monitor.excused[BANK_1]
    time.edge(BANK_1, 0)
    play.switch_monitor.ball_over()
    assert not play.switch_monitor.excused[BANK_1]


def test_a_target_that_may_rest_down_a_trough_and_a_door_are_never_stuck():
    play = rule_context()
    time = Time(play)
    for switch in (DROP, TROUGH, DOOR):
        time.edge(switch, 1)
    time.run(300_000)
    assert play.faults.names == []


def test_a_coin_that_stays_on_its_switch_is_a_jam():
    play = rule_context()
    time = Time(play)
    time.edge(COIN, 1)
    time.run(45_000)
    assert play.faults.names == ["coin_jam"]
    assert not play.switch_monitor.excused[COIN]


def test_a_chattering_contact_is_muted_until_the_next_ball_but_a_spinner_may_spin():
    play = rule_context()
    time = Time(play)
    for _ in range(25):
        for switch in (BANK_1, SPINNER):
            time.edge(switch, 1)
            time.edge(switch, 0)
        time.run(30)
    assert play.faults.names == ["switch_chatters"]
    assert (play.switch_monitor.muted[BANK_1], play.switch_monitor.muted[SPINNER]) == (1, 0)
    play.switch_monitor.ball_over()
    assert not play.switch_monitor.muted[BANK_1]
    assert play.switch_monitor.excused[BANK_1]  # the next ball does without it
    play.switch_monitor.ball_over()
    assert not play.switch_monitor.excused[BANK_1]


def test_twenty_closures_in_a_second_are_a_chatter_and_eighty_of_a_spinner():
    for switch, most in ((BANK_1, 20), (SPINNER, 80)):
        for times, within_ms, names in (
            (most - 1, 999, []),
            (most, 999, ["switch_chatters"]),
            (most, 1000, []),
        ):
            play = rule_context()
            time = Time(play)
            time.run(5_000)
            for n in range(times):
                if n == times - 1:
                    time.run(within_ms)
                time.edge(switch, 1)
                time.edge(switch, 0)
            assert play.faults.names == names, (switch, times, within_ms)


def test_the_operator_sees_the_last_twenty_edges():
    play = rule_context()
    time = Time(play)
    monitor = play.switch_monitor
    for n in range(25):
        time.run(10)
        time.edge(COIN if n % 3 else DOOR, n & 1)
    assert monitor.held == 20
    newest = [(monitor.at - 1 - n) % 20 for n in range(20)]
    assert [monitor.recent_ms[at] for at in newest] == [250 - 10 * n for n in range(20)]
    assert [monitor.recent_closed[at] for at in newest] == [(24 - n) & 1 for n in range(20)]
    assert [monitor.recent[at] == COIN for at in newest] == [(24 - n) % 3 > 0 for n in range(20)]


def test_noting_an_edge_allocates_nothing():
    play = rule_context()
    monitor = play.switch_monitor
    heap_lock()
    try:
        for _ in range(300):
            monitor.record_edge(BANK_1, 1)
            monitor.record_edge(BANK_1, 0)
        monitor.ball_over()
    finally:
        heap_unlock()
    assert play.counts.closures[BANK_1] == 300


# Volume, quiet hours, brightness


class Ears:
    def __init__(self):
        self.heard = []

    def volume(self, steps):
        self.heard.append(("volume", steps))

    def brightness(self, percent):
        self.heard.append(("brightness", percent))


ROWS = (
    ("volume", 7, 0, 10, "steps", ""),
    ("quiet_volume", 2, 0, 10, "steps", ""),
    ("quiet_from", 22, 0, 23, "hours", ""),
    ("quiet_to", 8, 0, 23, "hours", ""),
    ("attract_light", 40, 10, 100, "%", ""),
)


def test_quiet_hours_pass_midnight_and_need_a_clock():
    play = rule_context(ROWS)
    ambient = Ambient(play)
    board = Ears()
    ambient.apply(board)
    assert board.heard == [("volume", 7), ("brightness", 40)]
    ambient.set_time(20260131, 21 * 60 + 59, 0)
    ambient.update(59_999)
    assert len(board.heard) == 2
    ambient.update(60_000)
    assert board.heard[2:] == [("volume", 2)]
    ambient.update(10 * 3600_000)
    ambient.update(10 * 3600_000 + 60_000)
    assert board.heard[3:] == [("volume", 7)]
    assert play.faults.date == 20260131


def test_lamps_are_bright_while_somebody_plays():
    play = rule_context(ROWS)
    ambient = Ambient(play)
    board = Ears()
    ambient.apply(board)
    play.score.live = True
    ambient.update(1000)
    play.score.live = False
    ambient.update(2000)
    assert board.heard[1:] == [("brightness", 40), ("brightness", 100), ("brightness", 40)]


def test_a_game_without_those_settings_is_loud_and_bright():
    ambient = Ambient(rule_context())
    board = Ears()
    ambient.apply(board)
    assert board.heard == [("volume", 10), ("brightness", 100)]
    for hour in range(24):
        ambient.set_time(20260131, hour * 60, 0)
        assert not ambient.is_quiet(0), hour


def test_quiet_hours_begin_and_end_with_their_hour():
    for begin, end, quiet in ((22, 8, (22, 23, 0, 5, 7)), (8, 12, (8, 11)), (5, 5, ())):
        rows = ROWS[:2] + (("quiet_from", begin, 0, 23, "hours", ""), ("quiet_to", end, 0, 23, "hours", ""))
        ambient = Ambient(rule_context(rows))
        for hour in (0, 5, 7, 8, 11, 12, 21, 22, 23):
            for minute in (0, 59):
                ambient.set_time(20260131, hour * 60 + minute, 0)
                assert ambient.is_quiet(0) == (hour in quiet), (begin, end, hour)


def test_quiet_hours_are_no_louder_than_usual():
    rows = (("volume", 2, 0, 10, "steps", ""), ("quiet_volume", 5, 0, 10, "steps", "")) + ROWS[2:4]
    ambient = Ambient(rule_context(rows))
    board = Ears()
    ambient.set_time(20260131, 23 * 60, 0)
    ambient.apply(board)
    assert board.heard == [("volume", 2), ("brightness", 100)]


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
