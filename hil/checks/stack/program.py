"""The modules that run on a board, parsed: classes, functions, and what each is called from."""

import ast
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

Body = ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda
Comprehension = ast.ListComp | ast.SetComp | ast.DictComp | ast.GeneratorExp
COMPREHENSIONS = {
    ast.ListComp: "<listcomp>",
    ast.SetComp: "<setcomp>",
    ast.DictComp: "<dictcomp>",
    ast.GeneratorExp: "<genexpr>",
}
SCOPED = {ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef, ast.Lambda, *COMPREHENSIONS}


@dataclass(eq=False, repr=False)
class Function:
    """One piece of code that is called: a function, a lambda, a comprehension, a class or module body."""

    name: str
    module: "Module"
    node: "Body | Comprehension"
    outer: "Function | None" = None
    holder: "Class | None" = None
    """The class whose method it is."""
    kind: str = "function"
    """function, static, class, property, module, body (of a class), comprehension."""
    inner: "list[Function]" = field(default_factory=list)

    @property
    def line(self) -> int:
        """Where it is written."""
        return getattr(self.node, "lineno", 1)

    @property
    def path(self) -> str:
        """Its names from the module down, as in "Feature.show"."""
        above = f"{self.outer.path}." if self.outer and self.outer.kind != "module" else ""
        return above + self.name

    def __str__(self) -> str:
        return f"{self.module.short}.{self.path}" if self.kind != "module" else self.module.short

    @property
    def where(self) -> str:
        """ "file:line"."""
        return f"{self.module.shown}:{self.line}"

    @cached_property
    def parameters(self) -> list[str]:
        """Those given by place, without the starred."""
        if not isinstance(self.node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            return []
        return [each.arg for each in (*self.node.args.posonlyargs, *self.node.args.args)]

    @cached_property
    def yields(self) -> bool:
        """Whether it is a generator."""
        if isinstance(self.node, ast.GeneratorExp):
            return True
        if not isinstance(self.node, ast.FunctionDef):
            return False
        return any(isinstance(each, ast.Yield | ast.YieldFrom) for each in own_nodes(self.node))

    @cached_property
    def decorators(self) -> list[str]:
        """As they are written."""
        return [ast.unparse(each) for each in getattr(self.node, "decorator_list", ())]

    @cached_property
    def bound(self) -> set[str]:
        """Its local names."""
        return bound_names(self.node)

    @cached_property
    def free(self) -> bool:
        """Whether it uses names of a function around it, or `super()`, and so is a closure."""
        return bool(self.free_names) or "super" in used_names(self.node)

    @cached_property
    def free_names(self) -> set[str]:
        """Names that it, or a function within it, takes from a function around it."""
        names = set(used_names(self.node))
        for each in self.inner:
            names |= each.free_names
        names -= self.bound
        around: set[str] = set()
        above = self.outer
        while above and above.kind != "module":
            if above.kind != "body":
                around |= above.bound
            above = above.outer
        return names & around


@dataclass(eq=False, repr=False)
class Class:
    """One class; bases are resolved when its body is followed."""

    name: str
    module: "Module"
    node: ast.ClassDef
    body: Function
    methods: dict[str, Function] = field(default_factory=dict)

    def __str__(self) -> str:
        return f"{self.module.short}.{self.name}"


@dataclass(eq=False, repr=False)
class Module:
    """One source file."""

    name: str
    path: Path
    shown: str
    tree: ast.Module
    lines: list[str]
    body: Function = field(init=False)
    classes: list[Class] = field(default_factory=list)
    functions: list[Function] = field(default_factory=list)

    @property
    def short(self) -> str:
        """Its name without the packages."""
        return self.name.rpartition(".")[2]

    @cached_property
    def package(self) -> str:
        """What its relative imports start from."""
        return self.name if self.path.name == "__init__.py" else self.name.rpartition(".")[0]

    @cached_property
    def words(self) -> set[str]:
        """Every word in its texts: names that getattr may be given."""
        texts = [each.value for each in ast.walk(self.tree) if isinstance(each, ast.Constant)]
        return {word for text in texts if isinstance(text, str) for word in text.split()}


class Program:
    """All modules by name; `defined` has the functions by their own name."""

    def __init__(self) -> None:
        self.modules: dict[str, Module] = {}
        self.defined: dict[str, list[Function]] = {}
        self.classes: dict[ast.ClassDef, Class] = {}
        self.functions: dict[ast.AST, Function] = {}

    def add(self, name: str, path: Path, shown: str) -> None:
        """Read one file. A file that Python cannot read raises SyntaxError."""
        text = path.read_text(encoding="utf-8")
        module = Module(name, path, shown, ast.parse(text), text.splitlines())
        module.body = Function("<module>", module, module.tree, kind="module")
        self.functions[module.tree] = module.body
        self.modules[name] = module
        self._within(module.body, module.tree, None)

    def add_folder(
        self, package: str, folder: Path, shown: str, leave: "frozenset[str]" = frozenset()
    ) -> None:
        """Read a package with all its modules; folders whose name is in `leave` are left out."""
        for path in sorted(folder.rglob("*.py")):
            parts = path.relative_to(folder).with_suffix("").parts
            if leave & set(parts):
                continue
            names = parts[:-1] if parts[-1] == "__init__" else parts
            self.add(".".join((package, *names)), path, f"{shown}/{path.relative_to(folder).as_posix()}")

    def _within(self, outer: Function, node: ast.AST, holder: Class | None) -> None:
        """Register what is defined right within `node`, and go on into it."""
        for each in ast.iter_child_nodes(node):
            self._one(outer, each, holder)

    def _one(self, outer: Function, node: ast.AST, holder: Class | None) -> None:
        if isinstance(node, ast.ClassDef):
            for each in (*node.decorator_list, *node.bases, *node.keywords):
                self._one(outer, each, None)
            self._class(outer, node)
        elif isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            for each in (*node.decorator_list, *node.args.defaults, *filter(None, node.args.kw_defaults)):
                self._one(outer, each, None)
            kind = kind_of(node) if holder else "function"
            self._function(outer, node, node.name, holder, kind, node.body)
        elif isinstance(node, ast.Lambda):
            for each in (*node.args.defaults, *filter(None, node.args.kw_defaults)):
                self._one(outer, each, None)
            self._function(outer, node, "<lambda>", None, "function", [node.body])
        elif isinstance(node, Comprehension):
            self._comprehension(outer, node)
        elif not is_typing(node):
            self._within(outer, node, holder)

    def _comprehension(self, outer: Function, node: Comprehension) -> None:
        """Its first iterable is made outside."""
        first = node.generators[0].iter
        self._one(outer, first, None)
        inside: list[ast.AST] = [
            each for each in ast.iter_child_nodes(node) if not isinstance(each, ast.comprehension)
        ]
        for each in node.generators:
            inside += [each.target, *([] if each.iter is first else [each.iter]), *each.ifs]
        self._function(outer, node, COMPREHENSIONS[type(node)], None, "comprehension", inside)

    def _class(self, outer: Function, node: ast.ClassDef) -> None:
        body = Function(node.name, outer.module, node, outer, kind="body")
        made = Class(node.name, outer.module, node, body)
        outer.module.classes.append(made)
        outer.inner.append(body)
        self.classes[node] = made
        self.functions[node] = body
        for each in node.body:
            self._one(body, each, made)

    def _function(
        self,
        outer: Function,
        node: "Body | Comprehension",
        name: str,
        holder: Class | None,
        kind: str,
        body: "Sequence[ast.AST]",
    ) -> None:
        made = Function(name, outer.module, node, outer, holder, kind)
        outer.module.functions.append(made)
        outer.inner.append(made)
        self.functions[node] = made
        if holder:
            holder.methods[name] = made
        self.defined.setdefault(name, []).append(made)
        for each in body:
            self._one(made, each, None)


def kind_of(node: "ast.FunctionDef | ast.AsyncFunctionDef") -> str:
    """What a method is by its decorators."""
    for each in node.decorator_list:
        name = ast.unparse(each)
        if name in ("staticmethod", "classmethod", "property"):
            return name.removesuffix("method")
        if name.endswith((".setter", ".deleter")):
            return "property"
    return "function"


def is_typing(node: ast.AST) -> bool:
    """Whether this is code for type checkers alone."""
    return isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"


def own_nodes(node: ast.AST) -> Iterator[ast.AST]:
    """The nodes of a function, without those of functions within it."""
    waiting = [*ast.iter_child_nodes(node)][::-1]
    while waiting:
        each = waiting.pop()
        yield each
        if type(each) not in SCOPED and not is_typing(each):
            waiting += [*ast.iter_child_nodes(each)][::-1]


def used_names(node: ast.AST) -> Iterator[str]:
    """The names that a function uses, without those of functions inside it."""
    for each in own_nodes(node):
        if isinstance(each, ast.Name):
            yield each.id


def bound_names(node: ast.AST) -> set[str]:
    """The local names of a function."""
    if isinstance(node, ast.Module):
        return set()
    found: set[str] = set()
    outside: set[str] = set()
    if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
        found |= {each.arg for each in ast.walk(node.args) if isinstance(each, ast.arg)}
    for each in own_nodes(node):
        if isinstance(each, ast.Name) and isinstance(each.ctx, ast.Store | ast.Del):
            found.add(each.id)
        elif isinstance(each, ast.FunctionDef | ast.ClassDef | ast.ExceptHandler):
            found.add(each.name or "")
        elif isinstance(each, ast.Import | ast.ImportFrom):
            found |= {(alias.asname or alias.name).partition(".")[0] for alias in each.names}
        elif isinstance(each, ast.Global | ast.Nonlocal):
            outside |= set(each.names)
    return found - outside
