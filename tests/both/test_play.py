"""Memory, score, lamp claims, offers, pages: the tables that rules write to."""

import struct

from firmware.base.errors import GameError
from firmware.base.trace import AWARD, BASE, FORMAT, LAMP, RECORD, TEXT, Trace
from firmware.devices.lamps import lit
from firmware.play.claims import CABINET, FAST, NONE, ON, RAPID, RULE, SLOW, WINDOW, Claims
from firmware.play.memory import BALL, GAME, PERSISTENT, PLAYER, Memory
from firmware.play.offers import Offers
from firmware.play.pages import CELLS, COMMA, NEWS, POINT, ROW, SCORES, Pages
from firmware.play.score import Scorer
from firmware.play.settings import Settings


def records(trace):
    out = bytearray(64 * RECORD)
    n = trace.take(out, 0, 64)
    return [struct.unpack_from(FORMAT, out, i * RECORD)[1:] for i in range(n)]


def refused(what, *words):
    try:
        what()
    except GameError as error:
        for word in words:
            assert word in str(error), str(error)
        return
    raise AssertionError("nothing was refused")


def test_each_span_is_reset_alone():
    memory = Memory()
    ball, game, kept = (
        memory.value("a", "b", 1, BALL),
        memory.value("a", "g", 2, GAME),
        memory.value("a", "k", 3, PERSISTENT),
    )
    memory.close()
    ball.value = game.value = kept.value = 9
    memory.reset(BALL)
    assert (ball.value, game.value, kept.value) == (1, 9, 9)
    memory.reset(GAME)
    assert (ball.value, game.value, kept.value) == (1, 2, 9)


def test_players_have_their_own_values():
    memory = Memory()
    own = memory.value("a", "own", 5, PLAYER)
    memory.close()
    own.value = 6
    memory.save_player(0)
    memory.load_player(1)
    assert own.value == 5
    own.value = 7
    memory.save_player(1)
    memory.load_player(0)
    assert own.value == 6


def test_a_value_declared_twice_is_refused():
    memory = Memory()
    memory.value("jar", "pot")
    refused(lambda: memory.value("jar", "pot"), "jar.pot", "twice")


def test_kept_values_that_changed_wait_to_be_saved():
    memory = Memory()
    memory.value("a", "ball", 0, BALL)
    kept = memory.value("a", "kept", 0, PERSISTENT)
    memory.close()
    assert memory.unsaved() == -1
    kept.value = 4
    assert memory.unsaved() == 1


def test_points_are_multiplied_from_the_event_after_the_factor_changed():
    trace = Trace()
    score = Scorer(trace)
    award = score.award("a", "b", 500)
    score.live = True
    score.latched = score.factor
    score.factor = 2
    assert award.pay() == 500
    score.latched = score.factor
    assert award.pay() == 1000
    assert score.scores[0] == 1500
    assert records(trace) == [(AWARD, 0, 500), (BASE, 0, 500), (AWARD, 0, 1000)]


def test_exempt_awards_are_never_multiplied():
    score = Scorer(Trace())
    award = score.award("jar", "won", exempt=True)
    score.live = True
    score.factor = 2
    score.latched = score.factor
    assert award.pay(400000) == 400000


def test_nothing_is_paid_while_scoring_is_off():
    trace = Trace()
    score = Scorer(trace)
    assert score.award("a", "b", 10).pay() == 0
    assert records(trace) == []


def test_the_highest_claim_lights_the_lamp():
    trace = Trace()
    claims = Claims(("wax", "jar"), trace)
    rule, window = claims.claim("jar", RULE), claims.claim("jar", WINDOW)
    shown = []
    rule.set(ON)
    window.set(SLOW)
    claims.resolve(lambda lamp, pattern: shown.append((lamp, pattern)))
    window.set(NONE)
    claims.resolve(lambda lamp, pattern: shown.append((lamp, pattern)))
    assert shown == [(1, SLOW), (1, ON)]
    assert records(trace) == [(LAMP, 1, SLOW), (LAMP, 1, ON)]


def test_an_unchanged_lamp_makes_no_record():
    trace = Trace()
    claims = Claims(("wax",), trace)
    claim = claims.claim("wax")
    claim.set(ON)
    claim.set(NONE)
    claims.resolve(lambda lamp, pattern: None)
    assert records(trace) == []


def test_calm_lamps_hold_the_rapid_blink_back():
    claims = Claims(("wax",), Trace())
    claims.claim("wax").set(RAPID)
    claims.resolve(lambda lamp, pattern: None)
    assert claims.shown[0] == FAST
    claims.calm = False
    claims.touch_all()
    claims.resolve(lambda lamp, pattern: None)
    assert claims.shown[0] == RAPID


def test_in_the_dark_only_the_cabinet_has_lamps():
    claims = Claims(("wax", "tilt"), Trace())
    claims.claim("wax", WINDOW).set(ON)
    claims.claim("tilt", CABINET).set(ON)
    claims.dark = True
    claims.resolve(lambda lamp, pattern: None)
    assert list(claims.shown) == [NONE, ON]


def test_an_unknown_lamp_is_refused_with_the_near_miss():
    claims = Claims(("wax_1", "jar"), Trace())
    refused(
        lambda: claims.claim("waxx_1", RULE, "wax_ladder"), "waxx_1", "wax_ladder", "did you mean 'wax_1'?"
    )


