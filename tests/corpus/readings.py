"""What whoever measures types into a copy without a fault: every reading drawn with its natural spread.

The spreads are those of a well made engine (common practice, no source): parts of one kind differ by a
few micrometres, the places of one part by one or two; a reading is what the gauge shows at the
temperature of part and gauge, rounded to its resolution.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from sheetgen.layout import materials
from sheetgen.plan import Plan, PlannedCell
from tests.corpus.bench import fill
from tests.corpus.engines import MATERIALS, CorpusEngine, chamber_volume
from validators.readings import stored_day

BODY = {
    "bore": "bore", "piston": "piston", "main_housing": "block", "rod_housing": "rod",
    "main_journal": "crank", "crankpin": "crank", "shell_wall": "shell", "pin_hole": "piston", "pin": "pin",
    "bush": "rod",
}
READ = {
    "bore_reading": "bore", "piston_reading": "piston", "main_housing_reading": "main_housing",
    "rod_housing_reading": "rod_housing", "main_journal_reading": "main_journal",
    "crankpin_reading": "crankpin", "pin_hole_reading": "pin_hole", "pin_reading": "pin",
    "bush_reading": "bush",
}
LOT = {"pin": 0.0, "pin_hole": 0.0, "bush": 0.0}
PART = {"pin": 0.0003, "pin_hole": 0.0003, "bush": 0.0004, "piston": 0.002, "bore": 0.0012}
WITHIN = {"pin": 0.0, "pin_hole": 0.0, "bush": 0.0, "piston": 0.0, "bore": 0.0016}
FINE = ("pin", "pin_hole", "bush")
GAUGE_EXPANSION, REFERENCE = 11.5, 20.0
FORMS = tuple(BODY)


@dataclass
class Copy:
    """One copy on its way: what is typed into it, and what a fault may need to know.

    Attributes
    ----------
    typed : dict
        Name of an entry to what is typed.
    forms : dict
        Feature to "size" or "deviation".
    setting : dict
        Feature (or bore of a cylinder, by the name of its cell) to its setting size, as typed.
    """

    engine: CorpusEngine
    chance: random.Random
    typed: dict[str, Any] = field(default_factory=dict)
    forms: dict[str, str] = field(default_factory=dict)
    setting: dict[str, float] = field(default_factory=dict)
    steps: dict[str, float] = field(default_factory=dict)

    @property
    def plan(self) -> Plan:
        """The plan of its workbook."""
        return self.engine.plan

    def cells(self, key: str) -> tuple[PlannedCell, ...]:
        """Return the cells of a quantity."""
        return self.plan.by_key[key]


def expansion(feature: str) -> float:
    """Return the expansion of the body of a feature, in 1e-6/K."""
    name = MATERIALS[BODY[feature]]
    return float(next(material["expansion"] for material in materials() if material["name"] == name))


def clean_copy(engine: CorpusEngine, chance: random.Random, deviation: frozenset[str] | None = None) -> Copy:
    """Return a copy without a fault.

    Parameters
    ----------
    engine : CorpusEngine
        Whose workbook it is.
    chance : Random
        Where every reading comes from.
    deviation : frozenset of str, optional
        Features that are typed as deviations; drawn when not given.
    """
    copy = Copy(engine, chance)
    if deviation is None:
        share = chance.choice([0.0, 0.0, 0.3, 1.0])
        deviation = frozenset(feature for feature in FORMS if chance.random() < share)
    copy.forms = {name: "deviation" if name in deviation else "size" for name in FORMS}
    _job(copy)
    _gauges(copy)
    for name, value in _sizes(copy):
        copy.typed[name] = value
    _rest(copy)
    fill(copy)
    return copy


def _job(copy: Copy) -> None:
    chance = copy.chance
    copy.typed["machinist_name"] = chance.choice(["the bench", "night shift", "M. at the hone"])
    copy.typed["measured_date"] = stored_day(f"2031-04-{chance.randint(1, 28):02}")
    if chance.random() < 0.3:
        copy.typed["job_note"] = chance.choice(["cold room, one night", "read twice"])
    marks = {"piston_mark": "P", "rod_mark": "R", "ring_mark": "S"}
    start = chance.choice([1, 1, 1, 11, 40])
    for key, letter in marks.items():
        numbers = list(range(start, start + len(copy.cells(key))))
        if chance.random() < 0.5:
            chance.shuffle(numbers)
        for cell, number in zip(copy.cells(key), numbers, strict=True):
            copy.typed[cell.name] = f"{letter}{number}"
    for crown, piston in zip(copy.cells("crown_mark"), copy.cells("piston_mark"), strict=True):
        copy.typed[crown.name] = copy.typed[piston.name]


def _gauges(copy: Copy) -> None:
    chance, length = copy.chance, copy.engine.length
    metric = length == 1.0
    day = stored_day(f"203{chance.choice('01')}-0{chance.randint(1, 2)}-{chance.randint(1, 28):02}")
    dated, named = chance.random() < 0.5, chance.random() < 0.5
    for cell in copy.cells("gauge_resolution"):
        feature = cell.index[0]
        if dated:
            copy.typed[f"gauge_calibrated_{feature}"] = day
        if named:
            copy.typed[f"gauge_name_{feature}"] = f"gauge {chance.randint(1, 9)}"
        if feature in FINE:
            step = 0.0005 if metric else 0.00002
            copy.typed[cell.name] = step
            copy.typed[f"gauge_certificate_uncertainty_{feature}"] = step
            copy.typed[f"gauge_repeat_spread_{feature}"] = step / 2
            copy.typed[f"gauge_repeat_count_{feature}"] = 3.0
        elif feature == "ring_gap":
            step = 0.01 if metric else 0.0005
        else:
            step = 0.001 if metric else 0.00005
        copy.typed[cell.name] = step
        copy.steps[feature] = step
    room = round(chance.uniform(17.5, 24.0) * 2) / 2
    warmer = {BODY[feature]: chance.choice([0.0, 0.0, 0.5]) for feature in FORMS}
    for feature in FORMS:
        copy.typed[f"part_temperature_{feature}"] = room + warmer[BODY[feature]]
        copy.typed[f"gauge_temperature_{feature}"] = room
        copy.typed[f"entry_form_{feature}"] = copy.forms[feature]
        if copy.forms[feature] == "deviation":
            size = _round(copy.engine.sizes[feature] / length, 0.01 if metric else 0.001)
            if feature in ("shell_wall", *FINE):
                size = _round(copy.engine.sizes[feature] / length, 0.01 if metric else 0.0005)
            copy.setting[feature] = copy.typed[f"setting_size_{feature}"] = size
            sense = chance.choice(["plus is bigger", "plus is bigger", "plus is smaller"])
            copy.typed[f"dial_sense_{feature}"] = sense
            if chance.random() < 0.3:
                copy.typed[f"setting_error_{feature}"] = _round(chance.gauss(0, 0.001) / length, step / 100)
    if copy.forms["bore"] == "deviation" and chance.random() < 0.4:
        coarse = 0.01 if metric else 0.0005
        for cell in copy.cells("bore_setting"):
            size = copy.setting["bore"] + chance.randint(-2, 3) * coarse
            copy.setting[cell.name] = copy.typed[cell.name] = _round(size, coarse)


def _round(value: float, step: float) -> float:
    return round(round(value / step) * step, 9)


def shown(copy: Copy, feature: str, size: float, setting: float | None = None) -> float:
    """Return what a gauge shows of a size at 20 °C (in millimetres), as it is typed."""
    typed, length = copy.typed, copy.engine.length
    part = 1 + expansion(feature) * 1e-6 * (typed[f"part_temperature_{feature}"] - REFERENCE)
    gauge = 1 + GAUGE_EXPANSION * 1e-6 * (typed[f"gauge_temperature_{feature}"] - REFERENCE)
    size /= length
    if copy.forms[feature] == "size":
        return _round(size * part / gauge, copy.steps[feature])
    start = copy.setting[feature] if setting is None else setting
    start += typed.get(f"setting_error_{feature}", 0.0)
    sign = 1 if typed[f"dial_sense_{feature}"] == "plus is bigger" else -1
    return _round(sign * (size * part - start * gauge), copy.steps[feature])


def _sizes(copy: Copy) -> Iterator[tuple[str, Any]]:
    chance, sizes = copy.chance, copy.engine.sizes
    length = copy.engine.length
    nominal = dict(sizes)
    pistons = {
        cell.index[0]: nominal["piston"] + chance.gauss(0, PART["piston"])
        for cell in copy.cells("piston_reading")
    }
    target = round(0.05 / length, 3 if length == 1.0 else 4) * length
    for key, feature in READ.items():
        lot = chance.gauss(0, LOT.get(feature, 0.002))
        parts: dict[str, float] = {}
        for cell in copy.cells(key):
            of = cell.index[0]
            if feature == "piston":
                size = pistons[of]
            else:
                if of not in parts:
                    middle = pistons[of] + target if feature == "bore" else nominal[feature] + lot
                    parts[of] = middle + chance.gauss(0, PART.get(feature, 0.0015))
                size = parts[of] + chance.gauss(0, WITHIN.get(feature, 0.0012))
            own = copy.setting.get(f"bore_setting_{of}") if feature == "bore" else None
            yield cell.name, shown(copy, feature, size, own)
    if chance.random() < 0.3:
        for cell in (*copy.cells("main_wall_upper"), *copy.cells("main_wall_lower")):
            yield cell.name, shown(copy, "shell_wall", nominal["shell_wall"] + chance.gauss(0, 0.001))


def _rest(copy: Copy) -> None:
    chance, sizes, length = copy.chance, copy.engine.sizes, copy.engine.length
    step = copy.steps["width"]

    def put(key: str, draw: Any, by: float = 0.0) -> None:
        for cell in copy.cells(key):
            copy.typed[cell.name] = _round(draw(cell) / length, by or step)

    rock = 0.05 * 0.42 / 0.52
    gap = {"top": 0.0040, "second": 0.0045}
    coarse = copy.steps["ring_gap"]
    wanted = {ring: sizes["bore"] * share for ring, share in gap.items()}
    put("ring_gap_reading", lambda cell: wanted[cell.index[1]] + chance.gauss(0.1, 0.008), coarse)
    put("rail_gap_reading", lambda cell: chance.gauss(0.62, 0.03), coarse)
    for key in ("main_shell_upper", "main_shell_lower", "rod_shell_upper", "rod_shell_lower"):
        for cell in copy.cells(key):
            copy.typed[cell.name] = "std"
    for cell in copy.cells("torque_plate"):
        copy.typed[cell.name] = "on"
    deck = {cell.index[0]: -0.2 + chance.gauss(0, 0.006) for cell in copy.cells("crown_mark")}
    put("deck_reading", lambda cell: deck[cell.index[0]] + chance.gauss(0, 0.004))
    tilt = {"up": rock, "down": -rock}
    put("rocked_reading", lambda cell: deck[cell.index[0]] + tilt[cell.index[1]] + chance.gauss(0, 0.002))
    burette = copy.typed["burette_resolution"] = 0.02
    copy.typed["burette_uncertainty"] = 0.03
    for cell in copy.cells("chamber_volume"):
        copy.typed[cell.name] = _round(chamber_volume(sizes) + chance.gauss(0, 0.03), burette)
    for cell in copy.cells("crown_volume"):
        copy.typed[cell.name] = _round(sizes["crown"] + chance.gauss(0, 0.03), burette)
    _crank(copy, put)
    if chance.random() < 0.5:
        put("bore_present_largest", lambda cell: sizes["bore"] - 0.07 + chance.gauss(0, 0.003))
        put("bore_present_smallest", lambda cell: sizes["bore"] - 0.1 + chance.gauss(0, 0.003))
        put("deck_corner", lambda cell: sizes["deck"] + chance.gauss(0, 0.003))
    if chance.random() < 0.4:
        rough = {"ra": 0.37, "rz": 4.3, "rpk": 0.2, "rk": 0.74, "rvk": 1.25}
        unit = 1.0 if length == 1.0 else 1 / 0.0254
        for name, middle in rough.items():
            for cell in copy.cells(f"roughness_{name}"):
                value = middle * (1 + chance.gauss(0, 0.02)) * unit
                copy.typed[cell.name] = round(value, 2 if length == 1.0 else 1)


def _crank(copy: Copy, put: Any) -> None:
    """Read the crank and the widths, with which side clearance and end float are judged."""
    chance, sizes = copy.chance, copy.engine.sizes
    put("throw_height_top", lambda cell: 300 + sizes["stroke"] / 2 + chance.gauss(0, 0.005))
    put("throw_height_bottom", lambda cell: 300 - sizes["stroke"] / 2 + chance.gauss(0, 0.005))
    put("runout_greatest", lambda cell: 0.007 + chance.uniform(-0.003, 0.003))
    put("runout_least", lambda cell: -0.004 + chance.uniform(-0.002, 0.002))
    put("end_float_fore", lambda cell: 0.18)
    put("end_float_aft", lambda cell: 0.02)
    put("thrust_bearing_width", lambda cell: 28.0)
    put("thrust_journal_width", lambda cell: 28.16 + chance.gauss(0, 0.001))
    put("main_height", lambda cell: 0.002 + chance.gauss(0, 0.001))
    rods = copy.engine.build.layout.cylinders / copy.engine.build.layout.crankpins
    put("rod_width", lambda cell: 24.0 + chance.gauss(0, 0.008))
    put("pin_width", lambda cell: 24.0 * rods + 0.32 + chance.gauss(0, 0.008))
