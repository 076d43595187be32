"""Faults of the hand on the further sheets: bolts, masses, rings, pins, top end, torques and signatures."""

from __future__ import annotations

import random
from typing import Any

from sheetgen.plan import PlannedCell
from tests.corpus.engines import INCH
from tests.corpus.fault import Fault, Kind, fault
from tests.corpus.further import BY_HAND, JOINTS, torque
from tests.corpus.readings import Copy
from validators.expected import hard_range

OUNCE, POUND, FOOT_POUND = 28.349523125, 453.59237, 1.3558179483314004
WEIGHED = ("piston_mass", "pin_mass", "rod_small_mass", "rod_big_mass", "rod_total_mass")
EQUAL_LENGTHS = (
    "bolt_free_length", "bolt_tight_length", "pin_length", "retainer_span", "ring_groove_width",
    "ring_width", "rod_width", "pin_width", "spring_height",
)
LEAST_SET = 4
CLEAR_MASS = 3.0
"""g: beyond this a mass stands out from any set of matched parts: three and a half times the least spread
of 0.7 g, and the place of the part within its own kind."""

CLEAR_STRETCH = 0.04
"""mm: beyond this a stretch that was amid its limits is out of them, with the uncertainty of both lengths."""

NEIGHBOURS = {
    "ring_gap_apart_compression": ("second", "top"), "ring_gap_apart_between": ("high", "second"),
    "ring_gap_apart_rails": ("deep", "high"), "rail_joint_apart_high": ("joint", "high"),
    "rail_joint_apart_deep": ("joint", "deep"),
}


def filled(copy: Copy, *keys: str) -> list[PlannedCell]:
    """Return the cells of some quantities that hold something."""
    return [cell for key in keys for cell in copy.cells(key) if copy.typed.get(cell.name) is not None]


def one_of(copy: Copy, chance: random.Random, *keys: str) -> PlannedCell | None:
    """Return a cell of one of some quantities that holds something; each quantity is as likely."""
    held = [cells for key in keys if (cells := filled(copy, key))]
    return chance.choice(chance.choice(held)) if held else None


def bolt_blank(copy: Copy, chance: random.Random) -> Fault | None:
    """A rod bolt that was not measured tight, or not before."""
    cell = one_of(copy, chance, "bolt_free_length", "bolt_tight_length")
    return None if cell is None else fault("READ13", cell.name, typed={cell.name: None})


def mass_blank(copy: Copy, chance: random.Random) -> Fault | None:
    """A part that was not weighed."""
    cell = one_of(copy, chance, *WEIGHED, "ring_mass", "lock_mass")
    return None if cell is None else fault("READ13", cell.name, typed={cell.name: None})


def bolt_swapped(copy: Copy, chance: random.Random) -> Fault | None:
    """The lengths before and tight of one bolt, each in the cell of the other."""
    cell = one_of(copy, chance, "bolt_tight_length")
    if cell is None:
        return None
    before = f"bolt_free_length_{cell.index[0]}"
    typed = {cell.name: copy.typed[before], before: copy.typed[cell.name]}
    return fault("READ14", cell.name, typed=typed)


def bolt_of_another(copy: Copy, chance: random.Random) -> Fault | None:
    """The tight lengths of two bolts, each in the row of the other."""
    cells = filled(copy, "bolt_tight_length")
    if len(cells) < 2:
        return None
    one, other = chance.sample(cells, 2)
    typed = {one.name: copy.typed[other.name], other.name: copy.typed[one.name]}
    stretch = {
        cell.index[0]: typed[cell.name] - copy.typed[f"bolt_free_length_{cell.index[0]}"]
        for cell in (one, other)
    }
    away = max(abs(value * copy.engine.length - 0.15) for value in stretch.values())
    clear = away >= CLEAR_STRETCH
    told = f"{CLEAR_STRETCH * 1000:.0f} µm"
    return fault(
        "LIMIT01 READ14", *(f"bolt_stretch_{bolt}" for bolt in stretch),
        *(f"bolt_tight_length_{bolt}" for bolt in stretch), typed=typed, decidable=clear,
        size=f"stretch {told} off and more" if clear else f"stretch less than {told} off",
    )


def rod_leans(copy: Copy, chance: random.Random) -> Fault | None:
    """An end of a rod weighed with the rod out of level."""
    cell = one_of(copy, chance, "rod_small_mass", "rod_big_mass")
    if cell is None:
        return None
    rod = cell.index[0]
    whole = copy.typed.get(f"rod_total_mass_{rod}")
    if whole is None:
        return None
    off = chance.choice([-1, 1]) * chance.choice([0.1, 0.4, 0.8, 1.5, 2.5])
    value = round(copy.typed[cell.name] + off, 1)
    ends = [value if (name := f"rod_{end}_mass_{rod}") == cell.name else copy.typed[name]
            for end in ("small", "big")]
    clear = round(abs(sum(ends) - whole), 6) > 0.2
    return fault(
        "READ15", f"rod_weighing_state_{rod}", typed={cell.name: value}, decidable=clear,
        size="more than two divisions of the scale" if clear else "up to two divisions of the scale",
    )


