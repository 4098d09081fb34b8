"""Whether contacts may come over the line while a board runs by its own clock: they would fire its coils.

So the coil bus must be empty as the board reads it, or a person must have turned the keyed service switch on,
as the board's own scan reads that: what a host says of the key does not count.
"""

from firmware.devices.native import scanner

EMPTY_MV = 5000  # below it the safety notes let hands go in
KEY = "service_key"
GROUP = 16


def refused(bus_mv: int, scan: "array[int]", rows: "tuple[SwitchRow, ...]") -> str:
    """Why not, "" when they may. `scan` is the state of the board's scan, `rows` the wiring's switches."""
    if bus_mv < EMPTY_MV or is_key_on(scan, rows):
        return ""
    volts = str(bus_mv // 1000)
    return (
        "contacts from outside would fire coils: the coil bus has "
        + volts
        + " V; take its supply away, or turn the service key on"
    )


def is_key_on(scan: "array[int]", rows: "tuple[SwitchRow, ...]") -> bool:
    """Whether the scan reads the keyed service switch as closed, debounced."""
    return _key(scan, rows, scanner.STILL)


def is_settled(scan: "array[int]", rows: "tuple[SwitchRow, ...]") -> bool:
    """Whether the scan, which a new run begins anew, knows how the key stands."""
    return scan[scanner.PRIMED] == scanner.PRIMING and not _key(scan, rows, scanner.PENDING)


def _key(scan: "array[int]", rows: "tuple[SwitchRow, ...]", groups: int) -> bool:
    """The key's bit in these groups of contacts; False without a key."""
    for contact in range(scanner.CONTACTS):
        switch = scan[scanner.SWITCH + contact]
        if switch >= 0 and rows[switch][0] == KEY:
            return scan[groups + contact // GROUP] >> contact % GROUP & 1 != 0
    return False


TYPE_CHECKING = False
if TYPE_CHECKING:
    from array import array

    from firmware.play.interfaces import SwitchRow
