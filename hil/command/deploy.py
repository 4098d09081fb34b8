"""`inlane deploy`: put a game on a board."""

import time
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.progress import Progress

from boards.pico_matrix import flash
from firmware.base.errors import GameError, LinkError, UsageError
from firmware.operator.version_page import SHOWN
from hil.bench.targets.linked import LinkTarget
from hil.build import chips, deployed, layout, native, staging, stored, trial
from hil.build.chips import Chip
from hil.build.layout import Image
from hil.build.prompt import Prompt
from hil.checks import board as board_checks
from hil.checks import coils as coil_checks
from hil.command.image import ChipName, Sources, built
from hil.games import Game, load

CAUTION = (
    "Caution: start it on the logic supply alone, no coil supply connected; first boards/SAFETY.md, then what"
    " does not work yet in the board's page, then the bring-up steps that 'inlane wiring' writes."
)
HOW = """To put it on the {pico}: hold BOOTSEL while you plug the USB cable in, and copy
  {path}
to the drive that appears ({drive}). It restarts by itself. Then
  inlane deploy {game} --check --port PORT
asks the board whether it runs. Settings, scores, credits and counts on it are kept."""
START_S = 30

Drive = Annotated[
    Path | None, typer.Option("--drive", help="Where the drive of BOOTSEL is mounted: copy it there.")
]
OnTrial = Annotated[
    bool, typer.Option("--trial", help="Send the game alone, over the line, to a board with an image.")
]
ImageFile = Annotated[
    Path | None,
    typer.Option("--image", help="An image that was built before; with --trial, --check the board's."),
]
Check = Annotated[bool, typer.Option("--check", help="Only ask the board whether it runs this game.")]


def register(app: typer.Typer) -> None:
    """Add the command."""

    @app.command("deploy")
    def deploy_game(
        game: Annotated[str, typer.Argument(help="A game's name, or its folder.")],
        board: Annotated[str, typer.Option("--board", help="The board's name.")] = "pico_matrix",
        chip: ChipName = chips.RP2040.name,
        port: Annotated[str, typer.Option("--port", help="Serial port or pyserial URL of the board.")] = "",
        image: ImageFile = None,
        sources: Sources = None,
        drive: Drive = None,
        on_trial: OnTrial = False,
        check: Check = False,
        dry_run: Annotated[bool, typer.Option("--dry-run", help="Build, print sizes, send nothing.")] = False,
    ) -> int:
        """Put a game on a board: as an image, by BOOTSEL, or on trial over the line, in seconds.

        Example: inlane deploy honey_flow --drive /media/me/RPI-RP2 --port /dev/ttyACM0
        """
        if (on_trial or check) and not port:
            raise UsageError("which board? --port PORT")
        made = layout.read(image) if image else None
        processor = made.chip if made else chips.named(chip)
        loaded = load(game)
        _check_fit(board, loaded, processor)
        if check:
            _confirm(loaded, port, image)
        elif on_trial:
            _try_out(loaded, board, port, image)
        else:
            made = made or built(loaded, board, processor, sources)
            _install(loaded, made, drive, port, dry_run)
        if not dry_run:
            print(CAUTION)
        if processor.caution:
            print(processor.caution)
        return 0


def _check_fit(board: str, game: Game, chip: Chip) -> None:
    """Print the stack and heap that the game needs there. Raises GameError when the game is refused."""
    refusals = board_checks.before_power(board, game)
    if refusals:
        raise GameError("; ".join(refusals), str(game.folder))
    off = coil_checks.stay_off(game)
    if off:
        print(f"no load is declared of {', '.join(off)}: the board leaves it off")
    fit = board_checks.report(board, game, chip)
    print("\n".join(fit.lines))
    if fit.refused:
        raise GameError("; ".join(fit.refused), str(game.folder))


