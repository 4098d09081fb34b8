"""What a rule author writes: rows, and where needed the states they speak of.

A row is (state, event, next, does, guard); the last two may be left out. `event` is a descriptor,
several of them with spaces between, `after(ms)`, or None for an eventless transition. `next` is a
state, a tuple of states, `external(...)`, or None for a transition that leaves nothing. `does` is
the name of a method of the region's owner, or a tuple of them; so are `enter` and `exit`.
"""

TYPE_CHECKING = False
if TYPE_CHECKING:
    Names = str | tuple[str, ...] | None

ANY = "(any)"  # as the state of a row: the region's root, which hears the event in every state

# Kinds of states, and HISTORY beside them
ATOMIC = 0
COMPOUND = 1
PARALLEL = 2
FINAL = 3
HISTORY = 4


class After:
    """The event of a timed transition; made by `after`."""

    def __init__(self, ms: "int | str", group: int) -> None:
        self.ms = ms
        self.group = group


class External:
    """The targets of an external transition; made by `external`."""

    def __init__(self, targets: "tuple[str, ...]") -> None:
        self.targets = targets


def after(ms: "int | str", group: int = 0) -> After:
    """So long after the state was entered, if it was not left before.

    `ms` is in milliseconds, or the name of an attribute of the owner that says how many at entry. The
    timers of a `group` are frozen and thawed together (Timers.freeze).
    """
    return After(ms, group)


def external(*targets: str) -> External:
    """Targets that are entered anew even from the state that holds them: that one is left as well."""
    return External(targets)


class Node:
    """A state of any kind, or a history; made by the functions below."""

    def __init__(
        self,
        kind: int,
        name: str,
        enter: "Names" = None,
        exit: "Names" = None,
        states: "tuple[Node, ...]" = (),
        initial: "Names" = None,
        does: "Names" = None,
    ) -> None:
        self.kind = kind
        self.name = name
        self.enter = enter
        self.exit = exit
        self.states = states
        self.initial = initial
        self.does = does
        self.deep = False


def State(
    name: str,
    enter: "Names" = None,
    exit: "Names" = None,
    initial: "Names" = None,
    states: "tuple[Node, ...]" = (),
    does: "Names" = None,
) -> Node:
    """A plain state, or with `states` one that is always in exactly one of them, at first in `initial`.

    `does` is what is done between entering this state and its initial one.
    """
    kind = ATOMIC
    for child in states:
        if child.kind != HISTORY:
            kind = COMPOUND
    return Node(kind, name, enter, exit, states, initial, does)


def Parallel(name: str, enter: "Names" = None, exit: "Names" = None, states: "tuple[Node, ...]" = ()) -> Node:
    """A state that is in all of its `states` at once."""
    return Node(PARALLEL, name, enter, exit, states)


def Final(name: str, enter: "Names" = None, exit: "Names" = None) -> Node:
    """A state that ends the one that holds it: `done.state.HOLDER` is raised."""
    return Node(FINAL, name, enter, exit)


def History(name: str, deep: bool = False, default: "Names" = None, does: "Names" = None) -> Node:
    """As a target: the child (deep: the whole configuration) last left; before that `default`.

    Without a `default` the holder's initial state stands in; `does` goes with the default.
    """
    past = Node(HISTORY, name, None, None, (), default, does)
    past.deep = deep
    return past


class Region:
    """One chart: its rows, and the object whose methods they name."""

    def __init__(
        self,
        name: str,
        owner: object,
        rows: "tuple[tuple[object, ...], ...]",
        states: "tuple[Node, ...]" = (),
        initial: "Names" = None,
    ) -> None:
        self.name = name
        self.owner = owner
        self.rows = rows
        self.states = states
        self.initial = initial


def listed(one_or_more: "Names") -> "tuple[str, ...]":
    """The tuple behind a field that takes a name, several, or None."""
    if one_or_more is None:
        return ()
    if isinstance(one_or_more, str):
        return (one_or_more,)
    return tuple(one_or_more)
