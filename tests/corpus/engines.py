"""Invented engines of several layouts and both families of units, as their workbooks go out.

Every engine is a healthy one: its limits leave room for the spread of its parts, so that a copy without
a fault has nothing that asks for action.
"""

from __future__ import annotations

import math
import tempfile
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path
from typing import Any

from sheetgen.build import BuildDefinition, read_build
from sheetgen.catalogue import load_catalogue
from sheetgen.layout import Layout, indices
from sheetgen.plan import Plan, plan_workbook
from sheetgen.seal import ShopKey
from sheetgen.workbook import workbook_bytes
from tests.corpus.further import (
    BOLTS,
    BY_HAND,
    JOINTS,
    MASSES,
    OIL,
    PRESS,
    PRESSED,
    TOP_END,
    at_index,
    further,
)
from tests.corpus.parts import SheetParts
from validators.birth import recomputer_for
from validators.recompute import Recomputer

INCH = 25.4
TWIN = 'layout = "v"\ncylinders = 2\nrods_per_crankpin = 2\nmain_bearings = 2\nbank_angle = 90'
ENGINES: dict[str, tuple[str, str, float, tuple[str, ...]]] = {
    "inline-3": ('preset = "inline-3"', "millimetre", 78.0, (PRESSED, JOINTS)),
    "twin": (TWIN, "inch", 3.875 * INCH, (MASSES, BY_HAND, JOINTS)),
    "inline-4": ('preset = "inline-4"', "millimetre", 86.0, (BOLTS, JOINTS, MASSES, OIL, TOP_END)),
    "inline-4 inch": (
        'preset = "inline-4"', "inch", 3.5 * INCH, (BOLTS, JOINTS, MASSES, OIL, TOP_END, BY_HAND)),
    "flat-4": ('preset = "flat-4"', "millimetre", 94.0, (BOLTS, JOINTS, OIL, BY_HAND)),
    "inline-6": ('preset = "inline-6"', "millimetre", 84.0, (BOLTS, MASSES)),
    "inline-6 inch": ('preset = "inline-6"', "inch", 3.88 * INCH, (BOLTS, JOINTS, MASSES, BY_HAND)),
    "v8": ('preset = "v8"', "inch", 4.03 * INCH, (BOLTS, JOINTS, MASSES, OIL, TOP_END, PRESSED)),
    "v8 millimetre": ('preset = "v8"', "millimetre", 92.5, (BOLTS, JOINTS, MASSES, TOP_END, BY_HAND)),
}
"""Name to layout, family of units, bore in millimetres, and what its build gives beyond the short block."""

MAKER = "part maker"
RATIO = 10.0
MATERIALS = {
    "bore": "grey iron", "block": "cast aluminium-silicon", "piston": "forged piston alloy 4032",
    "rod": "steel", "crank": "steel", "pin": "steel", "ring": "steel", "shell": "steel",
}
JOB_DATE = "2031-03-03"


@dataclass(frozen=True, eq=False)
class CorpusEngine:
    """One invented engine: its build definition, what that gives, and its sizes in mm as drawn."""

    name: str
    build: BuildDefinition
    sizes: dict[str, float]
    kit: frozenset[str]
    key: ShopKey | None = None

    @cached_property
    def recomputer(self) -> Recomputer:
        """What recomputes its workbooks; the same that the checker takes."""
        return recomputer_for(self.build.as_text())

    @property
    def plan(self) -> Plan:
        """Its plan."""
        return self.recomputer.plan

    @cached_property
    def issued(self) -> SheetParts:
        """Its workbook as it was issued, ready to be filled."""
        return SheetParts(workbook_bytes(plan_workbook(self.build), key=self.key))

    @property
    def length(self) -> float:
        """Millimetres in one of the unit that its workbook shows."""
        return 1.0 if self.build.family == "millimetre" else INCH


@cache
def corpus_engine(name: str) -> CorpusEngine:
    """Return one of the invented engines."""
    layout, family, bore, parts = ENGINES[name]
    kit = frozenset(parts)
    sizes = drawn_sizes(bore, family, pressed=PRESSED in kit)
    bare = _bare(layout, family)
    catalogue = load_catalogue()
    entries: dict[tuple[str, tuple[str, ...]], Any] = dict(bare.entries)
    for key, value in given(sizes, family, kit, bare.layout).items():
        for number, index in enumerate(indices(catalogue.entries[key], bare.layout, catalogue)):
            one = at_index(value, number, index)
            if one is not None:
                entries[key, index] = one
    return CorpusEngine(name, BuildDefinition(bare.layout, family, entries), sizes, kit)


def _bare(layout: str, family: str) -> BuildDefinition:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "engine.toml"
        path.write_text(f'[engine]\n{layout}\nunits = "{family}"\n', encoding="utf-8")
        return read_build(path)


def drawn_sizes(bore: float, family: str, *, pressed: bool = False) -> dict[str, float]:
    """Return the sizes on the drawing of an engine, in millimetres, round in its own unit."""
    step = 0.01 if family == "millimetre" else 0.0005 * INCH

    def even(size: float) -> float:
        return round(size / step) * step

    wall, rod_wall = even(1.98 if bore < 90 else 2.4), even(1.48 if bore < 90 else 1.6)
    main, crankpin, pin = even(0.64 * bore), even(0.56 * bore), even(0.245 * bore)
    stroke = even(0.93 * bore)
    rod, height = even(1.7 * stroke), even(0.37 * bore)
    fine = 0.001 if family == "millimetre" else 0.0001 * INCH
    return {
        "bore": bore, "piston": bore - 50 * fine * (1 if family == "millimetre" else 0.4),
        "main_journal": main, "main_housing": main + 2 * wall + 0.045,
        "crankpin": crankpin, "rod_housing": crankpin + 2 * rod_wall + 0.042,
        "shell_wall": wall, "rod_wall": rod_wall,
        "pin": pin, "pin_hole": pin + 0.007, "bush": pin + (0.015 if not pressed else -PRESS),
        "stroke": stroke, "rod": rod, "height": height, "deck": stroke / 2 + rod + height + 0.2,
        "piston_clearance": 0.05, "gasket": 1.0, "crown": 3.0,
    }


