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


@pytest.hookimpl(tryfirst=True)  # before -m is looked at
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Of the cases marked `sampled` most are slow; skip what is marked `micropython` and cannot run here."""
    mark_all_but_a_sample(items)
    reason = missing()
    if reason:
        for item in items:
            if item.get_closest_marker("micropython"):
                item.add_marker(pytest.mark.skip(reason=reason))


def mark_all_but_a_sample(items: list[pytest.Item]) -> None:
    """Of the cases of a test marked `sampled(n)` the first and every n-th after it stay quick."""
    seen: dict[str, int] = {}
    for item in items:
        sampled = item.get_closest_marker("sampled")
        if sampled:
            name = item.nodeid.partition("[")[0]
            if seen.setdefault(name, 0) % sampled.args[0]:
                item.add_marker(pytest.mark.slow)
            seen[name] += 1


def missing() -> str:
    """Why there is no MicroPython; empty when there is one."""
    try:
        micropython.find()
    except UsageError as error:
        return str(error)
    return ""
