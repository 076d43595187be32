"""Every hostile or broken kind is named and costs little; ceilings hold, and the rest of the pile goes on."""

from __future__ import annotations

import multiprocessing
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from sheetgen.errors import DefinitionError
from tests.fuzz.hostile import cost
from tests.fuzz.hostile_kinds import KINDS
from tests.fuzz.run import base_of
from tests.interrupts import heeded
from validators import workers
from validators.batch import check_files
from validators.ceilings import Ceilings, RunLimits, limit_names, read_limits
from validators.checks import out_of_limits
from validators.container import Limits
from validators.pile import PileLimits

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "validators" / "LIMITS.md"
MOST_SECONDS, MOST_MEGABYTES = 10.0, 200.0


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.kind)
def test_a_hostile_file_is_named_and_costs_little(tmp_path, kind):
    path = tmp_path / kind.name
    path.write_bytes(kind.make())
    codes, seconds, memory = cost(path)
    assert codes == [] if kind.code == "" else kind.code in codes
    assert "TOOL01" not in codes
    assert seconds < MOST_SECONDS
    assert memory < MOST_MEGABYTES


@pytest.fixture
def pile(tmp_path, monkeypatch):
    """Three sound workbooks in a folder; `spoil` says what checking the second one does."""
    for name in "abc":
        (tmp_path / f"{name}.xlsx").write_bytes(base_of(0).data)

    def spoil(act):
        honest = out_of_limits.find

        def find(sheet):
            if sheet.path.name == "b.xlsx":
                act()
            return honest(sheet)

        monkeypatch.setattr(out_of_limits, "find", find)
        return tmp_path

    return spoil


def codes(report):
    return [[finding.code for finding in sheet.findings] for sheet in report.sheets]


def test_a_file_that_hangs_costs_only_itself(pile):
    """Its worker is ended, its finding says after how many seconds, and the others are checked."""
    folder = pile(never_ending)
    limits = RunLimits(ceilings=Ceilings(seconds=4.0))
    began = time.monotonic()
    report = check_files([folder], jobs=2, limits=limits)
    assert codes(report) == [[], ["FILE05"], []]
    assert "longer than 4 seconds" in report.sheets[1].findings[0].found
    assert time.monotonic() - began < 300


def never_ending():
    while True:
        pass


def test_a_file_that_only_waits_is_ended_by_the_clock(pile, monkeypatch):
    """Ten times the seconds at the latest, here twice."""
    monkeypatch.setattr(workers, "STARVED", 2.0)
    folder = pile(lambda: time.sleep(600))
    report = check_files([folder / "b.xlsx"], jobs=1, limits=RunLimits(ceilings=Ceilings(seconds=15.0)))
    assert codes(report) == [["FILE05"]]


def test_a_file_that_wants_all_memory_costs_only_itself(pile):
    """The system refuses it the memory; its finding says how much it may have."""
    folder = pile(lambda: bytearray(10_000_000_000))
    report = check_files([folder], jobs=1, limits=RunLimits(ceilings=Ceilings(memory_bytes=2_000_000_000)))
    assert codes(report) == [[], ["FILE05"], []]
    assert "more than 2000 MB of memory" in report.sheets[1].findings[0].found


def test_no_worker_outlives_a_run(pile, monkeypatch):
    """Also when the run is broken off while its workers are at work."""
    started = []
    honest = workers._Worker.__init__

    def start(self, *arguments):
        honest(self, *arguments)
        started.append(self.process)

    monkeypatch.setattr(workers._Worker, "__init__", start)
    monkeypatch.setattr(workers.Pool, "wait", lambda pool: (_ for _ in ()).throw(KeyboardInterrupt))
    with pytest.raises(KeyboardInterrupt):
        check_files([pile(lambda: time.sleep(600))], jobs=1)
    assert started
    for process in started:
        with pytest.raises(ProcessLookupError):
            os.kill(process.pid, 0)


