"""The benchmark's pile and figures: every file its own, sound, and counted as it says."""

from __future__ import annotations

import math
import re
import shutil
import subprocess
import sys

import pytest

from tests.benchmark import ROOM, Cost, curve, lines, megabytes_of, room_for, spoken, timed, with_children
from tests.benchmark_pile import write_pile
from tests.fuzz.members import unpacked
from validators.batch import check_files
from validators.findings import Severity, Status

NUMBERS = range(4, 9)
ROW = re.compile(rb"<row .*?</row>")


@pytest.fixture(scope="module")
def pile(tmp_path_factory):
    folder = tmp_path_factory.mktemp("pile")
    write_pile(folder, "twin", NUMBERS)
    return sorted(folder.glob("*.xlsx"))


def rows(path) -> set[bytes]:
    """The rows of all measuring sheets in which something is stored."""
    return {
        row for part, content in unpacked(path.read_bytes()).items() if part.startswith("xl/worksheets/sheet")
        for row in ROW.findall(content) if b"<v>" in row
    }


def test_every_file_is_a_sound_workbook_of_its_own(pile):
    report = check_files(pile)
    assert [path.stem for path in pile] == [f"B-{number:05d}" for number in NUMBERS]
    assert {sheet.status for sheet in report.sheets} == {Status.CHECKED}
    assert [sheet.job for sheet in report.sheets] == [path.stem for path in pile]
    assert len({sheet.digest for sheet in report.sheets}) == len(pile)
    told = [finding.code for sheet in report.sheets for finding in sheet.findings
            if finding.severity is not Severity.INFORMATION]
    assert not [code for code in told if not code.startswith("LIMIT")]  # parts may miss their limits
    assert not report.findings
    assert not report.copies


def test_no_file_says_what_another_says(pile):
    """Of the rows that tell files of one engine apart, hardly one stands in two."""
    found = [rows(path) for path in pile]
    shared = set.intersection(*found)
    own = [each - shared for each in found]
    assert all(len(each) > 100 for each in own)
    twice = [row for number, each in enumerate(own) for row in each if any(row in o for o in own[:number])]
    assert len(twice) < 0.2 * sum(map(len, own))
    results = [tuple(sheet.results.values()) for sheet in check_files(pile).sheets]
    assert len(set(results)) == len(pile)


def test_readings_repeat_only_where_that_is_asked_for(tmp_path, pile):
    write_pile(tmp_path, "twin", range(4, 8), distinct=2)
    found = [tuple(sheet.results.values()) for sheet in check_files(sorted(tmp_path.glob("*.xlsx"))).sheets]
    assert found[0] == found[2] != found[1] == found[3]


def test_a_pile_written_in_parts_is_the_same_pile(tmp_path, pile):
    write_pile(tmp_path, "twin", range(6, 8))
    for path in tmp_path.glob("*.xlsx"):
        same = next(one for one in pile if one.name == path.name)
        assert unpacked(path.read_bytes()) == unpacked(same.read_bytes())


def test_memory_of_a_program_is_counted_with_all_that_it_starts():
    child = "import time; held = bytearray(b'x') * 60_000_000; time.sleep(2)"
    parent = f"import subprocess, sys; subprocess.run([sys.executable, '-c', {child!r}])"
    cost = timed([sys.executable, "-c", parent], 3)
    assert 60 < cost.megabytes < 120
    assert 60 < cost.together < 200
    assert cost.wall > 2
    assert cost.rate == pytest.approx(3 / cost.wall)


def test_what_has_ended_takes_no_memory():
    process = subprocess.Popen([sys.executable, "-c", ""])
    process.wait()
    assert list(with_children(process.pid)) == [process.pid]
    assert megabytes_of(process.pid) == (0, 0)


def test_a_program_that_fails_is_not_timed():
    with pytest.raises(SystemExit, match="ended with 3"):
        timed([sys.executable, "-c", "raise SystemExit(3)"], 1)


def test_what_is_counted_up_is_said():
    found = list(lines({
        "check": Cost(100, 20.0, 30.0, 100.0, 250.0), "bare read": Cost(100, 5.0, 5.0, 60.0),
        "naive": Cost(2, 400.0, 390.0, 600.0),
    }))
    assert "5.0" in found[1]
    assert "0.25 times as fast by wall" in found[2]
    assert "1000.00 times as fast by wall" in found[3]
    assert found[4].strip() == "(timed on 2; 100 would take 5.6 hours)"
    assert len(found) == 5
    assert spoken(Cost(10, 10.0, 1.0, 1.0), 60) == "60 seconds"


def test_the_curve_has_a_line_for_each_size(monkeypatch, pile):
    asked = []

    def checked(files, jobs):
        asked.append((list(files), jobs))
        return Cost(len(files), 2.0, 3.0, 100.0, math.nan)

    monkeypatch.setattr("tests.benchmark.checked", checked)
    monkeypatch.setattr("tests.benchmark.bare", lambda files: Cost(len(files), 0.5 * len(files), 1.0, 10.0))
    told = list(curve(pile, (1, 4), 2))
    assert asked == [(pile[:1], 2), (pile[:4], 2)]
    assert len(told) == 3
    assert [line.split()[:2] for line in told[1:]] == [["1", "2.0"], ["4", "2.0"]]
    assert all(line.endswith("500.0") for line in told[1:])


def test_a_disk_that_is_too_small_is_told_before_any_work(monkeypatch, tmp_path):
    free = shutil.disk_usage(tmp_path)
    monkeypatch.setattr(shutil, "disk_usage", lambda _: free._replace(free=10 * ROOM))
    room_for(tmp_path, 10)
    with pytest.raises(SystemExit, match="GB are needed"):
        room_for(tmp_path, 11)
