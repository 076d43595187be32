"""A short run of spoilt workbooks, and proof that the judge of them can say no."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tests.fuzz.members import packed, unpacked
from tests.fuzz.oracle import fault_of, live_in_reports
from tests.fuzz.packing import Packing
from tests.fuzz.run import LEVELS, base_of, level_of, run, spoilt, told_of
from validators.batch import Outcome, check_together
from validators.findings import BatchReport, Finding, Place, Severity
from validators.pile import Piece

FILES = 48


def changed(pattern: bytes, new: bytes) -> bytes:
    """Return the base with the first match of a pattern replaced in the first part that has one."""
    parts = unpacked(base_of(0).data)
    told = re.compile(r"xl/(?:worksheets/sheet\d+|workbook|styles)\.xml")
    for name, data in parts.items():
        if told.fullmatch(name) and re.search(pattern, data):
            parts[name] = re.sub(pattern, new, data, count=1)
            return packed(parts)
    raise AssertionError(pattern)


def in_capitals(name: str) -> bytes:
    """Return the base with a part that is named in capitals, which the others do not call it by."""
    return packed({
        part.upper() if part == name else part: data for part, data in unpacked(base_of(0).data).items()
    })


CASES = {
    "a date without a text": (lambda: changed(rb'<c (r="B\d+" s="\d+")/>', rb'<c \1 t="d"><v></v></c>'), []),
    "a part named in capitals": (lambda: in_capitals("xl/charts/chart2.xml"), ["FILE05"]),
    "no format of numbers, so that a date is a number to the other reader": (
        lambda: changed(rb"<numFmts.*</numFmts>", b""), []),
    "a row moved behind the others, where some programs drop it": (
        lambda: changed(rb'(?s)(<row r="9"[^>]*[^/]>.*?</row>)(.*)(</sheetData>)', rb"\2\1\3"), ["FILE05"]),
    "a stored floor that is no floor": (
        lambda: changed(rb"(<f>0-open_limit</f>)<v>[^<]*</v>", rb"\1<v>3.5</v>"), ["CALC02"]),
}
"""Files on which something went wrong once: what it was, the file, and the codes of what is found now."""


@pytest.mark.parametrize("case", CASES)
def test_what_went_wrong_once(case):
    make, codes = CASES[case]
    data = make()
    (outcome,) = check_together([Piece(place="a.xlsx", data=data)])
    assert [finding.code for finding in outcome.report.findings] == codes
    assert not fault_of(base_of(0), data, outcome)
    assert not live_in_reports(BatchReport(sheets=(outcome.report,)), workbook=True)


def test_a_short_run():
    """No traceback, no hang, no changed meaning called clean, and nothing live in a report."""
    tally = run(0, FILES, turns=LEVELS)
    assert tally.files == FILES
    assert not tally.faults, told_of(tally, 0)
    assert len(tally.codes) > 3


@pytest.mark.parametrize("level", LEVELS)
def test_a_seed_is_one_file(level):
    assert spoilt(7, level) == spoilt(7, level)
    assert spoilt(7, level) != spoilt(8, level)


def test_what_is_packed_at_once_is_what_is_packed():
    """By the standard library's reader, which looks at sizes and sums."""
    parts = unpacked(base_of(0).data) | {"new.xml": b"<x/>", "\u00fc.xml": b""}
    packing = Packing(unpacked(base_of(0).data))
    assert unpacked(packing.packed(parts)) == unpacked(packing.packed(parts, frozenset(parts))) == parts


def test_all_levels_have_their_turn():
    assert {level_of(seed) for seed in range(40)} == set(LEVELS)


# ---------------------------------------------------------------- the judge


@pytest.fixture(scope="module")
def clean() -> Outcome:
    (outcome,) = check_together([Piece(place="a.xlsx", data=base_of(0).data)])
    return outcome


def test_the_base_has_no_fault(clean):
    assert not fault_of(base_of(0), base_of(0).data, clean)
    assert not fault_of(base_of(0), packed(unpacked(base_of(0).data)), clean)


@pytest.mark.parametrize(
    ("pattern", "new", "words"),
    [
        (rb"<f>IF\(", rb"<f>1+IF(", "formula"),
        (rb"<f>[^<]+</f><v>[0-9.]+</v>", rb"<v>7</v>", "formula"),
        (rb"(</f>)<v>[1-9][0-9.]+</v>", rb"\1<v>7777</v>", "stored"),
        (rb"(<definedName name=\"bore_size_1[^>]*>)[^<]+", rb"\1Bores!$A$1", "name"),
    ],
)
def test_a_change_called_clean_is_told(clean, pattern, new, words):
    """The file is changed, and what came of the unchanged one is said of it."""
    assert words in fault_of(base_of(0), changed(pattern, new), clean)


def test_what_the_other_reader_cannot_read_is_counted_apart(clean):
    assert fault_of(base_of(0), changed(rb"<sheetData>", b"<sheetData><"), clean) is None
    assert fault_of(base_of(0), b"", clean) is None
    blank, result = rb'<c r="D5" s="32"/>', rb"(</f>)<v>[1-9][0-9.]+</v>"
    no_date = rb'<c r="D5" s="32" t="d"><v>none</v></c>'
    assert fault_of(base_of(0), changed(blank, no_date), clean) == ""
    assert fault_of(base_of(0), changed(result, rb"\1<v>none</v>"), clean) is None


def test_an_entry_misread_is_told(clean):
    told = clean.contents.entries
    number = next(n for n, value in enumerate(told) if isinstance(value, float))
    wrong = replace(clean.contents, entries=(*told[:number], told[number] + 1, *told[number + 1:]))
    pattern = rb"(<c r=\"[A-Z]+\d+\" s=\"\d+\">)<v>3\.\d+</v>"
    data = changed(pattern, rb"\1<v>3.3333</v>")
    assert "read as" in fault_of(base_of(0), data, Outcome(clean.report, wrong))


def test_a_failure_and_a_live_report_are_told(clean):
    finding = Finding(code="TOOL01", name="tool-failed", severity=Severity.BLOCKS, place=Place(file="a"),
                      found="x", expected="y", todo="z")
    broken = replace(clean.report, findings=(finding,))
    assert "failed" in fault_of(base_of(0), b"", Outcome(broken))
    assert not live_in_reports(BatchReport(sheets=(broken,)), workbook=True)
