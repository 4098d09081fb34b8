"""Published test suites, fetched by their registries' own clients and checked against a pinned SHA-256.

- npm `@scion-scxml/test-framework` 2.0.16: the W3C's SCXML implementation-report tests with an
  ECMAScript data model, and charts with scripts of events and expected configurations.
- PyPI `python-statemachine` 3.2.2, source archive: the same W3C tests with a Python data model.
"""

from __future__ import annotations

import hashlib
import shutil
import subprocess
import sys
import tarfile
import tempfile
from pathlib import Path

CACHE = Path.home() / ".cache" / "inlane"
WAIT_S = 120

SCION = (
    "scion-scxml-test-framework-2.0.16.tgz",
    "b813071f5691c7a36bab65ba5ce5aae479933395177447a6609c110bc936622b",
    ["npm", "pack", "--silent", "@scion-scxml/test-framework@2.0.16"],
)
STATEMACHINE = (
    "python_statemachine-3.2.2.tar.gz",
    "5968c5e07a537f7531b8b1d0a0d5067a3452c88941fa0ac6c244870d48f78325",
    [
        sys.executable,
        "-m",
        "pip",
        "download",
        "--no-deps",
        "--no-binary",
        ":all:",
        "python-statemachine==3.2.2",
    ],
)


class OutOfReach(Exception):
    """The registry could not be asked: there is no client, or it gave no answer."""


class Damaged(Exception):
    """What came is not what was pinned."""


def archive(package: tuple[str, str, list[str]]) -> Path:
    """The package's archive, from the cache or its registry."""
    name, sha256, command = package
    kept = CACHE / name
    if not kept.exists():
        fetch(name, command, kept)
    found = hashlib.sha256(kept.read_bytes()).hexdigest()
    if found != sha256:
        kept.unlink()
        raise Damaged(f"{name} has SHA-256 {found}, not {sha256}")
    return kept


def fetch(name: str, command: list[str], kept: Path) -> None:
    if shutil.which(command[0]) is None:
        raise OutOfReach(f"there is no '{command[0]}' here to fetch {name}")
    with tempfile.TemporaryDirectory() as folder:
        try:
            done = subprocess.run(command, cwd=folder, capture_output=True, text=True, timeout=WAIT_S)
        except subprocess.TimeoutExpired:
            raise OutOfReach(f"{name} did not come within {WAIT_S} s") from None
        fetched = Path(folder) / name
        if not fetched.exists():
            last = (done.stderr.strip() or "no reason given").splitlines()[-1]
            raise OutOfReach(f"{name} could not be fetched: {last}")
        kept.parent.mkdir(parents=True, exist_ok=True)
        shutil.move(fetched, kept)


def files(package: tuple[str, str, list[str]]) -> dict[str, str]:
    """Every SCXML and JSON file of the package, by its path in the archive."""
    texts = {}
    with tarfile.open(archive(package)) as tar:
        for member in tar.getmembers():
            if member.isfile() and member.name.endswith((".scxml", ".json")):
                source = tar.extractfile(member)
                assert source is not None
                texts[member.name] = source.read().decode("utf-8")
    return texts
