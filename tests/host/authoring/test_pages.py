"""The pages about descriptions say what the code does."""

import re
from pathlib import Path

from hil.authoring import compose, description
from hil.authoring.kinds import KINDS
from hil.authoring.reference import listing
from hil.authoring.work import state_names

FOLDER = Path(compose.__file__).parent
RULES = (FOLDER / "RULES.md").read_text(encoding="utf-8")


def test_the_grammar_lists_every_kind_with_its_fields():
    assert listing() in RULES


def test_the_example_of_the_grammar_is_a_description():
    example = RULES.partition("## The file\n\n")[2].partition("\n\n")[0]
    text = "\n".join(line.strip() for line in example.splitlines())
    assert [block.kind for block in description.read(text, "page", compose.kinds_and_fields())] == [
        "built value"
    ]


def test_every_kind_has_its_parts():
    for kind in KINDS:
        parts = kind.sections()
        assert {"card", "rules", "feature"} <= set(parts), kind.name
        assert any(name.startswith("script made") for name in parts), kind.name


def test_no_two_fields_of_a_kind_begin_alike_and_are_taken_for_each_other():
    for kind in KINDS:
        block = description.Block("A rule", "here", kind.name)
        lines = [f"rule A rule\nkind {kind.name}\n{key} x\n" for key in kind.keys]
        read = [description.read(text, "here", compose.kinds_and_fields())[0] for text in lines]
        assert [list(one.entries) for one in read] == [[key] for key in kind.keys], block.kind


def test_every_template_states_are_refused_as_names():
    states = state_names()
    for kind in KINDS:
        chart = kind.sections()["feature"]
        named = re.findall(r'^(?:[?!*][a-z_.]+\|)? {8}\("(\w+)", "', chart, re.MULTILINE)
        assert set(named) <= states
    assert {"lit", "dark", "falling", "running"} <= states
