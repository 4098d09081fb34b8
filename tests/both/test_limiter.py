"""The coil limiter: what it refuses, to the millisecond, and that no request gains budget."""

from boards.unix.trials.small_machine import SmallMachine
from firmware.base import ticks
from firmware.base.chance import Stream
from firmware.base.errors import GameError
from firmware.devices.coil_limiter import CoilLimiter
from firmware.devices.limiter_state import BUDGETS, build, drive_of
from firmware.devices.native import limiter as c

STARTS = (0, 1_000_000, ticks.MASK - 2500)  # the last wraps in the test
BUMPER, BUMPER_2, SLING_SWITCH, STROKE, BUTTON = 0, 1, 2, 4, 3
KICK, KICK_2, SLING, STRONG, HOLD, EJECT = 0, 1, 2, 3, 4, 5
NOT_PULSES = (0, -2, -3, -20, -(1 << 20), -(1 << 29))
TOO_LONG_PULSES = (61, 1000, 250_001, 1 << 20, (1 << 29) - 1)


class Rig:
    """A SmallMachine in which the rules are heard of each millisecond, unless `quiet`."""

    def __init__(self, start=0, wiring=SmallMachine):
        self.limiter = CoilLimiter(wiring)
        self.now = start
        self.limiter.begin(start)
        self.quiet = False

    def run(self, ms):
        for _ in range(ms):
            self.now = ticks.add(self.now, 1)
            if not self.quiet:
                self.limiter.renew(True, self.now)
            self.limiter.tick(self.now)

    def contact(self, switch, closed):
        self.limiter.contact(switch, closed, self.now)

    def reports(self):
        found = []
        at = self.limiter.first()
        while at >= 0:
            found.append(tuple(self.limiter.state[at : at + 3]))
            self.limiter.drop_first()
            at = self.limiter.first()
        return found

    def fired(self):
        """Coils that were fired since the last look."""
        return [coil for what, coil, _ in self.reports() if what == c.FIRED]


def test_what_is_no_length_of_time_is_refused_and_leaves_no_trace():
    for coil in range(len(SmallMachine.COILS)):
        rig = Rig()
        before = list(rig.limiter.state)
        for ms in NOT_PULSES:
            assert rig.limiter.fire(coil, ms, 0) == c.NO_LENGTH, (coil, ms)
            assert rig.limiter.reason(coil, ms, 0) == c.NO_LENGTH
            assert rig.reports() == [(c.REFUSED, coil, c.NO_LENGTH)]
        after = list(rig.limiter.state)
        assert after[c.HEAD : after[c.AT_RING]] == before[c.HEAD : before[c.AT_RING]]
        assert not rig.limiter.driven(0)


def test_what_is_too_long_is_refused_also_for_a_coil_that_may_be_held():
    for ms in TOO_LONG_PULSES:
        assert Rig().limiter.fire(EJECT, ms, 0) == c.TOO_LONG, ms
    assert Rig().limiter.fire(EJECT, 60, 0) == 0
    assert Rig().limiter.fire(EJECT, c.HOLD, 0) == c.TOO_LONG
    for ms in TOO_LONG_PULSES[2:]:
        assert Rig().limiter.fire(HOLD, ms, 0) == c.TOO_LONG, ms
    assert Rig().limiter.fire(HOLD, c.LONGEST_PULSE, 0) == 0
    assert Rig().limiter.fire(HOLD, c.HOLD, 0) == 0


def test_a_pulse_ends_in_its_time_and_rests_then_also_over_the_wrap():
    for start in (ticks.MASK - 10, ticks.MASK - 100, 5):
        rig = Rig(start)
        assert rig.limiter.fire(EJECT, 30, rig.now) == 0
        rig.run(29)
        assert rig.limiter.driven(rig.now)
        rig.run(1)
        assert not rig.limiter.driven(rig.now)
        assert rig.limiter.resting(EJECT, rig.now) == 300
        rig.run(299)
        assert rig.limiter.fire(EJECT, 30, rig.now) == c.RESTING
        rig.run(1)
        assert rig.limiter.fire(EJECT, 30, rig.now) == 0


def test_a_coil_that_rested_for_half_a_period_may_fire():
    rig = Rig()
    assert rig.limiter.fire(EJECT, 30, 0) == 0
    far = ticks.HALF + 40
    assert rig.limiter.resting(EJECT, far) == 0
    assert rig.limiter.fire(EJECT, 30, far) == 0


