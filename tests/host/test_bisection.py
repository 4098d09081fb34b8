"""Which of the changes between two folders of a game make a script end in another way."""

import pytest

from firmware.base.errors import GameError, UsageError
from hil import games
from hil.authoring import copying
from hil.bench.changes import ADDED, REMOVED, apply, changes
from hil.bench.outcome import FAIL, PASS
from hil.command import bisection
from hil.command.bisection import Bisection


@pytest.fixture
def folders(tmp_path):
    """The same game twice."""
    for name in ("old", "new"):
        copying.copy(games.load("kite_day"), tmp_path / name / "kites")
    script = tmp_path / "seen.play"
    script.write_text(
        "set free_play to 1\nstart 1 player\nlaunch\ntap return.left\nexpect award small.return paid 400\n"
    )
    return script, tmp_path / "old" / "kites", tmp_path / "new" / "kites"


def put(folder, file, old, new):
    path = folder / file
    text = path.read_text()
    assert text.count(old) == 1
    path.write_text(text.replace(old, new))


def test_hunks_applied_to_the_old_folder_make_the_new_one(folders):
    _, old, new = folders
    put(new, "features/small_points.py", '"return", 400', '"return", 500')
    put(new, "features/height.py", "LANE = 500", "LANE = 510\nMORE = 1")
    (new / "features/more.py").write_text("MORE = 2\n")
    (new / "features/tail.py").unlink()
    hunks = changes(old, new)
    assert [hunk.whole for hunk in hunks] == ["", ADDED, "", REMOVED]
    apply(hunks, old)
    assert changes(old, new) == []


def test_the_change_that_matters_is_named_alone(folders):
    script, old, new = folders
    put(new, "features/small_points.py", '"return", 400', '"return", 500')
    put(new, "features/height.py", "LANE = 500", "LANE = 510")
    (new / "features/more.py").write_text("MORE = 2\n")
    found = Bisection(script, old, new)
    assert (found.before["code"], found.after["code"], found.differs) == (PASS, FAIL, "result")
    kept = found.run(lambda _words: None)
    assert [(hunk.file, hunk.new) for hunk in kept] == [
        ("features/small_points.py", ('        self._return = self.award("return", 500)',))
    ]
    told = list(bisection.lines(kept, found))
    assert "differs by 1 of 3 changes" in told[2]
    assert told[3].strip().startswith("features/small_points.py:27")


def test_what_no_expectation_sees_is_found_by_the_trace(folders):
    script, old, new = folders
    put(new, "features/small_points.py", '"return", 400', '"return", 500')
    script.write_text(
        "set free_play to 1\nstart 1 player\nlaunch\ntap return.left\nexpect award small.return paid\n"
    )
    found = Bisection(script, old, new)
    assert found.differs == "trace"
    assert len(found.run(lambda _words: None)) == 1


def test_changes_that_need_each_other_are_kept_together(folders):
    script, old, new = folders
    put(new, "features/height.py", "LANE = 500", "LANE = 510\nRETURN = 500")
    put(new, "features/small_points.py", '"return", 400)', '"return", height.RETURN)')
    put(
        new,
        "features/small_points.py",
        "from firmware.play.feature import Feature",
        "from firmware.play.feature import Feature\nfrom kites.features import height",
    )
    kept = Bisection(script, old, new).run(lambda _words: None)
    assert sorted({hunk.file for hunk in kept}) == ["features/height.py", "features/small_points.py"]
    assert len(kept) == 3


def test_changes_without_effect_are_said_to_be_so(folders, capsys):
    script, old, new = folders
    put(new, "features/height.py", "LANE = 500", "LANE = 500  # points")
    assert bisection.run([script], old, new) == PASS
    assert "1 changes make no difference" in capsys.readouterr().out


def test_what_cannot_be_compared_is_refused(folders, tmp_path):
    script, old, new = folders
    with pytest.raises(UsageError, match="no Python file differs"):
        Bisection(script, old, new)
    with pytest.raises(GameError, match=r"needs a game\.py"):
        Bisection(script, old, tmp_path)
    with pytest.raises(UsageError, match="same name"):
        Bisection(script, old, new.rename(new.with_name("other")))
    with pytest.raises(UsageError, match="not a built-in one"):
        Bisection(script, old, games.load("kite_day").folder)
    with pytest.raises(UsageError, match="takes one script, not 2"):
        bisection.run([script, script], old, new)
