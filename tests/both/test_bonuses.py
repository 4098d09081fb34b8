"""Bonuses at the end of a ball."""

from part_rig import Machine

from firmware.base.trace import EVENT
from firmware.cabinet.bonus import Bonus
from firmware.cabinet.counted_bonus import CountedBonus
from firmware.cabinet.no_bonus import NoBonus


class Counted(CountedBonus):
    name = "string"
    chart = (
        ("play", "a", None, "count_unit"),
        ("play", "up", "counting", "begin"),
        ("counting", "bonus.step", None, "step"),
        ("counting", "bonus.counted", "counted", None),
    )


def test_units_that_are_counted_down_are_not_multiplied_by_a_running_factor():
    machine = Machine(Counted)
    for _ in range(3):
        machine.post("a.1")
    machine.play.score.latched = machine.play.score.factor = 2
    machine.post("up")
    machine.to(5000)
    assert machine.play.score.scores[0] == 3 * Counted.per_unit


def test_a_game_without_a_bonus_has_nothing_to_count():
    m = Machine(NoBonus)
    counted = m.play.events.add("bonus.counted")
    m.post("ball.ended")
    assert [row[2] for row in m.records(EVENT)] == [counted]


def test_units_are_twenty_at_most_and_paid_a_thousand_each_every_150_ms():
    m = Machine(Counted)
    for _ in range(25):
        m.post("a.1")
    m.post("up")
    paid = []
    for ms in range(3200):
        m.to(ms)
        if not paid or m.play.score.scores[0] != paid[-1][1]:
            paid.append((ms, m.play.score.scores[0]))
    assert paid == [(150 * i, 1000 * i) for i in range(21)]


class Cells(Bonus):
    name = "cells"
    chart = (
        ("play", "a", None, "count_cell"),
        ("play", "up", "counting", "begin"),
        ("counting", "bonus.step", None, "step"),
        ("counting", "bonus.counted", "play", None),
    )
    seals = False

    def carries_over(self):
        return self.seals


class Sealed(Cells):
    seals = True


def test_cells_are_a_hundred_and_twenty_at_most_and_a_thousand_each():
    m = Machine(Cells)
    for _ in range(125):
        m.post("a.1")
    assert m.feature.total() == 120_000
    m.post("up")
    m.to(5000)
    assert m.play.score.scores[0] == 120_000
    assert m.feature.carried.value == 0


def test_of_a_bonus_that_is_carried_over_sixty_cells_are_and_no_ball_is_the_last_unless_a_game_says_so():
    m = Machine(Sealed)
    for _ in range(70):
        m.post("a.1")
    m.post("up")
    m.to(9000)
    assert m.play.score.scores[0] == 70_000
    assert m.feature.carried.value == 60
