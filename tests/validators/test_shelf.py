"""A pile that lies on disk says what one that is held in memory says, and takes no memory for it."""

from __future__ import annotations

import gc
import os
import tempfile
import tracemalloc
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from multiprocessing import get_context
from pathlib import Path

import pytest

from sheetgen.errors import DefinitionError
from sheetgen.fill import fill_workbook
from tests.returned.workbooks import engine
from validators import shelf
from validators.batch import check_files, check_together
from validators.pile import walk
from validators.reports.as_text import as_text
from validators.reports.write import WRITERS
from validators.shelf import Shelf, Shelved

FRAMES = 60
MOST_BYTES = 3000
"""What a file of a pile may leave in memory."""


@pytest.fixture(scope="module")
def pile(tmp_path_factory) -> Path:
    """Return a folder with copies of one job, files without a job number, and one that is cut."""
    folder = tmp_path_factory.mktemp("returned")
    base = engine("three")
    for number, job in enumerate(("J-1", "J-1", None, None, "J-2")):
        entries = {"job_number": job, "bore_reading_2_top_thrust": 86.001 + number / 1000}
        data = fill_workbook(base.filled, base.plan, entries, recalculate=number < 3)
        (folder / f"job-{number}.xlsx").write_bytes(data)
        os.utime(folder / f"job-{number}.xlsx", (1e9 + number, 1e9 + number))
    (folder / "job-6.xlsx").write_bytes(base.filled[:5000])
    return folder


def test_every_report_is_the_same_from_disk_as_from_memory(pile, monkeypatch):
    """Byte for byte, and the folder on disk goes with the report."""
    held = check_files([pile])
    monkeypatch.setattr(shelf, "HELD", 1)
    shelved = check_files([pile])
    assert isinstance(held.sheets, tuple)
    assert isinstance(shelved.sheets, Shelved)
    assert shelved == held
    assert list(shelved.sheets) == list(held.sheets)
    assert shelved.sheets[-2:] == held.sheets[-2:]
    assert shelved.exit_status == held.exit_status == 2
    assert len(held.copies) == 1
    for ending, write in WRITERS.items():
        if ending != ".xlsx":  # which holds the time of its writing
            path = Path(f"monday{ending}")
            assert b"".join(write(shelved, path)) == b"".join(write(held, path))
    assert as_text(shelved, all_findings=True) == as_text(held, all_findings=True)
    folder = shelved.sheets.shelf._folder
    assert len(list(folder.iterdir())) == 4
    del shelved
    gc.collect()
    assert not folder.exists()


def left_in_memory(folder: Path) -> float:
    """Return the bytes that each of 200 files leaves in memory."""
    (piece,) = walk([folder / "job-0.xlsx"])
    (outcome,) = check_together([piece])
    kept = Shelf(held=0)

    def put(count: int) -> None:
        for _ in range(count):
            number = len(kept)
            place = f"{folder}/another-job-{number}.xlsx"
            report = replace(outcome.report, file=place, job=f"J-{number}", digest=f"{number:064}")
            kept.room_for(place, piece.dates)
            kept.put(number, replace(outcome, report=report))

    put(20)  # what is made once
    gc.collect()
    tracemalloc.start(FRAMES)
    put(200)
    gc.collect()
    # What other threads of the process do meanwhile is not of interest.
    of_ours = tracemalloc.Filter(True, f"{Path(shelf.__file__).parent}/*", all_frames=True)
    grown = sum(one.size for one in tracemalloc.take_snapshot().filter_traces([of_ours]).traces)
    tracemalloc.stop()
    assert len(kept.sheets()) == 220
    return grown / 200


def test_a_file_leaves_little_in_memory(pile):
    """However many there are: a brief, its place and its dates.

    In a process of its own: what other tests have left decides when Python makes a table anew.
    """
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as fresh:
        assert 200 < fresh.submit(left_in_memory, pile).result() < MOST_BYTES


@pytest.mark.parametrize("how", ["gone", "damaged"])
def test_a_record_that_is_lost_during_a_run_is_a_sentence(pile, monkeypatch, how):
    """Nothing is said of a file about which nothing is known any more."""
    monkeypatch.setattr(shelf, "HELD", 0)
    report = check_files([pile])
    path = next(report.sheets.shelf._folder.iterdir())
    if how == "gone":
        path.unlink()
    else:
        path.write_bytes(path.read_bytes()[:400])
    with pytest.raises(DefinitionError, match="is gone; run again"):
        as_text(report, all_findings=True)


def test_a_full_disk_is_a_sentence(pile, monkeypatch):
    """It says which folder, and how to choose another."""
    def full(self, data):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(shelf, "HELD", 0)
    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(DefinitionError, match=r"No space left on device.*TMPDIR") as told:
        check_files([pile])
    assert tempfile.gettempdir() in str(told.value)


def test_a_report_on_disk_differs_from_another(pile, monkeypatch):
    """In length, and in what is said."""
    monkeypatch.setattr(shelf, "HELD", 0)
    one = check_files([pile / "job-0.xlsx"]).sheets
    assert one != check_files([pile / "job-1.xlsx"]).sheets
    assert one != check_files([pile / "job-0.xlsx", pile / "job-1.xlsx"]).sheets
    assert one != "job-0.xlsx"
