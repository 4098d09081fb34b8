"""Tests of the host that need MicroPython are skipped, with the reason, where there is none."""

import pytest

from firmware.base.errors import UsageError
from hil import micropython


@pytest.fixture(scope="session")
def micropython_command() -> str:
    """The command of MicroPython's unix port."""
    reason = missing()
    if reason:
        pytest.skip(reason)
    return micropython.find()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Skip what is marked `micropython` and cannot run here."""
    reason = missing()
    if reason:
        for item in items:
            if item.get_closest_marker("micropython"):
                item.add_marker(pytest.mark.skip(reason=reason))


def missing() -> str:
    """Why there is no MicroPython; empty when there is one."""
    try:
        micropython.find()
    except UsageError as error:
        return str(error)
    return ""
