"""Engines that never met: the certificate says what they computed, and a wrong one is caught."""

import json

import pytest
from typer.testing import CliRunner

from sheetgen.build import new_build
from sheetgen.plan import plan_workbook
from sheetgen.workbook import workbook_bytes
from validators.cell_values import ErrorValue
from validators.cli import app
from validators.engines import certificate
from validators.engines.certificate import ENGINES, certify
from validators.engines.engine import EngineError, FormulasEngine
from validators.engines.office_engine import OfficeEngine, rectangles
from validators.random_texts import EVERY, has_texts

RUN = CliRunner()


def write(plan):
    return workbook_bytes(plan, stored_values=False)


def certified(*engines, builds=EVERY, **more):
    return certify(["inline-3"], ["inch"], builds, 0, engines, write, **more)


def test_two_engines_agree_with_the_core_over_builds_with_blanks_and_texts():
    found = certified("formulas", "formualizer")
    assert any(has_texts(seed) for seed in range(EVERY))
    assert found.holds
    assert [part.builds for parts in found.parts.values() for part in parts] == [EVERY, EVERY]
    text = "\n".join(found.lines())
    assert "engine formualizer: formualizer " in text
    assert text.endswith("every cell agrees with the core")
    data = json.loads(found.as_json())
    assert data["holds"]
    assert {row["engine"] for row in data["parts"]} == {"formulas", "formualizer"}
    assert data["plans"].keys() == {"inline-3 inch"}


@pytest.mark.office
def test_the_office_program_agrees_with_the_core():
    found = certified("office")
    assert found.holds
    assert found.engines["office"].startswith("LibreOffice ")


class Off(FormulasEngine):
    """An engine that is a little off in one figure, and breaks down in another."""

    def values(self, batch):
        found = super().values(batch)
        found["bore_mean_1"] = [v * (1 + 1e-8) if isinstance(v, float) else v for v in found["bore_mean_1"]]
        found["plate_state"] = [ErrorValue("#VALUE!")] * len(batch)
        return found


def test_an_engine_that_is_off_is_caught(monkeypatch):
    monkeypatch.setattr(certificate, "ENGINES", {**ENGINES, "formulas": Off})
    found = certified("formulas")
    assert not found.holds
    (part,) = found.parts["formulas"]
    assert {item.name for item in part.disagreements} >= {"bore_mean_1", "plate_state"}
    assert {item.name for item in part.errors} == {"plate_state"}
    assert list(found.lines())[-1] == "NOT every cell agrees with the core"


def test_an_engine_that_is_not_installed_takes_no_part_and_is_named(monkeypatch):
    def missing():
        raise EngineError("there is no office program")

    monkeypatch.setattr(OfficeEngine, "version", staticmethod(missing))
    found = certified("formulas", "office", builds=1)
    assert found.absent == {"office": "there is no office program"}
    assert "engine office took no part: there is no office program" in list(found.lines())
    with pytest.raises(EngineError, match="there is no office program"):
        certified("office", builds=1)


def test_time_bounds_the_builds_and_counts_are_what_was_done(monkeypatch):
    monkeypatch.setattr(certificate, "TOGETHER", 1)
    found = certified("formulas", builds=500, minutes=1e-6)
    assert found.parts["formulas"][0].builds == 1


def test_layouts_side_by_side_give_the_same_certificate():
    alone, both = (
        certify(["inline-3", "v6"], ["inch"], 2, 7, ["formulas"], write, jobs=jobs) for jobs in (1, 2)
    )
    assert both.parts == alone.parts
    assert both.plans == alone.plans
    assert [part.layout for part in both.parts["formulas"]] == ["inline-3", "v6"]


def test_rectangles_hold_every_entry_once():
    cells = [cell for cell in plan_workbook(new_build("inline-3", "inch")).cells if cell.is_input]
    areas = list(rectangles(cells))
    assert sorted((c.sheet, c.address) for area in areas for line in area for c in line) == sorted(
        (cell.sheet, cell.address) for cell in cells
    )
    assert all(len({len(line) for line in area}) == 1 for area in areas)
    assert len(areas) < len(cells) / 5


def test_the_command_writes_the_certificate(tmp_path):
    out = tmp_path / "proof.json"
    result = RUN.invoke(app, [
        "prove", "--builds", "1", "--layout", "inline-3", "--units", "inch", "--engine", "formulas",
        "--certificate", str(out),
    ])
    assert result.exit_code == 0, result.output
    assert "every cell agrees with the core" in result.output
    assert json.loads(out.read_text(encoding="utf-8"))["engines"].keys() == {"formulas"}


def test_an_unknown_engine_is_one_sentence():
    result = RUN.invoke(app, ["prove", "--engine", "formualiser"])
    assert result.exit_code == 2
    assert "'formualiser' is no known engine" in result.output
    assert "formualizer" in result.output
