"""SCXML written from our tables: valid by the Recommendation's lists, and read again it does the same."""

import random
import re
from xml.etree import ElementTree

import pytest
import random_charts

from firmware.base.errors import ChartError, UsageError
from firmware.base.timers import Timers
from firmware.charts.engine import Engine
from firmware.charts.events import Events
from firmware.charts.model import ANY, Final, History, Region, State, after, external, listed
from firmware.charts.pack import pack
from firmware.charts.row import rows_of
from hil import games
from hil.command import draw
from hil.reports import scxml, scxml_write

STEPS = 25
TYPES = ("internal", "external")

# The Recommendation's attributes and children (mem: State Chart XML, 1 September 2015, sections 3.2 to
# 3.10, 5.8, 6.2 and 6.3), of the elements that are written.
ALLOWED = {
    "scxml": ({"initial", "name", "version", "datamodel"}, {"state", "parallel", "final"}),
    "state": (
        {"id", "initial"},
        {"onentry", "onexit", "transition", "initial", "state", "parallel", "final", "history"},
    ),
    "parallel": ({"id"}, {"onentry", "onexit", "transition", "state", "parallel", "history"}),
    "transition": ({"event", "cond", "target", "type"}, {"script"}),
    "initial": (set(), {"transition"}),
    "final": ({"id"}, {"onentry", "onexit"}),
    "onentry": (set(), {"script", "send"}),
    "onexit": (set(), {"script", "cancel"}),
    "history": ({"id", "type"}, {"transition"}),
    "script": (set(), set()),
    "send": ({"event", "id", "delay", "delayexpr"}, set()),
    "cancel": ({"sendid"}, set()),
}


def faults(text):
    """What in a document is against the Recommendation's lists."""
    root = ElementTree.fromstring(text)
    elements = list(root.iter())
    ids = [e.get("id") for e in elements if scxml.tag(e) in scxml.CHILDREN]
    found = [] if len(ids) == len(set(ids)) else ["an id twice"]
    for element in elements:
        attributes, children = ALLOWED[scxml.tag(element)]
        found += [f"{element.tag} {name}" for name in set(element.keys()) - attributes]
        found += [
            f"{scxml.tag(child)} in {element.tag}" for child in element if scxml.tag(child) not in children
        ]
        targets = f"{element.get('target') or ''} {element.get('initial') or ''}".split()
        found += [f"no state {target}" for target in targets if target not in ids]
        if scxml.tag(element) == "transition" and element.get("type", "external") not in TYPES:
            found.append("type")
        if element.get("delay") and not re.match(r"\d+ms$", element.get("delay")):
            found.append("delay")
    return found


class Player:
    """Runs a document that was written: scripts and conditions call a world's own actions and guards."""

    def __init__(self, text, names, act, ask, number=int):
        document = scxml.parse(text)
        self.act, self.ask, self.number = act, ask, number
        self.events = Events()
        sent = [e.get("event") for e in document.root.iter() if scxml.tag(e) == "send"]
        for name in [*names, *sent]:
            self.events.add(name)
        self.timers = Timers()
        self.sends = {name: self.timers.add(self.events.find(name)) for name in dict.fromkeys(sent)}
        members = {name: self.block(block) for name, block in document.actions.items()}
        members |= {name: self.condition(text) for name, text in document.conditions.items()}
        region = document.region(type("Owner", (), members)())
        table = pack([region], self.events)
        self.engine = Engine(table, self.timers, room=random_charts.ROOM)
        self.states = {table.path(s).rpartition("/")[2]: s for s in range(2, table.states)}

    def block(self, element):
        def run(owner, event):
            for each in element:
                if scxml.tag(each) == "script":
                    self.act(each.text.removesuffix("()"))
                elif scxml.tag(each) == "send":
                    words = each.get("delay") or each.get("delayexpr")
                    self.timers.start(
                        self.sends[each.get("event")], self.number(re.match(r"\w+?(?=ms| |$)", words)[0])
                    )
                else:
                    self.timers.stop(self.sends[each.get("sendid")])

        return run

    def condition(self, text):
        name = text.removeprefix("!").removesuffix("()")
        return lambda owner, event: self.ask(name) != text.startswith("!")

    def active(self):
        return sorted(name for name, number in self.states.items() if self.engine.is_active(number))


class Again(random_charts.Fast):
    """A random machine, written and read again."""

    def __init__(self, charts):
        super().__init__(charts)
        regions = [self.region(chart) for chart in charts]
        self.text = scxml_write.document(regions, "random")
        world = self.world
        player = Player(
            self.text,
            random_charts.EVENTS,
            lambda name: random_charts.act(world, name),
            lambda name: random_charts.ask(world, name),
        )
        self.events, self.engine, self.active = player.events, player.engine, player.active

    def configuration(self):
        return sorted(name.rpartition("-")[2] for name in self.active() if name != scxml_write.MACHINE)


