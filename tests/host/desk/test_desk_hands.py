"""The desk's time and hands: keys and mouse become contacts and shots, time is what it is given."""

import pygame

from firmware.games.honey_flow import wiring

TAP_MS = 50  # what the fake machine asks for
FRAME = 16


# Time


def test_virtual_time_follows_the_wall(player):
    assert player.frames(10)
    assert player.machine.now == 160


def test_pause_stops_time_and_another_press_lets_it_go_on(player):
    player.frames(2, player.key("p"))
    assert player.machine.now == 0
    player.frames(1, player.key("p"))
    assert player.machine.now == FRAME


def test_slow_and_fast_scale_time_without_losing_parts_of_a_millisecond(player):
    player.desk.step(0, [player.key("-"), player.key("-")])
    for _ in range(100):
        player.desk.step(1, [])
    assert player.machine.now == 25
    player.desk.step(0, [player.key("=")] * 3)
    player.desk.step(FRAME, [])
    assert player.machine.now == 25 + 2 * FRAME


def test_rates_end_at_a_sixteenth_and_at_eight_times(player):
    player.desk.step(0, [player.key("-")] * 20)
    assert player.desk.pace.words == "speed 1/16×"
    player.desk.step(0, [player.key("=")] * 20)
    assert player.desk.pace.words == "speed 8×"


def test_a_stalled_window_does_not_make_time_jump(player):
    player.desk.step(5000, [])
    assert player.machine.now == 100


def test_a_single_step_goes_to_the_next_due_time_and_pauses(player):
    player.machine.due = 37
    player.desk.step(0, [player.key(".")])
    assert player.machine.now == 37
    assert player.desk.pace.paused
    player.frames(1)
    assert player.machine.now == 37


def test_a_single_step_moves_at_least_a_millisecond_and_at_most_a_second(player):
    player.desk.step(0, [player.key(".")])
    assert player.machine.now == 1
    player.machine.due = 1
    player.desk.step(0, [player.key(".")])
    assert player.machine.now == 2
    player.machine.due = 90_000
    player.desk.step(0, [player.key(".")])
    assert player.machine.now == 1002


def test_the_desk_is_left_by_its_key(player):
    assert not player.frames(1, player.key("escape"))


def test_the_desk_is_left_by_closing_the_window(player):
    assert not player.frames(1, pygame.event.Event(pygame.QUIT))


# Hands


def test_a_held_key_holds_its_contact(player):
    player.frames(11, player.key("left shift"))
    assert player.machine.log == [(0, "button.left", True)]
    player.frames(1, player.key("left shift", down=False))
    assert player.machine.log[1:] == [(176, "button.left", False)]


def test_a_key_let_go_at_once_keeps_its_contact_closed_until_it_has_been_read(player):
    player.frames(1, player.key("return"), player.key("return", down=False))
    assert player.machine.log == [(0, "start", True)]
    player.frames(5)
    assert player.machine.log[1:] == [(TAP_MS, "start", False)]


def test_the_contact_opens_at_its_millisecond_even_in_a_long_frame(player):
    player.desk.step(0, [player.key("=")] * 3)
    player.desk.step(100, [player.key("tab"), player.key("tab", down=False)])
    assert player.machine.log == [(0, "tilt", True), (TAP_MS, "tilt", False)]
    assert player.machine.now == 800


def test_shot_keys_make_whole_shots(player):
    player.frames(1, player.key("q"), player.key("space"))
    assert player.machine.shots == [(0, "left_orbit"), (0, "plunge")]


def test_a_shot_that_cannot_be_made_says_why_and_goes_on(player):
    assert player.frames(1, player.key("backspace"))
    assert "needs a ball" in player.desk.message
    assert player.machine.now == FRAME


def test_a_latch_key_turns_its_contact_over(player):
    player.frames(1, player.key("f4"), player.key("f4", down=False))
    player.frames(20)
    assert player.machine.log == [(0, "door", True)]
    player.frames(1, player.key("f4"), player.key("f4", down=False))
    player.frames(20)
    assert [row[1:] for row in player.machine.log[1:]] == [("door", False)]


def test_a_key_that_means_nothing_does_nothing(player):
    before = player.desk.message
    player.frames(1, player.key("end"), player.key("end", down=False))
    assert (player.machine.log, player.machine.shots, player.desk.message) == ([], [], before)


def test_every_mark_on_the_playfield_taps_its_switch(player):
    for mark in player.drawing.marks:
        assert player.desk.mouse.switch_at(*player.pixel(mark.x, mark.y)) == mark.switch


def test_every_bumper_and_sling_can_be_clicked(player):
    for bumper in player.drawing.bumpers:
        assert player.desk.mouse.switch_at(*player.pixel(bumper.x, bumper.y)) == bumper.switch
    for sling in player.drawing.slings:
        assert (
            player.desk.mouse.switch_at(*player.pixel(*player.drawing.points[sling.switch])) == sling.switch
        )


def test_an_insert_named_like_a_switch_taps_it(player):
    assert player.desk.mouse.switch_at(*player.insert("frame.3")) == "frame.3"


def test_a_click_closes_the_contact_until_the_button_is_let_go(player):
    at = player.pixel(*player.drawing.points["orbit.left"])
    player.frames(10, player.mouse(at))
    player.frames(1, player.mouse(at, down=False))
    assert player.machine.log == [(0, "orbit.left", True), (160, "orbit.left", False)]


def test_every_switch_can_be_reached_by_the_mouse(player):
    hits = player.show("switches")
    for name, *_ in wiring.SWITCHES:
        assert hits.at(hits.rect("switch", name).center).name == name


def test_a_right_click_keeps_the_contact_closed_until_the_next(player):
    at = player.show("switches").rect("switch", "door").center
    player.frames(21, player.mouse(at, 3), player.mouse(at, 3, down=False))
    assert player.machine.log == [(0, "door", True)]
    player.frames(1, player.mouse(at, 3))
    assert player.machine.log[1:] == [(336, "door", False)]


def test_a_click_on_nothing_does_nothing(player):
    player.frames(1, player.mouse((640, 2)), player.mouse((640, 2), down=False))
    assert player.machine.log == []