def mass_unit(copy: Copy, chance: random.Random) -> Fault | None:
    """A mass in ounces, pounds or kilograms."""
    cell = one_of(copy, chance, *WEIGHED)
    if cell is None:
        return None
    divisor, digits = chance.choice([(OUNCE, 2), (POUND, 3), (1000.0, 4)])
    typed = {cell.name: round(copy.typed[cell.name] / divisor, digits)}
    return fault("READ04 READ03", cell.name, typed=typed)


def mass_odd(copy: Copy, chance: random.Random) -> Fault | None:
    """A mass with a wrong digit, or two digits swapped, among matched parts."""
    cell = one_of(copy, chance, *WEIGHED)
    if cell is None or len(copy.cells(cell.key)) < LEAST_SET:
        return None
    value = copy.typed[cell.name]
    changed = round(value + chance.choice([-1, 1]) * chance.choice([1.0, 4.0, 10.0, 30.0]), 1)
    text = f"{value:.1f}"
    places = [n for n in range(len(text) - 1) if (text[n] + text[n + 1]).isdigit() and text[n] != text[n + 1]]
    if places and chance.random() < 0.4:
        at = chance.choice(places)
        changed = float(text[:at] + text[at + 1] + text[at] + text[at + 2:])
    clear = abs(changed - value) >= CLEAR_MASS
    return fault(
        "READ12 READ05 READ03", cell.name, cell.key, typed={cell.name: changed}, decidable=clear,
        size=f"{CLEAR_MASS:g} g and more" if clear else f"under {CLEAR_MASS:g} g",
    )


def mass_text(copy: Copy, chance: random.Random) -> Fault | None:
    """A mass or a bolt length that stands as text."""
    cell = one_of(copy, chance, *WEIGHED, "bolt_tight_length", "ring_groove_width", "lash_reading")
    if cell is None:
        return None
    unit = copy.plan.unit(cell.key)
    text = f"{copy.typed[cell.name]:.10g}"
    written = chance.choice([f"{text} {unit}", f"{text}{unit}", f" {text}", text.replace(".", ",")])
    return fault("READ02", cell.name, typed={cell.name: written})


def length_unit(copy: Copy, chance: random.Random) -> Fault | None:
    """A bolt, width or pin length in the other unit."""
    cell = one_of(copy, chance, *EQUAL_LENGTHS)
    if cell is None:
        return None
    factor, digits = (1 / INCH, 4) if copy.engine.length == 1.0 else (INCH, 3)
    typed = {cell.name: round(copy.typed[cell.name] * factor, digits)}
    return fault("READ04 READ03", cell.name, typed=typed)


def length_point(copy: Copy, chance: random.Random) -> Fault | None:
    """A bolt, width, pin length or mass with its decimal point one or two places off."""
    cell = one_of(copy, chance, *EQUAL_LENGTHS, *WEIGHED)
    if cell is None:
        return None
    factor = chance.choice([10.0, 0.1, 100.0, 0.01])
    changed = round(copy.typed[cell.name] * factor, 6)
    low, high = hard_range(copy.plan, cell) or (changed, changed)
    clear = len(copy.cells(cell.key)) >= LEAST_SET or not low <= changed <= high
    return fault("READ05 READ03", cell.name, typed={cell.name: changed}, decidable=clear,
                 size="" if clear else "one of two or three, and each could be")


def lash_slip(copy: Copy, chance: random.Random) -> Fault | None:
    """A valve lash in the other unit, or with its decimal point moved."""
    cell = one_of(copy, chance, "lash_reading")
    if cell is None:
        return None
    inch = INCH if copy.engine.length != 1.0 else 1 / INCH
    factor = chance.choice([inch, 10.0, 0.1])
    return fault("READ04 READ05 READ03", cell.name,
                 typed={cell.name: round(copy.typed[cell.name] * factor, 5)})


def torque_unit(copy: Copy, chance: random.Random) -> Fault | None:
    """The last torque of a group in the unit of the other family."""
    if not {BY_HAND, JOINTS} <= copy.engine.kit:
        return None
    group = chance.choice(copy.cells("joint_torque_given")).index[0]
    cell = [cell for cell in filled(copy, "joint_torque_at") if cell.index[0] == group][-1]
    value = copy.typed[cell.name]
    other = value * FOOT_POUND if copy.engine.build.family == "inch" else torque(value, "inch")
    before = [copy.typed[cell.name] for cell in filled(copy, "joint_torque_at") if cell.index[0] == group]
    clear = round(other) >= max(before[:-1], default=0.0)
    return fault("READ04", cell.name, typed={cell.name: float(round(other))}, decidable=clear,
                 size="the greatest step" if clear else "less than an earlier step")


def gap_angle(copy: Copy, chance: random.Random) -> Fault | None:
    """Two ring gaps given one place, by a builder who types the angles."""
    if BY_HAND not in copy.engine.kit:
        return None
    apart = chance.choice(list(NEIGHBOURS))
    moved, to = (f"ring_gap_angle_{ring}" for ring in NEIGHBOURS[apart])
    return fault("LIMIT01", apart, typed={moved: copy.typed[to] + chance.choice([0.0, 5.0, 20.0])})


