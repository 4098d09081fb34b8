"""The story of a failure as text: one screen, or everything."""

import textwrap
from dataclasses import dataclass

from hil.bench.scripts.conditions import window_words
from hil.bench.story import UNKNOWN, StepBegun, Story
from hil.bench.story_events import Happening, timed
from hil.bench.view import seconds

MOST_LINES = 36  # of a story, so that verdict and complaints fit on a screen of 40 with it
LEAST = 1  # lines that every section keeps
WIDTH = 110
QUIET = ("playfield",)  # an event that follows each of a playfield switch
AFTER = "after."  # the event of a timed row


@dataclass
class Section:
    """A heading and its lines; the last ones are kept when it is shortened, or the first."""

    heading: str
    lines: list[str]
    least: int = 2
    """How many lines it keeps as long as another section has more than its own."""
    keeps_last: bool = True
    cut: int = 0

    def text(self) -> list[str]:
        """Its lines, and how many are left out."""
        if not self.lines:
            return []
        more = [f"      … {self.cut} more"] if self.cut else []
        shown = [f"      {line}" for line in self.lines]
        return [f"    {self.heading}:", *(more + shown if self.keeps_last else shown + more)]

    def shorten(self) -> None:
        """Leave out one line."""
        self.lines.pop(0 if self.keeps_last else -1)
        self.cut += 1


def lines(story: Story, whole: bool = False, room: int = MOST_LINES) -> list[str]:
    """The story as lines of text, at most `room` of them unless `whole`."""
    display = story.shown if whole or _is_of_display(story) else []
    since = f"since {story.since}"
    sections = [
        Section("the script", [_step(step, step.line == story.failing_line) for step in story.steps], 7),
        Section("since the last action", _happened(story, whole), 6),
        Section(f"at {seconds(story.at_ms)}", _situation(story, whole), 12, keeps_last=False),
        Section(f"displays {since}", display, 3),
        Section(f"awards {since}", list(story.awards) or ["none"], 3),
        Section(f"transitions of {', '.join(story.features)} {since}", _transitions(story), 3),
        Section("events that came in another state", list(story.unheard)),
        Section("near misses", _near_misses(story), keeps_last=False),
    ]
    if not whole:
        _fit(sections, room)
    text = [line for section in sections for line in section.text()]
    if any(section.cut for section in sections):
        text.append("    (--whole tells everything)")
    return text


def _fit(sections: list[Section], room: int) -> None:
    """Shorten the section that is most above its least until all fit."""
    while sum(len(section.text()) for section in sections) >= room:
        section = max(sections, key=lambda each: len(each.lines) - each.least)
        if len(section.lines) <= LEAST:
            return
        section.shorten()


def _step(step: StepBegun, failed: bool) -> str:
    mark = ">" if failed else " "
    return f"{mark} {seconds(step.ms):>10}  line {step.line}: {step.text}"


def _is_of_display(story: Story) -> bool:
    failing = [step.text for step in story.steps if step.line == story.failing_line]
    return any(text.startswith(("expect line", "expect display")) for text in failing)


def _happened(story: Story, whole: bool) -> list[str]:
    """All of it, or what another section or another line of this one does not say."""
    told: list[Happening] = []
    closed: set[str] = set()
    for each in story.happened:
        if whole or not _is_said_elsewhere(story, each, closed):
            told.append(each)
        if each.kind == "edge":
            closed.add(each.name)
    return [timed(each) for each in told]


def _is_said_elsewhere(story: Story, each: Happening, seen: set[str]) -> bool:
    """Whether the lamps, the transitions, or the line of a switch in `seen` tell it already."""
    if each.kind == "move":
        return each.name in story.features or each.stays
    if each.kind in ("edge", "event"):
        return each.name in seen or each.name in QUIET or each.name.startswith(AFTER)
    return each.kind in ("lamp", "save", "base")


def _situation(story: Story, whole: bool) -> list[str]:
    values = story.all_values if whole else story.values
    states = story.all_states if whole else story.states
    text = [story.game, "display " + " | ".join(f"'{line}'" for line in story.displays)]
    text += _list(
        "lamps", [f"{name} {pattern}" for name, pattern in story.lamps.items()] or ["all off"], whole
    )
    text += _list("balls", [f"{place} {count}" for place, count in story.balls.items() if count], whole)
    text += _list("coils held", story.coils, whole)
    text += _list("windows", _windows(story.windows), whole)
    text += _list("values", [UNKNOWN] if values is None else [f"{n} {v:,}" for n, v in values.items()], whole)
    return text + _list("states", [f"{region} {state}" for region, state in states.items()], whole)


def _windows(windows: dict[str, int] | None) -> list[str]:
    if windows is None:
        return [UNKNOWN]
    return [f"{name} {window_words(left)}" for name, left in windows.items() if left] or ["none open"]


def _list(what: str, words: list[str], whole: bool) -> list[str]:
    """A list in lines of WIDTH, two at most unless `whole`."""
    if not words:
        return []
    filled = textwrap.wrap(f"{what}: {', '.join(words)}", WIDTH, subsequent_indent="  ")
    if whole or len(filled) <= 2:
        return filled
    return [filled[0], filled[1] + " …"]


def _transitions(story: Story) -> list[str]:
    return (list(story.transitions) or ["none"]) if story.features else []


def _near_misses(story: Story) -> list[str]:
    if story.near_misses is None:
        return [f"what guards said is {UNKNOWN}"]
    return story.near_misses or ["none: no guard said no"]
