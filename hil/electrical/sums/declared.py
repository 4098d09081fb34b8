"""What has to be known of a load before anything switches it: ohms, gauge or watts, fuse; the rest is off."""

MOST_UNDECLARED_MS = 250  # of a pulse; none in the demos is longer,
MOST_UNDECLARED_PART = 0.5  # and none is on for more than half of the time


def lacking(ohms: float, is_heat_known: bool, is_fused: bool) -> str:
    """What is missing, in words: "ohms and fuse"; "" when all is there."""
    found = [
        word
        for word, known in (("ohms", ohms), ("wire gauge", is_heat_known), ("fuse", is_fused))
        if not known
    ]
    return " and ".join(filter(None, (", ".join(found[:-1]), *found[-1:])))


def stays_off(name: str, missing: str) -> str:
    """The sentence about a coil whose load is not declared."""
    return f"coil '{name}' has no {missing} declared: it is not energised"


def beyond(name: str, kind: str, pulse_ms: int, longest_ms: int, rest_ms: int) -> str:
    """The sentence about an undeclared coil whose table asks for too much of an unknown load; or ""."""
    longest = max(pulse_ms, longest_ms)
    if longest > MOST_UNDECLARED_MS:
        asked = f"may be on for {longest} ms"
    elif pulse_ms > 0 and pulse_ms > MOST_UNDECLARED_PART * (pulse_ms + rest_ms):
        asked = f"may be on for {pulse_ms} ms of {pulse_ms + rest_ms}"
    else:
        return ""
    return f"coil '{name}' of class {kind} {asked}, and no load is declared that bears it"
