"""What a drawing has to know of a machine: its names, what reacts to what, and where its balls go."""

from dataclasses import dataclass

BALL_MM = 27.0  # the diameter of a pinball: 1 1/16 inch


@dataclass(frozen=True)
class Switch:
    """A switch: its debounce class, and its zone ("playfield", "device" or "cabinet")."""

    kind: str
    zone: str


@dataclass(frozen=True)
class Flipper:
    """A flipper: the name that its bat has in the drawing, its windings (`hold` "": one), its contacts."""

    name: str
    strong: str
    hold: str
    button: str
    stroke: str


@dataclass(frozen=True)
class Device:
    """What holds balls: points of its slots from the exit up, those without a switch, its coil ("": none)."""

    name: str
    slots: tuple[str, ...]
    unseen: tuple[str, ...]
    coil: str


@dataclass(frozen=True)
class Machine:
    """The names of a machine by kind. `moves`: every (from, to) between which a ball may travel."""

    switches: dict[str, Switch]
    lamps: dict[str, str]
    coils: dict[str, str]
    reflexes: dict[str, str]
    flippers: tuple[Flipper, ...]
    latches: dict[str, str]
    devices: tuple[Device, ...]
    home: str
    moves: tuple[tuple[str, str], ...]

    def points(self) -> list[str]:
        """Every point that a ball rests at or travels to, in the order of the routes."""
        slots = [slot for device in self.devices for slot in device.slots]
        ends = [name for move in self.moves for name in move]
        return list(dict.fromkeys([*slots, *ends]))

    def unseen(self) -> set[str]:
        """Slots of devices that have no switch; they need no place of their own."""
        return {slot for device in self.devices for slot in device.unseen}

    def bat(self, name: str) -> Flipper | None:
        """The flipper of this name."""
        return next((flipper for flipper in self.flippers if flipper.name == name), None)


def flipper_name(strong: str, hold: str) -> str:
    """What two windings have in common, up to a dot: flipper.left of flipper.left.strong and .hold."""
    if not hold or hold == strong:
        return strong.removesuffix(".strong")
    same = []
    for one, other in zip(strong.split("."), hold.split("."), strict=False):
        if one != other:
            break
        same.append(one)
    return ".".join(same) or strong
