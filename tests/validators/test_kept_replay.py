"""Compiled formulas kept on disk: the same values cold and warm, and nothing taken on trust."""

from __future__ import annotations

import json

import pytest

from sheetgen.build import new_build
from sheetgen.plan import plan_workbook
from validators import recalculate
from validators.edge_builds import proof_builds
from validators.kept_replay import from_data, to_data
from validators.recalculate import compile_known, compile_sheet
from validators.recompute import Recomputer

NAMES = {
    **{f"bore_{n}": ("S", f"A{n}", f"A{n}") for n in (1, 2, 3)},
    "bore_all": ("S", "A1", "A3"),
}
FORMULAS = {
    **{("S", f"B{n}"): f'=IF(COUNT(bore_{n})=0,"",PI()/4*bore_{n}^2)' for n in (1, 2, 3)},
    ("S", "C1"): "=MAX(bore_all)-MIN(bore_all)",
}
INPUTS = {("S", "A1"): [1.0, 2.0], ("S", "A2"): [3.0, None]}


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("BORELEDGER_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


def refuse(*_):
    raise AssertionError("formulas that are kept were compiled again")


def values(replay):
    return {cell: [*map(repr, found.tolist())] for cell, found in replay.run(INPUTS, 2).items()}


def test_formulas_that_were_kept_give_the_same_and_are_not_compiled(folder, monkeypatch):
    cold = compile_known("1", lambda: FORMULAS, lambda: NAMES)
    monkeypatch.setattr(recalculate, "compile_sheet", refuse)
    warm = compile_known("1", refuse, refuse)
    assert values(warm) == values(cold) == values(compile_sheet(FORMULAS, NAMES))
    assert warm.formula_cells == cold.formula_cells
    assert warm.input_cells == cold.input_cells


def test_other_formulas_have_a_file_of_their_own(folder):
    compile_known("1", lambda: FORMULAS, lambda: NAMES)
    other = compile_known("2", lambda: {("S", "B1"): "=bore_1*2"}, lambda: NAMES)
    assert values(other) == {("S", "B1"): ["2.0", "4.0"]}
    assert len(list(folder.glob("formulas-*.json"))) == 2


def test_another_library_makes_a_file_of_its_own(folder, monkeypatch):
    compile_known("1", lambda: FORMULAS, lambda: NAMES)
    versions = recalculate._versions()
    monkeypatch.setattr(recalculate, "_versions", lambda: {**versions, "formulas": "0.0"})
    with pytest.raises(AssertionError, match="compiled again"):
        compile_known("1", refuse, refuse)


def test_a_whole_engine_cold_and_warm(folder):
    plan = plan_workbook(new_build("v6", "inch"))
    recomputer = Recomputer(plan)
    batch = proof_builds(recomputer, range(6))
    cold = recomputer.recalculated(batch)
    again = Recomputer(plan)
    assert next(folder.glob("formulas-*.json")).stat().st_size > 10_000
    assert repr(again.recalculated(batch)) == repr(cold)


def damaged() -> dict[str, object]:
    data = to_data(compile_sheet(FORMULAS, NAMES).compiled)

    def changed(**parts):
        return {**json.loads(json.dumps(data)), **parts}

    number, rows, arguments = json.loads(json.dumps(data["groups"][0]))
    (shape, flat), *more = arguments
    return {
        "nothing": None,
        "a list": [],
        "no groups": {key: data[key] for key in ("cells", "titles", "plans")},
        "a plan that calls another function": changed(plans=[[1, [], [["INDIRECT", [0]]], 1]]),
        "a plan that is not there": changed(groups=[[99, rows, arguments]]),
        "a row that is not there": changed(groups=[[number, [10_000], arguments]]),
        "a row before the first": changed(groups=[[number, [-1], arguments]]),
        "a row that is no number": changed(groups=[[number, ["0"], arguments]]),
        "a result in an input's place": changed(groups=[[number, [len(FORMULAS)], arguments]]),
        "a block of another shape": changed(groups=[[number, rows, [[[1, 1, 7], flat], *more]]]),
        "a block without columns": changed(groups=[[number, rows, [[shape[:2], flat], *more]]]),
        "too few blocks": changed(groups=[[number, rows, []]]),
        "too few cells in a block": changed(groups=[[number, rows[:1], arguments]]),
        "a sheet that is not there": changed(titles=[]),
    }


@pytest.mark.parametrize("fault", sorted(damaged()))
def test_data_that_are_no_formulas_give_none(fault):
    assert from_data(damaged()[fault]) is None


def test_good_data_give_formulas():
    data = json.loads(json.dumps(to_data(compile_sheet(FORMULAS, NAMES).compiled)))
    found = from_data(data)
    assert found is not None
    assert json.loads(json.dumps(to_data(found))) == data
