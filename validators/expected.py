"""What an entry cell expects, in words and numbers, and what size it should be near."""

from __future__ import annotations

import math
import statistics
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sheetgen.plan import Plan, PlannedCell
from validators.errors import quoted

if TYPE_CHECKING:
    from validators.checked import Checked

NEAR_A_SIZE, NEAR_A_WALL, NEAR_A_GAP, NEAR_A_TORQUE = 0.05, 0.3, 0.47, 0.02
"""How far, in logarithms, a slipped value may be from what it should be, times or over the factor."""

EQUALS = frozenset({
    "bolt_free_length", "bolt_tight_length", "bolt_released_length", "pin_length", "retainer_span",
    "ring_groove_width", "ring_width", "rod_width", "pin_width", "spring_height", "shim_present",
    "piston_mass", "pin_mass", "ring_mass", "lock_mass", "rod_small_mass", "rod_big_mass",
    "rod_total_mass", "chamber_volume", "crown_volume",
})
"""Entries that no drawing gives: each should be near the others of its kind."""

FEWEST_OTHERS = 3

LIKE = math.log(2)
"""Shell walls of one engine differ by less than a factor of two."""

SIZED = {
    "bore_reading": "bore", "bore_setting": "bore", "bore_present_largest": "bore",
    "bore_present_smallest": "bore", "piston_reading": "piston", "pin_hole_reading": "pin_hole",
    "pin_reading": "pin", "bush_reading": "bush", "main_journal_reading": "main_journal",
    "crankpin_reading": "crankpin", "main_housing_reading": "main_housing",
    "rod_housing_reading": "rod_housing", "main_installed_bore": "main_journal",
    "rod_installed_bore": "crankpin",
}
"""Entries that are near the nominal size of a feature."""

WALLS = {
    f"{bearing}_{what}": (housing, journal)
    for bearing, housing, journal in (
        ("main", "main_housing", "main_journal"), ("rod", "rod_housing", "crankpin")
    )
    for what in ("wall_upper", "wall_lower", "grade_wall")
}
"""Shell walls: half of what the housing is bigger than the journal."""

FORM_FEATURE = {
    **{key: feature for key, feature in SIZED.items() if key.endswith("_reading")},
    **{key: "shell_wall" for key in WALLS if not key.endswith("_grade_wall")},
}
"""Entries whose row of the gauges sheet says whether they are typed as sizes or as deviations."""

MOST_LISTED = 12
LONGEST_WORD = 30


@dataclass(frozen=True, slots=True)
class Nominal:
    """What an entry should be near, how near, what that is called, and the entries it comes from.

    `dialled` says whether a deviation, as a dial shows it, could stand in its place.
    """

    value: float
    near: float
    called: str
    rests_on: tuple[str, ...]
    dialled: bool = True


def hard_range(plan: Plan, cell: PlannedCell) -> tuple[float, float] | None:
    """Return the range outside which an entry cannot be right, in the shown unit."""
    known: dict[str, tuple[float, float] | None] = plan.kept.setdefault("hard ranges", {})
    if cell.key not in known:
        entry, measure = plan.catalogue.entries[cell.key], plan.catalogue.measure_of(cell.key)
        if entry.range is None or measure is None:
            known[cell.key] = None
        else:
            low, high = (measure.from_millimetre(x, plan.build.family) for x in entry.range)
            known[cell.key] = low, high
    return known[cell.key]


def expected_text(plan: Plan, cell: PlannedCell) -> str:
    """Return what an entry cell expects, as a person would say it."""
    entry = plan.catalogue.entries[cell.key]
    if entry.words:
        return listed(plan.catalogue.words[entry.words])
    if entry.text == "date":
        return "a date"
    if entry.list:
        return "a name from its list"
    if entry.text == "mark":
        return "a mark, such as P1"
    if entry.text:
        return "a text"
    unit = plan.unit(cell.key)
    limits = hard_range(plan, cell)
    if limits is None:
        return f"a number in {unit}" if unit else "a number"
    low, high = limits
    if form_feature(cell.key) is not None:
        return f"a number in {unit}: a size, or a deviation if the gauges sheet says so"
    return f"a number between {low:.4g} and {high:.4g} {unit}".rstrip()


def listed(words: tuple[str, ...]) -> str:
    """Return a choice of words in one line, however many and however long they are.

    Examples
    --------
    >>> listed(("off", "on"))
    'one of off, on'
    """
    told = ", ".join(quoted(word, LONGEST_WORD)[1:-1] for word in words[:MOST_LISTED])
    return f"one of {told}" + (f" and {len(words) - MOST_LISTED} more" if len(words) > MOST_LISTED else "")


def form_feature(key: str) -> str | None:
    """Return the row of the gauges sheet that says how an entry is typed, None if none does.

    An installed shell bore is always a whole size.
    """
    return FORM_FEATURE.get(key)


def is_size(sheet: Checked, cell: PlannedCell) -> bool:
    """Return whether an entry is a whole size, as the gauges sheet has it."""
    feature = form_feature(cell.key)
    return feature is None or sheet.values.get(f"entry_form_{feature}") == "size"