def test_a_contact_fires_again_after_it_was_open_for_five_milliseconds():
    for start in STARTS:
        for ms, again in ((4, []), (5, [KICK])):
            rig = Rig(start)
            rig.run(1)
            rig.contact(BUMPER, 1)
            assert rig.fired() == [KICK]
            rig.run(100)
            rig.contact(BUMPER, 0)
            rig.run(ms)
            rig.contact(BUMPER, 1)
            assert rig.fired() == again, (start, ms)


def test_a_contact_fires_again_after_the_longest_time_that_can_be_told():
    rig = Rig()
    rig.run(1)
    rig.contact(BUMPER, 1)
    rig.run(100)
    rig.contact(BUMPER, 0)
    rig.reports()
    rig.now = ticks.add(rig.now, ticks.MASK)
    rig.limiter.renew(True, rig.now)
    rig.contact(BUMPER, 1)
    assert rig.fired() == [KICK]


def test_a_resting_ball_is_kicked_three_times_again_and_then_the_contact_must_be_open_for_two_seconds():
    for start in STARTS:
        for ms, again in ((1999, []), (2000, [KICK])):
            rig = Rig(start)
            rig.run(1)
            rig.contact(BUMPER, 1)
            rig.run(1999)
            assert rig.fired() == [KICK] * 4
            rig.run(1)
            assert rig.reports() == [(c.REFUSED, KICK, c.RESTED_ON)]
            rig.run(1000)
            assert rig.reports() == []
            rig.contact(BUMPER, 0)
            rig.run(ms)
            rig.contact(BUMPER, 1)
            assert rig.fired() == again, (start, ms)


def test_a_contact_that_chatters_is_answered_twenty_times_at_once_and_then_five_times_a_second():
    for start in STARTS:
        rig = Rig(start)
        rig.run(1)
        answers = []
        for _ in range(44):  # each tenth of a second: the n-th is within 20 + 5 a second up to n = 39
            rig.contact(BUMPER_2, 1)
            told = [report for report in rig.reports() if report[0] != c.ENDED]
            assert len(told) == 1, (start, told)
            answers.append(told[0])
            rig.run(50)
            rig.contact(BUMPER_2, 0)
            rig.run(50)
        assert [what for what, _, _ in answers[:39]] == [c.FIRED] * 39
        assert answers[39] == (c.REFUSED, KICK_2, c.STORMING)
        assert [what for what, _, _ in answers[40:]] == [c.FIRED, c.REFUSED, c.FIRED, c.REFUSED]


def test_a_flipper_that_is_pushed_down_comes_again_at_most_three_times_a_second():
    for start in STARTS:
        for ms, again in ((0, []), (333, []), (334, [STRONG])):
            rig = Rig(start)
            rig.run(1)
            rig.contact(BUTTON, 1)
            assert rig.fired() == [STRONG, HOLD]
            rig.run(10)
            rig.contact(STROKE, 1)
            rig.run(100)
            rig.contact(STROKE, 0)
            assert rig.fired() == [STRONG]
            rig.run(min(10, ms))
            rig.contact(STROKE, 1)
            rig.run(max(0, ms - 10))
            rig.contact(STROKE, 0)
            # One that comes too soon is not asked for at all, so nothing is refused either.
            assert [coil for what, coil, _ in rig.reports() if what != c.ENDED] == again, (start, ms)


def test_a_button_that_opens_ends_both_windings_also_after_a_sling_fired():
    for start in STARTS:
        rig = Rig(start)
        rig.run(1)
        rig.contact(BUTTON, 1)
        rig.contact(SLING_SWITCH, 1)
        assert rig.fired() == [STRONG, HOLD, SLING]
        rig.run(10)
        rig.contact(BUTTON, 0)
        ends = [report for report in rig.reports() if report[1] in (STRONG, HOLD)]
        assert [(what, coil) for what, coil, _ in ends] == [(c.ENDED, STRONG), (c.ENDED, HOLD)], start
        rig.run(100)
        rig.contact(BUTTON, 1)
        assert rig.fired() == [STRONG, HOLD]


