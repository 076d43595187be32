"""What goes wrong around a run: folders that vanish, files that grow, rights, two runs, foreign caches."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import OrderedDict
from pathlib import Path

import pytest

from tests.returned.workbooks import engine
from validators import batch, birth, pile
from validators.batch import check_files
from validators.pattern_plans import PatternPlan, PlanStore, Step
from validators.pile import Piece, walk

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def book():
    return engine("twin").filled


def told(paths):
    return [(Path(p.place).name, p.fault.code if p.fault else "", p.fault.found if p.fault else "")
            for p in walk(paths) if isinstance(p, Piece)]


@pytest.mark.parametrize(("fault", "words"), [
    (PermissionError(13, "Permission denied"), "Permission denied"),
    (FileNotFoundError(2, "No such file or directory"), "No such file"),
])
def test_a_folder_that_cannot_be_read_is_not_passed_over(tmp_path, monkeypatch, book, fault, words):
    """FILE01 for the folder; what lies beside it is checked."""
    (tmp_path / "closed").mkdir()
    (tmp_path / "a.xlsx").write_bytes(book)
    honest = os.scandir

    def scandir(path):
        if str(path).endswith("closed"):
            fault.filename = str(path)
            raise fault
        return honest(path)

    monkeypatch.setattr(os, "scandir", scandir)
    (a, *_), (closed, code, found) = told([tmp_path])
    assert (a, closed, code) == ("a.xlsx", "closed", "FILE01")
    assert found == f"a folder that cannot be read ({fault.strerror})"
    assert words in found


def test_a_file_that_vanishes_is_told(tmp_path, monkeypatch, book):
    """FILE01 for it, and the next one is read."""
    for name in "ab":
        (tmp_path / f"{name}.xlsx").write_bytes(book)
    pieces = walk([tmp_path])
    honest = pile.read_once

    def read_once(path, limits):
        if path.name == "a.xlsx":
            path.unlink()
        return honest(path, limits)

    monkeypatch.setattr(pile, "read_once", read_once)
    assert [(p.place[-6:], p.fault.code if p.fault else "") for p in pieces] == [
        ("a.xlsx", "FILE01"), ("b.xlsx", "")
    ]


def test_a_file_that_grows_while_it_is_read_is_told(tmp_path, monkeypatch, book):
    """FILE01: what was read of it is not judged."""
    path = tmp_path / "a.xlsx"
    path.write_bytes(book)
    honest = pile._workbook

    def workbook(*arguments):
        piece = honest(*arguments)
        with path.open("ab") as stream:
            stream.write(b"more")
        return piece

    monkeypatch.setattr(pile, "_workbook", workbook)
    assert told([tmp_path]) == [("a.xlsx", "FILE01", "a file that is still being written")]


def test_two_runs_on_one_folder(tmp_path, book):
    """Both end as one alone would; report and cache are whole."""
    folder = tmp_path / "pile"
    folder.mkdir()
    for name in "ab":
        (folder / f"{name}.xlsx").write_bytes(book)
    report, cache = tmp_path / "report.json", tmp_path / "cache"
    call = [sys.executable, "-m", "validators.cli", "check", str(folder), "--report", str(report), "--quiet"]
    runs = [
        subprocess.Popen(call, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
                         env={**os.environ, "BORELEDGER_CACHE": str(cache)})
        for _ in range(2)
    ]
    (one, other) = [run.communicate(timeout=120) for run in runs]
    assert one == other
    assert one[1] == ""
    assert report.read_text("utf-8").endswith("}\n")
    kinds = {path.name.partition("-")[0] for path in cache.iterdir()}
    assert kinds == {"formula", "formulas", "plan", "templates"}
    assert not list(cache.glob("*.part*"))
    assert not list(tmp_path.glob(".boreledger-*"))


# ---------------------------------------------------------------- caches from elsewhere

PLAN = PatternPlan(places=1, constants=(2.0,), steps=(Step("*", (0, 1)),), result=2)


@pytest.fixture
def cache(tmp_path):
    PlanStore(tmp_path, {"formulas": "1"}).save({"=_P0X*2": PLAN})
    return tmp_path


def test_a_cache_of_ones_own_is_used(cache):
    assert PlanStore(cache, {"formulas": "1"}).load() == {"=_P0X*2": PLAN}
    assert PlanStore(cache, {"formulas": "2"}).load() == {}


@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="no owners")
def test_a_cache_that_others_may_write_is_not_believed(cache, monkeypatch):
    (path,) = cache.iterdir()
    for mode in (0o666, 0o620):
        path.chmod(mode)
        assert PlanStore(cache, {"formulas": "1"}).load() == {}
    path.chmod(0o644)
    assert PlanStore(cache, {"formulas": "1"}).load()
    monkeypatch.setattr(os, "geteuid", lambda: 12345)
    assert PlanStore(cache, {"formulas": "1"}).load() == {}


def test_a_cache_that_cannot_be_written_costs_time_only(tmp_path, monkeypatch, book):
    """A full disk, or no rights: the report is the same, and nothing is left half written."""
    (tmp_path / "a.xlsx").write_bytes(book)
    folder = tmp_path / "cache"
    monkeypatch.setenv("BORELEDGER_CACHE", str(folder))
    monkeypatch.setattr(batch, "_compiled", OrderedDict())
    birth.recomputer_for.cache_clear()  # nothing is compiled yet
    honest = os.fdopen

    class Full:
        def __init__(self, handle, *_):
            self.stream = honest(handle, "wb")

        def __enter__(self):
            return self

        def __exit__(self, *_):
            self.stream.close()

        def write(self, _):
            raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fdopen", Full)
    (sheet,) = check_files([tmp_path / "a.xlsx"]).sheets
    assert not sheet.findings
    assert not list(folder.iterdir())