def setting_of(sheet: Checked, cell: PlannedCell) -> float | None:
    """Return the setting size that a deviation counts from: that of its own bore before the gauge's."""
    own = f"bore_setting_{cell.index[0]}" if cell.key == "bore_reading" else ""
    return _number(sheet, own) or _number(sheet, f"setting_size_{form_feature(cell.key)}")


def dial_sign(sheet: Checked, cell: PlannedCell) -> int:
    """Return 1 where plus on the dial is bigger, -1 where it is smaller."""
    return -1 if sheet.values.get(f"dial_sense_{form_feature(cell.key)}") == "plus is smaller" else 1


def whole_size(sheet: Checked, cell: PlannedCell) -> float | None:
    """Return the size that an entry stands for as it was read, whichever way it was typed."""
    value = sheet.values.get(cell.name)
    if not isinstance(value, float) or is_size(sheet, cell):
        return value if isinstance(value, float) else None
    start = setting_of(sheet, cell)
    return None if start is None else start + dial_sign(sheet, cell) * value


def nominal_of(sheet: Checked, cell: PlannedCell) -> Nominal | None:
    """Return what an entry should be near, in the shown unit, if that is known."""
    if cell.name not in sheet.nominals:
        sheet.nominals[cell.name] = _nominal_of(sheet, cell)
    return sheet.nominals[cell.name]


def _nominal_of(sheet: Checked, cell: PlannedCell) -> Nominal | None:
    key = cell.key
    if key in SIZED:
        return _nominal(sheet, SIZED[key], NEAR_A_SIZE)
    if key in WALLS:
        return _wall(sheet, *WALLS[key])
    if key == "setting_size":
        return _nominal(sheet, cell.index[0], NEAR_A_SIZE)
    if key == "ring_gap_reading":
        return _gap(sheet, "nominal_size_bore", f"ring_gap_factor_{cell.index[1]}")
    if key == "lash_reading":
        wanted = f"lash_wanted_{cell.index[1]}"
        lash = _number(sheet, wanted)
        return Nominal(lash, NEAR_A_GAP, "wanted lash", (wanted,), dialled=False) if lash else None
    if key == "joint_torque_at":
        return _last_torque(sheet, cell)
    if key in EQUALS:
        return _others(sheet, cell)
    if key == "gasket_bore" or cell.name in ("nominal_size_bore", "nominal_size_piston"):
        return _round_the_bore(sheet, cell.name)
    return None


def _round_the_bore(sheet: Checked, name: str) -> Nominal | None:
    """Return what bore, piston and gasket bore have in common, but for the odd one of the three."""
    names = ("nominal_size_bore", "nominal_size_piston", "gasket_bore")
    known = [value for other in names if (value := _number(sheet, other))]
    if len(known) < len(names) or name not in names:
        return None
    return Nominal(sorted(known)[1], 2 * NEAR_A_SIZE, "the bore of this engine", ())


def _gap(sheet: Checked, bore: str, factor: str) -> Nominal | None:
    size, share = _number(sheet, bore), _number(sheet, factor)
    if not size or not share:
        return None
    return Nominal(size * share, NEAR_A_GAP, "wanted gap", (bore, factor), dialled=False)


def _others(sheet: Checked, cell: PlannedCell) -> Nominal | None:
    """Return the middle of the other entries of a kind, of the same ring or valve, if there are enough."""
    others = [
        value for other in sheet.plan.by_key[cell.key]
        if other is not cell and other.index[1:] == cell.index[1:] and (value := _number(sheet, other.name))
    ]
    if len(others) < FEWEST_OTHERS:
        return None
    return Nominal(statistics.median(others), NEAR_A_SIZE, "the others of its kind", (), dialled=False)


def _last_torque(sheet: Checked, cell: PlannedCell) -> Nominal | None:
    """Return the torque of the maker's sheet, which the greatest of all passes should reach."""
    given, own = f"joint_torque_given_{cell.index[0]}", _number(sheet, cell.name)
    torque = _number(sheet, given)
    passes = (other for other in sheet.plan.by_key[cell.key] if other.index[0] == cell.index[0])
    if not torque or own is None or any((_number(sheet, other.name) or 0.0) > own for other in passes):
        return None
    return Nominal(torque, NEAR_A_TORQUE, "the maker's torque", (given,), dialled=False)


def _wall(sheet: Checked, housing: str, journal: str) -> Nominal | None:
    names = tuple(f"nominal_size_{feature}" for feature in (housing, journal, "shell_wall"))
    bigger, smaller, named = (_number(sheet, name) for name in names)
    if named and bigger and smaller and abs(math.log(max(bigger - smaller, named / 100) / 2 / named)) < LIKE:
        called = "half of the nominal housing less the nominal journal"
        return Nominal((bigger - smaller) / 2, NEAR_A_WALL, called, names)
    return None  # the nominal sizes themselves do not fit together


def _nominal(sheet: Checked, feature: str, near: float) -> Nominal | None:
    value = _number(sheet, f"nominal_size_{feature}")
    return Nominal(value, near, "nominal", (f"nominal_size_{feature}",)) if value else None


def _number(sheet: Checked, name: str) -> float | None:
    value = sheet.values.get(name)
    return value if isinstance(value, float) and value > 0 else None
