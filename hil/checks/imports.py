"""What a game's sources import from the firmware and from the game itself is there."""

import ast
from collections.abc import Iterator
from functools import cache
from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages

import firmware
from hil.checks.lines import tree_of
from hil.checks.source import Finding, Source
from hil.likeness import near

FIRMWARE = "firmware"
GAMES = "firmware.games"


def imports(source: Source) -> Iterator[Finding]:
    """Modules and names that are not there, with where the name is, or its near miss."""
    for path in source.files():
        for node in tree_of(path).body:
            if isinstance(node, ast.ImportFrom) and not node.level:
                for text in _wrong(source, node.module or "", [one.name for one in node.names]):
                    yield Finding(text, source.at(path, node.lineno))


def _wrong(source: Source, module: str, names: list[str]) -> Iterator[str]:
    if module.startswith(FIRMWARE + ".") and not module.startswith(GAMES):
        yield from _of_firmware(module, names)
    elif module.startswith(source.folder.name + "."):
        inside = source.folder.joinpath(*module.split(".")[1:])
        if not inside.with_suffix(".py").is_file() and not inside.is_dir():
            yield f"there is no module '{module}'{near(module, _own(source))}"


def _own(source: Source) -> list[str]:
    """The game's modules."""
    paths = [path.relative_to(source.folder.parent).with_suffix("") for path in source.files()]
    return [".".join(path.parts) for path in paths]


def _of_firmware(module: str, names: list[str]) -> Iterator[str]:
    if module not in _modules():
        places = {name: _place(name) for name in names}
        if all(places.values()):
            yield f"there is no module '{module}'; {_listed(places)}"
        else:
            yield f"there is no module '{module}'{near(module, _modules())}"
        return
    found = import_module(module)
    for name in names:
        if not hasattr(found, name) and f"{module}.{name}" not in _modules():
            place = _place(name)
            advice = f"; it is in {place}" if place else near(name, vars(found))
            yield f"'{module}' has no '{name}'{advice}"


def _listed(places: dict[str, str]) -> str:
    """Each module with what is in it: "NONE and ON are in firmware.play.claims"."""
    said = []
    for module in dict.fromkeys(places.values()):
        names = [name for name, place in places.items() if place == module]
        said.append(f"{' and '.join(names)} {'is' if len(names) == 1 else 'are'} in {module}")
    return ", ".join(said)


@cache
def _modules() -> tuple[str, ...]:
    return tuple(
        info.name
        for info in walk_packages(firmware.__path__, FIRMWARE + ".")
        if not info.name.startswith(GAMES)
    )


@cache
def _place(name: str) -> str:
    """The module that makes a name, "" when none does or more than one."""
    top = Path(firmware.__path__[0])
    found = []
    for module in _modules():
        path = top.joinpath(*module.split(".")[1:]).with_suffix(".py")
        if any(name in _made(node) for node in tree_of(path).body):
            found.append(module)
    kit = [module for module in found if module.startswith(("firmware.play.", "firmware.parts."))]
    few = kit or found
    return few[0] if len(few) == 1 else ""


def _made(node: ast.stmt) -> list[str]:
    """The names that a statement of a module makes."""
    if isinstance(node, ast.ClassDef | ast.FunctionDef):
        return [node.name]
    targets = node.targets if isinstance(node, ast.Assign) else []
    return [target.id for target in targets if isinstance(target, ast.Name)]