def test_an_offer_at_a_group_is_at_each_of_its_shots_and_at_no_other():
    names = ["made.orbit.left", "made.orbit", "made.orbiter", "made.ramp", "made.orbit.right"]
    offers = Offers()
    group, right = offers.offer(1), offers.offer(4)
    offers.spread(names)
    group.set(True)
    assert [offers.any(event) for event in range(5)] == [True, True, False, False, True]
    group.set(False)
    right.set(True)
    assert [offers.any(event) for event in range(5)] == [False, False, False, False, True]


def test_an_offer_counts_for_its_own_shot_only():
    offers = Offers()
    offer = offers.offer(4)
    assert not offers.any(4)
    offer.set(True)
    assert offers.any(4)
    assert not offers.any(5)


def test_numbers_have_commas_and_times_have_points():
    page = Pages(Trace()).page(SCORES)
    left = page.number(0, 15, 1234567)
    assert left == 8
    assert [c & 127 for c in page.cells[9:16]] == [ord(c) for c in "1234567"]
    assert [bool(c & COMMA) for c in page.cells[9:16]] == [True, False, False, True, False, False, False]
    page.show_seconds(1, 5, 14950)
    assert [c & 127 for c in page.cells[ROW + 3 : ROW + 6]] == [ord(c) for c in "150"]
    assert page.cells[ROW + 4] & POINT


def test_a_time_shows_nought_only_when_it_is_over():
    page = Pages(Trace()).page(SCORES)
    page.show_seconds(0, 5, 1)
    assert [c & 127 for c in page.cells[4:6]] == [ord("0"), ord("1")]
    page.show_seconds(0, 5, 0)
    assert [c & 127 for c in page.cells[4:6]] == [ord("0"), ord("0")]


def test_a_time_blanks_the_cell_left_of_it_and_nothing_else():
    page = Pages(Trace()).page(SCORES)
    page.write(0, 0, b"12345678")
    page.show_seconds(0, 2, 9000)
    assert [c & 127 for c in page.cells[:4]] == [ord(c) for c in " 904"]
    page.write(0, 0, b"12345678")
    page.show_seconds(0, 1, 9000)
    assert [c & 127 for c in page.cells[:3]] == [ord(c) for c in "903"]


def test_the_highest_page_that_is_up_is_shown():
    trace = Trace()
    pages = Pages(trace)
    scores, news = pages.page(SCORES), pages.page(NEWS)
    scores.write(0, 0, b"AAA")
    news.write(0, 0, b"BBB")
    shown = {}
    scores.show()
    pages.resolve(lambda ident, cells: shown.update({ident: cells}))
    assert shown[0] & 127 == ord("A")
    news.show()
    pages.resolve(lambda ident, cells: shown.update({ident: cells}))
    assert shown[0] == ord("B") | ord("B") << 9 | ord("B") << 18
    news.hide()
    records(trace)
    pages.resolve(lambda ident, cells: shown.update({ident: cells}))
    assert records(trace) == [(TEXT, 0, ord("A") | ord("A") << 9 | ord("A") << 18)]


def test_text_that_passes_the_edge_is_cut():
    page = Pages(Trace()).page(SCORES)
    page.write(0, 14, b"LONG")
    assert [c & 127 for c in page.cells[14:CELLS]] == [ord("L"), ord("O")]
    assert [c & 127 for c in page.cells[ROW : ROW + 2]] == [32, 32]


def test_a_setting_out_of_range_is_refused_and_kept():
    settings = Settings((("balls", 3, 1, 5, "balls", "balls in a game"),))
    refused(lambda: settings.set_by_name("balls", 9), "balls", "9", "1 to 5")
    refused(lambda: settings.set_by_name("bals", 3), "bals", "did you mean 'balls'?")
    assert settings.get("balls").value == 3
    settings.set_by_name("balls", 5)
    assert settings.get("balls").value == 5


def test_settings_by_place_change_nothing():
    settings = Settings((("balls", 3, 1, 5, "balls", "balls in a game"), ("match", 10, 0, 50, "%", "chance")))
    assert settings.by_place({"match": 20, "balls": 5}) == {1: 20, 0: 5}
    assert [each.value for each in settings.all] == [3, 10]
    refused(lambda: settings.by_place({"balls": 6}), "'balls' was given 6")
    assert [each.value for each in settings.all] == [3, 10]


def test_an_award_pays_its_own_points_unless_others_are_given_and_is_counted_once():
    scorer = Scorer(Trace())
    scorer.live = True
    award = scorer.award("bell", "rung", 70)
    assert [award.pay(), award.pay(30), award.pay(0)] == [70, 30, 0]
    assert scorer.scores[0] == 100
    assert scorer.award_counts[award.ident] == 2


def test_negative_points_are_refused_and_nothing_is_paid():
    scorer = Scorer(Trace())
    scorer.live = True
    award = scorer.award("bell", "rung", 70)
    for points in (-1, -100):
        refused(lambda: award.pay(points), "bell.rung", str(points))  # noqa: B023 - called at once
    assert scorer.scores[0] == 0


def test_blinks_begin_lit_and_share_their_phase():
    for pattern, half in ((SLOW, 500), (FAST, 200), (RAPID, 125)):
        levels = [lit(pattern, ms) for ms in (0, half - 1, half, 2 * half - 1, 2 * half)]
        assert levels == [True, True, False, False, True], pattern
    assert lit(ON, 77)
    assert not lit(NONE, 77)


def test_how_often_awards_were_paid_is_set_back():
    scorer = Scorer(Trace())
    awards = [scorer.award("f", what, 10) for what in ("one", "two")]
    scorer.live = True
    for award in awards:
        award.pay()
    assert list(scorer.award_counts) == [1, 1]
    scorer.clear_award_counts()
    assert list(scorer.award_counts) == [0, 0]
