"""Light patterns in time: what a lamp does at this instant, for boards and the desk."""

from firmware.play.claims import FAST, NONE, ON, RAPID, SLOW

HALF_PERIOD = {SLOW: 500, FAST: 200, RAPID: 125}


def lit(pattern: int, now_ms: int) -> bool:
    """Whether a lamp with `pattern` is lit `now_ms` after the start; all blinks share one phase."""
    if pattern == NONE:
        return False
    if pattern == ON:
        return True
    return (now_ms // HALF_PERIOD[pattern]) % 2 == 0
