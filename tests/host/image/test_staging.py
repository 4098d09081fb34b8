"""What goes into an image: the sources themselves, and nothing of the host."""

from pathlib import Path

import pytest

from boards.pico_matrix import native as listed
from firmware.base.errors import UsageError
from hil import games
from hil.build import native, staging
from hil.build.chips import CHIPS
from hil.build.image import check_alignment

ROOT = Path(games.FIRMWARE).parent


@pytest.fixture(scope="module")
def game() -> games.Game:
    return games.load("kit_room")


@pytest.fixture(scope="module")
def engine() -> staging.Files:
    return staging.engine_sources("pico_matrix")


def test_every_source_is_the_file_an_author_wrote(game: games.Game) -> None:
    for path, data in (staging.engine_sources("pico_matrix") | staging.game_sources(game)).items():
        assert data == (ROOT / path).read_bytes(), path


def test_nothing_of_the_host_and_no_other_game_is_in_it(game: games.Game) -> None:
    paths = staging.engine_sources("pico_matrix") | staging.game_sources(game)
    assert "firmware/games/kit_room/features/__init__.py" in paths
    assert "boards/pico_matrix/main.py" in paths
    assert not [path for path in paths if "/host/" in path or "honey_flow" in path or "/image/" in path]
    assert "boards/pico_matrix/check.py" not in paths


def test_a_game_elsewhere_keeps_its_package(tmp_path: Path, game: games.Game) -> None:
    folder = tmp_path / "my_game"
    (folder / "host").mkdir(parents=True)
    for name in ("game.py", "host/routes.py", "rules.txt"):
        (folder / name).write_text("x = 1\n")
    mine = games.Game("my_game", folder, "my_game", None)
    assert sorted(staging.game_sources(mine)) == ["my_game/game.py"]


def test_a_laid_out_folder_holds_these_files_alone_and_keeps_times(tmp_path: Path) -> None:
    staging.lay_out({"a/b.py": b"1", "c.py": b"2"}, tmp_path)
    before = (tmp_path / "c.py").stat().st_mtime_ns
    staging.lay_out({"c.py": b"2", "d.py": b"3"}, tmp_path)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["c.py", "d.py"]
    assert (tmp_path / "c.py").stat().st_mtime_ns == before


def test_a_digest_tells_every_change_apart() -> None:
    files = {"a.py": b"12", "b.py": b"3"}
    seen = {staging.digest(files)}
    for other in (
        {"a.py": b"12", "b.py": b"4"},
        {"a.py": b"1", "b.py": b"23"},
        {"a.py": b"12", "c.py": b"3"},
    ):
        seen.add(staging.digest(other))
    assert len(seen) == 4


@pytest.mark.parametrize("chip", CHIPS)
def test_modules_that_are_machine_code_as_a_whole_are_compiled_here(engine: staging.Files, chip: str) -> None:
    rest, ours = native.split(engine)
    assert sorted(path.replace("/", ".")[:-3] for path in ours) == sorted(listed.VIPER + listed.NATIVE)
    assert rest | ours == engine
    code = native.machine_code(ours, native.compiler_here(), CHIPS[chip].arch)
    assert all(native.is_native(mpy) for mpy in code.values())
    assert sorted(path.replace(".mpy", ".py") for path in code) == sorted(ours)


@pytest.mark.parametrize("chip", CHIPS)
def test_functions_that_a_source_decorates_are_machine_code_for_both_chips(
    engine: staging.Files, chip: str
) -> None:
    for name in ("isr", "rendering", "chain"):
        path = f"boards/pico_matrix/{name}.py"
        made = native.compiled(engine[path], path, native.compiler_here(), CHIPS[chip].arch)
        assert native.is_native(made), path


ALIGNED = "10030a64 t fun_data_scan\n1002e8b8 t fun_data_serve\n10054321 r fun_data_some_bytecode\n"


def test_machine_code_off_its_alignment_is_refused() -> None:
    check_alignment(ALIGNED)
    with pytest.raises(UsageError, match="not aligned to 4 bytes: fun_data_scan"):
        check_alignment(ALIGNED.replace("a64", "a66"))
    with pytest.raises(UsageError, match="no machine code was found"):
        check_alignment(ALIGNED.replace(" t ", " r "))


def test_machine_code_is_told_from_bytecode() -> None:
    compiler = native.compiler_here()
    source = b"def f(n: int) -> int:\n    return n + 1\n"
    assert not native.is_native(native.compiled(source, "f.py", compiler, "armv6m"))
    assert native.is_native(native.compiled(source, "f.py", compiler, "armv6m", "viper"))
