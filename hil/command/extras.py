"""Packages that only some commands need, and the sentence when one is missing."""

from firmware.base.errors import UsageError

EXTRA_OF = {"mpremote": "deploy", "pygame": "desk", "schemdraw": "draw", "matplotlib": "sums"}


def refusal(command: str, error: ModuleNotFoundError) -> UsageError:
    """What `inlane COMMAND` says. Raises the error again when the package is of no extra."""
    package = (error.name or "").partition(".")[0]
    if package not in EXTRA_OF:
        raise error
    return UsageError(f"inlane {command} needs {package}: pip install 'inlane[{EXTRA_OF[package]}]'")