def test_flippers_fall_when_the_lease_is_over():
    for start in STARTS:
        rig = Rig(start)
        rig.run(1)
        rig.contact(BUTTON, 1)
        rig.quiet = True
        rig.run(c.LEASE_MS - 1)
        assert rig.limiter.driven(rig.now)
        rig.run(1)
        assert not rig.limiter.driven(rig.now)
        rig.contact(BUMPER, 1)
        rig.contact(BUTTON, 0)
        rig.contact(BUTTON, 1)
        assert rig.fired() == [STRONG, HOLD]  # at first


def test_a_resting_ball_is_kicked_by_a_look_that_comes_late():
    rig = Rig()
    rig.run(1)
    rig.contact(BUMPER, 1)
    rig.reports()
    rig.now += 503
    rig.limiter.renew(True, rig.now)
    rig.limiter.tick(rig.now)
    assert rig.fired() == [KICK]


def test_a_flipper_that_fell_is_not_lifted_by_its_stroke():
    rig = Rig()
    rig.run(1)
    rig.contact(BUTTON, 1)
    rig.run(20)
    rig.contact(STROKE, 1)
    rig.quiet = True
    rig.run(c.LEASE_MS)
    rig.reports()
    rig.quiet = False
    rig.run(1)
    rig.contact(STROKE, 0)
    assert rig.fired() == []


def test_two_flippers_fall_in_the_same_millisecond():
    class Two(SmallMachine):
        COILS = SmallMachine.COILS + (
            ("strong.2", "flipper", 40, 60, 10, 7),
            ("hold.2", "flipper", -1, 0, 0, 8),
        )
        FLIPPERS = SmallMachine.FLIPPERS + (("target", "coin", "strong.2", "hold.2", 40),)

    rig = Rig(0, Two)
    rig.run(1)
    rig.contact(BUTTON, 1)
    rig.contact(5, 1)
    assert rig.fired() == [STRONG, HOLD, 6, 7]
    rig.quiet = True
    rig.run(c.LEASE_MS)
    assert not rig.limiter.driven(rig.now)


def test_a_number_that_is_negative_or_cannot_be_counted_is_refused_at_set_up():
    coil, heat, kick = SmallMachine.COILS[-1], SmallMachine.HEAT[0], SmallMachine.REFLEXES[0]
    flipper = SmallMachine.FLIPPERS[0]
    for table, row, words in (
        ("COILS", coil[:3] + (250_001, 300, 24), "longest on-time of coil 'eject' in ms is 250001"),
        ("COILS", coil[:3] + (-60, 300, 24), "longest on-time of coil 'eject' in ms is -60"),
        ("COILS", coil[:4] + (-300, 24), "rest of coil 'eject' in ms is -300"),
        ("HEAT", heat[:2] + (500_001, 5), "heat budget of coil 'kick.1' in ms is 500001"),
        ("HEAT", heat[:2] + (-400, 5), "heat budget of coil 'kick.1' in ms is -400"),
        ("HEAT", heat[:3] + (-5,), "percent of on-time of coil 'kick.1' is -5"),
        ("HEAT", heat[:3] + (101,), "percent of on-time of coil 'kick.1' is 101"),
        ("HEAT", heat[:1] + (-9000,) + heat[2:], "milliamperes of coil 'kick.1' is -9000"),
        ("REFLEXES", kick[:2] + (-1, 80), "pulse of reflex 'bumper.1' in ms is -1"),
        ("REFLEXES", kick[:3] + (-80,), "lockout of reflex 'bumper.1' in ms is -80"),
        ("FLIPPERS", flipper[:4] + (-1,), "strong pulse of flipper 'button' in ms is -1"),
    ):
        try:
            build(changed(table, row))
        except GameError as error:
            assert words in str(error), (words, str(error))
        else:
            raise AssertionError(words)


def is_taken(table, row):
    try:
        build(changed(table, row))
    except GameError:
        return False
    return True


