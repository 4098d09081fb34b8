"""What is seen of a switch that is dead, stuck or chatters."""

from watch_rig import (
    BANK_1,
    BANK_2,
    COIN,
    DOOR,
    DROP,
    SPINNER,
    TROUGH,
    Time,
    heap_lock,
    heap_unlock,
    rule_context,
)

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
