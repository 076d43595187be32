"""What a sheet shows leads a reader with a pencil to the word that stands beside it."""

import io
import math
import re
from decimal import ROUND_HALF_UP, Decimal

import openpyxl
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from sheetgen.build import new_build
from sheetgen.catalogue import EXACT
from sheetgen.look import number_format
from sheetgen.plan import plan_workbook
from sheetgen.telling import RING_SHOWN, near, reach, told, told_digits
from sheetgen.workbook import workbook_bytes
from validators.edge_builds import proof_builds
from validators.judged import guard_of
from validators.random_builds import MOODS
from validators.recompute import Recomputer
from validators.reference.verdict import verdict
from validators.reference.words import Verdict

TOLD = ("under", "over", "within", "too close to call")
NAMES = re.compile(r"[a-z_]+_[a-z_0-9]+|[A-Z]{1,2}[0-9]+")


def shown(value, form):
    """A number as a cell shows it: the positive part of its format, without sign rules and air."""
    digits = re.search(r"0(\.0*#*)?", form)
    if digits is None or form == "General":
        return Decimal(repr(value))
    places = digits.group().partition(".")[2]
    return Decimal(repr(value)).quantize(Decimal(1).scaleb(-len(places)), ROUND_HALF_UP)


def holds(condition, values):
    """Whether a rule as it stands in the file holds; an empty text makes it an error, and so not."""
    text = NAMES.sub(lambda match: f"({values[match.group()]!r})", condition)
    try:
        return bool(eval(text.replace("OR(", "any_of("), {"ABS": abs, "any_of": lambda *a: any(a)}, {}))
    except TypeError:
        return False


def word(value, lower, upper, guard):
    """The word that follows from what is shown, compared at nine decimals as the sheet does."""
    nine = Decimal(1).scaleb(-9)

    def rounded(x):
        return x.quantize(nine, ROUND_HALF_UP)

    if lower is not None and rounded(value - lower + guard) < 0:
        return "under"
    if upper is not None and rounded(value - upper - guard) > 0:
        return "over"
    kept = (lower is None or rounded(value - lower - guard) >= 0) and (
        upper is None or rounded(upper - value - guard) >= 0
    )
    return "within" if kept else "too close to call"


class Page:
    """A written workbook, and what its cells show for one build."""

    def __init__(self, layout, family):
        self.plan = plan_workbook(new_build(layout, family))
        self.core = Recomputer(self.plan)
        book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(self.plan, stored_values=False)))
        self.rules, self.judged = {}, 0
        for page in book.worksheets:
            for area in page.conditional_formatting:
                for rule in sorted(area.rules, key=lambda rule: rule.priority):
                    if rule.type == "expression":
                        place = (page.title, str(area.sqref))
                        found = (rule.formula[0], rule.dxf.numFmt.formatCode)
                        self.rules.setdefault(place, []).append(found)
        self.forms = {
            (page.title, cell.coordinate): cell.number_format
            for page in book.worksheets for row in page.iter_rows() for cell in row
        }
        self.guards = {
            (cell.sheet, cell.row): cell
            for cell in self.plan.cells if cell.role == "working" and cell.column == 8
        }

    def values(self, build, results):
        """Every cell's figure by its name, and by sheet and address."""
        named = {cell.name: build.get(cell.name) for cell in self.plan.cells if cell.is_input}
        named |= {cell.name: cell.value for cell in self.plan.cells if cell.role == "constant"} | results
        bound = self.plan.by_name["open_limit"].value
        for key in self.plan.catalogue.limited:
            for side, limit, none in (("floor", "lower", -bound), ("ceiling", "upper", bound)):
                value = named.get(f"{key}_{limit}")
                named[f"{key}_{side}"] = none if value in (None, "") else value
        return named

    def digits(self, cell, named):
        """What a cell shows: by the first of its rules that holds, or by its own format."""
        at = {c.address: named.get(c.name, "") for c in self.plan.cells if c.sheet == cell.sheet and c.name}
        for guard in self.guards.values():
            if guard.sheet == cell.sheet and not guard.name:
                at[guard.address] = named[self.name_of(guard)]
        for condition, form in self.rules.get((cell.sheet, cell.address), []):
            if holds(condition, named | at):
                return form
        return self.forms[cell.sheet, cell.address]

    def name_of(self, guard):
        return guard.name or "_".join((guard.key, *(label for _, label in guard.index)))

    def contradictions(self, build, results):
        """Judged figures whose shown digits say another word than the sheet."""
        named, judged = self.values(build, results), 0
        for key in self.plan.catalogue.limited:
            entry = self.plan.catalogue.entries[key]
            for cell in self.plan.by_key[key]:
                said = named["_".join((f"{key}_verdict", *cell.index))]
                if said not in TOLD:
                    continue
                judged += 1
                floor = self.plan.by_name[f"{key}_floor"]
                ceiling = self.plan.by_name[f"{key}_ceiling"]
                value = shown(named[cell.name], self.digits(cell, named))
                limits = [
                    shown(named[c.name], self.forms[c.sheet, c.address]) if abs(named[c.name]) < 1e8 else None
                    for c in (floor, ceiling)
                ]
                guard = Decimal(0)
                if entry.guard != EXACT:
                    of = self.guards.get((floor.sheet, floor.row))
                    of = of or self.plan.by_name["_".join((guard_of(entry), *cell.index))]
                    guard = shown(named[self.name_of(of)], self.digits(of, named))
                if guard < 0:
                    continue  # typed below nought: the entry rule refuses it, the check names it
                found = word(value, *limits, guard)
                if found != said:
                    yield cell.name, said, found, value, limits, guard
        for cell in self.plan.by_key[RING_SHOWN[1]]:
            said = named["_".join(("ring_gap_verdict", *cell.index))]
            if said in TOLD:
                judged += 1
                parts = [self.plan.by_name["_".join((key, *cell.index))] for key in RING_SHOWN[1:]]
                parts.append(self.guards["Ring gaps", self.plan.by_name["rail_gap_reading_floor"].row])
                figures = [
                    shown(named[self.name_of(part)], self.digits(part, named)) for part in parts
                ]
                found = word(*figures)
                if found != said:
                    yield cell.name, said, found, *figures
        self.judged += judged