@pytest.mark.skipif(sys.platform == "win32", reason="signals of another kind")
def test_a_stopped_run_says_so_in_one_sentence(tmp_path):
    """Exit status 130, nothing half written, no traceback."""
    first = tmp_path / "0.xlsx"
    first.write_bytes(base_of(0).data)
    for number in range(1, 2000):  # more than any machine checks in six seconds
        (tmp_path / f"{number}.xlsx").hardlink_to(first)
    report = tmp_path.parent / "report.json"
    call = [sys.executable, "-m", "validators.cli", "check", str(tmp_path), "--report", str(report)]
    with heeded():
        ran = subprocess.Popen(
            [*call, "--jobs", "1"],
            cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True,
        )
    time.sleep(6)
    os.killpg(ran.pid, signal.SIGINT)  # as a terminal does: to the program and to its workers
    out, told = ran.communicate(timeout=60)
    assert ran.returncode == 130
    assert told == "boreledger: stopped; what was not finished was not written\n"
    assert out == ""
    assert not list(tmp_path.parent.glob("*.json")) + list(tmp_path.parent.glob(".boreledger-*"))


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_a_full_disk_is_said_in_one_sentence(tmp_path):
    path = tmp_path / "a.xlsx"
    path.write_bytes(base_of(0).data)
    with Path("/dev/full").open("w") as full:
        ran = subprocess.run(
            [sys.executable, "-m", "validators.cli", "check", str(path)],
            cwd=ROOT, stdout=full, stderr=subprocess.PIPE, text=True, check=False, timeout=120,
        )
    assert ran.returncode == 2
    assert ran.stderr == "boreledger: No space left on device; nothing was left half written\n"


# ---------------------------------------------------------------- limits as a person sets them


def test_limits_are_read_from_a_file(tmp_path):
    path = tmp_path / "limits.toml"
    path.write_text("[workbook]\ncells = 5\n[pile]\nmembers = 7\n[worker]\nseconds = 2.5\n")
    limits = read_limits(path)
    assert (limits.pile.workbook.cells, limits.pile.members, limits.ceilings.seconds) == (5, 7, 2.5)
    assert limits.pile.workbook.entries == Limits().entries
    book = tmp_path / "a.xlsx"
    book.write_bytes(base_of(0).data)
    for jobs in (0, 1):
        (sheet,) = check_files([book], limits=limits, jobs=jobs).sheets
        assert "far too many cells" in sheet.findings[0].found


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[workbok]\ncells = 5", "did you mean 'workbook'"), ("[workbook]\ncell = 5", "'cells'"),
        ("[workbook]\ncells = 0", "positive"), ("[workbook]\ncells = 1.5", "whole"),
        ("[workbook]\ncells = true", "positive"), ("[worker]\nseconds = inf", "positive"),
        ("cells = 5", "no table"), ("[", "cannot be read"),
    ],
)
def test_limits_that_cannot_be(tmp_path, text, words):
    path = tmp_path / "limits.toml"
    path.write_text(text)
    with pytest.raises(DefinitionError, match=words):
        read_limits(path)


@pytest.mark.parametrize(
    ("table", "kind"), [("workbook", Limits), ("pile", PileLimits), ("worker", Ceilings)]
)
def test_every_limit_stands_on_the_page(table, kind):
    """Name and value as they are in the code."""
    page = PAGE.read_text("utf-8")
    for name in limit_names(kind):
        assert f"| {table} | `{name}` | {getattr(kind(), name):,} |" in page


@pytest.mark.skipif(not hasattr(os, "fork"), reason="workers are forked")
def test_a_worker_that_cannot_even_take_its_files_up_says_so(capfd):
    """The files are then tried one by one; nothing is printed."""
    ours, theirs = multiprocessing.Pipe()

    class Narrow:
        """A pipe whose messages are too large for the memory that is left."""

        def recv(self):
            raise MemoryError

        def send(self, message):
            theirs.send(message)

    worker = multiprocessing.get_context("fork").Process(
        target=workers.work, args=(Narrow(), RunLimits(), None, set())
    )
    worker.start()
    assert ours.poll(30)
    assert ours.recv() == (workers.NO_MEMORY, None)
    worker.join(30)
    assert worker.exitcode == 0
    assert capfd.readouterr().err == ""