def given(
    sizes: dict[str, float], family: str, kit: frozenset[str], layout: Layout
) -> dict[str, Any]:
    """Return what the builder gives before the workbook goes out, in the unit that it shows."""
    catalogue = load_catalogue()

    def shown(size: float, digits: int = 3) -> float:
        return round(size, digits) if family == "millimetre" else round(size / INCH, digits + 1)

    def area(size: float) -> float:
        return round(catalogue.measures["area"].from_millimetre(size, family), 4)

    bore, stroke = sizes["bore"], sizes["stroke"]
    swept = math.pi / 4 * bore**2 * stroke / 1000
    chamber = chamber_volume(sizes)
    steps = 0.005
    limits = {
        "piston_clearance": (0.033, 0.067),
        "main_housing_least": (sizes["main_housing"] - 0.02, sizes["main_housing"] + 0.02),
        "main_housing_greatest": (sizes["main_housing"] - 0.02, sizes["main_housing"] + 0.02),
        "main_clearance": (0.02, 0.07),
        "rod_housing_least": (sizes["rod_housing"] - 0.02, sizes["rod_housing"] + 0.02),
        "rod_housing_greatest": (sizes["rod_housing"] - 0.02, sizes["rod_housing"] + 0.02),
        "rod_clearance": (0.017, 0.067),
    }
    found: dict[str, Any] = {}
    for key, (lower, upper) in limits.items():
        found |= {f"{key}_lower": shown(lower), f"{key}_upper": shown(upper), f"{key}_origin": MAKER}
    wide = 0.35 if swept > 300 else 0.45
    return found | further(sizes, family, kit, layout, shown) | {
        "compression_ratio_lower": RATIO - wide, "compression_ratio_upper": RATIO + wide,
        "compression_ratio_origin": MAKER,
        "job_number": f"J-{round(bore * 10)}", "job_date": JOB_DATE, "engine_name": "bench engine",
        "builder_name": "the shop", "body_material": MATERIALS,
        "nominal_size": {
            key: shown(sizes[key]) for key in (
                "bore", "piston", "main_housing", "rod_housing", "main_journal", "crankpin", "shell_wall",
                "pin_hole", "pin", "bush",
            )
        },
        "stroke_nominal": shown(stroke), "deck_height": shown(sizes["deck"]), "pin_offset": 0.0,
        "engine_speed": round(19000 * 30 / stroke / 100) * 100.0, "side_gas_pressure": 4.0,
        "piston_clearance_target": shown(0.05), "deck_clearance_wanted": shown(0.2),
        "candidate_note": ["as ordered", "short rod", "tall piston", "long rod"],
        "candidate_rod_length": [shown(sizes["rod"] + more) for more in (0, -2, -1, 1)],
        "candidate_compression_height": [shown(sizes["height"] + more) for more in (0, 2, 1, -1)],
        "candidate_reciprocating_mass": round(7 * bore), "candidate_chamber_volume": round(chamber, 1),
        "candidate_crown_volume": sizes["crown"], "candidate_gasket_thickness": shown(sizes["gasket"]),
        "main_bearing_width": shown(19.0), "main_clearance_target": shown(0.045),
        "main_grade_name": ["thin", "std", "thick"],
        "main_grade_wall": [shown(sizes["shell_wall"] + steps * step, 4) for step in (-1, 0, 1)],
        "rod_bearing_width": shown(18.0), "rod_clearance_target": shown(0.042),
        "rod_grade_name": ["thin", "std", "thick"],
        "rod_grade_wall": [shown(sizes["rod_wall"] + steps * step, 4) for step in (-1, 0, 1)],
        "rock_radius": shown(0.42 * bore), "skirt_length": shown(0.52 * bore),
        "rod_shank_length": shown(0.65 * sizes["rod"]), "rod_shank_area": area(1.6 * bore),
        "rod_shank_mass": round(2.2 * bore),
        "gasket_thickness": [shown(size) for size in (0.7, 0.8, 0.9, 1.0, 1.2)],
        "gasket_chosen": shown(sizes["gasket"]), "gasket_bore": shown(bore + 1.5),
        "land_diameter": shown(bore - 0.7), "land_height": shown(5.5),
        "ring_gap_allowance": shown(0.2), "ratio_target": RATIO, "inlet_closing": 55.0,
    }


def chamber_volume(sizes: dict[str, float]) -> float:
    """Return the chamber in cm³ that gives the wanted compression ratio."""
    bore = sizes["bore"]
    face = math.pi / 4 * bore**2 / 1000
    gasket = math.pi / 4 * (bore + 1.5) ** 2 * sizes["gasket"] / 1000
    crevice = math.pi / 4 * (bore**2 - (bore - 0.7) ** 2) * 5.5 / 1000
    whole = face * sizes["stroke"] / (RATIO - 1)
    return whole - gasket - crevice - face * 0.2 - sizes["crown"]
