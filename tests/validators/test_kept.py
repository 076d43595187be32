"""A run that was stopped goes on where it was, and says the same as one that was not."""

from __future__ import annotations

import gzip
import io
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest
from typer.testing import CliRunner

from sheetgen.errors import DefinitionError
from sheetgen.fill import fill_workbook
from sheetgen.seal import ShopKey
from tests.interrupts import heeded
from tests.returned.workbooks import engine
from validators import batch, kept, kept_form
from validators.batch import check_files
from validators.ceilings import Ceilings, RunLimits
from validators.cli import app
from validators.container import Limits
from validators.issued import Issued, read_issued
from validators.kept import Kept, settings_digest
from validators.pile import PileLimits, walk
from validators.reports.as_json import as_json

ROOT = Path(__file__).resolve().parents[2]
RUN = CliRunner()
MORE = 60
"""So many files more are several portions: a run that has kept one is not at its end."""


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> tuple[Path, str]:
    """Return a folder with a pile that was checked once, and its report as JSON.

    Three of its files can be read, two of them copies of one job, and two cannot.
    """
    folder = tmp_path_factory.mktemp("made")
    pile = folder / "returned"
    pile.mkdir()
    base = engine("three")
    for number in range(3):
        entries = {"job_number": f"J-{number // 2}", "bore_reading_2_top_thrust": 86.001 + number / 1000}
        data = fill_workbook(base.filled, base.plan, entries, recalculate=number < 2)
        (pile / f"job-{number}.xlsx").write_bytes(data)
        os.utime(pile / f"job-{number}.xlsx", (1e9 + number, 1e9 + number))
    (pile / "cut.xlsx").write_bytes(base.filled[:5000])
    (pile / "page.xlsx").write_bytes(b"<html>")
    return folder, as_json(check_files([pile], keep=folder / "kept"))


@pytest.fixture
def pile(made, tmp_path) -> Path:
    """Return a copy of the pile, with what was kept of it beside it."""
    shutil.copytree(made[0], tmp_path, dirs_exist_ok=True)
    return tmp_path / "returned"


@pytest.fixture
def before(made, pile) -> str:
    """Return the report on the pile, of a run that was not stopped."""
    return made[1].replace((made[0] / "returned").as_posix(), pile.as_posix())


@pytest.fixture
def keep(pile) -> Path:
    return pile.parent / "kept"


@pytest.fixture
def checked(monkeypatch) -> list[str]:
    """Return the names of files that are checked and not read from what was kept."""
    names: list[str] = []
    honest = batch.opened

    def opened(path, *arguments):
        names.append(path.name)
        return honest(path, *arguments)

    monkeypatch.setattr(batch, "opened", opened)
    return names


def records(folder: Path) -> list[Path]:
    return sorted(folder.rglob("*.jsonl.gz"))


def test_a_second_run_checks_nothing_and_says_the_same(pile, keep, before, checked):
    """Byte for byte, copies of one job among it, and for files in another folder too."""
    assert len(records(keep)) == 5
    assert as_json(check_files([pile], keep=keep)) == before
    assert checked == []
    moved = pile.rename(pile.with_name("monday"))
    assert as_json(check_files([moved], keep=keep)) == before.replace(pile.as_posix(), moved.as_posix())
    assert checked == []
    assert as_json(check_files([moved.rename(pile)])) == before
    assert len(checked) == 5


