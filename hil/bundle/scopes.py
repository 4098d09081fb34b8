"""Which names in a piece of source are local, which global: a transformer that knows its scopes.

The rules are those both Pythons share: a comprehension is a scope of its own whose first iterable is
evaluated outside; methods do not see the names of their class; a name bound anywhere in a function
is local to all of it.
"""

import ast

FUNCTIONS = (ast.FunctionDef, ast.Lambda)
COMPREHENSIONS = (ast.ListComp, ast.SetComp, ast.GeneratorExp, ast.DictComp)


class Scoped(ast.NodeTransformer):
    """Walks one definition; subclasses override `seen_…`, which give what takes a name's place."""

    def __init__(self) -> None:
        self._scopes: list[set[str]] = []
        self._class: set[str] = set()  # names of the class body being walked, outside its methods

    def in_class(self, members: "frozenset[str]") -> None:
        """What is walked next stands in the body of a class with these members."""
        self._class = set(members)

    # What subclasses may change ------------------------------------------------------------------

    def seen_global(self, node: ast.Name) -> ast.expr:
        """A name that no scope around it binds."""
        return node

    def seen_local(self, name: str) -> str:
        """A local name or parameter, bound or used."""
        return name

    def seen_attribute(self, name: str) -> str:
        """A name after a dot, or one bound in a class body."""
        return name

    def seen_member(self, node: ast.Attribute) -> "ast.expr | None":
        """`GLOBAL.name`: what takes its place, None for an attribute like others."""
        return None

    def seen_keyword(self, call: ast.Call, name: str) -> str:
        """The name of a keyword argument."""
        return name

    # Walking -------------------------------------------------------------------------------------

    def is_local(self, name: str) -> bool:
        """Whether a function around here binds `name`."""
        return any(name in scope for scope in self._scopes)

    def visit_Name(self, node: ast.Name) -> ast.expr:
        if hasattr(node, "meant"):  # its meaning does not hang on where it stands, see fold
            return self.seen_global(node)
        if self.is_local(node.id):
            return ast.copy_location(ast.Name(self.seen_local(node.id), node.ctx), node)
        if node.id in self._class and not self._scopes:
            return ast.copy_location(ast.Name(self.seen_attribute(node.id), node.ctx), node)
        return self.seen_global(node)

    def visit_Attribute(self, node: ast.Attribute) -> ast.expr:
        value = node.value
        if isinstance(value, ast.Name) and not hasattr(value, "meant") and not self.is_local(value.id):
            member = self.seen_member(node)
            if member is not None:
                return member
        node.value = self.visit(node.value)
        node.attr = self.seen_attribute(node.attr)
        return node

    def visit_Call(self, node: ast.Call) -> ast.expr:
        for keyword in node.keywords:
            if keyword.arg is not None:
                keyword.arg = self.seen_keyword(node, keyword.arg)
        self.generic_visit(node)
        return node

    def visit_Global(self, node: ast.Global) -> ast.stmt:
        node.names = [_name_of(self.seen_global(ast.Name(name, ast.Store()))) for name in node.names]
        return node

    def visit_Nonlocal(self, node: ast.Nonlocal) -> ast.stmt:
        node.names = [self.seen_local(name) for name in node.names]
        return node

    def visit_Import(self, node: ast.Import) -> ast.stmt:
        self._bring_in(node.names)
        return node

    def visit_ImportFrom(self, node: ast.ImportFrom) -> ast.stmt:
        self._bring_in(node.names)
        return node

    def _bring_in(self, names: "list[ast.alias]") -> None:
        for alias in names:
            if self.is_local(alias.asname or alias.name):
                called = self.seen_local(alias.asname or alias.name)
                alias.asname = called if called != alias.name else None

    def visit_ExceptHandler(self, node: ast.ExceptHandler) -> ast.AST:
        if node.name and self.is_local(node.name):
            node.name = self.seen_local(node.name)
        return self.generic_visit(node)

    def visit_ClassDef(self, node: ast.ClassDef) -> ast.stmt:
        node.bases = [self.visit(base) for base in node.bases]
        self._class = bound_in(node.body)
        body: list[ast.stmt] = []
        for part in node.body:
            visited = self.visit(part)
            if isinstance(visited, ast.FunctionDef):
                visited.name = self.seen_attribute(visited.name)
            body.append(visited)
        node.body = body
        self._class = set()
        return node

    def visit_FunctionDef(self, node: ast.FunctionDef) -> ast.stmt:
        node.decorator_list = [self.visit(decorator) for decorator in node.decorator_list]
        if self.is_local(node.name):
            node.name = self.seen_local(node.name)
        self._function(node)
        return node

    def visit_Lambda(self, node: ast.Lambda) -> ast.expr:
        self._function(node)
        return node

    def _function(self, node: "ast.FunctionDef | ast.Lambda") -> None:
        arguments = node.args
        arguments.defaults = [self.visit(default) for default in arguments.defaults]
        arguments.kw_defaults = [default and self.visit(default) for default in arguments.kw_defaults]
        body: list[ast.stmt] = node.body if isinstance(node.body, list) else [ast.Expr(node.body)]
        names = parameters(arguments)
        self._scopes.append(bound_in(body) | {each.arg for each in names})
        for each in names:
            each.arg = self.seen_local(each.arg)
        if isinstance(node.body, list):
            node.body = self.visit_all(node.body)
        else:
            node.body = self.visit(node.body)
        self._scopes.pop()

    def visit_all(self, body: "list[ast.stmt]") -> "list[ast.stmt]":
        """Statements, some of which may become none or several."""
        found: list[ast.stmt] = []
        for part in body:
            visited = self.visit(part)
            if visited is not None:
                found.extend(visited if isinstance(visited, list) else [visited])
            if found and isinstance(found[-1], (ast.Return, ast.Raise, ast.Continue, ast.Break)):
                break
        return found

    def _comprehension(self, node: ast.expr) -> ast.expr:
        assert isinstance(node, COMPREHENSIONS)
        node.generators[0].iter = self.visit(node.generators[0].iter)
        bound: set[str] = set()
        for generator in node.generators:
            bound |= {each.id for each in ast.walk(generator.target) if isinstance(each, ast.Name)}
        self._scopes.append(bound)
        for i, generator in enumerate(node.generators):
            generator.target = self.visit(generator.target)
            if i:
                generator.iter = self.visit(generator.iter)
            generator.ifs = [self.visit(each) for each in generator.ifs]
        if isinstance(node, ast.DictComp):
            node.key, node.value = self.visit(node.key), self.visit(node.value)
        else:
            node.elt = self.visit(node.elt)
        self._scopes.pop()
        return node

    visit_ListComp = visit_SetComp = visit_GeneratorExp = visit_DictComp = _comprehension


