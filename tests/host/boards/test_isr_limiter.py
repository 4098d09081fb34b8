"""The console may ask the board's limiter whatever it may ask the plain one, at any moment."""

import ast
import importlib
from pathlib import Path
from typing import Any

from board_bench import Bench

import boards
import firmware
from firmware.devices.coil_limiter import CoilLimiter
from firmware.devices.native import limiter as c
from firmware.games.honey_flow import wiring

COILS = [row[0] for row in wiring.COILS]
BUTTON = [row[0] for row in wiring.SWITCHES].index("button.left")
# reads the ring alone, or asks through `_answer`, which is locked
INHERITED = {"first", "reason", "fire", "off", "resting", "begin"}


def methods(path: Path, name: str) -> dict[str, int]:
    """Public methods of a class and how many arguments each takes."""
    (found,) = [
        node
        for node in ast.parse(path.read_text()).body
        if isinstance(node, ast.ClassDef) and node.name == name
    ]
    return {
        each.name: len(each.args.args)
        for each in found.body
        if isinstance(each, ast.FunctionDef) and not each.name.startswith("_")
    }


def test_what_changes_the_state_is_locked_or_left_to_the_callback() -> None:
    plain = methods(Path(firmware.__path__[0]) / "devices/coil_limiter.py", "CoilLimiter")
    ours = methods(Path(boards.__path__[0]) / "pico_matrix/isr_limiter.py", "IsrCoilLimiter")
    assert set(plain) > INHERITED
    asked = {name: arguments for name, arguments in plain.items() if name not in INHERITED}
    assert {name: ours.get(name) for name in asked} == asked


def test_it_answers_as_the_plain_one_by_the_callbacks_clock(chip: Any, monkeypatch: Any) -> None:
    bench = Bench(chip)
    locked: list[str] = []
    machine = importlib.import_module("machine")
    monkeypatch.setattr(machine, "disable_irq", lambda: locked.append("off"), raising=False)
    monkeypatch.setattr(machine, "enable_irq", lambda _state: locked.append("on"), raising=False)
    bench.run(250)
    now = bench.cells[bench.isr.NOW]
    plain = CoilLimiter(wiring)
    plain.state[c.LEASE_END] = bench.limits[c.LEASE_END]  # which the callback moved while the door was open
    ours = bench.limiter()
    for each in (plain, ours):
        each.begin(now)
    asked = 0
    for coil in range(len(COILS)):
        for ms in (20, 20, 30, -1, 0, -3, 1 << 29):
            assert ours.reason(coil, ms, 0) == plain.reason(coil, ms, now)
            assert ours.fire(coil, ms, 0) == plain.fire(coil, ms, now)
            assert ours.resting(coil, 0) == plain.resting(coil, now)
            asked += 3
        ours.off(coil, 0)
        plain.off(coil, now)
        asked += 1
    assert list(bench.limits) == list(plain.state)
    assert locked == ["off", "on"] * asked


def test_all_off_lets_go_of_coils_and_flippers(chip: Any) -> None:
    bench = Bench(chip)
    bench.enable()
    bench.renew()
    bench.buttons = 1
    bench.run(20)
    assert bench.limits[c.DRIVEN]
    bench.limiter().off_all()
    assert (bench.limits[c.DRIVEN], bench.limits[c.ARMED]) == (0, 0)
    bench.run(2)
    assert bench.outputs == 0
