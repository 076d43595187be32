"""Recomputing a sheet: against the library's own model, against another engine, and by itself."""

from __future__ import annotations

import math
import random
from pathlib import Path

import formualizer
import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st
from xlsxwriter.utility import xl_cell_to_rowcol

from sheetgen.formula_rules import lint_formula
from validators import replay as replay_module
from validators.pattern_plans import PlanStore
from validators.recalculate import ErrorValue, compile_sheet, self_check

NOT_KEPT = PlanStore(None, {})
CYLINDERS = (1, 2, 3, 4)


class Book:
    """A small workbook: guards, verdict chains, look-ups and counts over four cylinders."""

    def __init__(self) -> None:
        self.formulas: dict[tuple[str, str], str] = {}
        self.names: dict[str, tuple[str, str, str]] = {}
        self.inputs: list[tuple[str, str]] = []
        for row, name in enumerate(("bore_lower", "bore_upper", "bore_guard", "clear_wanted"), 1):
            self.entry(name, "Limits", f"A{row}")
        for row, cylinder in enumerate(CYLINDERS, 1):
            self.cylinder(row, cylinder)
        for name, column in {
            "marks_all": "D",
            "bores_all": "E",
            "pistons_all": "F",
            "ranks_all": "I",
            "clears_all": "G",
            "verdicts_all": "H",
            "weights_all": "J",
            "readings_all": "A",
        }.items():
            last = "C" if name == "readings_all" else column
            self.names[name] = ("Bores", f"{column}1", f"{last}{len(CYLINDERS)}")
        self.summary()

    def entry(self, name: str, sheet: str, address: str) -> None:
        self.names[name] = (sheet, address, address)
        self.inputs.append((sheet, address))

    def formula(self, name: str, sheet: str, address: str, text: str) -> None:
        self.names[name] = (sheet, address, address)
        self.formulas[sheet, address] = text

    def cylinder(self, row: int, n: int) -> None:
        for column, depth in zip("ABC", ("top", "middle", "bottom"), strict=True):
            self.entry(f"bore_reading_{n}_{depth}", "Bores", f"{column}{row}")
        self.names[f"bore_readings_{n}"] = ("Bores", f"A{row}", f"C{row}")
        self.entry(f"piston_mark_{n}", "Bores", f"D{row}")
        self.entry(f"piston_size_{n}", "Bores", f"F{row}")
        self.entry(f"piston_weight_{n}", "Bores", f"J{row}")
        self.formula(
            f"bore_least_{n}",
            "Bores",
            f"E{row}",
            f'=IF(COUNT(bore_readings_{n})<3,"",MIN(bore_readings_{n}))',
        )
        self.formula(
            f"piston_clearance_{n}",
            "Bores",
            f"G{row}",
            f'=IF(COUNT(bore_least_{n},piston_size_{n})<2,"",bore_least_{n}-piston_size_{n})',
        )
        low, high = f"bore_least_{n}-bore_lower", f"bore_upper-bore_least_{n}"
        self.formula(
            f"bore_verdict_{n}",
            "Bores",
            f"H{row}",
            f'=IF(COUNT(bore_least_{n},bore_guard)<2,"not measured",'
            'IF(COUNT(bore_lower,bore_upper)<2,"no limit set",'
            'IF(bore_lower>bore_upper,"check limits",'
            f'IF(ROUND({low}+bore_guard,9)<0,"under",IF(ROUND({high}+bore_guard,9)<0,"over",'
            f"IF(AND(ROUND({low}-bore_guard,9)>=0,ROUND({high}-bore_guard,9)>=0),"
            '"within","too close to call"))))))',
        )
        earlier = "+".join(f"(bore_least_{m}=bore_least_{n})*1" for m in CYLINDERS if m <= n)
        self.formula(
            f"bore_rank_{n}",
            "Bores",
            f"I{row}",
            f'=IF(COUNT(bores_all)<4,"",SUMPRODUCT((bores_all<bore_least_{n})*1)+{earlier})',
        )
        self.formula(
            f"piston_mark_state_{n}",
            "Bores",
            f"K{row}",
            f'=IF(piston_mark_{n}="","no mark",IF(SUMPRODUCT((marks_all=piston_mark_{n})*'
            '(marks_all<>""))>1,"same mark twice","only once"))',
        )

    def summary(self) -> None:
        for row, (name, text) in enumerate(
            {
                "bore_greatest": "=MAX(bores_all)",
                "bore_smallest": "=MIN(bores_all)",
                "bore_average": "=AVERAGE(bores_all)",
                "bore_spread": '=IF(COUNT(bores_all)<4,"",MAX(bores_all)-MIN(bores_all))',
                "bore_area": '=IF(COUNT(bore_average)=0,"",PI()/4*bore_average^2)',
                "bores_missing": "=COUNTBLANK(bores_all)",
                "readings_missing": "=COUNTBLANK(readings_all)",
                "within_tally": '=SUMPRODUCT((verdicts_all="within")*1)',
                "missing_tally": '=SUMPRODUCT((verdicts_all="not measured")*1)',
                "weight_sum": "=SUM(weights_all)",
                "weight_squares": "=SUMPRODUCT(weights_all,weights_all)",
                "weight_within": '=SUMPRODUCT((verdicts_all="within")*weights_all)',
                "weight_known": '=SUMPRODUCT((verdicts_all="within")*(weights_all<>""))',
                "first_place": '=IF(SUMPRODUCT((ranks_all=1)*1)=0,"",MATCH(1,ranks_all,0))',
                "first_mark": '=IF(COUNT(first_place)=0,"",INDEX(marks_all,first_place))',
                "first_unmarked": '=IF(COUNT(first_place)=0,"",'
                'IF(INDEX(marks_all,first_place)="","blank","marked"))',
                "worst_clearance": '=IF(COUNT(clears_all,clear_wanted)<5,"",'
                "MAX(ABS(MIN(clears_all)-clear_wanted),ABS(MAX(clears_all)-clear_wanted)))",
                "worst_angle": '=IF(COUNT(worst_clearance)=0,"",DEGREES(ATAN2(1,worst_clearance)))',
                "text_count": "=ISTEXT(piston_mark_1)*1+ISNUMBER(piston_size_1)*1",
                "build_state": '=IF(OR(bores_missing>0,missing_tally>0),"waiting",'
                'IF(NOT(within_tally<4),"released","hold"))',
            }.items(),
            1,
        ):
            self.formula(name, "Summary", f"A{row}", text)

    def write(self, path: Path) -> Path:
        book = xlsxwriter.Workbook(path)
        pages = {title: book.add_worksheet(title) for title in ("Limits", "Bores", "Summary")}
        for (sheet, address), text in self.formulas.items():
            pages[sheet].write_formula(address, text)
        for name, (sheet, *corners) in self.names.items():
            places = [
                "$" + address.rstrip("0123456789") + "$" + address.lstrip("ABCDEFGHIJK")
                for address in corners
            ]
            book.define_name(name, f"={sheet}!{':'.join(dict.fromkeys(places))}")
        book.close()
        return path

    def draw(self, seed: int) -> dict[tuple[str, str], object]:
        """Return what somebody may have typed: much, little, or the wrong kind."""
        chance = random.Random(seed)
        gap = chance.choice([0, 0, 0.05, 0.5, 1])
        content: dict[tuple[str, str], object] = {}
        for cell in self.inputs:
            sheet, address = cell
            if chance.random() < gap:
                content[cell] = None
            elif sheet == "Limits":
                content[cell] = {
                    "A1": chance.choice([85.99, 86.0]),
                    "A2": chance.choice([85.98, 86.02]),
                    "A3": chance.choice([0.0, 0.002]),
                    "A4": 0.05,
                }[address]
            elif address[0] == "D":
                content[cell] = chance.choice(["A", "a", "B", "C", "D", "E", 7.0, None])
            elif address[0] == "J":
                content[cell] = round(chance.uniform(300, 500), 1)
            else:
                base = 85.95 if address[0] == "F" else 86.0
                content[cell] = chance.choice(
                    [
                        base + chance.gauss(0, 0.01),
                        round(base + chance.gauss(0, 0.01), 2),
                        round(base + chance.gauss(0, 0.01), 3),
                        base + 0.05,
                        "torn" if chance.random() < gap else base,
                    ]
                )
        return content


