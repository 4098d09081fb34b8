"""Plays recorded contacts into a console and prints trace hash and fault log; runs on every Python.

    micropython stuck_tape.py GAME_PACKAGE CONTACTS SEED [NAME=VALUE …]

prints the hash, then `name detail` for each fault.
"""

import sys

from firmware.console import Console
from hil.benchmarks.whole_run import Run, read


def main(words: "list[str]") -> None:
    """Play the contacts to their end and print the result."""
    package, path, seed = words[:3]
    __import__(package + ".game")
    settings = {}
    for word in words[3:]:
        name, value = word.split("=")
        settings[name] = int(value)
    console = Console(sys.modules[package + ".game"], seed=int(seed), settings=settings)
    run = Run(console, read(path))
    while run.step():
        pass
    faults = console.play.faults
    print(run.digest())
    for at in range(faults.count):
        print(faults.name(at), faults.numbers(at)[0])


if __name__ == "__main__":
    main(sys.argv[1:])