def _install(game: Game, image: Image, drive: Path | None, port: str, dry_run: bool) -> None:
    """Save the image on this computer, and copy it to `drive`, or print how to put it on the board."""
    if image.package != game.package or image.game != staging.digest(staging.game_sources(game)):
        raise UsageError(
            f"the image is not of '{game.name}' as it is now; build it again with 'inlane image'"
        )
    print(f"the image takes {len(image.code):,} of {flash.RECORD_AT:,} B of flash, SHA-256 {image.sum}")
    print(f"the board's page VERSIONS shows it as FILES {image.version().hex()[:SHOWN]}")
    if dry_run:
        return
    path = deployed.save_image(image, game)
    if not drive:
        print(HOW.format(path=path, game=game.name, pico=image.chip.pico, drive=image.chip.drive))
        return
    _check_drive(drive, image.chip)
    (drive / path.name).write_bytes(path.read_bytes())
    print(f"{path.name} is on {drive}; the {image.chip.pico} restarts with it")
    if port:
        _confirm(game, port)


def _check_drive(drive: Path, chip: Chip) -> None:
    """Check that `drive` is that of the chip's boot loader. Raises UsageError."""
    info = drive / "INFO_UF2.TXT"
    if not info.is_file():
        raise UsageError(f"{drive} is not the drive of a Pico's boot loader: it has no INFO_UF2.TXT")
    found = chips.RP2350 if chips.RP2350.drive in info.read_text(errors="replace") else chips.RP2040
    if found is not chip:
        raise UsageError(f"{drive} is the drive of a {found.pico}; the image is for a {chip.pico} (--chip)")


def _try_out(game: Game, board: str, port: str, image: Path | None) -> None:
    """Send the game over the line into the slot on the board that is not in use.

    `image`: the file of the board's image, when that was deployed from another machine.
    """
    content = trial.romfs(game, native.compiler_here(), chips.RP2040.arch)  # an RP2350 runs it, too
    with Prompt(port) as prompt, Progress(transient=True) as shown:
        task = shown.add_task(f"sending {len(content):,} B", total=100)
        _check_engine(prompt, board, image)
        slot = trial.send(
            prompt, trial.header(game), content, lambda done: shown.update(task, completed=done)
        )
        lines = stored.compare(stored.read(prompt, game.name), game)
    deployed.save_slot(slot, game)
    print(f"{game.name}: {len(content):,} B on the board, read back, in use from its next start")
    print("\n".join(lines))
    _confirm(game, port, image)


def _check_engine(prompt: Prompt, board: str, image: Path | None) -> None:
    """Check that the board's image has this firmware and is known here, before anything is sent.

    By an image that is not known here the board's answer afterwards could not be judged. Raises LinkError.
    """
    record = bytes.fromhex(
        prompt.run(
            "from boards.pico_matrix import flash\n"
            "print(bytes(flash.memory(flash.RECORD_AT, flash.RECORD_END)).hex())"
        ).strip()
    )
    if record[flash.ENGINE_AT : flash.GAME_AT] != staging.digest(staging.engine_sources(board)):
        raise LinkError("the board's image is of another version of the firmware; deploy an image first")
    if not deployed.is_known(record, image):
        named = f"is not the one in {image}" if image else "was not deployed from here"
        raise LinkError(
            f"the board's image {named}, so nothing was sent: what runs afterwards could not be compared;"
            " name its image with --image FILE"
        )


def _confirm(game: Game, port: str, image: Path | None = None) -> None:
    """Wait until the board shows that it runs these files. Raises LinkError after START_S seconds.

    `image`: the file of its image, when that was deployed from another machine.
    """
    deadline = time.monotonic() + START_S
    with Console(stderr=True).status(f"waiting for {port}"):
        while True:
            try:
                LinkTarget(port, game, image=image).greet()
                break
            except LinkError:
                if time.monotonic() > deadline:
                    raise
                time.sleep(1)
    print(f"{game.name} runs on the board at {port}: its answer is that of these files")
