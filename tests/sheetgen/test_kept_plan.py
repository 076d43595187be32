"""Plans and templates kept on disk: the same plan cold and warm, and nothing taken on trust."""

from __future__ import annotations

import json
import os
import time

import pytest

from sheetgen import plan, sources, user_cache
from sheetgen.build import new_build
from sheetgen.kept_plan import from_data, to_data
from sheetgen.plan import Plan, plan_workbook
from sheetgen.sources import TEMPLATES, edition, parsed, read_toml
from sheetgen.template import read_templates
from sheetgen.user_cache import Keeping

PRESETS = ("inline-3", "flat-4", "v8")


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("BORELEDGER_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


def planned(preset: str = "inline-3", family: str = "millimetre", **kind: bool) -> Plan:
    plan._bare_plan.cache_clear()
    return plan_workbook(new_build(preset, family, **kind))


def refuse(*_):
    raise AssertionError("a plan that is kept was laid out again")


def exactly(found: Plan) -> str:
    """All of a plan, whole numbers told apart from others."""
    return repr((found.sheets, found.cells, list(found.names.items()), list(found.stage_inputs.items())))


@pytest.mark.parametrize("optional", [True, False])
@pytest.mark.parametrize("family", ["millimetre", "inch"])
@pytest.mark.parametrize("preset", PRESETS)
def test_a_plan_that_was_kept_is_the_plan_as_laid_out(folder, monkeypatch, preset, family, optional):
    cold = planned(preset, family, optional=optional)
    monkeypatch.setattr(plan, "_laid_out", refuse)
    warm = planned(preset, family, optional=optional)
    assert exactly(warm) == exactly(cold)
    assert warm == cold
    assert warm.digest == cold.digest


def test_what_is_kept_is_text_and_survives_json():
    found = planned().bare
    assert found is not None
    laid_out = plan.LaidOut(found.sheets, found.cells, found.names, found.stage_inputs)
    assert from_data(json.loads(json.dumps(to_data(laid_out))), read_templates(1)) == laid_out


def one_file(folder, kind="plan"):
    (path,) = folder.glob(f"{kind}-*.json")
    return path


def spoilt(path, how: str) -> None:
    data = path.read_bytes()
    head, _, body = data.partition(b"\n")
    if how == "cut":
        path.write_bytes(data[:-100])
    elif how == "empty":
        path.write_bytes(b"")
    elif how == "a formula changed":
        path.write_bytes(data.replace(b"=IF(COUNT(", b"=IF(COUNT-", 1))
    elif how == "made for another":
        path.write_bytes(b"0" * 64 + head[64:] + b"\n" + body)
    elif how == "another may write it":
        path.chmod(0o666)
    elif how == "not text":
        path.write_bytes(b"\xff\xfe" * 1000)


@pytest.mark.parametrize(
    "how", ["cut", "empty", "a formula changed", "made for another", "another may write it", "not text"]
)
def test_a_kept_plan_that_cannot_be_believed_is_laid_out_again(folder, how):
    good = planned()
    path = one_file(folder)
    spoilt(path, how)
    assert exactly(planned()) == exactly(good)
    path.chmod(0o600)
    assert exactly(planned()) == exactly(good)


@pytest.mark.parametrize("data", [
    None, 1, [], {}, {"sheets": []}, {"sheets": [["bores"]], "indices": [], "cells": [], "ranges": [],
                                      "stage_inputs": {}},
    {"sheets": [], "indices": [], "cells": [[0] * 13], "ranges": [], "stage_inputs": {}},
])
def test_data_that_are_no_plan_give_none(data):
    assert from_data(data, read_templates(1)) is None


def test_a_changed_source_gives_another_edition(tmp_path, monkeypatch):
    before = edition()
    changed = tmp_path / "templates"
    changed.mkdir()
    (changed / "shapes.toml").write_text("x = 1\n")
    monkeypatch.setattr(sources, "TEMPLATES", changed)
    edition.cache_clear()
    other = edition()
    (changed / "shapes.toml").write_text("x = 2\n")
    edition.cache_clear()
    third = edition()
    edition.cache_clear()
    assert len({before, other, third}) == 3


def test_templates_that_are_kept_say_what_the_files_say(folder):
    for _ in range(2):
        sources._templates.cache_clear()
        for path in sorted(TEMPLATES.rglob("*.toml")):
            assert repr(read_toml(path)) == repr(parsed(path)), path
    assert one_file(folder, "templates").is_file()
    sources._templates.cache_clear()


# ---------------------------------------------------------------- the folder


def test_no_more_is_kept_than_there_is_room_for(folder, monkeypatch):
    monkeypatch.setattr(user_cache, "MOST_OF_A_KIND", 2)
    for key in ("a" * 64, "b" * 64, "c" * 64):
        Keeping("plan", key, "e" * 64).save([key])
    assert [Keeping("plan", key * 64, "e" * 64).load() is not None for key in "abc"] == [True, True, False]
    old = time.time() - user_cache.UNUSED_SECONDS - 10
    os.utime(next(folder.glob("plan-*-a*")), (old, old))
    Keeping("plan", "c" * 64, "e" * 64).save(["c"])
    assert [Keeping("plan", key * 64, "e" * 64).load() is not None for key in "abc"] == [False, True, True]


def test_files_of_another_edition_make_room_at_once(folder, monkeypatch):
    monkeypatch.setattr(user_cache, "MOST_OF_A_KIND", 2)
    for key, edition_of in (("a", "1"), ("b", "2")):
        Keeping("plan", key * 64, edition_of * 64).save([key])
    Keeping("plan", "c" * 64, "2" * 64).save(["c"])
    held = [Keeping("plan", k * 64, e * 64).load() is not None for k, e in ("a1", "b2", "c2")]
    assert held == [False, True, True]
    Keeping("plan", "d" * 64, "2" * 64).save(["d"])
    assert Keeping("plan", "d" * 64, "2" * 64).load() is None


def test_what_is_used_counts_as_used(folder):
    Keeping("plan", "a" * 64, "e" * 64).save([1])
    path = one_file(folder)
    old = time.time() - user_cache.UNUSED_SECONDS - 10
    os.utime(path, (old, old))
    assert Keeping("plan", "a" * 64, "e" * 64).load() == [1]
    assert time.time() - path.stat().st_mtime < 60


def test_nothing_is_kept_where_nothing_may_be(tmp_path, monkeypatch):
    monkeypatch.setenv("BORELEDGER_CACHE", "")
    Keeping("plan", "a" * 64, "e" * 64).save([1])
    assert Keeping("plan", "a" * 64, "e" * 64).load() is None
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("BORELEDGER_CACHE", str(tmp_path / "file" / "cache"))
    good = planned()
    assert exactly(planned()) == exactly(good)
