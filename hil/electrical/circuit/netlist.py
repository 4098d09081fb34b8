"""The circuit: parts by designator, nets by name, and the changes that tests try on it."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from firmware.base.errors import UsageError
from hil.electrical.circuit.parts import NOWHERE, Part, Pin

Node = tuple[str, str]  # designator and pin number


@dataclass(frozen=True)
class Circuit:
    """Every part by its designator."""

    parts: dict[str, Part]

    def __getitem__(self, mark: str) -> Part:
        if mark not in self.parts:
            raise UsageError(f"the circuit has no part '{mark}'")
        return self.parts[mark]

    def nets(self) -> dict[str, tuple[Node, ...]]:
        """Every net with the pins on it, in the order of the parts."""
        found: dict[str, list[Node]] = {}
        for part in self.parts.values():
            for pin in part.pins:
                if pin.net != NOWHERE:
                    found.setdefault(pin.net, []).append((part.mark, pin.number))
        return {name: tuple(nodes) for name, nodes in found.items()}

    def on(self, net: str) -> list[tuple[Part, Pin]]:
        """The parts and pins on a net."""
        return [(part, pin) for part in self.parts.values() for pin in part.pins if pin.net == net]

    def sheet(self, name: str) -> list[Part]:
        """The parts of a sheet."""
        return [part for part in self.parts.values() if part.sheet == name]

    def select(self, wanted: Callable[[Part], bool]) -> "Circuit":
        """The circuit with only the parts that `wanted` accepts."""
        return Circuit({mark: part for mark, part in self.parts.items() if wanted(part)})

    def without(self, *marks: str) -> "Circuit":
        """The circuit without these parts. Raises UsageError: no such part."""
        for mark in marks:
            self[mark]
        return Circuit({mark: part for mark, part in self.parts.items() if mark not in marks})

    def without_net(self, name: str) -> "Circuit":
        """The circuit with every pin of a net connected to nothing."""
        return self._each_pin(lambda _part, pin: NOWHERE if pin.net == name else pin.net)

    def moved(self, mark: str, pin_name: str, net: str) -> "Circuit":
        """The circuit with one pin on another net. Raises UsageError: no such part or pin."""
        number = self[mark].pin(pin_name).number
        return self._each_pin(lambda part, pin: net if (part.mark, pin.number) == (mark, number) else pin.net)

    def changed(
        self,
        mark: str,
        value: str | None = None,
        size: float | None = None,
        kind: str | None = None,
        ratings: dict[str, float] | None = None,
    ) -> "Circuit":
        """The circuit with another value, size, kind or ratings of one part."""
        old = self[mark]
        part = replace(
            old,
            value=old.value if value is None else value,
            size=old.size if size is None else size,
            kind=old.kind if kind is None else kind,
            ratings=old.ratings if ratings is None else ratings,
        )
        return Circuit({**self.parts, mark: part})

    def added(self, *parts: Part) -> "Circuit":
        """The circuit with more parts. Raises UsageError: a designator twice."""
        return build([*self.parts.values(), *parts])

    def _each_pin(self, net_of: Callable[[Part, Pin], str]) -> "Circuit":
        changed = {}
        for part in self.parts.values():
            pins = tuple(replace(pin, net=net_of(part, pin)) for pin in part.pins)
            changed[part.mark] = replace(part, pins=pins)
        return Circuit(changed)


def build(parts: Iterable[Part]) -> Circuit:
    """A circuit of these parts. Raises UsageError: a designator or a pin number twice."""
    found: dict[str, Part] = {}
    for part in parts:
        if part.mark in found:
            raise UsageError(
                f"designator '{part.mark}' is given twice: {found[part.mark].value}, {part.value}"
            )
        numbers = [pin.number for pin in part.pins]
        twice = next((n for n in numbers if numbers.count(n) > 1), "")
        if twice:
            raise UsageError(f"{part.mark} has pin {twice} twice")
        found[part.mark] = part
    return Circuit(found)