def difference(seed):
    """Run a random machine from its tables and from its document; "" when both do the same."""
    charts = careful(random_charts.Maker(seed).machine())
    table, again = random_charts.Fast(charts), Again(charts)
    assert faults(again.text) == []
    table.start()
    again.start()
    for step, name in enumerate(["start", *random_charts.script(seed, STEPS)]):
        if step:
            table.send(name)
            again.send(name)
        if table.endless or again.endless:
            return "" if table.endless == again.endless else f"seed {seed}, step {step}: one does not rest"
        if (table.world.log, table.configuration()) != (again.world.log, again.configuration()):
            words = random_charts.first_difference(again.world.log, table.world.log)
            return f"seed {seed}, step {step} ({name}): {words}"
        table.world.log.clear()
        again.world.log.clear()
    return ""


def careful(charts):
    """Without what SCXML cannot say: an action that fails with others of its transition behind it."""
    for chart in charts:
        for holder in [*chart.moves, *chart.root.walk()]:
            holder.does = tuple(name for name in holder.does if not name.startswith("fail_"))
    return charts


@pytest.mark.parametrize("first", range(0, 100, 20))
def test_random_charts_do_the_same_when_written_and_read_again(first):
    differences = [difference(seed) for seed in range(first, first + 20)]
    assert not any(differences), next(filter(None, differences))


GAME = games.load("honey_flow")
FEATURES = {feature.name: feature for feature in GAME.console().play.features}


DONE = set()  # every action that was done


class Rules:
    """What stands in for a feature: actions are written down, guards answer by what was done so far."""

    def __init__(self):
        self.log = []
        self.delays = {}

    def act(self, name):
        self.log.append(name)

    def ask(self, name):
        return (len(self.log) + len(name)) % 3 != 0

    def number(self, words):
        return int(words) if words.isdigit() else len(words) * 100


def owner_of(feature, rules):
    """An object with the methods and delays that a feature's table names."""
    parts = [part for node in walk(feature.states) for part in (node.enter, node.exit, node.does)]
    names = {name for part in parts for name in listed(part)}
    guards, delays = set(), set()
    for row in rows_of_feature(feature):
        names |= set(row.does)
        guards |= {row.guard.split()[-1]} if row.guard and " in " not in f" {row.guard} " else set()
        delays |= {row.after.ms} if row.after and isinstance(row.after.ms, str) else set()
    members = {n: (lambda owner, event, n=n: rules.act(n)) for n in names}
    members |= {n: (lambda owner, event, n=n: rules.ask(n)) for n in guards}
    members |= {n: rules.number(n) for n in delays}
    return type("Owner", (), members)()


def walk(nodes):
    return [each for node in nodes for each in (node, *walk(node.states))]


def rows_of_feature(feature):
    return rows_of(Region(feature.name, None, feature.chart, feature.states))


class Side:
    """One of two machines under the same events and clock."""

    def __init__(self, engine, timers, events, active, rules):
        self.engine, self.timers, self.events, self.active, self.rules = engine, timers, events, active, rules

    def send(self, name):
        self.engine.send(self.events.find(name))

    def later(self, ms):
        while 0 <= self.timers.due() <= ms:
            wait = self.timers.due()
            ms -= wait
            self.timers.now += wait
            self.engine.send(self.timers.event[self.timers.pop()])
        self.timers.now += ms


def from_tables(features, names):
    rules = Rules()
    events = Events()
    for name in names:
        events.add(name)
    table = pack([Region(f.name, owner_of(f, rules), f.chart, f.states) for f in features], events)
    timers = Timers()
    engine = Engine(table, timers)
    paths = [table.path(s).replace("/", "-") for s in range(table.states)]
    scoped = paths if len(features) > 1 else [path.rpartition("/")[2] for path in table.names]
    states = dict(zip(scoped[1:], range(1, table.states), strict=True))
    return Side(
        engine, timers, events, lambda: sorted(n for n, s in states.items() if engine.is_active(s)), rules
    )


def from_document(text, names):
    rules = Rules()
    player = Player(text, names, rules.act, rules.ask, rules.number)
    return Side(player.engine, player.timers, player.events, player.active, rules)


def alone(feature):
    """A chart that asks after no other chart."""
    return not any("/" in row.guard or "/" in "".join(row.targets) for row in rows_of_feature(feature))


