"""Images and trial games that were deployed from this machine, and how a bench knows a board by them."""

from pathlib import Path
from types import TracebackType
from typing import Self

import pytest
from typer.testing import CliRunner

from firmware.base.errors import LinkError, UsageError
from firmware.devices.store.key import key_of
from hil import games
from hil.build import chips, deployed, layout, native, staging, stored, trial
from hil.build.layout import Image
from hil.command import app, deploy


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr("typer.get_app_dir", lambda _name: str(tmp_path))
    return tmp_path


@pytest.fixture(scope="module")
def game() -> games.Game:
    return games.load("kit_room")


def image_of(game: games.Game, engine: bytes = b"", chip: chips.Chip = chips.RP2040) -> Image:
    engine = engine or staging.digest(staging.engine_sources("pico_matrix"))
    return layout.make(b"code" * 100, game.package, engine, staging.digest(staging.game_sources(game)), chip)


def slot_of(game: games.Game) -> bytes:
    return trial.header(game).ljust(4096, b"\0") + b"romfs"


def test_every_image_is_known_alone_and_with_each_trial_game(home: Path, game: games.Game) -> None:
    deployed.save_image(image_of(game), game)
    deployed.save_image(image_of(game, b"x" * 32), game)
    deployed.save_slot(slot_of(game), game)
    assert sorted(len(found.slot) for found in deployed.known()) == [0, 0, 4101, 4101]


def test_an_image_of_these_sources_runs_the_game_and_others_do_not(home: Path, game: games.Game) -> None:
    other = games.load("honey_flow")
    mine = image_of(game)
    assert deployed.Known(mine, b"").runs(game, "pico_matrix")
    assert not deployed.Known(mine, b"").runs(other, "pico_matrix")
    assert not deployed.Known(image_of(game, b"x" * 32), b"").runs(game, "pico_matrix")
    assert deployed.Known(mine, slot_of(other)).runs(other, "pico_matrix")
    assert not deployed.Known(mine, slot_of(other)).runs(game, "pico_matrix")


def test_a_file_that_is_given_is_the_only_image(home: Path, game: games.Game, tmp_path: Path) -> None:
    deployed.save_image(image_of(game, b"x" * 32), game)
    path = tmp_path / "given.uf2"
    path.write_bytes(layout.to_uf2(image_of(game)))
    assert [found.image for found in deployed.known(path)] == [image_of(game)]


# The boot loader's drive says which chip it belongs to (mem).
INFO = {
    "rp2040": "UF2 Bootloader v3.0\r\nModel: Raspberry Pi RP2\r\nBoard-ID: RPI-RP2\r\n",
    "rp2350": "UF2 Bootloader v1.0\r\nModel: Raspberry Pi RP2350\r\nBoard-ID: RP2350\r\n",
}


@pytest.mark.parametrize("chip", chips.CHIPS.values(), ids=lambda chip: chip.name)
def test_an_image_goes_to_the_drive_of_its_chip_alone(
    home: Path, game: games.Game, chip: chips.Chip, capsys: pytest.CaptureFixture[str]
) -> None:
    image = image_of(game, chip=chip)
    for name, text in INFO.items():
        drive = home / name
        drive.mkdir()
        (drive / "INFO_UF2.TXT").write_text(text)
        if name == chip.name:
            deploy._install(game, image, drive, "", dry_run=False)
            [copied] = drive.glob("*.uf2")
            assert layout.read(copied) == image
            assert f"the {chip.pico} restarts with it" in capsys.readouterr().out
        else:
            with pytest.raises(UsageError, match=rf"the image is for a {chip.pico} \(--chip\)"):
                deploy._install(game, image, drive, "", dry_run=False)
            assert list(drive.glob("*.uf2")) == []


def test_without_a_drive_it_says_which_one_will_appear(
    home: Path, game: games.Game, capsys: pytest.CaptureFixture[str]
) -> None:
    deploy._install(game, image_of(game, chip=chips.RP2350), None, "", dry_run=False)
    said = capsys.readouterr().out
    assert "To put it on the Pico 2:" in said
    assert "the drive that appears (RP2350)" in said


