"""firmware/charts/README.md says what is so."""

import re
from pathlib import Path

import firmware.charts
from firmware.base import timers
from firmware.charts import engine, model
from firmware.charts.events import Events
from firmware.charts.pack import pack

PAGE = (Path(firmware.charts.__file__).parent / "README.md").read_text(encoding="utf-8")
PUBLISHED = Path(__file__).with_name("test_published.py").read_text(encoding="utf-8")


class Owner:
    """Has the methods of the page's example."""

    def __init__(self) -> None:
        self.log: list[str] = []

    def open(self, event: int) -> None:
        self.log.append("open")

    def collect(self, event: int) -> None:
        self.log.append("collect")

    def expire(self, event: int) -> None:
        self.log.append("expire")

    def build(self, event: int) -> None:
        self.log.append("build")

    def full(self, event: int) -> bool:
        return False


def test_the_example_is_a_chart_that_runs() -> None:
    code = re.search(r"```python\n(.*?)```", PAGE, re.DOTALL).group(1)
    names = {"ANY": model.ANY, "after": model.after}
    exec(code, names)
    owner, events, clock = Owner(), Events(), timers.Timers()
    meadow = events.add("meadow.1")
    runs = engine.Engine(pack([model.Region("run", owner, names["chart"])], events), clock)
    runs.start()
    for event in (events.find("inlane.left"), meadow, events.find("orbit.right"), events.find("inlane.left")):
        runs.send(event)
    clock.now += 14_000
    runs.send(clock.event[clock.pop()])
    assert owner.log == ["open", "build", "collect", "open", "expire"]
    assert runs.is_active(runs.state_id("run/dark"))


def test_the_charts_that_do_not_pass_are_those_of_the_test() -> None:
    listed = re.search(r"NEED_SCRIPT = \{(.*?)\}", PUBLISHED, re.DOTALL).group(1)
    expected = set(re.findall(r'"([^"]+)":', listed))
    told = set(re.findall(r"`([\w-]+/\w+)`", PAGE))
    assert len(expected) == 17
    assert told == expected


def test_the_limits_are_those_of_the_code() -> None:
    assert f"| external events in one `settle` | {engine.MAX_EVENTS} |" in PAGE
    assert f"| microsteps without rest | {engine.MAX_MICROSTEPS} |" in PAGE
    assert f"| timers, those of parts included | {timers.MOST}, in groups 0 to 63 |" in PAGE


def test_every_test_it_names_exists() -> None:
    root = Path(firmware.charts.__file__).parents[2]
    for name in re.findall(r"tests/[\w/*.]+\.py", PAGE):
        assert list(root.glob(name)), name
