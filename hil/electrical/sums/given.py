"""Given values that cannot be, in one sentence each: nought, negative, infinite, not a number."""

import math

from firmware.base.errors import UsageError


def positive(what: str, value: float) -> None:
    """Raises UsageError when the value is not above 0 and finite."""
    if not 0 < value < math.inf:
        raise UsageError(f"{what} of {value:g} cannot be: give more than 0")


def not_negative(what: str, value: float) -> None:
    """Raises UsageError when the value is not 0 or above and finite."""
    if not 0 <= value < math.inf:
        raise UsageError(f"{what} of {value:g} cannot be: give 0 or more")