def first_parting(features, steps):
    """Run charts from their tables and from their document; "" when both do the same throughout."""
    heard = {n for feature in features for row in rows_of_feature(feature) for n in row.hears}
    names = sorted({n for n in heard if "*" not in n and not n.endswith(".")} | {"elsewhere"})
    regions = [Region(feature.name, None, feature.chart, feature.states) for feature in features]
    text = scxml_write.document(regions, "charts")
    assert faults(text) == []
    table, again = from_tables(features, names), from_document(text, names)
    chance = random.Random(features[0].name)
    table.engine.start()
    again.engine.start()
    for step in range(steps):
        event = chance.choice(names)
        ms = chance.choice((0, 0, 0, 100, 700, 5000, 20000))
        for side in (table, again):
            side.send(event)
            side.later(ms)
        active = [name for name in again.active() if name != scxml_write.MACHINE]
        if active != table.active() or again.rules.log != table.rules.log:
            return f"step {step}: {event}, then {ms} ms: in {active}, expected {table.active()}"
    DONE.update(table.rules.log)
    return ""


@pytest.mark.parametrize("name", sorted(name for name, feature in FEATURES.items() if alone(feature)))
def test_a_chart_of_the_game_does_the_same_when_written_and_read_again(name):
    assert first_parting([FEATURES[name]], 200) == ""


def test_the_whole_game_does_the_same_when_written_and_read_again():
    DONE.clear()
    assert first_parting(list(FEATURES.values()), 300) == ""
    assert len(DONE) > 50


def test_the_whole_game_is_one_document_by_the_lists(tmp_path, capsys):
    draw.draw("honey_flow", "", tmp_path / "all.scxml")
    text = (tmp_path / "all.scxml").read_text()
    assert faults(text) == []
    document = scxml.parse(text)
    assert {state.name for state in document.states[0].states} == set(FEATURES)
    assert f"wrote {tmp_path / 'all.scxml'}" in capsys.readouterr().out


CHART = (
    ("off", "press", "was", ("lit", "count"), "not in off"),
    ("on", "press release", external("low"), None, "not ready"),
    ("on", after(1000), "off"),
    ("low", after("wait", 3), "high"),
    ("on", "done.state.on", None, "cheer"),
    (ANY, "reset", "off"),
    ("low", None, "end", None, "ready"),
)
STATES = (
    State("off", enter=("dim", "hush")),
    State("on", exit="rest", initial="low", does="begin", states=(
        State("low"), State("high"), Final("end"), History("was", True, "high", "recall"))),
)  # fmt: skip


def test_what_is_written_where():
    text = scxml_write.document([Region("lamp", None, CHART, STATES)], "a lamp")
    for line in (
        'name="a_lamp" initial="lamp"',
        '<state id="lamp" initial="off">',
        '<transition event="press" cond="!In(\'off\')" target="was" type="internal">',
        '<transition event="press release" cond="!ready()" target="low" type="external" />',
        '<send event="after.1000.on" id="after.1000.on" delay="1000ms" />',
        '<cancel sendid="after.1000.on" />',
        "delayexpr=\"wait + 'ms'\"",
        '<transition event="done.state.on">',
        '<transition cond="ready()" target="end" type="internal" />',
        '<history id="was" type="deep">',
        "<script>recall()</script>",
        "<script>begin()</script>",
    ):
        assert line in text
    assert faults(text) == []
    assert text.count("<onentry>") == 4


def test_several_charts_stand_in_one_parallel_state():
    regions = [
        Region("a", None, (("p", "e", "q", None, "in b/p"),)),
        Region("b", None, (("p", "f", "q"), ("q", "done.state.p", None))),
    ]
    text = scxml_write.document(regions, "two")
    assert '<parallel id="machine">' in text
    assert 'cond="In(\'b-p\')" target="a-q"' in text
    assert 'event="done.state.b-p"' in text
    assert faults(text) == []


def test_a_name_that_xml_takes_for_no_id_gets_one():
    text = scxml_write.document([Region("x", None, (("2 balls", "e", "2_balls"),))], "x")
    assert 'id="_2_balls"' in text
    assert 'id="_2_balls_"' in text
    assert faults(text) == []


def test_the_lists_find_what_is_wrong():
    said = faults('<scxml><state id="a" colour="red"><send/></state><state id="a" initial="b"/></scxml>')
    assert said == ["an id twice", "state colour", "send in state", "no state b"]


def test_a_document_is_not_written_from_one_and_a_wrong_chart_is_refused(tmp_path):
    (tmp_path / "in.scxml").write_text('<scxml><state id="a"/></scxml>')
    with pytest.raises(UsageError, match="is SCXML already"):
        draw.draw(str(tmp_path / "in.scxml"), "", tmp_path / "out.scxml")
    with pytest.raises(ChartError, match="is no state"):
        scxml_write.document([Region("x", None, (("a", "e", "b/c"),))], "x")
