"""Descriptions of the small rules that a new device begins with."""

POINTS = {
    "bumpers": 300,
    "slings": 100,
    "spinner": 100,
    "lanes": 500,
    "targets": 800,
    "drops": 800,
    "orbit": 2_000,
    "ramp": 3_000,
    "hole": 2_000,
}
"""What a device of each kind pays by itself."""
OUTLANE = 2_000
GROUPS = ("lanes", "targets", "drops")


def of_group(is_lanes: bool, name: str, reset: str = "") -> str:
    """A rule for a row of lanes or a bank of targets; `reset`: the coil that raises them, "" as usual."""
    kind, field, noun = ("lanes", "lanes", "lane") if is_lanes else ("bank", "targets", "target")
    words = name.replace("_", " ").replace(".", " ").removesuffix(noun).strip()
    pays = "10,000" if is_lanes else "10,000, 20,000"
    raised = f"reset {reset}\n" if reset else ""
    title = f"All {words} {noun}s" if words else f"All {noun}s"
    return f"rule {title}\nkind {kind}\n{field} {name}\npays {pays}\nlasts ball\n{raised}"


def of_device(kind: str, name: str, count: int, lamps: list[str], reset: str = "") -> str:
    """A rule for one device that was added; `lamps`: those that its line wires, `reset`: of another bank."""
    if kind in GROUPS and count > 1:
        return of_group(kind == "lanes", name, reset)
    words = name.replace("_", " ").capitalize()
    if kind == "ramp":
        return f"rule {words} made\nkind ramp\nramp {name}\npays {POINTS[kind]:,}\n"
    lit = f"with lamps {', '.join(lamps)}\n" if lamps else ""
    return f"rule {words} points\nkind points\npays {POINTS[kind]:,} for {name}\n{lit}"
