"""The published SCXML tests, on both Pythons."""

import json
import tempfile
from pathlib import Path

import published
import pytest
import scxml_player
import scxml_program

from firmware.base.errors import UsageError
from hil import micropython
from hil.reports import scxml

pytestmark = pytest.mark.slow  # they are fetched with npm

# Those of the W3C's tests that need states, order, history, final states, queues, delays and a counter.
W3C = [
    "144",
    "147",
    "148",
    "149",
    "158",
    "175",
    "185",
    "189",
    "208",
    "210",
    "310",
    "355",
    "364",
    "372",
    "375",
    "377",
    "387",
    "388",
    "396",
    "399",
    "401",
    "402",
    "403a",
    "403b",
    "403c",
    "404",
    "405",
    "406",
    "407",
    "409",
    "411",
    "412",
    "413",
    "416",
    "417",
    "419",
    "421",
    "423",
    "436",
    "451",
    "503",
    "504",
    "505",
    "506",
    "533",
    "570",
    "576",
    "579",
    "580",
]
ABSENT_THERE = {"436"}  # python-statemachine's copy leaves it out

# Charts that are not run, by folder and name, and what of theirs this project's tests have no stand-in for.
OBJECT = "an object literal as data"
NEED_SCRIPT = {
    "assign-current-small-step/test0": "<script>",
    "assign/assign_invalid": OBJECT,
    "assign/assign_obj_literal": OBJECT,
    "data/data_invalid": OBJECT,
    "data/data_obj_literal": OBJECT,
    "error/error": "<script>",
    "foreach/test1": "<foreach>",
    "script-src/test0": "<script>",
    "script-src/test1": "<script>",
    "script-src/test2": "<script>",
    "script-src/test3": "<script>",
    "script/test0": "<script>",
    "script/test1": "<script>",
    "script/test2": "<script>",
    "send-data/send1": "<send> with data",
    "send-idlocation/test0": "an I/O processor",
    "send-internal/test0": "<send> with data",
}
LEGACY = {"more-parallel/test10", "more-parallel/test10b"}


@pytest.fixture(scope="module")
def scion():
    return files(published.SCION)


@pytest.fixture(scope="module")
def statemachine():
    return files(published.STATEMACHINE)


def files(package):
    try:
        return published.files(package)
    except published.OutOfReach as reason:
        pytest.skip(str(reason))


def w3c_programs(texts, pattern):
    """Every one of the named tests, as (number, program, event names)."""
    programs = []
    for number in W3C:
        found = [text for path, text in texts.items() if path.endswith(pattern.format(number))]
        assert len(found) <= 1
        for text in found:
            program = scxml_program.program(scxml.parse(text, number))
            programs.append((number, program, scxml_program.event_names(program)))
    return programs


def test_all_49_w3c_tests_pass(scion):
    programs = w3c_programs(scion, "/w3c-ecma/test{}.txml.scxml")
    assert len(programs) == 49
    ends = {number: scxml_player.play(program, names) for number, program, names in programs}
    assert {number: end for number, end in ends.items() if end != ["pass"]} == {}


def test_all_49_w3c_tests_pass_under_micropython(scion):
    programs = w3c_programs(scion, "/w3c-ecma/test{}.txml.scxml")
    try:
        micropython.find()
    except UsageError as reason:
        pytest.skip(str(reason))
    with tempfile.NamedTemporaryFile("w", suffix=".json") as source:
        json.dump(programs, source)
        source.flush()
        done = micropython.run(scxml_player.__file__, source.name)
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines() == [f"{number} pass" for number in W3C]


def test_the_other_copy_of_the_w3c_tests_passes(statemachine):
    programs = w3c_programs(statemachine, "/test{}.scxml")
    assert {number for number, _, _ in programs} == set(W3C) - ABSENT_THERE
    ends = {number: scxml_player.play(program, names) for number, program, names in programs}
    assert {number: end for number, end in ends.items() if end != ["pass"]} == {}


def first_difference(chart, script):
    """Run one scripted chart; "" when every configuration is as its script says."""
    program = scxml_program.program(chart)
    names = {step["event"]["name"] for step in script["events"]} | set(scxml_program.event_names(program))
    machine = scxml_player.Machine(program, sorted(names))
    machine.start()
    if machine.leaves() != sorted(script["initialConfiguration"]):
        return f"starts in {machine.leaves()}"
    for step in script["events"]:
        machine.advance(step.get("after", 0))
        machine.post(step["event"]["name"])
        if machine.leaves() != sorted(step["nextConfiguration"]):
            return f"{step}: in {machine.leaves()}"
    return ""


def test_scripted_charts_pass_but_those_that_need_a_script_language(scion):
    differences, need_script, count = {}, {}, 0
    for path, text in scion.items():
        name = "/".join(Path(path).parts[-2:]).removesuffix(".json")
        if not path.startswith("package/test/") or not path.endswith(".json") or "/w3c-ecma/" in path:
            continue
        count += 1
        script = json.loads(text)
        chart = scxml.parse(scion[path.removesuffix(".json") + ".scxml"], name)
        try:
            difference = first_difference(chart, script["legacySemantics"] if name in LEGACY else script)
        except scxml_program.NeedsScript as reason:
            need_script[name] = str(reason)
            continue
        if difference:
            differences[name] = difference
    assert count == 127
    assert differences == {}
    assert need_script == NEED_SCRIPT


def test_a_damaged_archive_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(published, "CACHE", tmp_path)
    name, sha256, command = published.SCION
    (tmp_path / name).write_bytes(b"not what was pinned")
    with pytest.raises(published.Damaged):
        published.archive((name, sha256, command))
    assert not (tmp_path / name).exists()


def test_no_client_is_told_from_a_failed_test(tmp_path, monkeypatch):
    monkeypatch.setattr(published, "CACHE", tmp_path)
    with pytest.raises(published.OutOfReach, match="no 'no-such-client'"):
        published.archive(("x.tgz", "", ["no-such-client"]))
