"""The kit's reference: every part has a sentence and an example, and every example plays."""

import pkgutil
import xml.etree.ElementTree as ET

import pytest
from typer.testing import CliRunner

from firmware import parts as kit
from firmware.base.chance import Stream
from firmware.base.errors import UsageError
from firmware.charts.events import hears
from firmware.charts.model import ANY
from firmware.devices.limiter_state import CLASSES
from firmware.play import claims
from hil.authoring.kit import console, pages, topics
from hil.authoring.kit.facts import facts_of, facts_of_features
from hil.authoring.kit.parts import all_parts, complaint, part_of
from hil.command import app

PARTS = all_parts()
STEPS = 4000
WAITS = (1, 60, 400, 800, 3000, 15_000)
SELDOM = ("game.over", "game.started", "ball.ended", "ball.abandoned", "tilted", "special.win")


class Walk:
    """A console with one example in a game, whose contacts and events are drawn by chance.

    Methods that the chart names are counted in `called`, states that were active in `been`.
    """

    def __init__(self, part) -> None:
        self.called: set[str] = set()
        self.been: set[str] = set()
        made = console.features_of(part)
        self.console = console.console([(each.name, self._counting(each)) for each in made])
        self.play = self.console.play
        self.features = [self.play.find(each.name) for each in made]
        self.chance = Stream(7, 1)
        self.play.settings.set_by_name("balls", 1 if part.name == "consolation" else 3)
        self.begin()

    def _counting(self, make):
        methods = {name: self._counted(getattr(make, name), f"{make.name}.{name}") for name in actions(make)}
        return type(make.__name__, (make,), methods)

    def _counted(self, method, name):
        def call(feature, event):
            self.called.add(name)
            return method(feature, event)

        return call

    def contact(self, name: str, closed: int) -> None:
        self.console.contact(self.play.switch(name), closed)

    def wait(self, ms: int) -> None:
        self.console.run_to(self.console.now + ms)
        for feature in self.features:
            self.been.update(f"{feature.name}/{state}" for state in states(feature) if feature.is_in(state))

    def begin(self) -> None:
        """Start a game and bring its ball into play."""
        for name in ("trough.1", "trough.2", "trough.3"):
            self.contact(name, 1)
        self.wait(2000)
        self.tap("start")
        self.wait(1000)
        self.contact("trough.3", 0)
        self.tap("lane", 400)
        self.tap("inlane.right")
        assert self.play.live

    def tap(self, name: str, ms: int = 250) -> None:
        self.contact(name, 1)
        self.wait(ms)
        self.contact(name, 0)
        self.wait(250)

    def step(self) -> None:
        """One contact or event that the charts hear, or some time."""
        names = descriptors(self.features)
        often = [name for name in names if not name.endswith(".expired") and not name.startswith("trough")]
        heard = [name for name in often if name not in SELDOM or not self.chance.below(8)]
        if heard:
            self._happen(heard[self.chance.below(len(heard))])
        self.wait(WAITS[self.chance.below(len(WAITS))])

    def post(self, name: str, value: int = 0) -> None:
        """Queue an event, and let the charts answer it."""
        self.play.engine.post(self.play.events.find(name), value)
        self.console._react()

    def _happen(self, name: str) -> None:
        switches = [
            switch for switch in self.play.switch_names if hears(name.removeprefix("opened."), switch)
        ]
        if switches:
            switch = self.play.switch(switches[self.chance.below(len(switches))])
            self.console.contact(switch, 0 if self.play.closed[switch] else 1)
        else:
            self.post(name, self.chance.below(6))


def actions(feature) -> set[str]:
    """The methods that a chart names: what rows do, and their guards."""
    named: set[str] = set()
    for row in feature.chart:
        does, guard = [*row[3:], None, None][:2]
        named.update((does,) if isinstance(does, str) else does or ())
        named.update({guard.removeprefix("not ")} if guard else ())
    return named


def states(feature) -> set[str]:
    """The states that a chart names."""
    named = {row[0] for row in feature.chart} - {ANY}
    return named | {row[2] for row in feature.chart if isinstance(row[2], str)}


def descriptors(features) -> list[str]:
    """The events that charts hear."""
    rows = [row for feature in features for row in feature.chart]
    return sorted({name for row in rows if isinstance(row[1], str) for name in row[1].split()})


def lose_a_ball_at_the_outlane(walk: Walk) -> None:
    """Light it, roll over it, and let the ball reach the trough."""
    walk.tap("standup")
    walk.tap("outlane.right")
    walk.contact("trough.3", 1)
    for _ in range(20):
        walk.wait(50)


def meet(walk: Walk) -> None:
    """The ramp is made soon after the orbit."""
    walk.tap("orbit.left")
    walk.post("made.ramp")


# What chance would not find: how a walk begins.
LEADS = {"lit_outlane": lose_a_ball_at_the_outlane, "state_probe": meet}