def test_what_a_new_version_does_not_take_up_is_listed(home: Path, game: games.Game) -> None:
    former = games.load("honey_flow")
    deployed.save_image(image_of(former), former)
    names = deployed.names_of(game)
    setting = next(row for row in game.module.SETTINGS)
    found = {key_of("version"): 1, key_of(f"setting.{setting[0]}"): setting[3] + 1, 12345: 7}
    gone = next(name for name in deployed.names_of(former) if name not in names)
    found[key_of(gone)] = 3
    first, *rest = stored.compare(found, game)
    assert first == "1 of 4 stored numbers are taken up"
    assert sorted(rest) == sorted(
        [
            "a number with key 12345 = 7 is not used: the game has no such thing any more",
            f"{gone} = 3 is not used: the game has no such thing any more",
            f"setting.{setting[0]} = {setting[3] + 1} is not used: it may be {setting[2]} to {setting[3]};"
            " the default is",
        ]
    )


class Board:
    """A board at its prompt whose image has this record; what it was sent, and asked with which image."""

    def __init__(self, record: bytes) -> None:
        self.record = record
        self.sent: list[bytes] = []
        self.asked: list[Path | None] = []

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        pass

    def run(self, source: str) -> str:
        """The record is all that it can be asked for."""
        assert "flash.RECORD_AT" in source
        return self.record.hex() + "\n"

    def take(self, prompt: object, head: bytes, content: bytes, progress: object) -> bytes:
        """What `trial.send` does to it."""
        self.sent.append(content)
        return head.ljust(4096, b"\0") + content

    def target(self, port: str, game: games.Game, image: Path | None = None) -> "Board":
        """A target of the bench on it."""
        self.asked.append(image)
        return self

    def greet(self) -> None:
        """It answers as it should."""


def board_with(image: Image, monkeypatch: pytest.MonkeyPatch) -> Board:
    board = Board(image.record)
    monkeypatch.setattr(deploy, "Prompt", lambda _port: board)
    monkeypatch.setattr(deploy, "LinkTarget", board.target)
    monkeypatch.setattr(native, "compiler_here", lambda: Path("mpy-cross"))
    monkeypatch.setattr(trial, "romfs", lambda _game, _compiler, _arch: b"romfs")
    monkeypatch.setattr(trial, "send", board.take)
    monkeypatch.setattr(stored, "read", lambda _prompt, _name: {})
    return board


def test_a_trial_game_is_sent_to_a_board_whose_image_is_known_here(
    home: Path, game: games.Game, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = games.load("honey_flow")
    board = board_with(image_of(other), monkeypatch)
    deployed.save_image(image_of(other), other)
    deploy._try_out(game, "pico_matrix", "PORT", None)
    assert (board.sent, board.asked) == ([b"romfs"], [None])


def test_nothing_is_sent_to_a_board_whose_image_is_not_known_here_until_it_is_named(
    home: Path, game: games.Game, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    board = board_with(image_of(game), monkeypatch)
    deployed.save_image(image_of(game, b"x" * 32), game)
    with pytest.raises(LinkError, match=r"was not deployed from here, so nothing was sent: .* --image FILE"):
        deploy._try_out(game, "pico_matrix", "PORT", None)
    wrong = tmp_path / "wrong.uf2"
    wrong.write_bytes(layout.to_uf2(image_of(game, b"x" * 32)))
    with pytest.raises(LinkError, match=r"is not the one in .*wrong\.uf2, so nothing was sent"):
        deploy._try_out(game, "pico_matrix", "PORT", wrong)
    assert board.sent == []
    right = tmp_path / "right.uf2"
    right.write_bytes(layout.to_uf2(image_of(game)))
    deploy._try_out(game, "pico_matrix", "PORT", right)
    assert (board.sent, board.asked) == ([b"romfs"], [right])


@pytest.mark.slow
def test_a_check_asks_with_the_image_that_is_named(
    home: Path, game: games.Game, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    board = board_with(image_of(game), monkeypatch)
    path = tmp_path / "given.uf2"
    path.write_bytes(layout.to_uf2(image_of(game)))
    ran = CliRunner().invoke(
        app,
        ["deploy", "kit_room", "--check", "--port", "PORT", "--image", str(path)],
        standalone_mode=False,
    )
    assert ran.return_value == 0, ran.output
    assert board.asked == [path]
