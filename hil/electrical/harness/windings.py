"""What the sums say of the coils of a harness: the sentences that `inlane coil` and `inlane check` say."""

from collections.abc import Iterator, Sequence

from firmware.base.errors import UsageError
from hil.electrical.harness.reading import Item
from hil.electrical.harness.remarks import Remark
from hil.electrical.sums import fuse
from hil.electrical.sums.declared import lacking, stays_off
from hil.electrical.sums.drive import Drive, heat_of
from hil.electrical.sums.feed import SOURCE, Feed
from hil.electrical.sums.findings import REFUSED, judge, with_reservoir
from hil.electrical.sums.sizing import work_out

WOUND = ("coil", "flipper")
CLAMP = 22.5  # V, of the reference circuit's suppressor
PULSE, LONGEST, PERIOD = 0.030, 0.060, 3.0  # s, until the game says more
STRONG = 0.040


def bus(items: Sequence[Item]) -> Feed | None:
    """The one coil bus: the highest volts of all coils, not smooth if one of them is not; None: no volts."""
    coils = [item for item in items if item.kind in WOUND and item.volts]
    if not coils:
        return None
    return Feed(
        max(item.volts for item in coils),
        SOURCE,
        smoothed=not any(item.current in ("unsmoothed", "ac") for item in coils),
    )


def judged(items: Sequence[Item]) -> Iterator[Remark]:
    """Refusals of every coil on the bus; what a reservoir makes of an unsmoothed one."""
    feed = bus(items)
    for item in items:
        if item.kind not in WOUND or item.current == "ac" or item.winding == "ac":
            continue
        if feed is None:
            yield Remark(item, "has no volts measured at its supply", True, True)
            continue
        if item.volts and item.volts != feed.volts:
            yield Remark(
                item,
                f"runs from {item.volts:g} V; the coil bus has {feed.volts:g} V, and it is judged at those",
                False,
            )
        yield from _coil(item, feed)
        if not feed.smoothed:
            yield Remark(item, with_reservoir(feed).text, False, whole=True)


def _coil(item: Item, feed: Feed) -> Iterator[Remark]:
    try:
        drive = _drive(item, feed)
    except UsageError as error:
        yield Remark(item, f"{item.kind} '{item.name}': {error.text}", True, whole=True)
        return
    if drive is None:
        missing = lacking(0, bool(item.gauge), bool(item.fuse))
        yield Remark(item, stays_off(item.name, missing), True, True, whole=True)
        return
    for finding in judge(drive, work_out(drive)):
        if finding.weight == REFUSED:
            yield Remark(item, finding.text, True, True, whole=True)


def _drive(item: Item, feed: Feed) -> Drive | None:
    """Its drive; None without ohms. Raises UsageError for a fuse or gauge that cannot be."""
    chosen = fuse.parse(item.fuse) if item.fuse else None
    if not item.ohms:
        return None
    return Drive(
        item.name,
        item.ohms,
        feed,
        STRONG if item.kind == "flipper" else PULSE,
        PERIOD,
        item.mh / 1e3,
        heat_of(item.ohms, item.gauge or None, None),
        clamp="zener",
        zener=CLAMP,
        fuse=chosen,
        longest=LONGEST,
    )
