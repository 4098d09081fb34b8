"""Known answers of the machine code, given by the same files as Python; and what is wrong is found."""

from firmware.devices import known_answers
from firmware.devices.native import limiter, scanner, senses


def test_every_module_gives_its_known_answer():
    assert known_answers.wrong() == []


def planted(module, name, wrong):
    """What `wrong` finds with another function in the module's place."""
    right = getattr(module, name)
    setattr(module, name, wrong(right))
    try:
        return known_answers.wrong()
    finally:
        setattr(module, name, right)


def test_a_clock_that_wraps_elsewhere_is_found():
    def early(right):
        return lambda a, now: right(a, now & 0x1FFFFFFF)

    def late(right):
        return lambda s, g, now: right(s, g, (now + 0x20000000) & 0x3FFFFFFF if now < 1 << 20 else now)

    assert planted(limiter, "serve", early) == ["limiter"]
    assert planted(scanner, "scan", late) == ["scanner"]


def test_a_threshold_that_is_read_wrong_is_found():
    def lower(right):
        return lambda *given: right(*given[:6], given[6] + 1)

    def higher(right):
        return lambda *given: right(*given[:6], given[6] - 1)

    assert planted(senses, "sense", lower) == ["senses"]
    assert planted(senses, "sense", higher) == ["senses"]


def test_a_debounce_that_is_a_millisecond_off_is_found():
    def off_by(ms):
        def wrong(right):
            def scan(state, groups, now):
                state[scanner.CLOSE_MS + 3] += ms
                changes = right(state, groups, now)
                state[scanner.CLOSE_MS + 3] -= ms
                return changes

            return scan

        return wrong

    assert planted(scanner, "scan", off_by(1)) == ["scanner"]
    assert planted(scanner, "scan", off_by(-1)) == ["scanner"]


def test_a_pulse_that_ends_a_millisecond_off_is_found():
    def off_by(ms):
        return lambda right: lambda a, now: right(a, now + ms if now < known_answers.LATE else now)

    assert planted(limiter, "serve", off_by(1)) == ["limiter"]
    assert planted(limiter, "serve", off_by(-1)) == ["limiter"]


def test_a_drain_that_is_judged_a_look_too_early_or_late_is_found():
    def twice(right):
        return lambda *given: right(*given) or right(*given)

    def never(right):
        return lambda *given: 0

    assert planted(senses, "sense", twice) == ["senses"]
    assert planted(senses, "sense", never) == ["senses"]
