"""Which file of a bundle each symbol is in.

What is needed from the start is in the main module. A module that is only imported inside functions
stays a file of its own, so that it can be let go again.
"""

import ast

from hil.bundle.live import Live
from hil.bundle.modules import Modules, Symbol
from hil.bundle.plan import Plan


def give_images(modules: Modules, plan: Plan) -> None:
    """Put functions that fetch an image in the place of those that the plan names."""
    for function in plan.images:
        module = modules.all[function.module]
        node = module.defined[function.name]
        if not isinstance(node, ast.FunctionDef):
            raise module.refuse(node, f"'{function.name}' is to give an image and is no function")
        name = plan.file_of(function)
        body = f"import sys\nimport {name}\nmade = {name}.unpack()\ndel sys.modules['{name}']\nreturn made"
        node.body = ast.parse(body).body


def homes(live: Live, plan: Plan) -> "dict[Symbol, str]":
    """By symbol the module of the bundle that it is in."""
    found = dict.fromkeys(live.symbols, "")
    waiting = [*plan.entries, *live.imaged]
    while waiting:
        symbol = waiting.pop()
        if not found[symbol]:
            found[symbol] = plan.name
            waiting.extend(live.needs[symbol])
    return {symbol: home or symbol.module for symbol, home in found.items()}
