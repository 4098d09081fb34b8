"""The bases of the program's classes, as MicroPython looks through them: base by base, each to its root."""

import ast

from hil.checks.stack.program import Class, Module, Program


class Bases:
    """Which classes of the program each class is made of."""

    def __init__(self, program: Program) -> None:
        self._program = program
        self._bases: dict[Class, list[Class]] = {}
        self._outside: dict[Class, list[str]] = {}
        self._orders: dict[Class, tuple[Class, ...]] = {}
        for made in program.classes.values():
            self._resolve(made)

    def _resolve(self, made: Class) -> None:
        self._bases[made] = []
        self._outside[made] = []
        for base in made.node.bases:
            found = self._named(made.module, ast.unparse(base), made.node.lineno)
            if found:
                self._bases[made].append(found)
            else:
                self._outside[made].append(ast.unparse(base))

    def _named(self, module: Module, name: str, before_line: int | None = None) -> Class | None:
        """The class that a name of a module means, through its imports; one of its own before a line."""
        first, _, rest = name.partition(".")
        for made in module.classes:
            if made.name == name and (before_line is None or made.node.lineno < before_line):
                return made
        for node in ast.walk(module.tree):
            if isinstance(node, ast.ImportFrom):
                for each in node.names:
                    if (each.asname or each.name) == first:
                        return self._imported(node.module or "", each.name, rest)
            elif isinstance(node, ast.Import) and rest:
                for each in node.names:
                    if (each.asname or each.name) == name.rpartition(".")[0]:
                        return self._imported(each.name, name.rpartition(".")[2], "")
        return None

    def _imported(self, module: str, name: str, rest: str) -> Class | None:
        if rest:
            module, name = f"{module}.{name}", rest
        found = self._program.modules.get(module)
        return self._named(found, name) if found else None

    def order(self, made: Class) -> tuple[Class, ...]:
        """The class and all it inherits from, in the order of the search."""
        if made not in self._orders:
            below = [each for base in self._bases[made] for each in self.order(base)]
            self._orders[made] = tuple(dict.fromkeys((made, *below)))
        return self._orders[made]

    def is_exception(self, made: Class) -> bool:
        """Whether it can be raised."""
        roots = [name for each in self.order(made) for name in self._outside[each]]
        return any(name.endswith(("Exception", "Error", "Exit", "Interrupt")) for name in roots)

    def text(self, made: Class, name: str) -> str | None:
        """The text that a class, or a base, gives to a name in its body; None when it is no plain text."""
        for each in self.order(made):
            for node in each.node.body:
                if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == name:
                    word = node.value.value if isinstance(node.value, ast.Constant) else None
                    return word if isinstance(word, str) else None
        return None
