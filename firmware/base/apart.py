"""Modules that are only needed for a while."""

import sys


def forget(package: str) -> None:
    """Drop a package and what is in it: its memory is free when the last thing taken from it goes."""
    for name in sorted(sys.modules):
        if name == package or name.startswith(package + "."):
            del sys.modules[name]
            parent, _, last = name.rpartition(".")
            if parent in sys.modules and hasattr(sys.modules[parent], last):
                delattr(sys.modules[parent], last)
