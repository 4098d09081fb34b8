"""The end-of-ball bonus of Honey Flow: how it is counted, skipped, and how long it takes at most."""

from game_rig import Played

from firmware.games.honey_flow import game

SETTINGS = {"ball_save": 0, "consolation": 0, "replay_1": 0, "replay_2": 0, "match": 0}


def counting(cells, kept=0, sealed=False, balls=3):
    """A machine on which the count of so many cells begins now."""
    given = dict(SETTINGS)
    given["balls"] = balls
    machine = Played(game, given).home().start().launch("meadow.1")
    bonus = machine.play.find("end_bonus")
    bonus.cells.value = cells
    bonus.carried.value = kept
    if sealed:
        machine.post("seal.light")
    machine.contact("trough.3", 1)
    while not bonus.is_in("counting"):
        machine.wait(1)
    return machine, bonus


def paid(machine):
    return machine.play.score.scores[0] - 500


def ms_until(machine, points):
    ms = 0
    while paid(machine) < points:
        assert ms < 5000, paid(machine)
        machine.wait(1)
        ms += 1
    return ms


def test_each_step_is_as_large_as_the_one_before_or_larger():
    machine, _ = counting(120)
    seen = []
    while not paid(machine):
        cells = int(machine.line(0).replace(",", "")[5:10])
        if not seen or seen[-1] != cells:
            seen.append(cells)
        machine.wait(20)
    steps = [seen[i + 1] - seen[i] for i in range(len(seen) - 1)]
    assert seen[0] == 0 and steps[0] == 1
    assert sorted(steps) == steps
    assert steps[-1] >= 5


def test_a_count_takes_four_seconds_at_most_also_when_it_is_counted_twice():
    machine, _ = counting(120, 60)
    assert ms_until(machine, 180_000) <= 4000
    machine, _ = counting(120, 60, sealed=True, balls=1)
    ms = ms_until(machine, 180_000)
    assert ms + ms_until(machine, 360_000) <= 4000


def test_one_button_alone_skips_nothing_and_both_end_the_count_at_once():
    for first, second in (("button.left", "button.right"), ("button.right", "button.left")):
        machine, bonus = counting(100)
        machine.wait(150)
        machine.contact(first, 1)
        machine.wait(50)
        assert (paid(machine), bonus.is_in("counting")) == (0, True)
        machine.contact(second, 1)
        machine.wait(10)
        assert (paid(machine), bonus.is_in("counting")) == (100_000, False)
        assert machine.line(0)[:5] != "BONUS"
        machine.wait(1500)
        assert paid(machine) == 100_000
        assert machine.coils[-1][1] == "trough_eject"


def test_both_counts_of_a_sealed_last_ball_are_skipped_together():
    machine, _ = counting(50, sealed=True, balls=1)
    machine.wait(100)
    machine.contact("button.left", 1)
    machine.contact("button.right", 1)
    machine.wait(10)
    assert paid(machine) == 100_000


def test_cells_of_a_sealed_ball_are_carried_over_up_to_sixty():
    for cells, over in ((59, 59), (60, 60), (61, 60)):
        machine, bonus = counting(cells, 7, sealed=True)
        ms_until(machine, (cells + 7) * 1000)
        machine.wait(1500)
        machine.serve()
        assert (bonus.carried.value, bonus.cells.value) == (over, 0)
    machine, bonus = counting(30, 20)
    ms_until(machine, 50_000)
    assert bonus.carried.value == 0
