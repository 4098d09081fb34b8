"""A plain drawing for a new game: everything at a place of its own, in rows, to be moved later."""

from collections.abc import Iterator

from hil.machine.tables import MachineTables

FIXED = {
    "lane": (375, 620),
    "outhole": (250, 675),
    "trough.jam": (344, 680),
    "flipper.left": (150, 598),
    "flipper.right": (226, 598),
    "drain.middle": (188, 655),
    "inlane.left": (66, 480),
    "inlane.right": (310, 480),
    "outlane.left": (30, 480),
    "outlane.right": (346, 480),
    "sling.left": (104, 520),
    "sling.right": (272, 520),
}
COLUMNS = (70, 122, 174, 226, 278, 330)
FIRST_ROW, ROW = 100, 52
MARK_OF = {
    "rollover": "rollover",
    "target": "target",
    "spinner": "spinner",
    "bumper": "dot",
    "rest": "hole",
    "lane": "rollover",
}
SLINGS = (
    ("sling.left", '("sling.left", "sling.left", (84, 470), (122, 566), (84, 540))'),
    ("sling.right", '("sling.right", "sling.right", (290, 470), (252, 566), (290, 540))'),
)
FLIPPERS = (
    (
        "flipper.left.strong",
        '("flipper.left.strong", "flipper.left.hold", "button.left", (130, 600), 48, 120, 62)',
    ),
    (
        "flipper.right.strong",
        '("flipper.right.strong", "flipper.right.hold", "button.right", (246, 600), 48, 240, 298)',
    ),
)
KICKERS = (
    ("trough_eject", '("trough_eject", 356, 684, 60, "")'),
    ("outhole_kick", '("outhole_kick", 350, 684, 60, "")'),
    ("auto_plunger", '("auto_plunger", 375, 660, 0, "")'),
)


def text(title: str, made: MachineTables) -> str:
    """The text of host/layout.py."""
    places = _places(made)
    switches = {row.name: row for row in made.wiring.SWITCHES}
    marks, points = [], []
    for name, (x, y) in places.items():
        row = switches.get(name)
        if row is None or row.debounce_class == "sling":
            points.append(f'    ("{name}", {x}, {y}),')
        else:
            kind = (
                "drop"
                if name in made.wiring.LATCHED
                else "slot"
                if name.startswith("trough")
                else MARK_OF[row.debounce_class]
            )
            marks.append(f'    ("{name}", "{kind}", {x}, {y}, 0),')
    coils = {row.name for row in made.wiring.COILS}
    return TEXT.format(
        title=title,
        shown=title.upper(),
        marks="\n".join(marks),
        points="\n".join(points),
        slings=_wired(SLINGS, coils),
        flippers=_wired(FLIPPERS, coils),
        kickers=_wired(KICKERS, coils),
    )


def _wired(rows: tuple[tuple[str, str], ...], coils: set[str]) -> str:
    """The rows of the coils that the machine has."""
    return "\n".join(f"    {row}," for coil, row in rows if coil in coils)


def _places(made: MachineTables) -> dict[str, tuple[int, int]]:
    """A place for every switch that a ball meets and every point that a route names."""
    places: dict[str, tuple[int, int]] = {}
    free = ((x, FIRST_ROW + ROW * row) for row in range(7) for x in COLUMNS)
    for name in dict.fromkeys(_named(made)):
        if name in FIXED:
            places[name] = FIXED[name]
        elif name.startswith("trough."):
            places[name] = (316 - 26 * (int(name.rpartition(".")[2]) - 1), 680)
        elif name.startswith("lane."):
            places[name] = (375, 620 - 26 * (int(name.rpartition(".")[2]) - 1))
        else:
            places[name] = next(free)
    return places


def _named(made: MachineTables) -> Iterator[str]:
    """Switches of playfield and devices, slots without a switch, points of routes."""
    yield from (row.name for row in made.wiring.SWITCHES if row.zone in ("playfield", "device"))
    for name, slots, *_ in made.host.DEVICES:
        yield from (slot or f"{name}.{n}" for n, slot in enumerate(slots, 1))  # type: ignore[arg-type, var-annotated]
    for *_, steps in (*made.host.SHOTS, *made.host.ROUTES):
        for verb, *arguments in steps:  # type: ignore[attr-defined]
            if verb in ("move", "rest"):
                yield arguments[1]


TEXT = '''"""{title} as drawn: a plain playfield, in units of its own (400 × 700)."""

SIZE = (400, 700)
BALL_RADIUS = 11

COLOURS = (
    ("table", (38, 48, 62)),
    ("wall", (150, 162, 176)),
    ("lane", (26, 32, 42)),
    ("dark", (12, 14, 18)),
    ("text", (222, 228, 236)),
    ("faint", (150, 158, 170)),
)

# fmt: off
ART = (
    ("fill", "table", ((12, 690), (12, 90), (60, 24), (200, 10), (340, 24), (388, 90), (388, 690))),
    ("fill", "lane", ((364, 690), (364, 150), (386, 150), (386, 690))),
    ("line", "wall", 4, ((362, 690), (362, 150))),
    ("curve", "wall", 5, (
        (12, 690), (12, 400), (12, 90), (60, 24), (200, 10), (340, 24), (388, 90), (388, 400), (388, 690))),
    ("line", "wall", 4, ((48, 470), (48, 556), (122, 604))),
    ("line", "wall", 4, ((328, 470), (328, 556), (252, 604))),
    ("fill", "dark", ((150, 668), (352, 668), (352, 690), (150, 690))),
    ("text", "text", 22, 190, 52, "{shown}"),
)
# fmt: on

INSERTS = ()

SWITCHES = (
    # switch, how it is drawn, x, y, angle
{marks}
)

BUMPERS = ()

SLINGS = (
    # switch, coil, the two ends of the rubber, the corner behind
{slings}
)

FLIPPERS = (
    # strong winding, hold winding, button, pivot, length, angle at rest, angle when up
{flippers}
)

KICKERS = (
    # coil, x, y, angle of the kick, label
{kickers}
)

FLASHERS = ()

POINTS = (
    # where routes lead that have no switch of their own, and where a sling is touched
{points}
)

PATHS = ()

HIDDEN_PLACES = ()
'''
