"""Values on their way: each variable passes on what it is given, once, until nothing new comes."""

from collections import deque
from collections.abc import Callable, Collection
from dataclasses import dataclass, field

from hil.checks.stack.classes import Bases
from hil.checks.stack.program import Class, Function, Module, Program
from hil.checks.stack.values import UNKNOWN, Bound, Held, Instance, Value


@dataclass(frozen=True)
class Edge:
    """One function calls another: how, and in which line of the caller."""

    callee: Function
    kind: str
    line: int


@dataclass
class Frame:
    """The variables of one function, module or class body."""

    names: dict[str, Held] = field(default_factory=dict)
    returns: Held = field(default_factory=Held)
    yields: Held = field(default_factory=Held)
    sent: Held = field(default_factory=Held)


class Store:
    """What every variable can hold; `edges` is who calls whom, `guessed` the calls that were not resolved.

    `game`: the game's package; `absent`: modules that are not called in this game.
    """

    def __init__(self, program: Program, game: str, absent: "frozenset[str]" = frozenset()) -> None:
        self.program = program
        self.game = game
        self.absent = absent
        self.bases = Bases(program)
        self.edges: dict[Function, dict[Edge, None]] = {}
        self.guessed: dict[tuple[Function, int, str], None] = {}
        self.handed_out: dict[Function, None] = {}
        """Functions given to MicroPython or the chip, to be called from there."""
        self.made = Held()
        """Objects of every class that is made anywhere."""
        self.taken = Held()
        """Functions and methods that are held as values somewhere."""
        self._frames: dict[Function, Frame] = {}
        self._fields: dict[str, dict[Class, Held]] = {}
        self._of_class: dict[tuple[Class, str], Held] = {}
        self._waiting: deque[Held] = deque()
        self._followed: dict[Function, None] = {}
        self._bits: dict[Value, int] = {}

    # Flow ------------------------------------------------------------------------------------

    def put(self, held: Held, value: Value) -> None:
        """`held` can be `value`, too."""
        if value not in held.values:
            self._put_all(held, [value], self._bit(value))

    def watch(self, held: Held, user: Callable[[Value], None]) -> None:
        """Call `user` with each value there is, and each that comes."""
        known = list(held.values)[: len(held.values) - len(held.fresh)]  # the fresh ones came last
        held.users.append(user)
        for value in known:
            user(value)

    def send(self, held: Held, to: Held) -> None:
        """What `held` can be, `to` can be."""
        if held is not to and to not in held.to:
            held.to[to] = None
            self._put_all(to, held.values, held.bits)

    def settle(self) -> None:
        """Go on until nothing new comes."""
        while self._waiting:
            held = self._waiting.popleft()
            fresh, held.fresh = held.fresh, []
            bits, held.fresh_bits = held.fresh_bits, 0
            for to in list(held.to):
                self._put_all(to, fresh, bits)
            for user in list(held.users):
                for value in fresh:
                    user(value)

    def _put_all(self, held: Held, values: Collection[Value], bits: int) -> None:
        """`held` can be each of these values, too: all different, and most known already."""
        bits &= ~held.bits
        if not bits:
            return
        known = held.values
        new = [value for value in values if value not in known]
        known.update(dict.fromkeys(new))
        held.bits |= bits
        held.fresh_bits |= bits
        if not held.fresh:
            self._waiting.append(held)
        held.fresh += new

    def _bit(self, value: Value) -> int:
        """The bit that stands for a value: whether many values have anything new is asked most."""
        found = self._bits.get(value)
        if found is None:
            found = self._bits[value] = 1 << len(self._bits)
        return found

    # Where things are kept -------------------------------------------------------------------

    def frame(self, function: Function) -> Frame:
        """The variables of a function; those of all its calls are one."""
        found = self._frames.get(function)
        if found is None:
            found = self._frames[function] = Frame()
        return found

    def variable(self, function: Function, name: str) -> Held:
        """One of them."""
        held = self.frame(function).names
        if name not in held:
            held[name] = Held()
        return held[name]

    def field(self, of: Class, name: str) -> Held:
        """An attribute of the objects of a class."""
        held = self._fields.setdefault(name, {})
        if of not in held:
            held[of] = Held()
        return held[of]

    def has_field(self, of: Class, name: str) -> bool:
        """Whether objects of a class are given, or asked for, that attribute."""
        return of in self._fields.get(name, ())

    def in_body(self, of: Class, name: str) -> Held | None:
        """What a name is in a class's body, or its bases'."""
        for each in self.bases.order(of):
            held = self.frame(each.body).names.get(name)
            if held:
                return held
        return None

    def given_to_class(self, of: Class, name: str) -> list[Held]:
        """What the class and its bases may be given as attributes from outside."""
        return [self._of_class.setdefault((each, name), Held()) for each in self.bases.order(of)]

    def call(self, caller: Function, callee: Function, kind: str, line: int) -> None:
        """Note an edge, and follow what is called; nothing calls what is absent."""
        if callee.module.name in self.absent:
            return
        self.edges.setdefault(caller, {})[Edge(callee, kind, line)] = None
        self.follow(callee)

    def make(self, of: Class) -> Instance:
        """An object of that class exists."""
        made = Instance(of)
        self.put(self.made, made)
        return made

    def take(self, held: Held) -> None:
        """What is in there is held as a value, not just called."""
        self.watch(held, self._take)

    def _take(self, value: Value) -> None:
        if isinstance(value, Function | Bound):
            self.put(self.taken, value)

    def guess(self, caller: Function, line: int, what: str, held: Held) -> None:
        """`held` could be anything: its calls count as the deepest function they could reach."""
        self.guessed[(caller, line, what)] = None
        self.put(held, UNKNOWN)

    def game_modules(self) -> list[Module]:
        """What an import by a name made while running can mean: the game."""
        found = self.program.modules.get(f"{self.game}.game")
        return [found] if found else []

    def follow(self, function: Function) -> None:
        """Read a function the first time it is reached."""
        raise NotImplementedError