def unseen(part) -> set[str]:
    """What no walk of STEPS steps reached: states, and methods that the chart names."""
    walk = Walk(part)
    wanted = {f"{f.name}.{name}" for f in walk.features for name in actions(f)}
    wanted |= {f"{f.name}/{name}" for f in walk.features for name in states(f)}
    LEADS.get(part.name, Walk.step)(walk)
    for _ in range(STEPS):
        walk.step()
        if walk.called | walk.been >= wanted:
            break
    return wanted - walk.called - walk.been


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.name)
def test_the_example_of_a_part_plays_until_each_of_its_states_and_methods_was_seen(part):
    assert unseen(part) == set()


class Deaf:
    """Never heard.

        class Never(Feature):
            name = "never"
            chart = (("off", "made.nothing", "on", "go", "may"),)

            def may(self, event): return False
            def go(self, event): Deaf()

    Its guard is never true.
    """


def test_an_example_that_cannot_play_is_found():
    assert unseen(part_of(Deaf, "For a test.")) == {"never/on", "never.go"}


def test_every_part_has_a_sentence_and_an_example():
    assert [complaint(part) for part in PARTS if complaint(part)] == []
    assert {part.module.rpartition(".")[2] for part in PARTS} == {
        i.name for i in pkgutil.iter_modules(kit.__path__)
    }


class Mute:
    pass


class Told:
    """Does something, nobody shows how."""


def test_a_part_without_a_sentence_or_an_example_is_refused():
    assert complaint(part_of(Mute, "")).endswith("has no sentence that says what it is for")
    assert complaint(part_of(Mute, "It is.")).endswith("Mute has no sentence that says what it does")
    assert "Told has no example" in complaint(part_of(Told, "It is."))
    assert complaint(part_of(Deaf, "It is.")) == ""


def test_a_page_says_what_the_example_asks_for():
    page = pages.part_text(next(part for part in PARTS if part.name == "window"))
    for words in ("lamps   lit (WINDOW)", "raises  pollen_run.expired", "lit -> dark: made.ramp / collect"):
        assert words in page
    names = facts_of(next(part for part in PARTS if part.name == "wheel")).names
    assert names["settings"] == ["wheel_odds"]
    assert names["coils"] == ["wheel_motor"]


def test_the_events_of_the_cabinet_are_raised_by_the_features_that_the_list_names():
    raised = {each.name: facts_of_features([each]).names["raises"] for each in console.CABINET}
    assert [(n, f) for n, f, _when in topics.EVENTS if n not in raised[f]] == []


def test_the_tables_list_every_class_of_coils_and_every_priority():
    assert set(topics.COIL_USES) == set(CLASSES)
    rows = {name for what, name, _use in topics.TOPICS[2].rows() if what == "priority"}
    assert rows == {n for n in ("LOW", "RULE", "WINDOW", "CABINET") if isinstance(getattr(claims, n), int)}


@pytest.mark.parametrize("topic", topics.TOPICS, ids=lambda topic: topic.name)
def test_each_row_of_a_topic_has_a_cell_for_each_heading(topic):
    assert topic.rows()
    assert {len(row) for row in topic.rows()} == {len(topic.heading)}


def kit_command(*words: str):
    return CliRunner().invoke(app, ["kit", *words])


def test_the_command_lists_every_part_and_topic():
    done = kit_command()
    listed = {line.split()[0] for line in done.stdout.splitlines() if line.startswith("  ") and line.strip()}
    assert {part.name for part in PARTS} | {topic.name for topic in topics.TOPICS} <= listed


def test_the_command_draws_a_chart_and_writes_the_whole_reference(tmp_path):
    for part in PARTS:
        assert kit_command(part.name, "--out", str(tmp_path / "part.svg")).exit_code == 0
        assert ET.parse(tmp_path / "part.svg").getroot().tag.endswith("svg")
    assert kit_command("--out", str(tmp_path / "kit.md")).exit_code == 0
    page = (tmp_path / "kit.md").read_text(encoding="utf-8")
    assert [part.name for part in PARTS if f"## {part.cls.__name__}\n" not in page] == []
    assert page.count("```mermaid") >= len(PARTS)


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["windw"], "the rule kit has no 'windw'; did you mean 'window'?"),
        (["window", "--game", "kit_room"], "--game goes with shots alone"),
        (["--out", "kit.svg"], "a .svg shows one part's chart"),
        (["lamps", "--out", "kit.svg"], "a .svg shows one part's chart"),
        (["window", "--out", "kit.pdf"], "the kit is written as .md"),
        (["window", "--out", "no/such/folder.md"], "cannot be written"),
    ],
)
def test_wrong_input_is_refused_in_one_sentence(words, sentence):
    done = kit_command(*words)
    assert isinstance(done.exception, UsageError)
    assert sentence in str(done.exception)