def test_numbers_are_taken_up_to_both_ends_and_no_further():
    coil, heat, kick = SmallMachine.COILS[-1], SmallMachine.HEAT[0], SmallMachine.REFLEXES[0]
    flipper = SmallMachine.FLIPPERS[0]
    for table, make, least, most in (
        ("COILS", lambda n: coil[:3] + (n,) + coil[4:], 0, c.LONGEST_PULSE),
        ("COILS", lambda n: coil[:4] + (n,) + coil[5:], 0, c.LONGEST_PULSE),
        ("HEAT", lambda n: heat[:1] + (n,) + heat[2:], 0, 1_000_000),
        ("HEAT", lambda n: heat[:2] + (n,) + heat[3:], 0, 2 * c.LONGEST_PULSE),
        ("HEAT", lambda n: heat[:3] + (n,), 0, 100),
        ("REFLEXES", lambda n: kick[:2] + (n,) + kick[3:], 1, c.LONGEST_PULSE),
        ("REFLEXES", lambda n: kick[:3] + (n,), 0, c.LONGEST_PULSE),
        ("FLIPPERS", lambda n: flipper[:4] + (n,), 1, c.LONGEST_PULSE),
    ):
        taken = [is_taken(table, make(n)) for n in (least - 1, least, most, most + 1)]
        assert taken == [False, True, True, False], (table, make(least))


def test_the_supply_is_declared_up_to_a_thousand_amperes():
    for supply, taken in ((-1, False), (0, True), (1_000_000, True), (1_000_001, False)):

        class Fed(SmallMachine):
            SUPPLY_MA = supply

        try:
            build(Fed)
        except GameError:
            assert not taken, supply
        else:
            assert taken, supply


def test_a_hot_coil_cools_at_its_rate_and_fires_again():
    rig = Rig()
    while rig.limiter.fire(KICK, 20, rig.now) != c.HOT:
        rig.run(80)
        assert rig.now < 10_000
    rig.run(390)  # at 5 in 100 that is 19.5 ms of heat less
    assert rig.limiter.fire(KICK, 30, rig.now) == c.HOT
    rig.run(300)
    assert rig.limiter.fire(KICK, 30, rig.now) == 0


def test_a_pulse_that_is_cut_heats_by_what_it_lasted():
    at = c.HEAD + STRONG * c.COIL
    for start in STARTS:
        rig = Rig(start)
        warm = rig.limiter.state[at + c.HEAT]
        rig.run(1)
        rig.contact(BUTTON, 1)
        assert rig.limiter.state[at + c.HEAT] == warm - rig.limiter.state[at + c.COOLS] + 40 * c.UNIT
        rig.run(10)
        rig.contact(STROKE, 1)
        assert rig.limiter.state[at + c.HEAT] == warm - rig.limiter.state[at + c.COOLS] + 10 * c.UNIT


def test_the_supply_bears_just_what_it_is_declared_for():
    for supply, answer in ((18_000, 0), (17_999, c.SUPPLY_TAKEN)):

        class Fed(SmallMachine):
            SUPPLY_MA = supply

        limiter = CoilLimiter(Fed)
        limiter.begin(0)
        limiter.renew(True, 0)
        assert limiter.fire(0, 20, 0) == 0
        assert limiter.fire(1, 20, 0) == answer, supply


def test_a_coil_without_a_heat_row_has_the_budget_of_its_class():
    for kind, budget, percent in (
        ("queued", 2000, 5),
        ("snap", 2000, 5),
        ("flipper", 4000, 10),
        ("motor", 16000, 50),
        ("meter", 4000, 10),
    ):

        class Usual(SmallMachine):
            COILS = (("only", kind, 30, 60, 0, 1),)
            REFLEXES = FLIPPERS = HEAT = ()

        state = build(Usual)
        assert state[c.HEAD + c.BUDGET] == budget * c.UNIT, kind
        assert state[c.HEAD + c.HEAT] == budget * c.UNIT // 2, kind
        assert state[c.HEAD + c.COOLS] == percent * c.UNIT // 100, kind


def test_a_small_budget_still_bears_the_longest_pulse_from_the_start():
    class Small(SmallMachine):
        HEAT = (("kick.1", 9000, 1, 5),)

    limiter = CoilLimiter(Small)
    limiter.begin(0)
    limiter.renew(True, 0)
    assert limiter.fire(0, 30, 0) == 0


def changed(table, row):
    """The small machine with the row of this name in place of its own."""

    class Changed(SmallMachine):
        pass

    rows = tuple([row if one[0] == row[0] else one for one in getattr(SmallMachine, table)])
    setattr(Changed, table, rows)
    return Changed


