"""Two people's readings of the same parts: sizes at 20 °C, uncertainty of a difference, verdicts."""

import csv
import io
import json
import math
import xml.etree.ElementTree as Tree

import pytest
from typer.testing import CliRunner

from sheetgen.catalogue import load_catalogue
from sheetgen.errors import DefinitionError
from tests.returned.workbooks import engine
from tests.validators.hands import part, three, write_copy
from validators.cli import app
from validators.compare.as_data import as_csv, as_json
from validators.compare.as_html import as_html
from validators.compare.as_text import as_text
from validators.compare.comparison import compare
from validators.compare.difference import Parts, difference_uncertainty
from validators.compare.plot import plot
from validators.copies import open_copy
from validators.gauged import NOT_OF_A_PART, gauged

RUN = CliRunner()


def kind(found, key):
    return next(kind for kind in found.kinds if kind.key == key)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("hands")
    one = three()
    two = dict(one)
    for name in part(one, "piston_reading"):
        two[name] = one[name] + 0.001
    two["piston_reading_2"] = one["piston_reading_2"] + 0.02
    two["machinist_name"] = "<script>alert(1)</script>"
    two["bore_reading_1_top_thrust"] = "86,01"
    two["pin_reading_1"] = None
    write_copy(folder / "one.xlsx", one)
    write_copy(folder / "two.xlsx", two)
    return folder


@pytest.fixture(scope="module")
def found(folder):
    return compare(folder / "one.xlsx", folder / "two.xlsx")


def test_every_reading_has_its_gauge():
    """A number that is read off a part is compared; what tells of a gauge is not."""
    catalogue = load_catalogue()
    left = {
        key
        for key, entry in catalogue.entries.items()
        if entry.kind == "reading" and entry.measure and gauged(catalogue, entry) is None
    }
    on_gauges = {cell.key for cell in engine("three").plan.cells if cell.is_input and cell.sheet == "Gauges"}
    assert left - on_gauges == NOT_OF_A_PART
    for entry in catalogue.entries.values():
        how = gauged(catalogue, entry)
        if how is not None:
            assert how.compared in catalogue.entries, entry.key
            assert not how.feature or how.feature in catalogue.axes["feature"].elements


def test_a_shift_is_the_bias_and_the_odd_one_disagrees(found, folder):
    """Of three pistons one is two hundredths off: it alone is named."""
    pistons = kind(found, "piston_reading")
    assert pistons.agreement.count == 3
    assert pistons.agreement.bias == pytest.approx(-(0.001 + 0.02 + 0.001) / 3, rel=1e-3)
    assert [pair.name for pair in pistons.disagreeing] == ["piston_reading_2"]
    assert found.exit_status == 1


def test_what_must_be_put_right_first_is_left_out_and_said(found):
    """Text in a number cell, and a blank in one copy."""
    assert [item.name for item in found.left_out] == ["bore_reading_1_top_thrust"]
    assert found.left_out[0].second == "86,01 (check entry)"
    assert (found.only_first, found.only_second) == (1, 0)
    bores = kind(found, "bore_reading")
    assert bores.agreement.count == 17
    assert "bore_reading_1_top_thrust" not in {pair.name for pair in bores.pairs}
    assert found.faults[0] == 0
    assert found.faults[1] > 0


def test_verdicts_that_differ_are_those_of_both_reports(found, folder):
    """The words are the ones that check gives for each file."""
    words = []
    for name in ("one.xlsx", "two.xlsx"):
        data = json.loads(RUN.invoke(app, ["check", str(folder / name), "--json"]).stdout)
        words.append({v["name"]: v["word"] for v in data["sheets"][0]["verdicts"]})
    differing = {name: (word, words[1][name]) for name, word in words[0].items() if word != words[1][name]}
    assert {v.name: (v.first, v.second) for v in found.verdicts} == differing
    assert differing
    assert found.verdicts_alike == len(words[0]) - len(differing)


