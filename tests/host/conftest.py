"""Tests that need MicroPython are skipped where there is none; no test depends on a machine's speed."""

import pytest
from hypothesis import HealthCheck, settings

from firmware.base.errors import UsageError
from hil import micropython

settings.register_profile("any_machine", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("any_machine")


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
