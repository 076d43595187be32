"""Files that cannot be opened have exactly one finding, and no traceback."""

from __future__ import annotations

import pytest

from validators.findings import Status
from validators.sheet import check_workbook


def test_a_missing_file_is_a_finding(tmp_path):
    """There is no file of that name."""
    report = check_workbook(tmp_path / "job-0042.xlsx")
    assert [f.code for f in report.findings] == ["FILE01"]
    assert report.findings[0].place.file == "job-0042.xlsx"
    assert (report.status, report.exit_status, report.verdicts) == (Status.UNREADABLE, 2, ())


def test_a_folder_is_a_finding(tmp_path):
    """A folder is no workbook."""
    report = check_workbook(tmp_path)
    assert [(f.code, f.found) for f in report.findings] == [("FILE01", "a folder")]


@pytest.mark.parametrize("step", [7, 1009, 20_011])
def test_a_damaged_file_has_one_finding_or_is_checked(three, save, step):
    """Bytes that were changed on the way never end in a traceback."""
    data = bytearray(three.filled)
    for place in range(step, len(data), max(step, len(data) // 5)):
        data[place] ^= 0x5A
    report = check_workbook(save(bytes(data)))
    assert report.exit_status == 2
    assert len(report.findings) == 1


def test_every_cut_of_a_file_is_found(three, save):
    """A file that ends anywhere is told as cut short or damaged."""
    for part in (1, 10, 1000, len(three.filled) // 3, len(three.filled) - 10):
        report = check_workbook(save(three.filled[:part]))
        assert [f.code[:4] for f in report.findings] == ["FILE"]
