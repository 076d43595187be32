"""JSON and CSV keep to their documented shapes."""

import copy
import csv
import io
import json
import re
from pathlib import Path

import jsonschema
import pytest

from validators import reports
from validators.batch import check_files
from validators.demo import write_demo
from validators.findings import BatchReport
from validators.reports.as_csv import COLUMNS, as_csv
from validators.reports.as_json import as_json, sheet_data

FOLDER = Path(reports.__file__).parent
SCHEMA = json.loads((FOLDER / "report-1.schema.json").read_text(encoding="utf-8"))
JUDGE = jsonschema.Draft202012Validator(SCHEMA)


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo")
    _, returned = write_demo(folder)
    (folder / "broken.xlsx").write_bytes(b"PK\x03\x04 no workbook")
    return json.loads(as_json(check_files([*returned[1:], folder / "broken.xlsx"])))


def test_the_demo_keeps_to_the_schema(demo):
    """Three files, read and unread, with findings of every severity and many verdicts."""
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert [error.message for error in JUDGE.iter_errors(demo)] == []
    words = {v["word"] for s in demo["sheets"] for v in s["verdicts"]}
    assert words >= {"within", "over", "too close to call", "check entry", "not measured"}
    told = demo["sheets"][0]
    assert (told["measured_by"], told["measured_on"], told["builder"]) == (
        "the machine shop", "2031-04-24", "the shop",
    )


def test_every_field_is_in_the_schema_and_in_the_manual(demo):
    """A field that is added must be documented."""
    manual = (FOLDER / "README.md").read_text(encoding="utf-8")
    told = set(re.findall(r"`(?:sheets\[\]\.)?([a-z_0-9]+)(?:\[\]|\{\})?`", manual))
    kinds = SCHEMA["$defs"]
    for fields, kind in (
        (demo, SCHEMA), (demo["sheets"][0], kinds["sheet"]),
        (demo["sheets"][0]["findings"][0], kinds["finding"]),
        (demo["sheets"][0]["verdicts"][0], kinds["verdict"]),
        (demo["findings"][0], kinds["pile_finding"]), (demo["copies"][0], kinds["copies"]),
        (demo["copies"][0]["differences"][0],
         kinds["copies"]["properties"]["differences"]["items"]),
    ):
        assert set(fields) == set(kind["properties"]) == set(kind["required"])
        assert set(fields) <= told


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("version",), 2), (("exit_status",), 3), (("sheets", 0, "status"), "fine"),
        (("sheets", 0, "verdicts", 0, "word"), "good"), (("sheets", 0, "verdicts", 0, "value"), "0.08"),
        (("sheets", 0, "findings", 0, "severity"), "bad"), (("sheets", 0, "measured_on"), "24.04.2031"),
        (("sheets", -1, "findings"), []),
    ],
)
def test_the_schema_refuses_what_is_not_so(demo, path, value):
    """One thing wrong is enough."""
    wrong = copy.deepcopy(demo)
    at = wrong
    for step in path[:-1]:
        at = at[step]
    at[path[-1]] = value
    assert not JUDGE.is_valid(wrong)


def test_json_says_everything_and_has_a_version(report):
    """Shape, version, finding, verdict, and null for what is not measured."""
    data = json.loads(as_json(report()))
    assert (data["shape"], data["version"], data["exit_status"]) == ("boreledger report", 1, 1)
    sheet = data["sheets"][0]
    assert sheet["findings"][0]["holds_up"] == ["bore_mean_3", "piston_clearance_3"]
    assert sheet["verdicts"][0]["word"] == "over"
    assert sheet["results"] == {"bore_mean_3": None, "bore_taper_3": 0.0242}


@pytest.mark.parametrize("count", [0, 1, 3])
def test_json_written_file_by_file_holds_every_file(sheet, count):
    """Whatever stands in it; each finding, verdict and result has a line of its own."""
    texts = ("plain", "a\u2028b\x85c\nd", '"}],')
    sheets = tuple(sheet(texts[n], f"{n}.xlsx") for n in range(count))
    text = as_json(BatchReport(sheets=sheets))
    data = json.loads(text)
    assert data["sheets"] == [json.loads(json.dumps(sheet_data(one))) for one in sheets]
    assert list(data) == ["shape", "version", "exit_status", "sheets", "findings", "copies"]
    lines = [line.strip().removesuffix(",") for line in text.split("\n")]
    for one in data["sheets"]:
        assert one["findings"]
        assert one["verdicts"]
        for told in (*one["findings"], *one["verdicts"]):
            assert json.dumps(told, ensure_ascii=False) in lines
        for name, value in one["results"].items():
            assert f"{json.dumps(name)}: {json.dumps(value)}" in lines


def test_json_about_a_file_that_could_not_be_read_is_json(unread):
    """Nothing was found and nothing judged: empty lists."""
    (told,) = json.loads(as_json(BatchReport(sheets=(unread(),))))["sheets"]
    assert (told["verdicts"], told["results"]) == ([], {})


def test_hostile_text_comes_back_from_json_as_it_was(report, hostile):
    """Half characters as escapes, which JSON reads back as they were."""
    data = as_json(report(hostile))
    data.encode()
    assert json.loads(data)["sheets"][0]["job"] == hostile
    assert JUDGE.is_valid(json.loads(data))


def test_csv_has_a_line_for_file_finding_and_verdict(sheet, unread):
    """Each says which it is, with the version first."""
    text = as_csv(BatchReport(sheets=(sheet("J1"), unread())))
    lines = list(csv.DictReader(io.StringIO(text)))
    assert tuple(lines[0]) == COLUMNS
    assert [(line["file"], line["line"]) for line in lines] == [
        ("a.xlsx", "file"), ("a.xlsx", "finding"), ("a.xlsx", "verdict"), ("broken.xlsx", "file"),
        ("broken.xlsx", "finding"),
    ]
    assert {line["boreledger report"] for line in lines} == {"1"}
    finding, verdict = lines[1:3]
    assert (finding["code"], finding["holds_up"]) == ("READ02", "bore_mean_3 piston_clearance_3")
    assert (finding["value"], finding["word"]) == ("", "")
    assert (verdict["quantity"], verdict["value"], verdict["lower"], verdict["upper"], verdict["word"]) == (
        "bore_taper_3", "0.0242", "", "0.013", "over",
    )
    assert (verdict["code"], verdict["found"]) == ("", "")


def test_csv_never_starts_a_formula(report, hostile):
    """Text that could be taken for a formula gets an apostrophe; control characters are gone."""
    text = as_csv(report(hostile, who=hostile))
    text.encode()
    lines = list(csv.reader(io.StringIO(text)))
    assert len(lines) == 4
    for line in lines[1:]:
        assert len(line) == len(COLUMNS)
        for cell in line:
            assert not re.match(r"\s*[=+\-@＝＋－＠]", cell)
            assert all(c.isprintable() for c in cell)


def test_csv_keeps_negative_numbers_numbers(report):
    """Only text is guarded."""
    lines = list(csv.DictReader(io.StringIO(as_csv(report(value=-0.002)))))
    assert lines[2]["value"] == "-0.002"
