"""Where cells stand in a returned workbook whose rows, columns, names and sheets were moved."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.returned import edits
from tests.returned.workbooks import engine
from validators.places import Places, read_address, read_target
from validators.returned import read_returned


@pytest.fixture(scope="module")
def three():
    """An invented inline-three."""
    return engine("three")


def found(data, plan) -> Places:
    """Find every cell in a workbook."""
    return Places(plan, read_returned(data, Path("returned.xlsx")))


@pytest.mark.parametrize(
    ("text", "block"),
    [
        ("Bores!$F$14", ("Bores", 14, 6, 14, 6)),
        ("'Main bearings'!$B$27:$D$30", ("Main bearings", 27, 2, 30, 4)),
        ("'It''s'!A1", ("It's", 1, 1, 1, 1)),
        (" Bores!$D$30:$B$27 ", ("Bores", 27, 2, 30, 4)),
        ("Bores!#REF!", None),
        ("#REF!$A$1", None),
        ("$A$1", None),
        ("Bores!$A$0", None),
        ("Bores!$XFE$1", None),
        ("Bores!$A$1048577", None),
        ("Bores!$A$1,Bores!$B$2", None),
        ("86.002", None),
        ("", None),
    ],
)
def test_a_name_speaks_of_one_block_or_of_none(text, block):
    """Anything but one block of cells on one sheet is no place."""
    assert read_target(text) == block


def test_an_address_has_row_and_column():
    """The far corner too."""
    assert read_address("XFD1048576") == (1048576, 16384)


def test_an_issued_workbook_stands_as_planned(three):
    """Nothing is moved, gone or astray, and every range covers its cells."""
    places = found(three.issued, three.plan)
    assert all(at.cell is not None and at.moved == (0, 0) and not at.alone for at in places.located.values())
    assert places.broken_ranges() == {}
    assert all(title == now for title, now in places.titles.items())


@pytest.mark.parametrize("rows", [(12,), (3, 3), (12, 40), (1,), (8,), (7, 7)])
def test_cells_and_labels_are_followed_when_rows_are_inserted(three, rows):
    """Named or not, a cell is where its row went."""
    data = three.filled
    for row in rows:
        data = edits.insert_row(data, "Bores", row)
    places = found(data, three.plan)
    for cell in three.plan.cells:
        if cell.sheet != "Bores":
            continue
        at = places.located[cell.name or f"{cell.sheet}!{cell.address}"]
        assert at.cell is not None, cell
        assert not at.alone
        if isinstance(cell.value, str) and not cell.is_input:
            assert str(at.cell.value or "").split() == cell.value.split()
        if cell.formula:
            assert at.cell.formula is not None
    assert places.broken_ranges() == {}


def test_a_deleted_row_takes_its_label_along(three):
    """Cells of the row are gone, with and without a name; the rest went up."""
    row = three.plan.by_name["bore_reading_2_top_thrust"].row
    places = found(edits.delete_row(three.filled, "Bores", row), three.plan)
    for cell in three.plan.cells:
        if cell.sheet == "Bores" and cell.row == row:
            assert places.located[cell.name or f"Bores!{cell.address}"].cell is None
    below = places.located["bore_reading_3_top_thrust"]
    assert (below.moved, below.alone) == ((-1, 0), False)
    assert places.broken_ranges() == {}, "what a deleted row does to a range is said of the row"


def test_a_cell_that_was_cut_is_astray_and_its_row_is_not(three):
    """Only the cell that left its label is doubtful."""
    first, second = (three.plan.by_name[f"piston_reading_{n}"] for n in (1, 2))
    data = edits.cut_and_paste(three.filled, three.plan, first.name, second.sheet, second.address)
    places = found(data, three.plan)
    assert [name for name, at in places.located.items() if at.alone] == [first.name]
    assert places.located[first.name].address == second.address
    assert places.located[second.name].cell is None


def test_the_only_cell_of_a_row_is_astray_when_its_label_stays(three):
    """In a form a row has one named cell: the label tells whether the row moved or the cell."""
    cell = three.plan.by_name["guard_factor"]
    data = edits.cut_and_paste(three.filled, three.plan, cell.name, cell.sheet, f"B{cell.row + 1}")
    assert found(data, three.plan).located[cell.name].alone


def test_a_renamed_sheet_is_followed_by_its_names(three):
    """Another sheet of its old title is not taken for it."""
    data = edits.add_sheet(edits.rename_sheet(three.filled, "Bores", "Bores old"), "Bores")
    places = found(data, three.plan)
    assert places.titles["Bores"] == "Bores old"
    assert places.located["bore_mean_1"].sheet == "Bores old"


def test_two_sheets_that_changed_titles_are_told_apart(three):
    """The names count, not the titles."""
    data = edits.rename_sheet(three.filled, "Crank", "x")
    data = edits.rename_sheet(edits.rename_sheet(data, "Bores", "Crank"), "x", "Bores")
    places = found(data, three.plan)
    assert (places.titles["Bores"], places.titles["Crank"]) == ("Crank", "Bores")
    assert places.located["bore_mean_1"].sheet == "Crank"
    assert not any(at.alone for at in places.located.values())


@pytest.mark.parametrize("target", ["'Bores'!$D$11:$E$12", "'Bores'!$Z$99", "#REF!", "1"])
def test_a_range_that_covers_other_cells_is_broken(three, target):
    """Formulas use ranges by name: one that covers something else computes something else."""
    name = "bore_size_1_all_all"
    places = found(edits.point_name(three.filled, name, target), three.plan)
    assert places.broken_ranges() == {name: "points elsewhere"}
    places = found(edits.drop_names(three.filled, name), three.plan)
    assert places.broken_ranges() == {name: "is missing"}
