"""Stored values kept between runs: the file that the engine gives, and nothing taken on trust."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from sheetgen import cli, workbook
from sheetgen.build import new_build
from sheetgen.kept_values import SHEETS, put_in, taken_from, with_values
from sheetgen.page_fit import measures
from sheetgen.paper import MAY_WRAP, text_heights
from sheetgen.plan import plan_workbook
from sheetgen.seal import ShopKey, write_key
from sheetgen.sources import TEMPLATES
from sheetgen.workbook import store_values, workbook_bytes
from tests.fuzz.members import packed, unpacked

ENGINES = [("inline-3", "millimetre"), ("flat-4", "millimetre"), ("v8", "inch")]


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("BORELEDGER_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


@pytest.fixture(scope="module")
def bare() -> bytes:
    return workbook_bytes(plan_workbook(new_build("inline-3")), stored_values=False)


@pytest.fixture(scope="module")
def computed(bare) -> bytes:
    return store_values(bare)


def refuse(_: bytes) -> bytes:
    raise AssertionError("values that are kept were computed again")


def kept_in(folder: Path) -> list[Path]:
    return list(folder.glob("values-*.json"))


@pytest.mark.parametrize("engine", ENGINES, ids="-".join)
def test_values_that_were_kept_give_the_file_that_the_engine_gives(folder, engine):
    data = workbook_bytes(plan_workbook(new_build(*engine)), stored_values=False)
    first = with_values(data, store_values)
    again = with_values(data, refuse)
    assert list(unpacked(again).items()) == list(unpacked(first).items())
    assert unpacked(again) == unpacked(store_values(data)) != unpacked(data)


def test_members_keep_no_time_of_writing_and_are_packed(folder, tmp_path, bare):
    with_values(bare, store_values)
    path = tmp_path / "again.xlsx"
    path.write_bytes(with_values(bare, refuse))
    with zipfile.ZipFile(path) as archive:
        assert {item.date_time for item in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert {item.compress_type for item in archive.infolist()} == {zipfile.ZIP_DEFLATED}


def test_a_workbook_that_differs_in_one_byte_is_computed(folder, bare):
    with_values(bare, store_values)
    parts = unpacked(bare)
    for name in ("xl/worksheets/sheet1.xml", "xl/workbook.xml", "xl/sharedStrings.xml"):
        other = {**parts, name: parts[name].replace(b"</", b" </", 1)}
        with pytest.raises(AssertionError, match="computed again"):
            with_values(packed(other), refuse)


def test_the_time_of_writing_does_not_matter(folder, bare, computed):
    with_values(bare, store_values)
    parts = unpacked(bare)
    later = {**parts, "docProps/core.xml": parts["docProps/core.xml"].replace(b"20", b"21")}
    assert later != parts
    made = unpacked(with_values(packed(later), refuse))
    assert made == {**unpacked(computed), "docProps/core.xml": later["docProps/core.xml"]}


def test_another_edition_of_the_engine_computes_anew(folder, bare, monkeypatch):
    with_values(bare, store_values)
    monkeypatch.setattr("sheetgen.kept_values.version", lambda _: "0.0.1")
    with pytest.raises(AssertionError, match="computed again"):
        with_values(bare, refuse)


def test_what_the_pattern_does_not_meet_is_not_kept(folder, bare, computed):
    """An engine that writes more than values is believed, and asked each time."""
    parts = unpacked(computed)
    changed = {name: content.replace(b"<f>", b'<f ca="1">', 1) for name, content in parts.items()}
    assert unpacked(with_values(bare, lambda _: packed(changed))) == changed
    assert not kept_in(folder)


def spoilt(kept: dict, **changed: object) -> dict:
    return {**kept, **changed}


def test_values_of_another_workbook_are_none(bare, computed):
    parts, kept = unpacked(bare), taken_from(unpacked(computed))
    assert put_in(parts, kept) == unpacked(computed)
    name = next(name for name, numbers in kept["sheets"].items() if numbers)
    numbers = kept["sheets"][name]
    beyond = len(kept["values"])
    for wrong in (numbers[:-1], [*numbers, 0], [*numbers[:-1], beyond], [*numbers[:-1], "0"], None):
        assert put_in(parts, spoilt(kept, sheets={**kept["sheets"], name: wrong})) is None, wrong
    for data in (None, [], "values", {}, {"values": kept["values"]}, {"sheets": kept["sheets"]}):
        assert put_in(parts, data) is None


@pytest.mark.parametrize("value", ["><f>1</f>", ' t="s">4', ' r="B9">4', "4", 'x="1">4', None, 4])
def test_nothing_but_a_value_is_put_into_a_cell(bare, computed, value):
    kept = taken_from(unpacked(computed))
    assert put_in(unpacked(bare), spoilt(kept, values=[value, *kept["values"][1:]])) is None


def test_each_value_is_said_once(computed):
    kept = taken_from(unpacked(computed))
    assert len(set(kept["values"])) == len(kept["values"]) < 1000
    assert sum(map(len, kept["sheets"].values())) == sum(
        content.count(b"<f>") for name, content in unpacked(computed).items() if name.startswith(SHEETS)
    )


def test_a_known_engine_is_kept_and_a_build_file_is_not(folder, tmp_path, monkeypatch):
    build = TEMPLATES / "demo" / "build.toml"
    cli.new(tmp_path / "of-a-build.xlsx", build=build)
    assert not kept_in(folder)
    cli.new(tmp_path / "first.xlsx", layout="inline-3")
    assert len(kept_in(folder)) == 1
    monkeypatch.setattr(workbook, "store_values", refuse)
    cli.new(tmp_path / "again.xlsx", layout="inline-3")
    first, again = (unpacked((tmp_path / name).read_bytes()) for name in ("first.xlsx", "again.xlsx"))
    assert {name for name in first if first[name] != again[name]} <= {"docProps/core.xml"}
    with pytest.raises(AssertionError, match="computed again"):
        cli.new(tmp_path / "of-a-build-again.xlsx", build=build)


def test_a_keyed_digest_is_that_of_the_key(folder, tmp_path):
    """What one key sealed is not written under another."""
    keys = [tmp_path / "one.key", tmp_path / "other.key"]
    marks = [write_key(path).mark for path in keys]
    for path in keys:
        cli.new(tmp_path / f"{path.stem}.xlsx", layout="inline-3", key=path)
    for path, mark, other in zip(keys, marks, reversed(marks), strict=True):
        texts = unpacked((tmp_path / f"{path.stem}.xlsx").read_bytes())["xl/sharedStrings.xml"].decode()
        assert mark in texts
        assert other not in texts
    assert all(isinstance(mark, str) and len(mark) == len(ShopKey(bytes(32)).mark) for mark in marks)


@pytest.mark.parametrize("engine", ENGINES, ids="-".join)
def test_columns_at_the_right_of_all_cells_change_no_height_of_a_text(engine):
    """So that heights of texts are found once, while a sheet's print size is tried."""
    plan = plan_workbook(new_build(*engine))
    for sheet in plan.sheets:
        cells = [cell for cell in plan.cells if cell.sheet == sheet.template.title]
        widths, _ = measures(sheet, cells, plan.catalogue, plan.build.family)
        within = widths[:sheet.columns]
        texts = [cell for cell in cells if cell.role in MAY_WRAP]
        assert max(cell.column + cell.columns - 1 for cell in texts) <= len(within)
        assert text_heights(cells, widths, plan.catalogue) == text_heights(cells, within, plan.catalogue)


def test_no_garbage_is_looked_for_when_the_program_ends():
    told = "import atexit, gc; atexit.register(lambda: print(gc.get_freeze_count()))"
    call = [sys.executable, "-c", f"{told}; import validators.program"]
    done = subprocess.run(call, capture_output=True, text=True, check=True)
    assert int(done.stdout) > 1000