def parameters(arguments: ast.arguments) -> list[ast.arg]:
    """Every parameter of a function."""
    found = [*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs]
    return found + [each for each in (arguments.vararg, arguments.kwarg) if each]


def bound_in(body: "list[ast.stmt]") -> set[str]:
    """The names that these statements bind in their own scope."""
    bound: set[str] = set()
    outer: set[str] = set()
    waiting: list[ast.AST] = list(body)
    while waiting:
        node = waiting.pop()
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)):
            bound.add(node.name)
            waiting.extend(node.decorator_list)
            continue
        if isinstance(node, (ast.Global, ast.Nonlocal)):
            outer.update(node.names)
        elif isinstance(node, ast.Name) and not isinstance(node.ctx, ast.Load):
            bound.add(node.id)
        elif isinstance(node, (ast.Import, ast.ImportFrom)):
            bound.update((alias.asname or alias.name).split(".")[0] for alias in node.names)
        elif isinstance(node, ast.ExceptHandler) and node.name:
            bound.add(node.name)
        if isinstance(node, ast.Lambda):
            continue
        if isinstance(node, COMPREHENSIONS):
            waiting.append(node.generators[0].iter)
            waiting.extend(each for each in ast.walk(node) if isinstance(each, ast.NamedExpr))
            continue
        waiting.extend(ast.iter_child_nodes(node))
    return bound - outer


def _name_of(node: ast.expr) -> str:
    assert isinstance(node, ast.Name)
    return node.id
