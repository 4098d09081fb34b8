"""Coins, credits, and what they buy: Honey Flow's two chutes, meter and lockout."""

from game_rig import Played

from firmware.games.honey_flow import game

COINS = {"free_play": 0, "coins_1": 3, "coins_2": 2}


def machine(**more):
    given = dict(COINS)
    given.update(more)
    return Played(game, given).home()


def coin(on, chute, times=1):
    for _ in range(times):
        on.close("coin." + str(chute), 50)
        on.open("coin." + str(chute), 250)


def credits(on):
    return on.play.find("credits").credits.value


def test_each_chute_has_its_price_and_keeps_what_is_paid_towards_it():
    on = machine()
    seen = []
    for chute in (1, 2, 1, 2, 2, 1, 2):
        coin(on, chute)
        seen.append(credits(on))
    assert seen == [0, 0, 0, 1, 1, 2, 3]


def test_each_coin_moves_the_meter_and_is_heard():
    on = machine()
    coin(on, 1, 2)
    coin(on, 2)
    assert [name for _, name, _ in on.coils if name == "coin_meter"] == ["coin_meter"] * 3
    names = [on.play.cues.names[cue] for _, cue in on.cues]
    assert names.count("coin") == 3
    assert names.count("credit") == 0


def test_a_player_costs_a_credit_and_without_one_nobody_joins():
    on = machine()
    coin(on, 2, 4)
    on.start(2)
    assert (on.play.players, credits(on)) == (2, 0)
    on.close("start", 250)
    on.open("start", 250)
    assert on.play.players == 2


def test_thirty_credits_are_the_most_and_the_lockout_opens_with_the_next_game():
    on = machine(coins_1=1)
    lockout = on.console.coil_names.index("coin_lockout")
    coin(on, 1, 29)
    assert (credits(on), on.play.accepts_coins()) == (29, True)
    assert on.console.coils.held(lockout)
    coin(on, 1)
    on.wait(6000)
    assert (credits(on), on.play.accepts_coins()) == (30, False)
    assert not on.console.coils.held(lockout)
    coin(on, 1)
    assert credits(on) == 30
    on.start()
    assert (credits(on), on.play.accepts_coins()) == (29, True)
    on.wait(6000)
    assert on.console.coils.held(lockout)


def test_a_credit_won_is_a_knock_and_in_free_play_nothing_else():
    for free, had in ((0, 1), (1, 0)):
        on = machine(free_play=free)
        before = on.play.counts.get("credits")
        on.play.find("credits").give()
        on.tap("service_key")
        assert credits(on) == had
        assert [name for _, name, _ in on.coils if name == "knocker"] == ["knocker"]
        assert on.play.counts.get("credits") == before + 1
