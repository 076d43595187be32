"""Parts on offer, before anything is bought."""

import json
import xml.etree.ElementTree as ET

import pytest
from typer.testing import CliRunner

from sheetgen.fill import fill_workbook
from sheetgen.workbook import workbook_bytes
from validators.choosing.combination_page import combination_page
from validators.choosing.combinations import WISHES, rank
from validators.choosing.stock_lists import read_offers
from validators.cli import app
from validators.demo import demo_plan
from validators.sheet import read_sheet

OFFERS = """kind,mark,length,compression_height,thickness,crown_volume,mass,price
rod,R198,198,,,,380,900
rod,R196,196,,,,375,700
piston,PA,,61.8,,12,800,600
piston,<PB>,,63.8,,11,830,550
gasket,G7,,,0.7,,,40
gasket,G9,,,0.9,,,42
"""


@pytest.fixture(scope="module")
def issued(tmp_path_factory):
    path = tmp_path_factory.mktemp("offers") / "issued.xlsx"
    path.write_bytes(workbook_bytes(demo_plan()))
    return path


@pytest.fixture(scope="module")
def offers(issued):
    path = issued.with_name("offers.csv")
    path.write_text(OFFERS, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def ranked(issued, offers):
    return rank(read_sheet(issued), read_offers(offers))


def test_every_combination_is_there_once(ranked):
    assert len({(c.rod, c.piston, c.gasket) for c in ranked.combinations}) == 8 == len(ranked.combinations)


def test_a_combination_says_what_the_parts_sheet_says_of_it(ranked, issued, tmp_path):
    plan = demo_plan()
    best = ranked.combinations[0]
    lengths, heights = {"R198": 198.0, "R196": 196.0}, {"PA": 61.8, "<PB>": 63.8}
    path = tmp_path / "candidate.xlsx"
    path.write_bytes(fill_workbook(issued.read_bytes(), plan, {
        "candidate_rod_length_b": lengths[best.rod],
        "candidate_compression_height_b": heights[best.piston],
    }))
    shown = read_sheet(path).recalculated
    for key in ("candidate_deck_clearance", "candidate_rod_ratio", "candidate_rod_angle"):
        assert best.figures[key] == pytest.approx(shown[f"{key}_b"], rel=1e-9)


def test_squish_and_ratio_follow_from_the_sizes(ranked):
    for c in ranked.combinations:
        thickness = {"G7": 0.7, "G9": 0.9}[c.gasket]
        f = c.figures
        assert f["head_clearance_static"] == pytest.approx(f["candidate_deck_clearance"] + thickness)
        assert f["head_clearance_speed"] < f["head_clearance_static"]
    by_parts = {(c.rod, c.piston, c.gasket): c.figures for c in ranked.combinations}
    volume = 3.141592653589793 / 4 * 10.4**2 * 11.8
    figures = by_parts["R198", "PA", "G9"]
    crevice = 3.141592653589793 / 4 * (10.4**2 - 10.34**2) * 0.9
    clearance = (
        92.9 + 12.0 + 3.141592653589793 / 4 * 10.55**2 * 0.09
        + 3.141592653589793 / 4 * 10.4**2 * figures["candidate_deck_clearance"] / 10 + crevice
    )
    assert figures["compression_ratio"] == pytest.approx((volume + clearance) / clearance, rel=1e-9)


def test_those_that_meet_every_wish_come_first_and_misses_are_named(ranked):
    misses = [len(c.missed) for c in ranked.combinations]
    assert misses == sorted(misses)
    assert misses[0] == 0 < misses[-1]
    for c in ranked.combinations:
        for key, label in WISHES:
            low, high = ranked.limits[key]
            value = c.figures[key]
            out = (low is not None and value < low) or (high is not None and value > high)
            assert out == (label in c.missed)


def test_undominated_ones_are_not_beaten_in_everything(ranked):
    good = [c for c in ranked.combinations if not c.missed]
    assert any(c.undominated for c in good)

    def point(c):
        ratio, squish = c.figures["compression_ratio"], c.figures["head_clearance_static"]
        return abs(ratio - ranked.target), squish, c.price

    for c in good:
        beaten = any(
            point(o) != point(c) and all(a <= b for a, b in zip(point(o), point(c), strict=True))
            for o in good
        )
        assert c.undominated == (not beaten)


def test_the_page_holds_its_plot_and_fetches_nothing(ranked):
    page = combination_page(ranked)
    assert "&lt;PB&gt;" in page
    assert "<PB>" not in page
    assert "http" not in page
    assert "<script" not in page
    plot = ET.fromstring(page[page.index("<svg"):page.index("</svg>") + 6])
    assert len([c for c in plot.iter("circle") if c.find("title") is not None]) == 8


def test_the_command_shows_writes_and_refuses(issued, offers, tmp_path):
    report = tmp_path / "offers.html"
    call = ["choose", str(issued), "--offered", str(offers)]
    result = CliRunner().invoke(app, [*call, "--report", str(report), "--json"])
    assert result.exit_code == 0
    data = json.loads(result.stdout)
    assert (data["shape"], data["version"]) == ("boreledger combinations", 1)
    assert [c["rank"] for c in data["combinations"]] == list(range(1, 9))
    assert report.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert CliRunner().invoke(app, [*call, "--report", str(report)]).exit_code == 2
    assert "R198" in CliRunner().invoke(app, call).stdout


def test_kinds_without_an_offer_are_taken_from_the_chosen_combination(issued, tmp_path):
    path = tmp_path / "gaskets.csv"
    path.write_text("kind;mark;thickness\ngasket;G9;0,9\n", encoding="utf-8")
    ranked = rank(read_sheet(issued), read_offers(path))
    assert len(ranked.combinations) == 1
    assert len(ranked.taken) == 2
    assert ranked.combinations[0].figures["candidate_deck_clearance"] == pytest.approx(0.35, abs=0.01)


def test_a_wish_that_cannot_be_judged_is_named(issued, offers, tmp_path):
    path = tmp_path / "blank.xlsx"
    path.write_bytes(fill_workbook(issued.read_bytes(), demo_plan(), {"skirt_length": None}))
    ranked = rank(read_sheet(path), read_offers(offers))
    assert any("at speed" in text and "blank" in text for text in ranked.left_out)
    assert ranked.good
    assert ranked.exit_status == 1


def test_parts_that_cannot_go_together_meet_no_wish(issued, tmp_path):
    """A rod shorter than the throw gives no figure at all; it must not stand before one that does."""
    path = tmp_path / "rods.csv"
    path.write_text("kind,mark,length\nrod,short,20\nrod,R198,198\n", encoding="utf-8")
    first, last = rank(read_sheet(issued), read_offers(path)).combinations
    assert (first.rod, last.rod) == ("R198", "short")
    assert len(last.missed) > len(first.missed)
    assert {"deck clearance", "rod ratio"} <= set(last.missed)