PAGES = {}


def page_of(layout, family):
    return PAGES.setdefault((layout, family), Page(layout, family))


@pytest.mark.parametrize(("layout", "family"), [("inline-3", "millimetre"), ("flat-4", "inch")])
def test_no_figure_that_is_shown_contradicts_its_verdict(layout, family):
    """Builds whose entries put figures at the edge of their verdicts, by ten-millionths and less."""
    page = page_of(layout, family)
    seeds = range(3 * len(MOODS))
    builds = proof_builds(page.core, seeds)
    results = page.core.reference(builds)
    found = []
    for number, build in enumerate(builds):
        one = {name: column[number] for name, column in results.items()}
        found += [(number, *told) for told in page.contradictions(build, one)]
    assert not found, "\n".join(map(str, found[:20]))
    assert page.judged > 500


def test_without_the_rules_shown_digits_do_contradict():
    """Were every figure shown with its usual digits, the test above would say so."""
    page = Page("inline-3", "millimetre")
    page.rules = {}
    builds = proof_builds(page.core, range(2 * len(MOODS)))
    results = page.core.reference(builds)
    found = [
        told
        for number, build in enumerate(builds)
        for told in page.contradictions(build, {name: column[number] for name, column in results.items()})
    ]
    assert len(found) > 10


EDGE = st.integers(-900_000, 900_000)


@settings(deadline=None)
@given(
    beside=EDGE,
    guard=st.integers(0, 9_000_000),
    lower=st.integers(0, 90_000),
    wide=st.integers(0, 90_000),
    side=st.sampled_from([(0, 1), (0, -1), (1, 1), (1, -1)]),
    places=st.sampled_from([(3, 4), (4, 4), (2, 2)]),
)
@example(beside=4, guard=1_000_000, lower=0, wide=65_000, side=(1, 1), places=(3, 4))
def test_the_digits_are_enough_for_any_figure_near_any_edge(beside, guard, lower, wide, side, places):
    """By billionths round each of the four edges; limits have a hundredth of what is shown."""
    limits = (lower * 1e-6, (lower + wide) * 1e-6)
    margin = guard * 1e-9
    value = limits[side[0]] + side[1] * margin + beside * 1e-9 / 3
    said = Verdict(int(verdict(value, *limits, margin, 1.0))).text
    class Judged:
        pass

    judged = Judged()
    judged.value, judged.limits, judged.guard = "x_x", ("lower_x", "upper_x"), "guard_x"
    figures = {"x_x": value, "lower_x": limits[0], "upper_x": limits[1], "guard_x": margin}
    level = next((n for n in (2, 1) if holds(near(judged, reach(places, n)), figures)), 0)
    forms = [
        told_digits(of, signed=False, level=level) if level else f"0.{'0' * of}" for of in places
    ]
    printed = shown(value, forms[0]), *(Decimal(repr(limit)) for limit in limits), shown(margin, forms[1])
    if not math.isclose(abs(abs(beside / 3) % 1), 0.5, abs_tol=1e-6):  # a tie of the ninth decimal itself
        assert word(*printed) == said


def test_every_judged_figure_has_its_rules():
    plan = plan_workbook(new_build("v8"))
    ruled = {(rule.cell.sheet, rule.cell.address) for rule in told(plan)}
    for key in (*plan.catalogue.limited, *RING_SHOWN):
        for cell in plan.by_key[key]:
            assert (cell.sheet, cell.address) in ruled, cell.name


def test_a_limit_shows_every_digit_that_was_typed():
    plan = plan_workbook(new_build("v8"))
    for key in plan.catalogue.limited:
        for side in ("floor", "ceiling"):
            form = number_format(plan.catalogue.entries[f"{key}_{side}"], plan.catalogue, "millimetre")
            assert shown(0.0123456789, form) == Decimal("0.0123456789")
