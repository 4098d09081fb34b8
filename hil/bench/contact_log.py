"""Writes a run as a script: every contact change at its millisecond, so that a replay makes the same trace.

Balls and macros become the contact changes that they caused. A game played at the desk can so be stored,
shortened and judged like any script.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from firmware.base.errors import UsageError
from hil.bench.scripts.script import DEFAULT_LIMIT_MS, LONGEST_LIMIT_MS, MOST_BYTES, MOST_LINES, MOVED, SUFFIX

MINUTE_MS = 60_000
MARK = ""  # in the place of a switch: here is the mark


class ContactChange(NamedTuple):
    """The state of a contact from `ms` on; it may have been the same before."""

    ms: int
    switch: str
    closed: bool


@dataclass(frozen=True)
class Run:
    """What a log is made from: `end_ms` is when the run ended, `digest` its trace hash in hex, empty when the
    machine stopped by an error; `mark_ms`: where a line `mark` is put."""

    title: str
    seed: int
    contact_changes: Sequence[ContactChange]
    end_ms: int
    digest: str
    settings: Mapping[str, int] = field(default_factory=dict)
    covers: Sequence[str] = ()
    mark_ms: int | None = None


def check_name(path: Path) -> None:
    """Raises UsageError when the name has another suffix, or the file exists."""
    if path.suffix != SUFFIX:
        raise UsageError(f"a log's name ends in {SUFFIX}, not '{path.name}'")
    if path.exists():
        raise UsageError("the log would overwrite this file; give another name", str(path))


def write(run: Run, path: Path, text: str = "") -> None:
    """Write the log; `text`: what it became when expectations were put into it.

    Raises UsageError: as `check_name`, too long for a script, or not writable.
    """
    check_name(path)
    text = text or as_script(run)
    if run.end_ms > LONGEST_LIMIT_MS or len(text) > MOST_BYTES or text.count("\n") >= MOST_LINES:
        minutes = run.end_ms / MINUTE_MS
        raise UsageError(
            f"{minutes:.0f} min with {len(run.contact_changes):,} contacts are too long for a script"
        )
    try:
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        raise UsageError(f"the log cannot be written: {error.strerror or error}", str(path)) from None


def as_script(run: Run) -> str:
    """The log as the text of a script."""
    changes = list(run.contact_changes)
    if run.mark_ms is not None:
        at = sum(change.ms < run.mark_ms for change in changes)
        changes.insert(at, ContactChange(run.mark_ms, MARK, False))
    return "\n".join([*_header(run), "", *_actions(changes, run.end_ms)]) + "\n"


def _header(run: Run) -> Iterator[str]:
    if run.digest:
        yield f"# Its trace hash was {run.digest}."
    yield f"title   Log of {run.title}"
    if run.covers:
        yield f"covers  {', '.join(run.covers)}"
    yield f"seed    {run.seed}"
    for name, value in run.settings.items():
        yield f"set     {name} to {value}"
    yield f"balls   {MOVED}"
    if run.end_ms >= DEFAULT_LIMIT_MS:
        yield f"limit   {min(run.end_ms // MINUTE_MS + 1, LONGEST_LIMIT_MS // MINUTE_MS)} min"


def _actions(contact_changes: Sequence[ContactChange], end_ms: int) -> Iterator[str]:
    now = at = 0
    while at < len(contact_changes):
        if contact_changes[at].ms > now:
            yield f"wait    {contact_changes[at].ms - now} ms"
            now = contact_changes[at].ms
        if contact_changes[at].switch == MARK:
            yield "mark"
            at += 1
            continue
        group = _alike(contact_changes, at)
        at += len(group)
        names = ", ".join(touch.switch for touch in group)
        after = _alike(contact_changes, at)
        opens = group[0].closed and after and not after[0].closed and after[0].ms > now
        if opens and [touch.switch for touch in after] == [touch.switch for touch in group]:
            yield f"hold    {names} for {after[0].ms - now} ms"
            now = after[0].ms
            at += len(after)
        else:
            yield f"{'press  ' if group[0].closed else 'release'} {names}"
    if end_ms > now:
        yield f"wait    {end_ms - now} ms"


def _alike(contact_changes: Sequence[ContactChange], at: int) -> list[ContactChange]:
    """The changes from `at` on that go one way in one millisecond."""
    group: list[ContactChange] = []
    while at < len(contact_changes) and (not group or contact_changes[at][::2] == group[0][::2]):
        if contact_changes[at].switch == MARK:
            break
        group.append(contact_changes[at])
        at += 1
    return group
