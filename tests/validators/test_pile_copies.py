"""Copies of one job: which files are copies, which is the newest, what differs."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from sheetgen.fill import fill_workbook
from tests.returned.workbooks import engine
from validators.contents import DATE_IN_FILE, Contents, contents_of, same_held
from validators.pile import FILE_TIME, MAIL_DATE
from validators.pile_copies import (
    ALIKE_ENTRIES,
    NO_DATE,
    ONLY_ONE_FILLED,
    CopyOf,
    TypedFiles,
    find_copies,
    same_bytes,
)
from validators.sheet import opened

FIRST, SECOND, THIRD = (datetime(2031, 3, day, 8, tzinfo=UTC) for day in (4, 5, 6))
READING = "bore_reading_2_top_thrust"
FILES = 200


@cache
def contents(start: str = "filled", *entries: tuple[str, object]) -> Contents:
    """Return what stands in the workbook of an engine once something was typed into it."""
    base = engine("three")
    data = fill_workbook(getattr(base, start), base.plan, dict(entries), recalculate=False)
    return contents_of(opened(Path("a.xlsx"), data))


def copy(place, held, job="J-1", modified=None, **dates) -> CopyOf:
    """Return a file; dates are `mail` and `file`."""
    kinds = {"mail": MAIL_DATE, "file": FILE_TIME}
    told = tuple((kinds[kind], when) for kind, when in dates.items())
    held = replace(held, modified=modified)
    return CopyOf(place, f"digest of {place}", job, told, held.plan, modified, lambda: held)


def test_differences_are_listed_with_their_cells_and_values():
    """One reading, the note and the date of the job; what is the same is not listed."""
    cell = engine("three").plan.by_name[READING]
    old = copy("old", contents(), modified=FIRST)
    new = copy("new", contents("filled", (READING, 86.0045), ("job_note", None)), modified=SECOND)
    (found,) = find_copies([old, new])
    assert (found.files, found.told_by, found.times[0]) == (("new", "old"), DATE_IN_FILE, SECOND.isoformat())
    assert {d.name: d.values for d in found.differences} == {
        READING: (86.0045, 86.004), "job_note": (None, "cold room, one night"),
    }
    told = next(d for d in found.differences if d.name == READING)
    assert (told.place.file, told.place.sheet, told.place.cell) == ("new", "Bores", cell.address)


@pytest.mark.parametrize(
    ("dates", "newest", "told_by"),
    [
        ([{"modified": FIRST, "file": THIRD}, {"modified": SECOND, "file": FIRST}], 1, DATE_IN_FILE),
        ([{"modified": FIRST, "mail": THIRD}, {"modified": FIRST, "mail": SECOND}], 0, MAIL_DATE),
        ([{"mail": THIRD, "file": FIRST}, {"file": SECOND}], 1, FILE_TIME),
        ([{"modified": FIRST}, {}, {}], 2, NO_DATE),
    ],
)
def test_the_surest_date_that_all_have_decides(dates, newest, told_by):
    """Kinds of dates are not mixed, and one that is the same for all tells nothing."""
    files = [
        copy(str(n), contents("filled", (READING, 86 + n / 1000)), **told) for n, told in enumerate(dates)
    ]
    (found,) = find_copies(files)
    assert (found.files[0], found.told_by) == (str(newest), told_by)


def test_a_copy_as_issued_is_never_the_newest():
    """Whatever its date."""
    files = [copy("filled", contents(), modified=FIRST), copy("issued", contents("issued"), modified=THIRD)]
    (found,) = find_copies(files)
    assert (found.files, found.told_by) == (("filled", "issued"), ONLY_ONE_FILLED)


def test_a_job_number_is_the_same_whatever_its_capitals():
    """Other numbers are other jobs, and another plan is another job under the same number."""
    other = replace(contents("filled", (READING, 86.0)), plan="another")
    files = [copy("a", contents(), "j-1 "), copy("b", contents(), "J-1"), copy("c", contents(), "J-2"),
             copy("d", other, "J-1")]
    assert [set(found.files) for found in find_copies(files)] == [{"a", "b"}]


def test_without_a_number_it_is_what_was_typed_that_tells():
    """A copy without its number is found; another engine of the same plan, and a blank form, are not."""
    other = {
        cell.name: 85.5 for cell in engine("three").plan.cells
        if cell.is_input and cell.key.endswith("_reading")
    }
    elsewhere = contents("issued", *other.items())
    files = [
        copy("numbered", contents()), copy("without", contents("filled", (READING, 86.0)), ""),
        copy("another engine", elsewhere, ""), copy("blank form", contents("issued"), ""),
    ]
    assert [set(found.files) for found in find_copies(files)] == [{"numbered", "without"}]


@pytest.mark.parametrize("entries", [6, 40, 700])
def test_many_files_are_compared_as_two_are(entries):
    """Entry by entry, however few or many were typed."""
    chance, typed, others = random.Random(entries), TypedFiles(entries, FILES), []
    shares, fill = (0.3, 0.47, 0.5, 0.53, 1.0), (0.05, 0.6, 1.0)
    found = set()
    for number in range(FILES):
        model = chance.choice(others)[0] if others else [1] * entries
        share, filled = chance.choice(shares), chance.choice(fill)
        own = [
            0 if chance.random() > filled else value if value and chance.random() < share else number + 2
            for value in model
        ]
        expected = min((group for other, group in others if alike(own, other)), default=None)
        assert typed.first_like(np.array(own, np.uint16)) == expected
        found.add(expected is None)
        group = chance.randrange(60)
        typed.add(np.array(own, np.uint16), group)
        others.append((own, group))
    assert found == {True, False}


def alike(one: list[int], other: list[int]) -> bool:
    """Return whether two files agree in five entries and in half of those that are typed in both."""
    both = [(a, b) for a, b in zip(one, other, strict=True) if a and b]
    same = sum(a == b for a, b in both)
    return same >= ALIKE_ENTRIES and same * 2 >= len(both)


def test_identical_files_stand_for_each_other():
    """They are told once, and compared once."""
    assert same_bytes([("a", "1"), ("b", "2"), ("c", "1"), ("d", ""), ("e", "")]) == [("a", "c")]
    twin = copy("a", contents())
    assert find_copies([twin, replace(twin, place="b")]) == []


def test_a_number_as_text_is_another_entry():
    """A decimal comma is told; the last binary digit is not."""
    assert not same_held("86,012", 86.012)
    assert same_held(86.012, 86.01200000000001)
    assert not same_held(None, 0.0)
