"""Parsed formulas kept on disk: the same answers cold and warm, and nothing taken on trust."""

from __future__ import annotations

import json
import os

import pytest

from sheetgen import formula_rules
from sheetgen.user_cache import cache_folder
from validators import pattern_plans, recalculate
from validators.cell_values import ErrorValue
from validators.errors import RecalculationError
from validators.pattern_plans import (
    FUNCTIONS,
    PatternPlan,
    PlanStore,
    Step,
    plan_from_data,
    plan_to_data,
)
from validators.recalculate import compile_sheet

NAMES = {
    **{f"bore_{n}": ("S", f"A{n}", f"A{n}") for n in (1, 2, 3)},
    **{f"area_{n}": ("S", f"B{n}", f"B{n}") for n in (1, 2, 3)},
    "bore_all": ("S", "A1", "A3"),
}
FORMULAS = {
    **{("S", f"B{n}"): f'=IF(COUNT(bore_{n})=0,"",PI()/4*bore_{n}^2)' for n in (1, 2, 3)},
    ("S", "C1"): "=MAX(bore_all)-MIN(bore_all)",
    ("S", "C2"): "=INDEX(bore_all,MATCH(bore_2,bore_all,0))",
    ("S", "C3"): "=IF(TRUE,1/0,2)",
}
INPUTS = {("S", "A1"): [1.0, 2.0], ("S", "A2"): [3.0, None]}
PATTERNS = 4


def results() -> dict[object, list[object]]:
    recalculate._parse.cache_clear()
    found = compile_sheet(FORMULAS, NAMES).run(INPUTS, 2)
    return {cell: values.tolist() for cell, values in found.items()}


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("BORELEDGER_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


@pytest.fixture
def stored(folder):
    """Return the path of a good file of plans, and its content."""
    results()
    (path,) = folder.iterdir()
    return path, json.loads(path.read_text())


def test_formulas_of_one_pattern_are_stored_once(stored):
    path, content = stored
    assert len(content["plans"]) == PATTERNS
    assert [entry.name for entry in path.parent.iterdir()] == [path.name]


def test_a_warm_start_gives_what_the_cold_start_gave_and_parses_nothing(folder, monkeypatch):
    cold = results()

    def refuse(*_):
        raise AssertionError("a stored pattern was parsed again")

    monkeypatch.setattr(recalculate, "_parsed", refuse)
    assert results() == cold


def test_plans_of_other_sheets_stay_stored(stored):
    path, content = stored
    compile_sheet({("S", "B1"): "=bore_1*2"}, NAMES)
    assert set(json.loads(path.read_text())["plans"]) > set(content["plans"])


def damaged(content: dict) -> dict[str, object]:
    """Return damaged files by what is wrong with them."""
    pattern = "=MAX(_P0X)-MIN(_P0X)"

    def poisoned(plan: object) -> dict:
        plans = {**content["plans"], pattern: plan}
        return {**content, "plans": plans, "digest": pattern_plans._digest(plans)}

    cut = json.dumps(content)[:-40]
    return {
        "nothing in it": "",
        "cut off": cut,
        "not text": b"\xff\xfe\x00\x01",
        "another kind": [1, 2],
        "nested without end": "[" * 100_000,
        "no plans": {key: content[key] for key in ("versions", "digest")},
        "one digit changed": json.dumps(content).replace("0.785398", "0.885398"),
        "other library": {**content, "versions": {**content["versions"], "formulas": "0.0"}},
        "other format": {**content, "versions": {**content["versions"], "format": "0"}},
        "function not allowed": poisoned([1, [], [["INDIRECT", [0]]], 1]),
        "a path to code": poisoned([1, [], [["os.system", [0]]], 1]),
        "a function of Python": poisoned([1, ["1+1"], [["eval", [1]]], 2]),
        "slot ahead": poisoned([1, [], [["MAX", [1]]], 1]),
        "slot below none": poisoned([1, [], [["MAX", [-1]]], 1]),
        "slot no number": poisoned([1, [], [["MAX", ["0"]]], 1]),
        "slot a boolean": poisoned([1, [], [["MAX", [True]]], 1]),
        "no such result": poisoned([1, [], [["MAX", [0]]], 5]),
        "a list for a constant": poisoned([1, [[1, 2]], [["MAX", [0]]], 2]),
        "an object for a constant": poisoned([1, [{"error": "sys"}], [["MAX", [0]]], 2]),
        "number that is none": poisoned([1, [float("nan")], [["MAX", [0]]], 2]),
        "another number of places": poisoned([3, [], [["MAX", [0]]], 3]),
    }


@pytest.mark.parametrize("fault", sorted(damaged({"plans": {}, "versions": {}, "digest": ""})))
def test_a_file_that_cannot_be_trusted_is_passed_over_and_written_anew(stored, fault):
    path, content = stored
    good, good_bytes = results(), path.read_bytes()
    broken = damaged(content)[fault]
    if isinstance(broken, bytes):
        path.write_bytes(broken)
    else:
        path.write_text(broken if isinstance(broken, str) else json.dumps(broken))
    assert path.read_bytes() != good_bytes
    assert results() == good
    assert json.loads(path.read_text()) == content


def test_an_enormous_file_is_not_read(stored, monkeypatch):
    path, _ = stored
    good = results()
    monkeypatch.setattr(pattern_plans, "_LARGEST_FILE", path.stat().st_size - 1)
    assert PlanStore(path.parent, recalculate._versions()).load() == {}
    assert results() == good


@pytest.mark.skipif(os.name != "posix", reason="folders are closed otherwise elsewhere")
def test_a_folder_that_cannot_be_written_costs_only_time(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("BORELEDGER_CACHE", str(tmp_path / "file" / "cache"))
    assert results()["S", "C1"] == [2.0, 0.0]


def test_the_folder_is_named_by_the_environment(tmp_path, monkeypatch):
    monkeypatch.setenv("BORELEDGER_CACHE", str(tmp_path))
    assert cache_folder() == tmp_path
    monkeypatch.setenv("BORELEDGER_CACHE", "")
    assert cache_folder() is None
    monkeypatch.delenv("BORELEDGER_CACHE")
    assert "boreledger" in cache_folder().parts


def test_a_plan_and_its_description_are_the_same():
    plan = PatternPlan(
        places=1,
        constants=(1, 2.5, True, "word", ErrorValue("#N/A")),
        steps=(Step("MAX", (0, 1)), Step("IF", (3, 6, 4))),
        result=7,
    )
    assert plan_from_data(json.loads(json.dumps(plan_to_data(plan)))) == plan


def test_the_same_functions_are_allowed_on_both_sides():
    assert set(formula_rules.FUNCTIONS) == FUNCTIONS


def test_a_function_that_is_not_allowed_is_never_parsed(monkeypatch, folder):
    monkeypatch.setattr(recalculate, "_parsed", None)
    with pytest.raises(RecalculationError, match="INDIRECT is not allowed"):
        compile_sheet({("S", "B1"): '=INDIRECT("A1")'}, NAMES)