class Bucket:
    """One coil's heat by what its drive shows, in 1/100 ms; it starts half hot, as a reset leaves it."""

    def __init__(self, row):
        heat = {each[0]: each[1:] for each in SmallMachine.HEAT}
        usual = {each[0]: each[1:] for each in BUDGETS}
        budget, percent = heat[row[0]][1:] if row[0] in heat else usual[row[1]]
        self.drive = 1 << row[5] - 1
        self.longest = row[3]
        self.full = max(budget, 2 * row[3]) * 100 if row[3] else 0
        self.cools = percent
        self.heat = self.full // 2
        self.on = 0

    def pass_ms(self, driven):
        self.heat = max(0, self.heat - self.cools)
        if driven & self.drive:
            self.heat += 100
            self.on += 1
        else:
            self.on = 0
        assert not self.longest or self.on <= self.longest
        assert not self.full or self.heat <= self.full


def lengths(chance, longest):
    """A pulse as rules might ask for it: right, too long, nought, negative, huge."""
    kind = chance.below(10)
    if kind < 5:
        return 1 + chance.below(longest or 40)
    if kind == 5:
        return c.HOLD
    if kind == 6:
        return -chance.below(1 << 14)
    if kind == 7:
        return (1 << 15 + chance.below(14)) + chance.below(100)
    return chance.below(2 * longest + 2)


def test_no_sequence_of_requests_gains_budget():
    """One coil is asked for whenever it may fire, with every kind of request, end, contact and gap between.

    The buckets are filled by the drives alone, so a request that made heat disappear would overflow one.
    """
    refused = 0
    for seed in range(8):
        chance = Stream(seed + 1, 21)
        rig = Rig(STARTS[seed % 3])
        buckets = [Bucket(row) for row in SmallMachine.COILS]
        level = [0] * len(SmallMachine.SWITCHES)
        target = (KICK, SLING, EJECT, KICK)[seed % 4]
        longest = SmallMachine.COILS[target][3]
        for _ in range(5000):
            rig.limiter.fire(target, longest - chance.below(2), rig.now)
            drawn = chance.below(40)
            coil = chance.below(len(SmallMachine.COILS))
            if drawn < 6:
                rig.limiter.fire(coil, lengths(chance, SmallMachine.COILS[coil][3]), rig.now)
            elif drawn == 6:
                rig.limiter.off(coil, rig.now)
            elif drawn == 7:
                switch = chance.below(len(level))
                level[switch] ^= 1
                rig.contact(switch, level[switch])
            elif drawn == 8:
                rig.limiter.reason(coil, lengths(chance, SmallMachine.COILS[coil][3]), rig.now)
            elif drawn == 9 and not chance.below(60):
                rig.limiter.renew(False, rig.now)
            for what, number, value in rig.reports():
                if (what, number, value) == (c.REFUSED, target, c.HOT):
                    refused += 1
            driven = rig.limiter.state[c.DRIVEN]
            for bucket in buckets:
                bucket.pass_ms(driven)
            rig.run(1)
    assert refused > 1000, refused


def test_the_watch_over_budgets_sees_one_that_is_gained():
    """The control: a limiter whose heat is set back is found out."""
    rig = Rig()
    bucket = Bucket(SmallMachine.COILS[EJECT])
    row = c.HEAD + EJECT * c.COIL
    try:
        for _ in range(60_000):
            rig.limiter.fire(EJECT, 60, rig.now)
            bucket.pass_ms(rig.limiter.state[c.DRIVEN])
            rig.limiter.state[row + c.HEAT] = 0
            rig.reports()
            rig.run(1)
    except AssertionError:
        return
    raise AssertionError("heat was taken away and nobody saw it")


def test_a_new_run_takes_neither_rest_nor_heat_away_and_nothing_else_outlasts_it():
    rig = Rig()
    template = list(rig.limiter.state)
    for _ in range(40):
        rig.limiter.fire(EJECT, 60, rig.now)
        rig.run(361)
    rig.contact(BUMPER, 1)
    rig.run(30)
    before = list(rig.limiter.state)
    rig.limiter.restart(template)
    remembered = []
    for coil in range(len(SmallMachine.COILS)):
        remembered += [c.HEAD + coil * c.COIL + cell for cell in c.REMEMBERED]
    for at in range(len(template)):
        assert rig.limiter.state[at] == (before if at in remembered else template)[at], at
    changed = [at for at in remembered if before[at] != template[at]]
    assert len(changed) > 4
    assert rig.reports() == []


def test_a_coil_says_its_drive():
    state = build(SmallMachine)
    assert [drive_of(state, coil) for coil in range(len(SmallMachine.COILS))] == [3, 4, 5, 6, 25, 24]


