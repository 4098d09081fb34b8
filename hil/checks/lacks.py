"""What of a game's Python MicroPython would not compile, not find, or do otherwise, with a mend each.

Errors are what fails there; notes are what may, and what differs only sometimes. A note that is meant is
answered by `# meant: WHY` at the end of its line.
"""

import ast
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

import firmware
from firmware.base.errors import GameError, UsageError
from hil.build import mpy
from hil.checks import lacking
from hil.checks.chart_finding import MEANT
from hil.checks.source import Finding, Source

OWN = ("firmware", "boards")
ORDERLESS = frozenset(("keys", "values", "items"))
ANY_ORDER = frozenset(("sorted", "sum", "min", "max", "any", "all", "set", "frozenset", "dict", "len"))
NO_STEP = "slices it with a step; MicroPython steps through lists only: list(…)[::2]"


def lacks(source: Source) -> Iterator[Finding]:
    """Everything of that kind in the game's own sources."""
    defined = _defined(source.files()) | _of_the_kit()
    for path in source.files():
        text = path.read_bytes()
        try:
            tree = ast.parse(text)
        except SyntaxError:
            continue  # reported when the game is imported
        lines = text.decode("utf-8", "replace").splitlines()
        reader = Reader(source.folder, defined)
        reader.read(tree)
        for line, words, fatal in sorted(set(reader.problems)):
            if fatal or MEANT not in lines[line - 1]:
                yield Finding(words, source.at(path, line), fatal)
        if not any(fatal for _, _, fatal in reader.problems):
            yield from _uncompiled(source, path)


def _uncompiled(source: Source, path: Path) -> Iterator[Finding]:
    """What the compiler itself refuses, where there is one."""
    try:
        mpy.compiled(path, path.name)
    except UsageError:
        return  # deploying asks for the compiler
    except GameError as error:
        line = int(error.where.rpartition(":")[2])
        yield Finding(f"MicroPython does not compile this line: {error.text}", source.at(path, line))


def _defined(paths: Iterable[Path]) -> set[str]:
    """Names of all functions and attributes that these sources make."""
    found: set[str] = set()
    for path in paths:
        try:
            tree = ast.parse(path.read_bytes())
        except SyntaxError:
            continue
        for node in ast.walk(tree):
            if isinstance(node, ast.FunctionDef | ast.ClassDef):
                found.add(node.name)
            elif isinstance(node, ast.Attribute) and isinstance(node.ctx, ast.Store):
                found.add(node.attr)
            elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
                found.add(node.id)
            elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Attribute):
                found.add(node.target.attr)
    return found


@cache
def _of_the_kit() -> frozenset[str]:
    return frozenset(_defined(Path(firmware.__path__[0]).rglob("*.py")))