@pytest.mark.skipif(os.name == "nt", reason="signals are sent otherwise there")
@pytest.mark.parametrize("stop", [signal.SIGKILL, signal.SIGINT])
def test_a_run_that_is_stopped_goes_on(pile, tmp_path, checked, stop):
    """Killed or stopped by Ctrl-C while it works, it keeps what was finished, each record whole."""
    for number in range(MORE):
        (pile / f"more-{number:03}.xlsx").hardlink_to(pile / "job-0.xlsx")
    keep = tmp_path / "another"
    call = [sys.executable, "-m", "validators.cli", "check", str(pile), "--keep", str(keep), "--jobs", "1"]
    with heeded():
        run = subprocess.Popen(call, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    until = time.monotonic() + 300
    while not records(keep) and run.poll() is None and time.monotonic() < until:
        time.sleep(0.01)
    run.send_signal(stop)
    _, said = run.communicate(timeout=300)
    finished = len(records(keep))
    assert 0 < finished < 5 + MORE, said
    if stop is signal.SIGINT:
        assert run.returncode == 130
        assert f"kept in {keep}: the same call goes on from there" in said
    else:
        again = check_files([pile], keep=keep)
        assert len(checked) == 5 + MORE - finished
        assert as_json(again) == as_json(check_files([pile]))


def test_a_full_disk_is_a_sentence_and_the_next_run_goes_on(pile, tmp_path, checked, monkeypatch):
    """What was kept before that stays whole."""
    keep = tmp_path / "another"
    honest, written = Path.replace, []

    def full(self, target):
        if self.suffix == ".part" and len(written) == 3:
            raise OSError(28, "No space left on device")
        written.append(target)
        return honest(self, target)

    monkeypatch.setattr(Path, "replace", full)
    told = RUN.invoke(app, ["check", str(pile), "--keep", str(keep), "--jobs", "1"])
    assert told.exit_code == 2
    assert "No space left on device" in told.stderr
    assert "Traceback" not in told.output
    monkeypatch.setattr(Path, "replace", honest)
    assert len(records(keep)) == 2  # and the mark of the folder
    assert not list(keep.glob(".boreledger-*"))
    check_files([pile], keep=keep)
    assert len(checked) == 3


def damage(path: Path, how: str) -> None:
    whole = path.read_bytes()
    lines = gzip.decompress(whole).splitlines()
    if how == "empty":
        path.write_bytes(b"")
    elif how == "cut short":
        path.write_bytes(whole[: len(whole) // 2])
    elif how == "one bit":
        path.write_bytes(whole[:900] + bytes([whole[900] ^ 1]) + whole[901:])
    elif how == "no record":
        path.write_bytes(b"somebody's own notes\n" * 30)
    elif how == "others may write":
        path.chmod(0o666)
    elif how == "another's":
        other = next(other for other in records(path.parents[1]) if other != path)
        path.write_bytes(other.read_bytes())
    elif how == "a word changed":
        path.write_bytes(gzip.compress(b"\n".join(lines).replace(b"within", b"over__") + b"\n"))
    elif how == "lines missing":
        path.write_bytes(gzip.compress(b"\n".join(lines[:3]) + b"\n"))
    else:
        told = [json.loads(line.partition(b" ")[2]) for line in lines]
        odd = ([], [1, {}], [[1]], [None], [{}, 5], {"a": [1]})
        told[int(how[-1])] = odd[int(how[-1])]
        texts = [json.dumps(line).encode() for line in told]
        again = b"".join(kept_form._digest(text).encode() + b" " + text + b"\n" for text in texts)
        path.write_bytes(gzip.compress(again))


@pytest.mark.parametrize("how", [
    "empty", "cut short", "one bit", "no record", "others may write", "another's", "a word changed",
    "lines missing", *(f"another shape in line {number}" for number in range(6)),
])
def test_a_record_that_is_damaged_or_foreign_is_checked_again(pile, keep, before, checked, how):
    """It is never believed, and replaced by a sound one."""
    if how == "others may write" and not hasattr(os, "geteuid"):
        pytest.skip("the system has no such rights")
    store = Kept(keep, settings_digest(RunLimits(), None))
    path = store.path(store.key(next(iter(walk([pile / "job-1.xlsx"])))))
    sound = path.read_bytes()
    damage(path, how)
    assert as_json(check_files([pile], keep=keep)) == before
    assert checked == ["job-1.xlsx"]
    assert path.read_bytes() == sound


def test_what_was_changed_is_checked_again(pile, keep, checked, monkeypatch):
    """The file and its name."""
    (pile / "job-1.xlsx").write_bytes((pile / "job-0.xlsx").read_bytes())
    (pile / "cut.xlsx").rename(pile / "short.xlsx")
    check_files([pile], keep=keep)
    assert sorted(checked) == ["job-1.xlsx", "short.xlsx"]


def test_whatever_decides_a_result_is_part_of_its_name(tmp_path, monkeypatch):
    """Limits, what was issued, the key, the program, a library, the zone in which a date is read."""
    sent = tmp_path / "sent.xlsx"
    sent.write_bytes(engine("three").issued)
    files = read_issued([sent])
    digests = [settings_digest(limits, issued) for limits, issued in (
        (RunLimits(), None),
        (RunLimits(PileLimits(workbook=Limits(cells=199_999))), None),
        (RunLimits(ceilings=Ceilings(seconds=59.0)), None),
        (RunLimits(), Issued(files)),
        (RunLimits(), Issued(files, ShopKey(bytes(32)))),
        (RunLimits(), Issued(files, ShopKey(bytes(31) + b"1"))),
    )]
    assert settings_digest(RunLimits(), None) == digests[0]
    for place, name, value in (
        (kept, "program_digest", lambda: "of another program"),
        (kept.importlib.metadata, "version", lambda name: "0"),
        (kept.time, "tzname", ("elsewhere",)),
    ):
        with monkeypatch.context() as other:
            other.setattr(place, name, value)
            kept.edition_digest.cache_clear()
            digests.append(settings_digest(RunLimits(), None))
    kept.edition_digest.cache_clear()
    assert len(set(digests)) == 9


def test_the_programs_own_files_decide_the_digest(monkeypatch, tmp_path):
    """One byte in one of them."""
    (tmp_path / "a.toml").write_bytes(b"a")
    monkeypatch.setattr(kept, "TEMPLATES", tmp_path)
    before = kept.program_digest()
    (tmp_path / "a.toml").write_bytes(b"b")
    assert kept.program_digest() != before


def test_what_another_run_may_see_otherwise_is_not_kept(pile, tmp_path, checked, monkeypatch, caplog):
    """A file on which the program failed is tried again."""
    keep, path = tmp_path / "another", pile / "job-0.xlsx"

    def codes() -> list[str]:
        return [finding.code for finding in check_files([path], keep=keep).sheets[0].findings]

    def report_on(sheet):
        raise ZeroDivisionError

    with monkeypatch.context() as faulty:
        faulty.setattr(batch, "report_on", report_on)
        assert "TOOL01" in codes()
    assert "TOOL01" not in codes()
    assert checked == ["job-0.xlsx"] * 2


def test_a_record_reads_as_it_was_written(pile):
    """Every field of it, and what JSON cannot say is not kept."""
    for outcome in batch.check_together(list(walk([pile]))):
        record = kept_form.to_record(outcome, "k")
        reader = kept_form.Record(io.BytesIO(record), "k", outcome.report.file)
        report, contents = reader.report(), reader.contents()
        assert (replace(report, results=reader.results()), contents) == (outcome.report, outcome.contents)
    odd = replace(outcome, report=replace(outcome.report, results={"bore_size_1": float("nan")}))
    assert kept_form.to_record(odd, "k") is None


@pytest.mark.parametrize("what", ["a file in it", "among the files", "the pile itself", "no folder"])
def test_a_folder_that_is_unfit_is_refused_before_any_work(pile, tmp_path, checked, what):
    """Nothing of somebody else's is mixed with records, and no record with what is checked."""
    keep = {"a file in it": tmp_path / "own", "among the files": pile / "inside", "the pile itself": pile,
            "no folder": tmp_path / "notes.txt"}[what]
    if what == "a file in it":
        keep.mkdir()
        (keep / "letter.txt").write_text("mine")
    elif what == "no folder":
        keep.write_text("mine")
    before = sorted(tmp_path.rglob("*"))
    told = RUN.invoke(app, ["check", str(pile), "--keep", str(keep)])
    assert (told.exit_code, checked) == (2, [])
    assert str(keep) in told.stderr
    assert "Traceback" not in told.stderr
    assert sorted(tmp_path.rglob("*")) == before


def test_what_a_killed_run_left_is_cleared_away(tmp_path):
    """Parts of records, once they are old; another run's are younger."""
    keep = tmp_path / "kept"
    Kept(keep, "s")
    old, young = keep / ".boreledger-a.part", keep / ".boreledger-b.part"
    old.write_bytes(b"")
    young.write_bytes(b"")
    os.utime(old, (1e9, 1e9))
    Kept(keep, "s")
    assert not old.exists()
    assert young.exists()


def test_a_folder_that_cannot_be_made_is_a_sentence(tmp_path):
    """A file stands where a folder is needed."""
    (tmp_path / "notes").write_text("mine")
    with pytest.raises(DefinitionError, match="cannot be kept"):
        Kept(tmp_path / "notes" / "kept", "s")
