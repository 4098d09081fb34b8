"""The bundle of a whole machine plays as the sources do."""

import subprocess

import pytest

from firmware.base.image import Reader
from hil import games, micropython
from hil.bundle import compiling, machine
from hil.bundle.make import make
from hil.bundle.text import readable
from hil.command.measure import taken_down
from hil.measure.memory import PLAYER, plan_for

# Between them: a whole game of several players, ramps, windows, banks, pots, multiball, the wheel, a
# tilt, ball search, high scores, every page of the operator's that moves something.
SCRIPTS = (
    "whole_game",
    "nectar_stands_still_on_a_ramp",
    "wax_ladder_to_the_top",
    "pollen_run_after_a_tilt",
    "wheel_finds_home",
    "operator_counts",
    "honey_jar_from_game_to_game",
    "bee_lanes_belong_to_the_player",
    "extra_ball_at_most_two",
)
DRIVER = f"""
import sys
sys.path.insert(0, sys.argv[1])
import whole
__import__({PLAYER!r})
player = sys.modules[{PLAYER!r}]
for line in sys.stdin:
    path, seed, settings = line.strip().split("|")
    console = whole.console(None)
    console.begin(whole.Board(), int(seed), eval(settings), 0)
    run = player.Run(console, player.read(path))
    player.heap_use(run)
    print(run.digest(), run.allocated)
"""

needed = pytest.mark.usefixtures("compilers")


@pytest.fixture(scope="module")
def game():
    return games.load("honey_flow")


@pytest.fixture(scope="module")
def bundle(game):
    return make(plan_for(game))


def unpacked(bundle, folder, lines=False):
    for name, data in compiling.files(bundle, lines=lines).items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return folder


@needed
def test_scripts_make_the_traces_of_the_desk_and_allocate_nothing_in_play(game, bundle, tmp_path):
    folder = unpacked(bundle, tmp_path / "board")
    (tmp_path / "driver.py").write_text(DRIVER)
    known = {path.stem for path in game.scripts.glob("*.play")}
    rows = [row[0] for row in game.module.SETTINGS]
    tapes, lines = [], ""
    for name in [name for name in SCRIPTS if name in known]:
        tape = taken_down(game, game.scripts / f"{name}.play")
        (tmp_path / f"{name}.txt").write_text(tape.lines())
        settings = {rows.index(setting): n for setting, n in tape.settings.items()}
        lines += f"{tmp_path / name}.txt|{tape.seed}|{settings}\n"
        tapes.append((name, tape.digest))
    assert len(tapes) > 6
    done = subprocess.run(
        [micropython.find(), str(tmp_path / "driver.py"), str(folder)],
        input=lines,
        capture_output=True,
        text=True,
        timeout=600,
    )
    assert not done.returncode, done.stdout + done.stderr
    played = [line.split(" ") for line in done.stdout.splitlines()]
    assert [(name, told[0]) for (name, _), told in zip(tapes, played, strict=True)] == tapes
    in_play = {name: told[1] for (name, _), told in zip(tapes, played, strict=True) if "operator" not in name}
    assert set(in_play.values()) == {"0"}, in_play


def test_the_same_sources_make_the_same_bundle(game, bundle):
    again = make(plan_for(game))
    assert again.sources == bundle.sources
    assert again.images == bundle.images


def test_only_what_runs_in_play_is_in_the_main_module(bundle):
    for set_up_only in ("Packer", "meant", "_heard_openings", "chart", "docstring"):
        assert f"global {set_up_only}\n" not in bundle.names
    main = bundle.sources[machine.NAME]
    assert '"""' not in main
    assert "->" not in main
    assert "firmware.operator.walk" in bundle.sources, "the pages come apart"


def test_an_image_is_much_smaller_than_the_code_that_makes_it(bundle):
    assert 4096 < len(bundle.images["whole_console"]) < 20_000


def test_every_short_name_is_in_the_map(bundle):
    shorts = {line.split(" ")[1] for line in bundle.names.splitlines()}
    assert {"a", "b", "A"} <= shorts
    assert "attribute" in {line.split(" ")[0] for line in bundle.names.splitlines()}


@needed
def test_a_traceback_is_read_in_the_lines_of_the_sources(bundle, tmp_path):
    folder = unpacked(bundle, tmp_path, lines=True)
    code = (
        f"import sys\nsys.path.insert(0, {str(folder)!r})\nimport whole\n"
        "console = whole.console(None)\nconsole.begin(whole.Board(), 1, {0: -7}, 0)\n"
    )
    done = subprocess.run([micropython.find(), "-c", code], capture_output=True, text=True, timeout=60)
    assert done.returncode
    told = readable(done.stdout + done.stderr, bundle)
    line = next(line for line in told.splitlines() if "console.py" in line)
    number = int(line.split("line ")[1].split(",")[0])
    source = (games.FIRMWARE / "console.py").read_text().splitlines()
    assert "raise GameError" in source[number - 1]
    assert "begin" in line


@needed
@pytest.mark.parametrize("name", ["honey_flow", "kit_room"])
def test_a_pico_program_with_a_game_in_it_is_made(name):
    bundle = make(machine.for_board(games.load(name), "pico_matrix"))
    files = compiling.files(bundle, "armv6m")
    assert {"whole.mpy", "whole_console.image", "whole_facts.image", "whole_tables.image"} <= set(files)
    assert sum(len(data) for data in files.values()) < 256 * 1024


@needed
def test_no_module_is_without_an_object(bundle):
    """Of such a one MicroPython keeps alive what lies behind it on the heap."""
    files = compiling.files(bundle)
    counts = {path: compiling.objects(data) for path, data in files.items() if path.endswith(".mpy")}
    assert len(counts) > 10
    assert min(counts.values()) >= 1, counts
    plain = compiling.compiled(bundle.sources["firmware.play.names"], "names")
    assert compiling.objects(plain) == 0
    assert compiling.objects(compiling.compiled("a = b'1'\nb = b'23'\n", "two")) == 2


def test_the_reader_reads_what_the_format_says():
    class Source:
        def readinto(self, piece):
            # 4 places; 0, 5, 127, 128, 300; then values: −1, 2, 2^30 − 1, −2^30, None, True, "x"
            data = bytes([4, 0, 5, 127, 0x80, 1, 0xAC, 2, 3, 9])
            data += bytes([0xFD, 0xFF, 0xFF, 0xFF, 15, 0xFF, 0xFF, 0xFF, 0xFF, 15])
            data += bytes([0, 4, 6])
            piece[: len(data)] = data
            return len(data)

    reader = Reader(Source(), ("x",))
    assert [reader.number() for _ in range(5)] == [0, 5, 127, 128, 300]
    assert [reader.value() for _ in range(2)] == [-1, 2]
    assert [reader.value() for _ in range(2)] == [2**30 - 1, -(2**30)]
    assert [reader.value() for _ in range(3)] == [None, True, "x"]
