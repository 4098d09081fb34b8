"""What is put on a board, and who it then says it is."""

import hashlib
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

import pytest

from firmware.base.errors import LinkError, UsageError
from hil import deploy, micropython
from hil.games import Game, load

ANSWER = """
import sys, vfs
from boards.pico_matrix import own
vfs.umount("/")
vfs.mount(vfs.VfsPosix(sys.argv[1]), "/")
print(own.answer(bytes.fromhex(sys.argv[2])).hex())
"""
SUMS = """
import sys, vfs
from boards.pico_matrix import fit
vfs.umount("/")
vfs.mount(vfs.VfsPosix(sys.argv[1]), "/")
board = fit.Fit(None)
print(board.sum_told() == board.sum_found())
"""
PRINT = (
    "import hashlib, sys; from hil import deploy; from hil.games import load;"
    "print(hashlib.sha256(repr(sorted(deploy.files(load('honey_flow'), 'pico_matrix').items())).encode())"
    ".hexdigest())"
)


@pytest.fixture(scope="module")
def game() -> Game:
    return load("honey_flow")


@pytest.fixture(scope="module")
def made(game: Game) -> Mapping[str, bytes]:
    return deploy.files(game, "pico_matrix")


def test_the_board_gets_the_bundle_and_a_program_that_starts_it(made: Mapping[str, bytes]) -> None:
    assert made["/main.py"] == b"from start import start\n\nstart('whole', 'firmware.games.honey_flow')\n"
    assert {"/lib/start.mpy", "/lib/whole.mpy", "/lib/whole_console.image"} <= set(made)
    assert not [path for path in made if "/host/" in path or "check" in path or "kit_room" in path]
    assert len(made) < 60
    assert all(data[:1] == b"M" for path, data in made.items() if path.endswith(".mpy"))


def test_another_process_makes_the_same_files(made: Mapping[str, bytes]) -> None:
    said = subprocess.run([sys.executable, "-c", PRINT], capture_output=True, text=True, check=True).stdout
    assert said.strip() == hashlib.sha256(repr(sorted(made.items())).encode()).hexdigest()


def test_an_unknown_board_is_refused(game: Game) -> None:
    with pytest.raises(UsageError, match="no board 'pico'"):
        deploy.files(game, "pico")


def test_the_identity_follows_paths_lengths_and_bytes() -> None:
    made = {"/main.py": b"x", "/lib/a.mpy": b"yz"}
    text = b"n" + b"/lib/a.mpy\0" + b"\2\0\0\0yz" + b"/main.py\0" + b"\1\0\0\0x"
    assert deploy.identity(b"n", made) == hashlib.sha256(text).digest()
    assert deploy.identity(b"n", {**made, "/lib/a.mpy": b"yy"}) != deploy.identity(b"n", made)


def test_the_board_answers_what_the_host_expects(made: Mapping[str, bytes], tmp_path: Path) -> None:
    deploy.write(made, tmp_path / "root")
    nonce = bytes(range(16))
    done = micropython.run("-c", ANSWER, str(tmp_path / "root"), nonce.hex())
    assert done.stdout.strip() == deploy.identity(nonce, made).hex(), done.stderr
    (tmp_path / "root" / "main.py").write_text("")
    done = micropython.run("-c", ANSWER, str(tmp_path / "root"), nonce.hex())
    assert len(done.stdout.strip()) == 64
    assert done.stdout.strip() != deploy.identity(nonce, made).hex()


def test_the_board_finds_a_flipped_bit_by_the_sum_beside_its_files(
    made: Mapping[str, bytes], tmp_path: Path
) -> None:
    root = tmp_path / "root"
    deploy.write(made, root)
    assert (root / "files.sum").read_text() == deploy.identity(b"", made).hex()

    def fits() -> str:
        done = micropython.run("-c", SUMS, str(root))
        return done.stdout.strip() or done.stderr

    assert fits() == "True"
    image = root / "lib" / "whole_console.image"
    whole = image.read_bytes()
    image.write_bytes(whole[:5000] + bytes([whole[5000] ^ 4]) + whole[5001:])
    assert fits() == "False"
    image.write_bytes(whole)
    assert fits() == "True"
    (root / "lib" / "whole_names.image").unlink()
    assert fits() == "False"


def test_what_the_board_says_of_its_files_is_compared(monkeypatch: pytest.MonkeyPatch) -> None:
    made = {"/main.py": b"x", "/lib/whole.mpy": b"yz", deploy.SUM: b"the sum of both"}
    held = dict(made)

    def board(_port: str, verb: str, code: str) -> str:
        assert verb == "exec"
        nonce = bytes.fromhex(code.split("'")[1])
        return deploy.identity(nonce, held).hex() + "\r\n"

    monkeypatch.setattr(deploy, "remote", board)
    deploy.verify(made, "port")
    held["/lib/whole.mpy"] = b"yZ"
    with pytest.raises(LinkError, match="not those that were copied; deploy again"):
        deploy.verify(made, "port")


def test_the_sum_comes_last_so_that_a_copy_cut_short_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    said: list[tuple[str, ...]] = []
    monkeypatch.setattr(deploy, "remote", lambda port, *words, may_fail=False: said.append(words))
    deploy.copy({"/main.py": b"x", "/lib/whole.mpy": b"yz", deploy.SUM: b"s"}, "port")
    assert [words[1] for words in said] == ["rm", "cp", "cp", "cp"]
    assert said[-1][-1] == ":/files.sum"


def test_a_port_that_is_not_there_is_one_sentence() -> None:
    pytest.importorskip("mpremote")
    with pytest.raises(LinkError, match="/dev/no_such_port") as raised:
        deploy.remote("/dev/no_such_port", "fs", "ls")
    assert len(str(raised.value).splitlines()) == 1


def test_a_folder_with_something_in_it_is_not_written_to(tmp_path: Path) -> None:
    (tmp_path / "notes").write_text("mine")
    with pytest.raises(UsageError, match="is not empty; name a new folder"):
        deploy.write({"/main.py": b"x"}, tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["notes"]