def test_other_temperatures_do_not_make_another_size(tmp_path):
    """A warm part reads bigger; at 20 °C both people have the same size."""
    one = three()
    two = dict(one, part_temperature_bore=30.0, gauge_temperature_bore=20.0)
    plan = engine("three").plan
    copy = open_copy(write_copy(tmp_path / "one.xlsx", one))
    expansion = copy.reference["body_expansion_bore"] * 1e-6
    for name in part(one, "bore_reading"):
        size = copy.reference[name.replace("reading", "size")]
        two[name] = size * (1 + expansion * 10)
    assert plan.by_name["part_temperature_bore"].is_input
    write_copy(tmp_path / "two.xlsx", two)
    bores = kind(compare(tmp_path / "one.xlsx", tmp_path / "two.xlsx"), "bore_reading")
    assert bores.agreement.bias == pytest.approx(0.0, abs=1e-9)
    assert not bores.disagreeing
    # The expansion figure of the part is one error in both, felt over the ten kelvin between them.
    told = {
        name: (copy.values.get(name) if name in copy.values else copy.reference[name])
        for name in (
            "reading_uncertainty_bore", "calibration_uncertainty_bore", "nominal_size_bore",
            "expansion_uncertainty", "part_temperature_bore", "gauge_temperature_bore",
        )
    }
    per_kelvin = told["nominal_size_bore"] * told["expansion_uncertainty"] * 1e-6
    warm = [copy.reference["temperature_uncertainty_bore"]] * 2
    rises = [(told["part_temperature_bore"] - 20, told["gauge_temperature_bore"] - 20), (10.0, 0.0)]
    square = 2 * (told["reading_uncertainty_bore"] ** 2 + told["calibration_uncertainty_bore"] ** 2)
    square += sum(value**2 for value in warm)
    square += (per_kelvin * (rises[0][0] - rises[1][0])) ** 2
    gauges = [per_kelvin * rise for _, rise in rises]
    same = bores.gauges == "same gauge"
    if same:
        square -= 2 * told["calibration_uncertainty_bore"] ** 2
    square += (gauges[0] - gauges[1]) ** 2 if same else gauges[0] ** 2 + gauges[1] ** 2
    assert bores.pairs[0].expanded == pytest.approx(copy.values["guard_factor"] * math.sqrt(square), rel=1e-9)


def test_one_gauge_in_both_hands_shares_its_certificate(tmp_path):
    """The same name is the same gauge, whatever its capitals."""
    one = dict(three(), gauge_name_piston="Micrometer 4", gauge_certificate_uncertainty_piston=0.004)
    two = dict(one, gauge_name_piston="MICROMETER 4 ", piston_reading_1=one["piston_reading_1"] + 0.0001)
    other = dict(two, gauge_name_piston="micrometer 5")
    for name, entries in (("one", one), ("two", two), ("other", other)):
        write_copy(tmp_path / f"{name}.xlsx", entries)
    same = kind(compare(tmp_path / "one.xlsx", tmp_path / "two.xlsx"), "piston_reading")
    apart = kind(compare(tmp_path / "one.xlsx", tmp_path / "other.xlsx"), "piston_reading")
    factor = 2.0
    lost = (apart.pairs[0].expanded / factor) ** 2 - (same.pairs[0].expanded / factor) ** 2
    calibration = 0.004 / 2
    assert lost == pytest.approx(2 * calibration**2, rel=0.02)  # and the expansion of the gauge
    assert (same.gauges, apart.gauges) == ("same gauge", "two gauges")


def test_the_combination_is_that_of_the_general_law():
    """Against u² = J V Jᵀ with a full covariance matrix (JCGM 100, 5.2.2)."""
    import numpy as np

    one, two = Parts(1.3, 0.7, 0.5, -0.2), Parts(0.9, 0.8, -0.4, 0.6)
    jacobian = np.array([1, -1] * 4)
    for same in (True, False):
        rho = 1.0 if same else 0.0
        matrix = np.zeros((8, 8))
        for at, (a, b, r) in enumerate(
            ((one.own, two.own, 0.0), (one.calibration, two.calibration, rho),
             (one.part_expansion, two.part_expansion, 1.0), (one.gauge_expansion, two.gauge_expansion, rho))
        ):
            matrix[2 * at : 2 * at + 2, 2 * at : 2 * at + 2] = [[a * a, r * a * b], [r * a * b, b * b]]
        assert difference_uncertainty(one, two, same_gauge=same) == pytest.approx(
            math.sqrt(jacobian @ matrix @ jacobian), rel=1e-12
        )


