"""Packages made for one test, bundled and run on both Pythons."""

import subprocess
import sys
import textwrap

import pytest

from firmware.base.errors import UsageError
from hil import micropython
from hil.bundle import compiling
from hil.bundle.modules import Symbol
from hil.bundle.plan import Plan

try:
    micropython.find()
    compiling.find_compiler()
    MISSING = ""
except UsageError as error:
    MISSING = str(error)


class Made:
    """A package of its own for one test."""

    def __init__(self, folder, name, modules):
        self.name = name
        (folder / name).mkdir()
        (folder / name / "__init__.py").touch()
        for module, source in modules.items():
            (folder / name / f"{module}.py").write_text(textwrap.dedent(source))

    def symbol(self, module, name):
        return Symbol(f"{self.name}.{module}", name)

    def real(self, module):
        __import__(f"{self.name}.{module}")
        return sys.modules[f"{self.name}.{module}"]

    def plan(self, entry="main.results", images=None, keep=(), short=True):
        entries = (self.symbol(*entry.split(".")),)
        return Plan("whole", entries, images or {}, keep=keep, packages=(self.name, "firmware"), short=short)


@pytest.fixture
def package(tmp_path, monkeypatch, request):
    monkeypatch.syspath_prepend(str(tmp_path))
    name = "odd_" + "".join(each for each in request.node.name if each.isalnum())[:40].lower()
    yield lambda **modules: Made(tmp_path, name, modules)
    for each in [each for each in sys.modules if each.split(".")[0] == name]:
        del sys.modules[each]


@pytest.fixture(scope="session")
def compilers():
    """Skips where MicroPython or its compiler is missing."""
    if MISSING:
        pytest.skip(MISSING)


@pytest.fixture
def on_micropython(compilers):
    """What MicroPython prints of a bundle's results."""

    def run(bundle, folder, code="print(whole.results())"):
        folder.mkdir(exist_ok=True)
        for name, data in compiling.files(bundle).items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        begin = f"import sys\nsys.path.insert(0, {str(folder)!r})\nimport whole\n"
        done = subprocess.run(
            [micropython.find(), "-c", begin + code], capture_output=True, text=True, timeout=60
        )
        return done.stdout.strip() or done.stderr

    return run


@pytest.fixture
def on_cpython():
    """What a bundle's results are in this Python."""

    def run(bundle):
        space = {"__name__": "whole"}
        exec(bundle.sources["whole"], space)
        return str(space["results"]())

    return run