WRONG_WAYS = {"ring_side_up": "mark down", "piston_front": "turned round", "rings_placed": "otherwise"}


def wrong_way(copy: Copy, chance: random.Random) -> Fault | None:
    """A ring or a piston that went in the wrong way round."""
    key = chance.choice(list(WRONG_WAYS))
    cell = chance.choice(copy.cells(key))
    return fault("LIMIT10", cell.name, typed={cell.name: WRONG_WAYS[key]})


def retainer(copy: Copy, chance: random.Random) -> Fault | None:
    """A floating pin without both of its retainers, or with one that is not seated."""
    cell = one_of(copy, chance, "retainer_count", "retainer_seat")
    if cell is None:
        return None
    value: Any = chance.choice([0.0, 1.0, 3.0]) if cell.key == "retainer_count" else "one end"
    return fault("LIMIT10", cell.name, typed={cell.name: value})


def note_blank(copy: Copy, chance: random.Random) -> Fault | None:
    """Something that must be noted before the pistons go in, and was not."""
    cell = one_of(copy, chance, "ring_mark_fitted", *WRONG_WAYS, "retainer_count", "retainer_seat")
    assert cell is not None
    return fault("READ01 LIMIT10", cell.name, cell.key, typed={cell.name: None})


def exchanged(copy: Copy, chance: random.Random, code: str, *keys: str) -> Fault | None:
    """Two marks of one column, each in the row of the other."""
    cell = one_of(copy, chance, *keys)
    if cell is None:
        return None
    one, other = chance.sample(copy.cells(cell.key), 2)
    typed = {one.name: copy.typed[other.name], other.name: copy.typed[one.name]}
    return fault(code, one.name, other.name, typed=typed)


def ring_set(copy: Copy, chance: random.Random) -> Fault | None:
    """Two ring sets in each other's bores."""
    return exchanged(copy, chance, "LIMIT09", "ring_mark_fitted")


def part_fitted(copy: Copy, chance: random.Random) -> Fault | None:
    """Two pistons or rods fitted in each other's bores."""
    return exchanged(copy, chance, "LIMIT11", "fitted_piston", "fitted_rod")


def signed_early(copy: Copy, chance: random.Random) -> Fault | None:
    """The pistons signed as fitted, with a reading of a bore missing."""
    cell = chance.choice(copy.cells("bore_reading"))
    typed = {cell.name: None, "step_by_pistons": "the bench",
             "step_date_pistons": copy.typed["measured_date"] + 1}
    return fault("LIMIT12", "step_by_pistons", typed=typed)


def ring_in_groove(copy: Copy, chance: random.Random) -> Fault | None:
    """Widths of a ring and of its groove, each in the cell of the other."""
    cell = one_of(copy, chance, "ring_width")
    if cell is None:
        return None
    place = "_".join(cell.index)
    groove = f"ring_groove_width_{place}"
    typed = {cell.name: copy.typed[groove], groove: copy.typed[cell.name]}
    return fault("LIMIT01 LIMIT04", f"ring_side_clearance_{place}", typed=typed)


def done_early(copy: Copy, chance: random.Random) -> Fault | None:
    """A step or a group of fasteners that was done before the job began."""
    cell = one_of(copy, chance, "joint_done_on", "step_date")
    if cell is None:
        return None
    day = copy.typed[cell.name] - chance.choice([100, 365, 3650])
    return fault("READ20", cell.name, typed={cell.name: day})


BENCH = {
    "bolt-blank": Kind("rod bolt not measured", bolt_blank),
    "bolt-swapped": Kind("bolt lengths before and tight swapped", bolt_swapped),
    "bolt-of-another": Kind("tight lengths of two bolts swapped", bolt_of_another),
    "mass-blank": Kind("part not weighed", mass_blank),
    "mass-unit": Kind("mass in ounces, pounds or kilograms", mass_unit),
    "mass-odd": Kind("mass unlike the others, two digits swapped", mass_odd),
    "rod-leans": Kind("ends of a rod do not weigh what the whole does", rod_leans),
    "further-text": Kind("mass, length or lash as text", mass_text),
    "length-unit": Kind("bolt, width or pin length in the other unit", length_unit),
    "length-point": Kind("bolt, width, pin length or mass: decimal point slipped", length_point),
    "lash": Kind("valve lash in the other unit, decimal point slipped", lash_slip),
    "torque": Kind("last torque in the other unit", torque_unit),
    "angle": Kind("two ring gaps at one place", gap_angle),
    "wrong-way": Kind("ring or piston the wrong way round", wrong_way),
    "retainer": Kind("retainer missing or not seated", retainer),
    "note-blank": Kind("ring or retainer not noted", note_blank),
    "ring-set": Kind("ring set of another bore", ring_set),
    "part": Kind("piston or rod fitted in another bore", part_fitted),
    "signed": Kind("step signed too early", signed_early),
    "groove": Kind("ring and groove width swapped", ring_in_groove),
    "done-early": Kind("work dated before the job", done_early),
}