def test_a_button_lifts_nothing_once_the_lease_is_over():
    for wait, lifted in ((c.LEASE_MS - 1, [STRONG, HOLD]), (c.LEASE_MS, [])):
        rig = Rig()
        rig.run(1)
        rig.now = ticks.add(rig.now, wait)
        rig.contact(BUTTON, 1)
        assert rig.fired() == lifted, wait


def test_a_flipper_that_falls_because_its_button_opened_is_not_lifted_by_its_stroke():
    for fall in (5, 50, 500):
        rig = Rig()
        rig.run(1)
        rig.contact(BUTTON, 1)
        rig.run(10)
        rig.contact(STROKE, 1)
        rig.run(fall)
        rig.contact(BUTTON, 0)
        rig.run(20)
        rig.reports()
        rig.contact(STROKE, 0)
        rig.contact(STROKE, 1)
        rig.contact(BUTTON, 0)
        assert rig.reports() == [], fall
        assert not rig.limiter.driven(rig.now)


def test_a_flipper_that_fell_with_the_lease_is_not_lifted_by_its_stroke_either():
    rig = Rig()
    rig.run(1)
    rig.contact(BUTTON, 1)
    rig.run(10)
    rig.contact(STROKE, 1)
    rig.quiet = True
    rig.run(c.LEASE_MS + 1)
    rig.quiet = False
    rig.run(400)
    rig.reports()
    rig.contact(STROKE, 0)
    assert rig.reports() == []
    rig.contact(BUTTON, 0)
    rig.contact(BUTTON, 1)
    assert rig.fired() == [STRONG, HOLD]


def test_a_flipper_is_pushed_down_only_after_it_was_seen_at_the_end_of_its_stroke():
    rig = Rig()
    rig.run(1)
    rig.contact(STROKE, 1)  # held up by a hand
    rig.contact(BUTTON, 1)
    rig.run(100)
    rig.reports()
    rig.contact(STROKE, 0)
    assert rig.fired() == []


class TwoFlippers(SmallMachine):
    SWITCHES = (
        ("left", "flipper", "cabinet", 0, 1),
        ("stroke.left", "flipper", "cabinet", 0, 2),
        ("right", "flipper", "cabinet", 0, 3),
        ("stroke.right", "flipper", "cabinet", 0, 4),
    )
    COILS = (
        ("strong.left", "flipper", 40, 60, 10, 1),
        ("hold.left", "flipper", -1, 0, 0, 2),
        ("strong.right", "flipper", 40, 60, 10, 3),
        ("hold.right", "flipper", -1, 0, 0, 4),
    )
    REFLEXES = ()
    FLIPPERS = (
        ("left", "stroke.left", "strong.left", "hold.left", 40),
        ("right", "stroke.right", "strong.right", "hold.right", 40),
    )
    HEAT = ()
    SUPPLY_MA = 0


def test_each_of_two_flippers_has_times_of_its_own():
    for one in (0, 1):
        other = 1 - one
        rig = Rig(0, TwoFlippers)
        rig.run(1)
        for side in (one, other):
            rig.contact(2 * side, 1)
            assert rig.fired() == [2 * side, 2 * side + 1]
            rig.run(10)
            rig.contact(2 * side + 1, 1)
            rig.run(50)
        rig.reports()
        rig.contact(2 * one + 1, 0)
        assert rig.fired() == [2 * one]
        rig.run(60)
        rig.contact(2 * one + 1, 1)
        rig.contact(2 * one + 1, 0)  # pushed down again too soon
        assert rig.fired() == []
        rig.contact(2 * other + 1, 0)
        assert rig.fired() == [2 * other]
        rig.run(60)
        rig.contact(2 * other, 0)
        rig.run(1)
        assert rig.limiter.state[c.DRIVEN] == 1 << 2 * one + 1


def test_a_lockout_that_ended_half_a_period_ago_is_over():
    for ms in (1, 40, 79):
        rig = Rig()
        rig.run(1)
        rig.contact(BUMPER, 1)
        assert rig.fired() == [KICK]
        rig.contact(BUMPER, 0)
        rig.now = ticks.add(rig.now, 80 + ticks.HALF - ms)
        rig.limiter.renew(True, rig.now)
        rig.contact(BUMPER, 1)
        assert rig.fired() == [KICK], ms
