"""What a rule author writes: rows, and where needed the states they speak of.

A row is (state, event, next, does, guard); the last two may be left out. `event` is a descriptor,
several of them with spaces between, `after(ms)`, or None for an eventless transition. `next` is a
state, a tuple of states, `external(...)`, or None for a transition that leaves nothing. `does` is
the name of a method of the region's owner, or a tuple of them.
"""

ANY = "(any)"  # as the state of a row: the region's root, which hears the event in every state


class After:
    """The event of a timed transition: so long after its state was entered, if not left before."""

    def __init__(self, ms: "int | str", group: int = 0) -> None:
        self.ms = ms
        self.group = group


class External:
    """Targets that are entered anew even from the state that holds them."""

    def __init__(self, targets: "tuple[str, ...]") -> None:
        self.targets = targets


def after(ms: "int | str", group: int = 0) -> After:
    """`ms` milliseconds, or the name of an attribute of the owner that says how many at entry.

    The timers of a `group` are frozen and thawed together (Timers.freeze).
    """
    return After(ms, group)


def external(*targets: str) -> External:
    """Ask for an external transition; only then is the state that holds the target left as well."""
    return External(targets)


class Node:
    """A state of any kind; `states` are its children in document order."""

    def __init__(
        self,
        name: str,
        enter: "str | tuple[str, ...] | None" = None,
        exit: "str | tuple[str, ...] | None" = None,
        states: "tuple[Node, ...]" = (),
    ) -> None:
        self.name = name
        self.enter = enter
        self.exit = exit
        self.states = states
        self.initial: "str | tuple[str, ...] | None" = None  # noqa: UP037
        self.does: "str | tuple[str, ...] | None" = None  # noqa: UP037


class State(Node):
    """A plain state, or with `states` one that is always in exactly one of them."""

    def __init__(
        self,
        name: str,
        enter: "str | tuple[str, ...] | None" = None,
        exit: "str | tuple[str, ...] | None" = None,
        initial: "str | tuple[str, ...] | None" = None,
        states: "tuple[Node, ...]" = (),
        does: "str | tuple[str, ...] | None" = None,
    ) -> None:
        """`does` is what is done between entering this state and its `initial` child."""
        super().__init__(name, enter, exit, states)
        self.initial = initial
        self.does = does


class Parallel(Node):
    """A state that is in all of its `states` at once."""


class Final(Node):
    """A state that ends the one that holds it: `done.state.HOLDER` is raised."""


class History(Node):
    """As a target: the child (deep: the whole configuration) last left; before that `default`."""

    def __init__(
        self,
        name: str,
        deep: bool = False,
        default: "str | tuple[str, ...] | None" = None,
        does: "str | tuple[str, ...] | None" = None,
    ) -> None:
        """Without a `default` the holder's initial state stands in; `does` goes with the default."""
        super().__init__(name)
        self.deep = deep
        self.initial = default
        self.does = does


class Region:
    """One chart: its rows, and the object whose methods they name."""

    def __init__(
        self,
        name: str,
        owner: object,
        rows: "tuple[tuple[object, ...], ...]",
        states: "tuple[Node, ...]" = (),
        initial: "str | tuple[str, ...] | None" = None,
    ) -> None:
        self.name = name
        self.owner = owner
        self.rows = rows
        self.states = states
        self.initial = initial


def listed(one_or_more: "str | tuple[str, ...] | None") -> "tuple[str, ...]":
    """The tuple behind a field that takes a name, several, or None."""
    if one_or_more is None:
        return ()
    if isinstance(one_or_more, str):
        return (one_or_more,)
    return tuple(one_or_more)
