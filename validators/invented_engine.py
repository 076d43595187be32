"""An invented engine: the sizes of its parts, where they scatter, and how they were measured."""

from __future__ import annotations

import random
from collections.abc import Sequence
from typing import Any, Final

from sheetgen.catalogue import Entry
from sheetgen.layout import LISTED
from sheetgen.plan import Plan, PlannedCell
from validators.invented_assembly import (
    Natural,
    natural_bolts,
    natural_joints,
    natural_masses,
    natural_valves,
)

Value = float | str | None

_OTHER: Final[Any] = object()
"""Says that an entry is of another kind."""

FORMS = ("bore", "piston", "main_housing", "rod_housing", "main_journal", "crankpin", "shell_wall",
         "pin_hole", "pin", "bush")
GRADES = ("thin", "std", "thick", "x", "XX")
NUMBERED_GRADES = (0.0, 1.0, 2.0, 3.0, 4.0)
RING_ANGLES = {"top": 45.0, "second": 225.0, "high": 340.0, "joint": 40.0, "deep": 100.0}
AS_IT_SHOULD_BE = {
    "ring_side_up": "mark up", "piston_front": "toward the front", "rings_placed": "as drawn",
    "retainer_seat": "both ends",
}
"""Words of a job without a fault."""
READINGS = {
    "piston_reading": "piston", "pin_hole_reading": "pin_hole", "pin_reading": "pin",
    "bush_reading": "bush", "main_journal_reading": "main_journal",
    "crankpin_reading": "crankpin", "main_housing_reading": "main_housing",
    "rod_housing_reading": "rod_housing",
}