def test_the_zero_of_a_dial_is_nobodys_disagreement(tmp_path):
    """Both end float readings moved by the same amount give the same end float."""
    one = three()
    two = dict(one, end_float_fore=one["end_float_fore"] + 1.0, end_float_aft=one["end_float_aft"] + 1.0)
    write_copy(tmp_path / "one.xlsx", one)
    write_copy(tmp_path / "two.xlsx", two)
    found = compare(tmp_path / "one.xlsx", tmp_path / "two.xlsx")
    assert kind(found, "end_float").is_equal
    assert found.exit_status == 0


def test_every_form_says_the_same_and_escapes_strangers_text(found):
    """Text, JSON, CSV and the page; a script in a name stays text."""
    assert "piston_reading_2" in as_json(found)
    data = json.loads(as_json(found))
    assert (data["shape"], data["version"], data["exit_status"]) == ("boreledger comparison", 1, 1)
    rows = list(csv.DictReader(io.StringIO(as_csv(found))))
    assert [row["name"] for row in rows if row["disagrees"] == "yes"] == ["piston_reading_2"]
    assert len([row for row in rows if row["what"] == "reading"]) == sum(len(k.pairs) for k in found.kinds)
    page = as_html(found)
    assert "<script" not in page
    assert "&lt;script&gt;alert(1)" in page
    assert "default-src" in page
    assert page.count("<svg") == sum(not k.is_equal for k in found.kinds)
    text = as_text(found)
    assert "Piston, cylinder 2" in text
    assert "from memory" in text


def test_the_plot_has_a_mark_for_every_pair(found):
    """Well-formed SVG; what disagrees is a triangle."""
    pistons = kind(found, "piston_reading")
    root = Tree.fromstring(plot(pistons))
    tags = [node.tag.rpartition("}")[2] for node in root.iter()]
    assert (tags.count("circle"), tags.count("polygon")) == (2, 1)
    marks = [node for node in root.iter() if node.get("class") == "point"]
    assert all(0 < float(node.get("cx")) < 640 and 0 < float(node.get("cy")) < 250 for node in marks)


@pytest.mark.parametrize(
    "second", ["one.xlsx", "twin.xlsx", "none.xlsx", "page.xlsx", "copied.xlsx", "empty.xlsx"]
)
def test_what_cannot_be_compared_is_one_sentence(folder, second):
    """It names the file, and the status is 2."""
    path = folder / second
    if second == "twin.xlsx":
        path.write_bytes(engine("twin").filled)
    elif second == "page.xlsx":
        path.write_text("<html>")
    elif second == "copied.xlsx":
        path.write_bytes((folder / "one.xlsx").read_bytes())
    elif second == "empty.xlsx":
        path.write_bytes(engine("three").issued)
    with pytest.raises(DefinitionError, match=second):
        compare(folder / "one.xlsx", path)
    result = RUN.invoke(app, ["compare", str(folder / "one.xlsx"), str(path)])
    assert result.exit_code == 2
    assert second in result.stderr
    assert "Traceback" not in result.output + result.stderr


def test_the_command_writes_its_reports(folder, tmp_path):
    """By the ending of the name; another ending is a wrong call."""
    call = ["compare", str(folder / "one.xlsx"), str(folder / "two.xlsx"), "--report"]
    for ending in ("html", "json", "csv"):
        report = tmp_path / f"told.{ending}"
        assert RUN.invoke(app, [*call, str(report)]).exit_code == 1
        assert report.stat().st_size > 1000
    assert RUN.invoke(app, [*call, str(tmp_path / "told.docx")]).exit_code == 2
    assert "not overwritten" in RUN.invoke(app, [*call, str(tmp_path / "told.csv")]).stderr
