"""Finds what a description means by a shot: a made shot, switches, another rule, an event."""

from collections.abc import Callable, Iterable

from hil.authoring.draft import Draft
from hil.authoring.errors import near_miss
from hil.authoring.facts import COVERS, Facts
from hil.authoring.values import PHRASES, Shot, parts
from hil.authoring.words import as_name, spoken
from hil.likeness import near

ACTIONS = ("tap", "shoot", "wait", "hold", "press", "release")
NOT_SHOTS = ("cabinet",)
HOLD = 2.5  # s that a ball is held to show that a window is frozen


class NotShown(Exception):
    """No script shows how a shot or a state is brought about."""


class Shots:
    """Resolves names for the rules of one game. `rules`: those described in the same file."""

    def __init__(self, facts: Facts, draft: Draft, rules: Iterable[str]) -> None:
        self._facts = facts
        self._draft = draft
        self._rules = set(rules)

    def find(self, text: str) -> Shot:
        """The shot or shots of a field. Raises ValueError with the near miss."""
        found = [self._one(name) for name in ([text] if text in PHRASES else parts(text))]
        events = " ".join(shot.event for shot in found)
        switches = tuple(name for shot in found for name in shot.switches)
        names = tuple(name for shot in found for name in shot.names)
        said = tuple(words for shot in found for words in shot.spoken)
        return Shot(events, names, found[0].how, found[0].dwells, switches, said)

    def each(self, text: str) -> list[Shot]:
        """Every shot of a list by itself, in its order. Raises ValueError."""
        return [self._one(name) for name in parts(text)]

    def row(self, text: str) -> tuple[str, ...]:
        """Switches side by side: named one by one, or by what they share. Raises ValueError."""
        names = [switch for name in parts(text) for switch in self._switches(name)]
        order = list(self._facts.switches)
        first = order.index(names[0])
        if names != order[first : first + len(names)]:
            raise ValueError(
                f"takes switches that stand side by side in the wiring table, not {', '.join(names)}"
            )
        if len(names) < 2:
            raise ValueError(f"takes two switches or more, such as bank.1, bank.2, not '{text}'")
        return tuple(names)

    def freeze(self, others: Iterable[Shot]) -> str:
        """Script lines that hold the ball for HOLD seconds without a shot of `others`; "" if none does."""
        used = {switch for shot in others for switch in shot.switches}
        for name, (kind, zone) in self._facts.switches.items():
            if kind == "rest" and zone == "device" and not name.startswith("trough.") and name not in used:
                return f"hold {name} for {HOLD} s"
        for name in self._facts.switches:
            if name.endswith(".enter") and name not in used:
                return f"tap {name}\nwait {HOLD} s"
        return ""

    def elsewhere(self, others: Iterable[str]) -> str:
        """A playfield switch that is none of `others`; slings and bumpers first. Raises ValueError."""
        free = [
            name for name in self._facts.playfield() if name not in others and not name.endswith(".enter")
        ]
        free.sort(key=lambda name: self._facts.switches[name][0] not in ("sling", "bumper"))
        if not free:
            raise ValueError("needs a playfield switch besides those it names")
        return free[0]

    def _switches(self, name: str) -> list[str]:
        found = self._facts.under(name)
        if not found:
            raise ValueError(f"names '{name}', which is no switch{near_miss(name, self._stems())}")
        return found

    def _stems(self) -> set[str]:
        return {*self._facts.switches, *(name.partition(".")[0] for name in self._facts.switches)}

    def _one(self, name: str) -> Shot:
        if name in PHRASES:
            return Shot(PHRASES[name], (name,), lambda: "wait 100 ms", spoken=(name,))
        facts = self._facts
        name = name.removeprefix("made.") if name in facts.raised else name
        made = f"made.{name}"
        switches = facts.under(name) or facts.under(name.replace(".", "_"))
        said = (self._spoken(name, made),)
        if made in facts.raised or any(event.startswith(made + ".") for event in facts.raised):
            return Shot(made, (name,), lambda: self._made(name), self._dwells(name), tuple(switches), said)
        if f"entered.{name}" in facts.raised:
            return Shot(f"entered.{name}", (name,), lambda: self._made(name), True, tuple(switches), said)
        if facts.under(name) and facts.switches[switches[0]][1] not in NOT_SHOTS:
            return Shot(
                name, (name,), lambda: f"tap {switches[0]}", self._dwells(name), tuple(switches), said
            )
        rule = as_name(name)
        if rule in self._rules or f"{rule}.done" in facts.raised:
            return Shot(f"{rule}.done", (name,), self._shown_by(rule), spoken=(name,))
        if name in facts.raised:
            return Shot(name, (name,), self._shown_by(name.partition(".")[0]), spoken=(spoken(name),))
        shots = {event.partition(".")[2] for event in facts.raised if event.startswith(("made.", "entered."))}
        known = {*shots, *self._stems(), *self._rules, *facts.features, *PHRASES}
        advice = near(name, shots) or near_miss(name, known)
        raise ValueError(f"names '{name}', which is no shot, switch, rule or event{advice}")

    def _spoken(self, name: str, made: str) -> str:
        """With its article: one of several switches, the one shot, or a number without."""
        whole = made in self._facts.raised or f"entered.{name}" in self._facts.raised
        if name[-1].isdigit():
            return spoken(name)
        return f"{'the' if whole or len(self._facts.under(name)) < 2 else 'a'} {spoken(name)}"

    def _dwells(self, name: str) -> bool:
        return any(self._facts.switches[switch][0] == "rest" for switch in self._facts.under(name))

    def _made(self, name: str) -> str:
        switches = self._facts.under(name) or self._facts.under(name.replace(".", "_"))
        ways = [switch for switch in switches if switch.endswith((".enter", ".made"))]
        if ways:
            return f"tap {', '.join(ways[:2])}"
        if switches and not self._dwells(name):
            return f"tap {switches[0]}"
        shot = name.replace(".", "_")
        return f"shoot {shot if shot in self._facts.shots else self.shot_of(name) or shot}"

    def in_state(self, rule: str, state: str) -> Callable[[], str]:
        """Script lines that bring a rule into a state. Raises NotShown when no script shows how."""
        wanted = f"expect state of {rule} is {state}"
        return self._until(rule, wanted, f"no script shows how '{rule}' comes to be '{state}'")

    def raising(self, rule: str, event: str) -> Callable[[], str]:
        """Script lines that make a rule raise an event. Raises NotShown when no script shows how."""
        return self._until(
            rule, f"expect event {event} posted", f"no script shows how '{rule}' raises '{event}'"
        )

    def _until(self, rule: str, wanted: str, missing: str) -> Callable[[], str]:
        """What a rule's script does before the line `wanted`."""

        def show() -> str:
            names = sorted(
                self._draft.glob(f"scripts/{rule}_*.play"), key=lambda name: not name.endswith("_made.play")
            )
            for name in names:
                lines = self._draft.read(name).splitlines()
                if wanted in lines:
                    return _actions(lines[: lines.index(wanted)])
            raise NotShown(missing)

        return show

    def _script_of(self, rule: str) -> str:
        """The script that shows a rule made: the described rule's own, else one that covers it alone."""
        described = f"scripts/{rule}_made.play"
        if self._draft.has(described):
            return described
        covers = (name for name in self._draft.glob("scripts/*.play") if self._covers(name, rule))
        return next(covers, "")

    def _covers(self, name: str, rule: str) -> bool:
        text = self._draft.read(name)
        found = COVERS.search(text)
        return found is not None and found[1].strip() == rule and "\nexpect award" in text

    def shot_of(self, switch: str) -> str:
        """The whole shot that leads over a switch, "" when none does."""
        found = [name for name, words in self._facts.shots.items() if switch in words]
        return min(found, key=len, default="")

    def _shown_by(self, rule: str) -> Callable[[], str]:
        """What a rule's own script does to make it. Raises NotShown when it has none."""

        def show() -> str:
            name = self._script_of(rule)
            if not name:
                raise NotShown(f"no scripts/{rule}_made.play shows how '{rule}' is made")
            lines = self._draft.read(name).splitlines()
            awards = (n for n, line in enumerate(lines) if line.startswith(("expect award", "expect event")))
            return _actions(lines[: max(awards, default=len(lines))])

        return show


def _actions(lines: Iterable[str]) -> str:
    return "\n".join(line for line in lines if line.split(" ")[0] in ACTIONS)