@pytest.fixture(scope="module")
def book() -> Book:
    return Book()


@pytest.fixture(scope="module")
def workbook(book, tmp_path_factory) -> Path:
    return book.write(tmp_path_factory.mktemp("book") / "book.xlsx")


@pytest.fixture(scope="module")
def replay(book):
    return compile_sheet(book.formulas, book.names, store=NOT_KEPT)


def columns(sheets: list[dict[tuple[str, str], object]]) -> dict[tuple[str, str], list[object]]:
    cells = dict.fromkeys(cell for sheet in sheets for cell in sheet)
    return {cell: [sheet.get(cell) for sheet in sheets] for cell in cells}


def test_the_small_workbook_keeps_the_rules_for_formulas(book):
    blocks = {name for name, (_, first, last) in book.names.items() if first != last}
    for text in book.formulas.values():
        faults = lint_formula(text, book.names, blocks)
        assert not [fault for fault in faults if "nobody can follow" not in fault], text


@pytest.mark.parametrize("seed", [0, 3, 4, 5])
def test_one_sheet_agrees_with_the_model_of_the_library(book, replay, workbook, seed):
    assert self_check(replay, workbook, book.draw(seed)) == []


def test_a_blank_sheet_agrees_with_the_model_of_the_library(replay, workbook):
    assert self_check(replay, workbook, {}) == []


