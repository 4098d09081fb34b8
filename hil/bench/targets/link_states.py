"""The host's side of the link as a hierarchical state machine: what a target behind a line is doing."""

from transitions.extensions import HierarchicalGraphMachine, HierarchicalMachine

OPENING, ASKING, READY, RUNNING = "opening", "connected_asking", "connected_ready", "connected_running"
LOST, CLOSED = "lost", "closed"

STATES = [
    OPENING,
    {"name": "connected", "initial": "asking", "children": ["asking", "ready", "running"]},
    LOST,
    CLOSED,
]
TRANSITIONS = [
    [trigger, source, target]
    for trigger, sources, target in (
        ("ask", (OPENING, "connected", LOST), ASKING),  # HELLO: who is there
        ("welcome", (ASKING,), READY),  # it is the device and the game asked for
        ("start", (READY,), RUNNING),
        ("finish", (RUNNING,), READY),  # its digest is that of the records that came
        ("lose", (OPENING, "connected", LOST), LOST),  # a damaged frame, silence, a refusal
        ("close", (OPENING, "connected", LOST, CLOSED), CLOSED),
    )
    for source in sources
]
NO_DRAWING = ("---", "classDef", "Class")


class LinkStates:
    """The state of one link. A trigger that its state has no transition for raises MachineError."""

    def __init__(self) -> None:
        self._machine = HierarchicalMachine(
            model=None, states=STATES, transitions=TRANSITIONS, initial=OPENING, auto_transitions=False
        )
        self.state = OPENING
        self._machine.add_model(self, initial=OPENING)

    def take(self, trigger: str) -> None:
        """Take the transition of a trigger, which `transitions` has made a method of this object."""
        getattr(self, trigger)()


def diagram() -> str:
    """The machine as a diagram of Mermaid, written by `transitions`, without title and colours."""
    machine = HierarchicalGraphMachine(
        model=LinkDrawing(),
        states=STATES,
        transitions=TRANSITIONS,
        initial=OPENING,
        auto_transitions=False,
        graph_engine="mermaid",
        title="",
    )
    source = str(machine.get_graph().draw(None))
    lines = [line.rstrip(" |") for line in source.splitlines()]
    return "\n".join(line for line in lines if line and line.split()[0] not in NO_DRAWING)


class LinkDrawing:
    """What the diagram is drawn for."""