class Reader(ast.NodeVisitor):
    """Checks one module; `problems` has line, sentence and whether it is an error."""

    def __init__(self, folder: Path, defined: set[str]) -> None:
        self.problems: list[tuple[int, str, bool]] = []
        self._package = folder.name
        self._defined = defined
        self._bound: set[str] = set()
        self._kinds: dict[str, type] = {}
        self._functions: set[str] = set()

    def read(self, tree: ast.Module) -> None:
        """Note which names the module binds, and to what, then look."""
        for node in ast.walk(tree):
            if isinstance(node, ast.FunctionDef | ast.ClassDef):
                self._bound.add(node.name)
            elif isinstance(node, ast.Name) and not isinstance(node.ctx, ast.Load):
                self._bound.add(node.id)
            elif isinstance(node, ast.alias):
                self._bound.add((node.asname or node.name).partition(".")[0])
            elif isinstance(node, ast.arg):
                self._bound.add(node.arg)
            if isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None:
                self._note_kind(node, node.value)
        self._functions = {node.name for node in tree.body if isinstance(node, ast.FunctionDef)}
        self.visit(tree)

    def _note_kind(self, node: "ast.Assign | ast.AnnAssign", value: ast.expr) -> None:
        for target in node.targets if isinstance(node, ast.Assign) else [node.target]:
            name = ast.unparse(target)
            kind = _kind(value)
            if self._kinds.setdefault(name, kind) is not kind:
                self._kinds[name] = object

    def _say(self, node: "ast.expr | ast.stmt", words: str, fatal: bool = True) -> None:
        self.problems.append((node.lineno, words, fatal))

    # syntax ----------------------------------------------------------------------------------

    def visit_Match(self, node: ast.Match) -> None:
        """No `match` statement."""
        self._say(node, "MicroPython has no 'match'; write if and elif")
        self.generic_visit(node)

    def visit_TryStar(self, node: ast.TryStar) -> None:
        """No `except*`."""
        self._say(node, "MicroPython has no 'except*'; catch one error at a time")
        self.generic_visit(node)

    def visit_Dict(self, node: ast.Dict) -> None:
        """No `**` in a dict display."""
        if None in node.keys:
            self._say(node, "MicroPython does not compile {**a}; copy the dict and update it")
        self.generic_visit(node)

    def visit_List(self, node: ast.List) -> None:
        """No `*` in a list display."""
        self._starred(node, "[*a, b]; write list(a) + [b]")

    def visit_Tuple(self, node: ast.Tuple) -> None:
        """No `*` in a tuple display."""
        self._starred(node, "(*a, b); write tuple(a) + (b,)")

    def visit_Set(self, node: ast.Set) -> None:
        """No `*` in a set display."""
        self._starred(node, "{*a, b}; write set(a) | {b}")

    def _starred(self, node: "ast.List | ast.Tuple | ast.Set", words: str) -> None:
        stored = not isinstance(node, ast.Set) and isinstance(node.ctx, ast.Store)
        if not stored and any(isinstance(each, ast.Starred) for each in node.elts):
            self._say(node, "MicroPython does not compile " + words)
        self.generic_visit(node)

    def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
        """No positional-only arguments, no type parameters."""
        if node.args.posonlyargs:
            self._say(node, "MicroPython does not compile '/' among arguments; leave it out")
        if getattr(node, "type_params", None):
            self._say(node, "MicroPython has no type parameters; leave the brackets out")
        self._decorated(node)

    def visit_ClassDef(self, node: ast.ClassDef) -> None:
        """No class keywords, no methods that MicroPython never calls."""
        if node.keywords:
            self._say(node, f"MicroPython classes take no '{node.keywords[0].arg}='; leave it out")
        for method in node.body:
            if isinstance(method, ast.FunctionDef) and method.name in lacking.UNCALLED:
                instead = lacking.UNCALLED[method.name]
                self._say(method, f"MicroPython never calls {method.name}; {instead}")
        self._decorated(node)

    def _decorated(self, node: "ast.FunctionDef | ast.ClassDef") -> None:
        for each in node.decorator_list:
            called = each.func if isinstance(each, ast.Call) else each
            while isinstance(called, ast.Attribute):
                called = called.value
            if not isinstance(called, ast.Name):
                self._say(node, "MicroPython takes only names as decorators; give the expression a name")
        for stated in node.body:
            self.visit(stated)
        for other in node.decorator_list:
            self.visit(other)
        if isinstance(node, ast.FunctionDef):
            for default in (*node.args.defaults, *(each for each in node.args.kw_defaults if each)):
                self.visit(default)  # annotations are never evaluated there

    def visit_AnnAssign(self, node: ast.AnnAssign) -> None:
        """The target and the value; annotations are never evaluated there."""
        for each in (node.target, node.value):
            if each is not None:
                self.visit(each)

    # imports and names -----------------------------------------------------------------------

    def visit_If(self, node: ast.If) -> None:
        """Statements under `TYPE_CHECKING` are never run there, so only the others are checked."""
        if not (isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"):
            self.generic_visit(node)
            return
        for stated in node.orelse:
            self.visit(stated)

    def visit_Try(self, node: ast.Try) -> None:
        """An import that may fail with ImportError is allowed in a `try` that catches it."""
        caught = {
            name.id
            for each in node.handlers
            if each.type
            for name in ast.walk(each.type)
            if isinstance(name, ast.Name)
        }
        for part in (node.body, *(each.body for each in node.handlers), node.orelse, node.finalbody):
            for stated in part:
                if not (isinstance(stated, ast.Import | ast.ImportFrom) and "ImportError" in caught):
                    self.visit(stated)
        for handler in node.handlers:
            if handler.type is not None:
                self.visit(handler.type)

    def visit_Import(self, node: ast.Import) -> None:
        """Modules exist."""
        for each in node.names:
            self._module(node, each.name)

    def visit_ImportFrom(self, node: ast.ImportFrom) -> None:
        """Modules and the names imported from them exist."""
        name = node.module or ""
        if node.level or not self._module(node, name):
            return
        for each in node.names:
            self._name_of(node, name, each.name)

    def _module(self, node: ast.stmt, name: str) -> bool:
        top = name.partition(".")[0]
        if name in lacking.UNREPEATABLE:
            self._say(node, f"runs with '{name}' are not repeatable; {lacking.UNREPEATABLE[name]}", False)
        if top in OWN or top == self._package or (name in lacking.MODULES):
            return True
        instead = lacking.INSTEAD.get(name, "do without it")
        self._say(node, f"MicroPython has no module '{name}'; {instead}")
        return False

    def _name_of(self, node: "ast.expr | ast.stmt", module: str, name: str) -> None:
        if module in lacking.NAMES and name not in lacking.NAMES[module]:
            self._say(node, f"MicroPython's '{module}' has no '{name}'; write it out")

    def visit_Name(self, node: ast.Name) -> None:
        """Built-in names exist, unless the module binds them itself."""
        if node.id in lacking.BUILTINS and node.id not in self._bound:
            self._say(node, f"MicroPython has no '{node.id}'; do without it")

    def visit_Attribute(self, node: ast.Attribute) -> None:
        """Attributes exist; functions take none."""
        if isinstance(node.value, ast.Name) and node.value.id in lacking.NAMES:
            self._name_of(node, node.value.id, node.attr)
        loaded = isinstance(node.ctx, ast.Load)
        if loaded and node.attr in lacking.ATTRIBUTES and node.attr not in self._defined:
            self._say(node, f"MicroPython has no '.{node.attr}'; {lacking.ATTRIBUTES[node.attr]}")
        if not loaded and isinstance(node.value, ast.Name) and node.value.id in self._functions:
            self._say(node, "a function has no attributes in MicroPython; use a variable of the module")
        self.generic_visit(node)

    # calls, slices, operators ----------------------------------------------------------------

    def visit_Call(self, node: ast.Call) -> None:
        """Built-in functions and methods take the arguments that they are called with."""
        called = node.func.id if isinstance(node.func, ast.Name) else ""
        method = node.func.attr if isinstance(node.func, ast.Attribute) else ""
        name = called or method
        if name not in self._defined:
            for function, keyword, instead in lacking.KEYWORDS:
                if name == function and any(each.arg == keyword for each in node.keywords):
                    self._say(node, f"MicroPython's {name} takes no '{keyword}='; {instead}")
        if called == "iter" and len(node.args) == 2:
            self._say(node, "MicroPython's iter takes one argument; write a loop")
        if called in ("isinstance", "issubclass") and isinstance(node.args[-1], ast.BinOp):
            self._say(node, "MicroPython's types cannot be joined by |; give them as a tuple")
        if (called == "sorted" or method == "sort") and any(each.arg == "key" for each in node.keywords):
            words = (
                "MicroPython's sort may exchange what has the same key; let the key tell all of them apart"
            )
            self._say(node, words, False)
        self._visit_call(node, called, method)

    def _visit_call(self, node: ast.Call, called: str, method: str) -> None:
        """The arguments; those of a function that does not mind the order may be a dict or a set."""
        free = called in ANY_ORDER or method == "update"
        self.visit(node.func)
        for each in node.args:
            if free and isinstance(each, ast.GeneratorExp):
                for loop in each.generators:
                    self._loop(loop.iter, free)
                    for test in loop.ifs:
                        self.visit(test)
                self.visit(each.elt)
            else:
                self.visit(each)
                if called in ("list", "tuple", "enumerate", "zip", "map", "filter", "iter"):
                    self._loop(each, False)
        for keyword in node.keywords:
            self.visit(keyword.value)

    def visit_For(self, node: ast.For) -> None:
        """The order of what a loop goes through is defined."""
        self._loop(node.iter, False)
        self.generic_visit(node)

    def visit_comprehension(self, node: ast.comprehension) -> None:
        """The order of what a comprehension goes through is defined."""
        self._loop(node.iter, False)
        self.generic_visit(node)

    def _loop(self, over: ast.expr, free: bool) -> None:
        called = over.func if isinstance(over, ast.Call) and not over.args else None
        asked = isinstance(called, ast.Attribute) and called.attr in ORDERLESS
        kind = self._kinds.get(ast.unparse(over), _kind(over))
        if not free and (asked or kind in (dict, set)):
            words = "MicroPython's dicts and sets have an order of their own; go through sorted(…)"
            self._say(over, words, False)

    def visit_Subscript(self, node: ast.Subscript) -> None:
        """Slices with a step."""
        if isinstance(node.slice, ast.Slice) and node.slice.step is not None:
            self._step(node, node.slice.step)
        self.generic_visit(node)

    def _step(self, node: ast.Subscript, step: ast.expr) -> None:
        if isinstance(step, ast.Constant) and step.value in (1, None):
            return
        kind = self._kinds.get(ast.unparse(node.value), _kind(node.value))
        if not isinstance(node.ctx, ast.Load):
            self._say(node, "MicroPython neither sets nor deletes a slice with a step; write a loop")
        elif kind in (tuple, str, bytes):
            self._say(node, f"this {NO_STEP}")
        elif kind is not list:
            self._say(node, f"this {NO_STEP}", False)

    def visit_BinOp(self, node: ast.BinOp) -> None:
        """Divisions that give floats; a bytearray multiplied."""
        if isinstance(node.op, ast.Div):
            self._say(node, "a board's floats have 24 bits and take heap; divide whole numbers by //", False)
        if isinstance(node.op, ast.Mult) and _kind(node.left) is bytearray:
            self._say(node, "MicroPython does not multiply a bytearray; give its length to bytearray()")
        self.generic_visit(node)

    def visit_Constant(self, node: ast.Constant) -> None:
        """No float literals, as a note."""
        if isinstance(node.value, float):
            self._say(node, "a board's floats have 24 bits and take heap; count in whole numbers", False)


KINDS: "dict[type[ast.expr], type]" = {
    ast.List: list,
    ast.ListComp: list,
    ast.Tuple: tuple,
    ast.Dict: dict,
    ast.DictComp: dict,
    ast.Set: set,
    ast.SetComp: set,
    ast.JoinedStr: str,
}
MADE = {
    "list": list,
    "sorted": list,
    "tuple": tuple,
    "divmod": tuple,
    "str": str,
    "bytes": bytes,
    "dict": dict,
}
MADE |= {"set": set, "frozenset": set, "bytearray": bytearray}


def _kind(value: ast.expr) -> type:
    """What an expression makes, as far as it shows; else object."""
    if isinstance(value, ast.Constant):
        return type(value.value)
    if isinstance(value, ast.Call) and isinstance(value.func, ast.Name):
        return MADE.get(value.func.id, object)
    return KINDS.get(type(value), object)