class InventedEngine:
    """The sizes of one invented engine, in millimetres, and how its parts are read.

    Parameters
    ----------
    chance : Random
        Where every choice comes from.
    plan : Plan
        The workbook that is filled.
    tidy : bool
        True for a job without a fault: every mark once, every piston in its own bore.
    """

    def __init__(self, chance: random.Random, plan: Plan, *, tidy: bool = False) -> None:
        self.chance, self.tidy = chance, tidy
        pick = chance.uniform
        bore = pick(50, 140)
        stroke = bore * pick(0.7, 1.3)
        rod = stroke * pick(1.45, 2.1)
        height = bore * pick(0.28, 0.45)
        self.offset = chance.choice([0.0, 0.0, pick(-1.2, 1.2)])
        self.wall = pick(1.4, 2.6)
        self.step = chance.choice([0.005, 0.0025, 0.01, -0.005])
        self.rod_wall = pick(1.2, 2.0)
        self.main_clearance = pick(0.03, 0.08)
        self.rod_clearance = pick(0.03, 0.07)
        self.piston_clearance = pick(0.025, 0.15) if tidy or chance.random() < 0.9 else pick(-0.05, 0)
        pin = bore * pick(0.22, 0.3)
        self.pressed = chance.random() < 0.35
        main, crankpin = bore * pick(0.6, 0.75), bore * pick(0.5, 0.65)
        self.nominal = {
            "bore": bore,
            "piston": bore - self.piston_clearance,
            "main_journal": main,
            "main_housing": main + 2 * self.wall + self.main_clearance,
            "crankpin": crankpin,
            "rod_housing": crankpin + 2 * self.rod_wall + self.rod_clearance,
            "shell_wall": self.wall,
            "pin_hole": pin + 0.007,
            "pin": pin,
            "bush": pin - pick(0.02, 0.04) if self.pressed else pin + 0.015,
        }
        self.bore, self.stroke, self.rod, self.height = bore, stroke, rod, height
        self.deck = stroke / 2 + rod + height + pick(-0.4, 0.6)
        self.deviation = {name: chance.random() < 0.3 for name in FORMS}
        self.sign = {name: chance.choice([1, -1]) for name in FORMS}
        cylinders = range(1, plan.build.layout.cylinders + 1)
        self.bore_setting = {n: chance.random() < 0.4 for n in cylinders}
        self.chamber = {n: 45 + chance.gauss(0, 1) for n in cylinders}
        self.marks = self._marks(cylinders)
        self.width = pick(20, 30)
        self.grades: Sequence[Value] = NUMBERED_GRADES if chance.random() < 0.15 else GRADES
        self.graded = tidy or chance.random() < 0.92
        self.undersize = chance.choice([0.0, 0.0, 0.0, 0.25])
        layout = plan.build.layout
        self.table: dict[str, Natural] = {
            **self.natural_values(),
            **natural_bolts(chance),
            **natural_joints(chance),
            **natural_masses(chance, bore, layout.crankpin_of, layout.bank_of),
            **natural_valves(chance),
        }

    def _marks(self, cylinders: Sequence[int]) -> dict[str, list[Value]]:
        """Return the marks of pistons, rods, ring sets and crowns, in order of the cylinders."""
        marks: dict[str, list[Value]] = {}
        as_numbers = self.chance.random() < 0.2
        slip = 0.0 if self.tidy else self.chance.choice([0.0, 0.0, 0.1, 0.3])
        for letter, key in (("P", "piston_mark"), ("R", "rod_mark"), ("S", "ring_mark")):
            listed: list[Value] = []
            for number in cylinders:
                used = self.chance.randint(1, 12) if self.chance.random() < slip else number
                listed.append(float(used - 1) if as_numbers else f"{letter}{used}")
            marks[key] = listed
        crowns = list(marks["piston_mark"])
        for place, mark in enumerate(crowns):
            if self.chance.random() < slip:
                crowns[place] = self.chance.choice(crowns)
            elif isinstance(mark, str) and self.chance.random() < slip:
                crowns[place] = mark.lower()
        marks["crown_mark"] = crowns
        for key, part in (
            ("ring_mark_fitted", "ring_mark"), ("fitted_piston", "piston_mark"), ("fitted_rod", "rod_mark"),
        ):
            fitted = list(marks[part])
            for place in range(len(fitted)):
                if self.chance.random() < slip:
                    fitted[place] = self.chance.choice([*marks[part], "S 99"])
            marks[key] = fitted
        return marks

    def natural_values(self) -> dict[str, Natural]:
        """Return what is natural for each entry that is no reading of a sized feature."""
        chance = self.chance
        pick, choose, gauss = chance.uniform, chance.choice, chance.gauss
        return {
            "stroke_nominal": lambda index: self.stroke,
            "deck_height": lambda index: self.deck,
            "pin_offset": lambda index: self.offset,
            "engine_speed": lambda index: pick(1500, 9000),
            "dwell_distance": lambda index: pick(0.2, 2.0),
            "side_gas_pressure": lambda index: pick(1, 8),
            "piston_clearance_target": lambda index: self.piston_clearance,
            "candidate_rod_length": lambda index: self.rod + choose([0, 0, 2, -1.5]),
            "candidate_compression_height": lambda index: self.height + choose([0, 0, -2, 1.5]),
            "candidate_reciprocating_mass": lambda index: pick(200, 1500),
            "candidate_chamber_volume": lambda index: pick(20, 90),
            "candidate_crown_volume": lambda index: pick(-6, 15),
            "candidate_gasket_thickness": lambda index: pick(0.5, 1.6),
            "deck_clearance_wanted": lambda index: pick(-0.3, 0.5),
            "bore_present_largest": lambda index: self.bore + gauss(-0.05, 0.05),
            "bore_present_smallest": lambda index: self.bore + gauss(-0.1, 0.05),
            "main_clearance_target": lambda index: self.main_clearance,
            "rod_clearance_target": lambda index: self.rod_clearance,
            "throw_height_top": lambda index: 300 + self.stroke / 2 + gauss(0, 0.02),
            "throw_height_bottom": lambda index: 300 - self.stroke / 2 + gauss(0, 0.02),
            "runout_greatest": lambda index: pick(0, 0.03),
            "runout_least": lambda index: pick(-0.03, 0),
            "end_float_fore": lambda index: pick(0.2, 0.3),
            "end_float_aft": lambda index: pick(0.0, 0.15),
            "thrust_journal_width": lambda index: 30.12 + gauss(0, 0.03),
            "thrust_bearing_width": lambda index: 30.0,
            "main_position": lambda index: 100.0 * int(index[0]) + pick(0, 5),
            "main_height": lambda index: gauss(0, 0.01),
            "pin_width": lambda index: 2 * self.width + pick(0.15, 0.5),
            "rod_width": lambda index: self.width + gauss(0, 0.01),
            "ring_gap_reading": lambda index: self.bore * pick(0.0035, 0.006),
            "ring_gap_angle": lambda index: RING_ANGLES[index[0]] + gauss(0, 25) * choose([0, 1]),
            "ring_groove_root": lambda index: self.bore * 0.9,
            "ring_wall": lambda index: self.bore * 0.05 - pick(0.05, 0.9),
            "ring_groove_width": lambda index: 1.5 + pick(0.03, 0.09),
            "ring_width": lambda index: 1.5 + gauss(0, 0.005),
            "small_eye_size": lambda index: self.nominal["bush"] * pick(1.3, 1.8),
            "pin_inside_size": lambda index: self.nominal["pin"] * choose([0.0, 0.5, 0.7]),
            "pin_length": lambda index: self.bore * 0.7,
            "retainer_span": lambda index: self.bore * 0.7 + pick(0.05, 0.6),
            "retainer_count": lambda index: 2.0 if self.tidy else choose([2.0, 2.0, 2.0, 1.0]),
            "rail_gap_reading": lambda index: pick(0.3, 0.9),
            "gasket_thickness": lambda index: 0.4 + 0.3 * int(index[0][1:]),
            "gasket_chosen": lambda index: pick(0.5, 1.6),
            "rocked_reading": self.rocked,
            "deck_reading": lambda index: self.deck_of(index) + gauss(0, 0.02),
            "deck_corner": lambda index: self.deck + gauss(0, 0.02),
            "deck_along": lambda index: pick(0, 1),
            "deck_across": lambda index: pick(0, 1),
            "gasket_bore": lambda index: self.bore + pick(0.2, 2),
            "land_diameter": lambda index: self.bore - pick(0.4, 0.9),
            "land_height": lambda index: pick(3, 9),
            "chamber_volume": lambda index: self.chamber[int(index[0])],
            "crown_volume": lambda index: pick(-3, 6),
            "skirt_length": lambda index: self.height * pick(1.0, 1.8),
            "rock_radius": lambda index: self.bore * pick(0.3, 0.48),
            "rod_shank_length": lambda index: self.rod * 0.65,
            "rod_shank_area": lambda index: pick(80, 400),
            "rod_shank_mass": lambda index: pick(80, 500),
            "nominal_size": lambda index: self.nominal[index[0]],
            "part_temperature": lambda index: pick(15, 32),
            "gauge_temperature": lambda index: pick(15, 32),
            "gauge_resolution": lambda index: choose([0.001, 0.002, 0.0005]),
            "gauge_repeat_spread": lambda index: pick(0.0003, 0.004),
            "gauge_repeat_count": lambda index: float(chance.randint(1, 5)),
            "gauge_certificate_uncertainty": lambda index: pick(0.0005, 0.003),
            "setting_error": lambda index: pick(-0.002, 0.002),
            "hone_stroke_length": lambda index: self.bore * 1.2,
            "roughness_ra": lambda index: pick(0.2, 0.6),
            "roughness_rz": lambda index: pick(2, 7),
            "roughness_rpk": lambda index: pick(0.1, 0.4),
            "roughness_rk": lambda index: pick(0.4, 1.2),
            "roughness_rvk": lambda index: pick(0.6, 2.0),
            "oil_viscosity_warm": lambda index: 16 * self.oil_hot(index) ** 0.68,
            "oil_viscosity_hot": self.oil_hot,
            "oil_density": lambda index: pick(840, 880),
            "oil_high_shear": lambda index: pick(2.5, 4.5),
            "oil_hotter": lambda index: pick(5, 30),
            "duty_speed": lambda index: pick(2000, 8000),
            "duty_gas_pressure": lambda index: choose([0.0, pick(30, 120)]),
            "duty_crank_angle": lambda index: choose([0.0, pick(-30, 60)]),
            "duty_oil_temperature": lambda index: pick(80, 150),
            "rod_big_end_mass": lambda index: pick(200, 800),
            "main_bearing_width": lambda index: self.nominal["main_journal"] * choose([0.3, 0.4, 1.1]),
            "rod_bearing_width": lambda index: self.nominal["crankpin"] * choose([0.35, 0.45, 0.15]),
            "main_load_share": lambda index: choose([50.0, 100.0, pick(1, 3)]),
            "journal_roughness": lambda index: pick(0.05, 0.3),
            "shell_roughness": lambda index: pick(0.2, 0.8),
            "trial_step": lambda index: pick(0.005, 0.02),
            "crown_step": lambda index: choose([0.0, pick(-1, 1)]),
        }

    def oil_hot(self, index: Sequence[str]) -> float:
        """Return the viscosity of an oil at 100 °C; the oils stand in order from thin to thick."""
        return 5.0 + 3.0 * int(index[0][1:]) + self.chance.uniform(-1, 1)

    def size(self, feature: str, scatter: float = 0.004, setting: float | None = None) -> float:
        """Return a reading of a feature: a whole size, or what the dial shows."""
        true = self.nominal[feature] + self.chance.gauss(0, scatter)
        if feature in ("main_journal", "crankpin"):
            true -= self.undersize
        if not self.deviation[feature]:
            return round(true, 4)
        start = round(self.nominal[feature], 2) if setting is None else setting
        return round(self.sign[feature] * (true - start), 4)

    def natural(self, entry: Entry, cell: PlannedCell) -> Value:
        """Return a natural value of one entry, in the millimetre family's unit."""
        key, index = entry.key, cell.index
        first = index[0] if index else ""
        if key in READINGS:
            return self.size(READINGS[key])
        if entry.limits == "" and entry.of:
            return self.limit(entry)
        for part in (self._bearing, self._gauge, self._text):
            value = part(entry, first)
            if value is not _OTHER:
                return value
        if key in ("undersize_step", "throw_angle", "bank_direction") and cell.value is not None:
            return cell.value
        if key in self.table:
            return self.table[key](index)
        low, high = entry.range or (0.0, 1.0)
        return self.chance.uniform(low, high)

    def _bearing(self, entry: Entry, first: str) -> Value:
        """Shells and the bores they make; most engines have no wall or bore measured."""
        key, chance = entry.key, self.chance
        bearing = "rod" if key.startswith("rod") else "main"
        wall = self.rod_wall if bearing == "rod" else self.wall
        if key.endswith(("_wall_upper", "_wall_lower")):
            if chance.random() > 0.3:
                return None
            if self.deviation["shell_wall"]:
                return round(self.sign["shell_wall"] * (wall - round(self.wall, 2)), 4)
            return round(wall + chance.gauss(0, 0.002), 4)
        if key.endswith("_installed_bore"):
            if chance.random() > 0.3:
                return None
            return round(self.nominal[f"{bearing}_housing"] - 2 * wall + chance.gauss(0, 0.004), 4)
        if key.endswith("_grade_wall"):
            return round(wall + self.step * (int(first) - 2), 4)
        if key.endswith("_grade_name"):
            if not self.graded:
                return None
            named = self.grades[int(first) - 1]
            return named if self.tidy or chance.random() < 0.95 else chance.choice(self.grades)
        if key.endswith(("_shell_upper", "_shell_lower")):
            chosen = chance.choice(self.grades[:3])
            if chance.random() < 0.01:
                return "none such"
            return chosen.upper() if isinstance(chosen, str) and chance.random() < 0.1 else chosen
        return _OTHER

    def _gauge(self, entry: Entry, first: str) -> Value:
        """How the gauges are set and read."""
        key = entry.key
        if key in ("bore_reading", "bore_setting"):
            own = round(self.bore, 2) + 0.01 * int(first) if self.bore_setting[int(first)] else None
            return own if key == "bore_setting" else self.size("bore", 0.005, own)
        if key == "entry_form":
            return "deviation" if self.deviation[first] else "size"
        if key == "dial_sense":
            return "plus is bigger" if self.sign[first] > 0 else "plus is smaller"
        if key == "setting_size":
            return round(self.nominal[first], 2)
        return _OTHER

    def _text(self, entry: Entry, first: str) -> Value:
        """Marks, notes and dates."""
        if entry.key == "pin_fit":
            return "pressed" if self.pressed else "floating"
        if entry.key in AS_IT_SHOULD_BE:
            return AS_IT_SHOULD_BE[entry.key]
        if entry.key in self.marks:
            return self.marks[entry.key][int(first) - 1]
        if entry.list in LISTED:
            return str(self.chance.choice(LISTED[entry.list]())["name"])
        if entry.key == "job_number":
            numbers: list[Value] = ["J 4711", 4711.0, 0.0]
            return numbers[0] if self.tidy else self.chance.choice(numbers)
        if entry.text:
            return {"mark": "a mark", "date": "2031-04-17"}.get(entry.text, "a note")
        return _OTHER

    def deck_of(self, index: Sequence[str]) -> float:
        """Return the crown height of a cylinder above the deck."""
        return -(self.deck - self.stroke / 2 - self.rod - self.height) + 0.01 * int(index[0])

    def rocked(self, index: Sequence[str]) -> float:
        """Return the crown height where the piston is rocked."""
        rock = 0.0006 * self.bore
        return self.deck_of(index) + (rock if index[1] == "up" else -rock) + self.chance.gauss(0, 0.01)

    def limit(self, entry: Entry) -> Value:
        """Return a limit near where results fall, so that every verdict occurs."""
        of = entry.of
        middle = {
            "main_clearance": self.main_clearance, "rod_clearance": self.rod_clearance,
            "piston_clearance": self.piston_clearance, "main_housing_least": self.nominal["main_housing"],
            "main_housing_greatest": self.nominal["main_housing"],
            "rod_housing_least": self.nominal["rod_housing"],
            "rod_housing_greatest": self.nominal["rod_housing"], "compression_ratio": 10.0,
        }.get(of)
        if middle is None or self.chance.random() < 0.05:
            return None
        width = 1.0 if of == "compression_ratio" else 0.008
        away = self.chance.uniform(0.2, 1.2) * width
        return middle - away if entry.key.endswith("_lower") else middle + away
