"""The coil limiter's budgets: heat, supply, and that no request gains any."""

from limiter_rig import BUMPER, BUTTON, EJECT, KICK, SLING, STARTS, STROKE, STRONG, Rig

from boards.unix.trials.small_machine import SmallMachine
from firmware.base.chance import Stream
from firmware.base.errors import GameError
from firmware.devices.coil_limiter import CoilLimiter
from firmware.devices.limiter_state import BUDGETS, build
from firmware.devices.native import limiter as c


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