def test_a_difference_from_the_model_is_found(book, workbook):
    altered = dict(book.formulas)
    altered["Summary", "A1"] = "=MAX(bores_all)+1"
    sheet = book.draw(0)
    differences = self_check(compile_sheet(altered, book.names, store=NOT_KEPT), workbook, sheet)
    assert [difference.cell for difference in differences] == [("Summary", "A1")]
    assert differences[0].replayed == differences[0].calculated + 1


def test_fifty_sheets_at_once_agree_with_another_engine(book, replay, workbook):
    sheets = [book.draw(seed) for seed in range(50)]
    results = replay.run(columns(sheets), len(sheets))
    engine = formualizer.load_workbook(str(workbook))
    seen = set()
    for number, sheet in enumerate(sheets):
        for (title, address), value in sheet.items():
            row, column = xl_cell_to_rowcol(address)
            engine.set_value(title, row + 1, column + 1, value)
        engine.evaluate_all()
        for cell, values in results.items():
            row, column = xl_cell_to_rowcol(cell[1])
            other = engine.get_value(cell[0], row + 1, column + 1)
            assert same(values[number], other), (number, cell, values[number], other)
            seen.add(type(values[number]))
    assert seen == {float, str, ErrorValue}


def same(one: object, other: object) -> bool:
    if isinstance(one, ErrorValue):
        return isinstance(other, dict)
    if isinstance(one, float):
        return isinstance(other, int | float) and math.isclose(
            one, other, rel_tol=1e-9, abs_tol=1e-12
        )
    return type(one) is type(other) and one == other


def test_the_fifty_sheets_reach_every_verdict_and_state(book, replay):
    sheets = [book.draw(seed) for seed in range(50)]
    results = replay.run(columns(sheets), len(sheets))
    words = {
        value for cell, values in results.items() for value in values if isinstance(value, str)
    }
    assert words >= {
        "",
        "not measured",
        "no limit set",
        "check limits",
        "under",
        "over",
        "within",
        "too close to call",
        "no mark",
        "same mark twice",
        "only once",
        "waiting",
        "hold",
        "blank",
        "marked",
    }


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(0, 10_000), min_size=1, max_size=9))
def test_a_batch_equals_its_sheets_one_by_one(seeds):
    book = Book()
    replay = compile_sheet(book.formulas, book.names, store=NOT_KEPT)
    sheets = [book.draw(seed) for seed in seeds]
    together = replay.run(columns(sheets), len(sheets))
    for number, sheet in enumerate(sheets):
        alone = replay.run({cell: [value] for cell, value in sheet.items()}, 1)
        for cell, values in together.items():
            assert values[number] == alone[cell][0]
            assert type(values[number]) is type(alone[cell][0])


def test_a_stack_is_split_when_it_would_be_too_large(book, replay, monkeypatch):
    sheets = [book.draw(seed) for seed in range(20)]
    whole = replay.run(columns(sheets), len(sheets))
    monkeypatch.setattr(replay_module, "_LARGEST_STACK", 50)
    split = replay.run(columns(sheets), len(sheets))
    assert all(whole[cell].tolist() == split[cell].tolist() for cell in whole)


def test_no_sheets_give_no_values(replay):
    assert all(len(values) == 0 for values in replay.run({}, 0).values())
