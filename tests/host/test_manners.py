"""The command line as a whole: its version, its completion, and what it says when a package is missing."""

import subprocess
import sys
from importlib import metadata

COMMAND = "from hil.command import main; main()"
WITHOUT = "import sys; sys.modules['{0}'] = None; "


def inlane(*words: str, before: str = "") -> "subprocess.CompletedProcess[str]":
    """The command, run as a process of its own."""
    called = [sys.executable, "-c", before + COMMAND, *words]
    return subprocess.run(called, capture_output=True, text=True, timeout=120)


def test_the_version_is_the_packages() -> None:
    assert inlane("--version").stdout.startswith(f"inlane {metadata.version('inlane')}, Python 3.")


def test_the_shell_completes_sub_commands_and_their_options() -> None:
    ask = (
        "import os; os.environ.update(_INLANE_COMPLETE='complete_bash', COMP_CWORD='{1}', COMP_WORDS='{0}'); "
    )
    assert inlane(before=ask.format("inlane sea", 1)).stdout.split() == ["season"]
    assert "--same-as" in inlane(before=ask.format("inlane replay --sa", 2)).stdout.split()


def test_a_missing_package_of_an_extra_is_one_sentence() -> None:
    done = inlane("deploy", "kit_room", "--dry-run", before=WITHOUT.format("mpremote"))
    assert (done.returncode, done.stderr) == (
        2,
        "inlane deploy needs mpremote: pip install 'inlane[deploy]'\n",
    )


def test_a_package_that_some_measurements_need_is_missed_by_those_alone() -> None:
    done = inlane("measure", "reliability", "5", "--count", "20", before=WITHOUT.format("mpremote"))
    assert (done.returncode, done.stdout.splitlines()[-1]) == (0, "row 5: 20 injected, passed")
    done = inlane("measure", "board", "--on", "nowhere", before=WITHOUT.format("mpremote"))
    assert (done.returncode, done.stderr) == (
        2,
        "inlane measure board needs mpremote: pip install 'inlane[deploy]'\n",
    )
