"""What the builder gives on the further sheets: fasteners, masses, oil, top end, rings and pins."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from sheetgen.layout import Layout

BOLTS, JOINTS, MASSES, OIL, TOP_END, PRESSED, BY_HAND = (
    "bolts", "joints", "masses", "oil", "top end", "pressed pins", "by hand",
)
"""What a build may have; by hand: torques and ring angles are left blank and typed into the copies."""

PRESS = 0.03
"""mm of interference of a pressed pin."""

ANGLES = {"top": 60.0, "second": 240.0, "high": 120.0, "joint": 300.0, "deep": 0.0}
TORQUES = ((20.0, 45.0), (30.0, 60.0), (60.0,), (90.0,))
"""N·m, of main caps, head, flywheel and damper, step by step."""

GROUPS, PASSES = ("1", "2", "3", "4"), ("first", "second", "third", "fourth")
Shown = Callable[..., float]


def bolt_length(sizes: dict[str, float]) -> float:
    """Return the length of a rod bolt, loose, in mm."""
    return round(0.62 * sizes["bore"], 1)


def pin_length(sizes: dict[str, float]) -> float:
    """Return the length of a piston pin in mm."""
    return round(0.7 * sizes["bore"], 1)


def torque(value: float, family: str) -> float:
    """Return a torque in the shown unit, as a maker's sheet prints it."""
    return value if family == "millimetre" else round(value / 1.3558179483314004)


def further(
    sizes: dict[str, float], family: str, kit: frozenset[str], layout: Layout, shown: Shown
) -> dict[str, Any]:
    """Return what the builder gives beyond the short block, in the unit that the workbook shows."""
    found: dict[str, Any] = {"pin_fit": "pressed" if PRESSED in kit else "floating"}
    if BY_HAND not in kit:
        found["ring_gap_angle"] = ANGLES
    if PRESSED in kit:
        found |= {
            "small_eye_size": shown(1.45 * sizes["pin"]), "small_eye_width": shown(0.25 * sizes["bore"]),
            "pin_inside_size": shown(0.6 * sizes["pin"]),
        }
    parts = ((BOLTS, _bolts), (OIL, _oil), (TOP_END, _top_end))
    for name, give in parts:
        if name in kit:
            found |= give(sizes, family, shown)
    if JOINTS in kit:
        found |= _joints(family, shown)
        if BY_HAND not in kit:
            found |= joint_torques(family)
    if MASSES in kit:
        found |= {
            "shell_mass": 62.0, "balance_share": 50.0,
            "cylinder_position": _positions(sizes, layout, shown),
        }
    return found


def _positions(sizes: dict[str, float], layout: Layout, shown: Shown) -> list[float]:
    apart = 1.08 * sizes["bore"]
    on_pin: dict[int, int] = {}
    places = []
    for pin in layout.crankpin_of:
        places.append(shown(40.0 + (pin - 1) * apart + 22.0 * on_pin.get(pin, 0)))
        on_pin[pin] = on_pin.get(pin, 0) + 1
    return places


def _bolts(sizes: dict[str, float], family: str, shown: Shown) -> dict[str, Any]:
    metric = family == "millimetre"
    return {
        "thread_form": "ISO metric" if metric else "unified",
        "bolt_thread_size": 8.0 if metric else 0.3125, "bolt_thread_pitch": 1.0 if metric else 0.04167,
        "bolt_thread_length": shown(10.0),
        "bolt_part_length": [shown(12.0), shown(20.0), None, None],
        "bolt_part_size": [shown(8.0), shown(6.8), None, None],
        "bolt_proof_own": 1150.0, "bolt_yield_own": 1300.0,
        "rod_rotating_mass": round(4.4 * sizes["bore"]), "rod_cap_mass": round(2.0 * sizes["bore"]),
        "bolt_stretch_lower": shown(0.12), "bolt_stretch_upper": shown(0.18),
        "bolt_stretch_origin": "part maker",
    }


def _joints(family: str, shown: Shown) -> dict[str, Any]:
    metric = family == "millimetre"
    return {
        "joint_count": [10, 10, 8, 1],
        "joint_size": [10.0, 11.0, 10.0, 14.0] if metric else [0.4375, 0.4375, 0.4375, 0.5625],
        "joint_pitch": [1.5, 1.5, 1.0, 1.5] if metric else [0.07143, 0.07143, 0.05, 0.05556],
        "joint_lubricant": ["engine oil", "engine oil", "thread locker", "dry"],
        "joint_order": ["from the middle out", "from the middle out", "crosswise", None],
        "joint_angle_at": {("1", "third"): 60.0, ("2", "third"): 90.0, ("2", "fourth"): 90.0},
    }


def joint_torques(family: str) -> dict[str, Any]:
    """Return the torques of the fastener groups: the maker's, and step by step."""
    return {
        "joint_torque_given": [torque(steps[-1], family) for steps in TORQUES],
        "joint_torque_at": {
            (group, step): torque(value, family)
            for group, steps in zip(GROUPS, TORQUES, strict=True)
            for step, value in zip(PASSES, steps, strict=False)
        },
    }


def _oil(sizes: dict[str, float], family: str, shown: Shown) -> dict[str, Any]:
    rough = 1.0 if family == "millimetre" else 1 / 0.0254
    return {
        "oil_name": ["two grades", "thinner", None],
        "oil_viscosity_warm": [90.0, 60.0, None], "oil_viscosity_hot": [14.2, 10.4, None],
        "oil_high_shear": [3.6, 2.9, None],
        "journal_roughness": round(0.1 * rough, 2), "shell_roughness": round(0.3 * rough, 2),
        "rod_big_end_mass": round(4.4 * sizes["bore"]), "duty_speed": [None, 4000.0],
    }


def _top_end(sizes: dict[str, float], family: str, shown: Shown) -> dict[str, Any]:
    rate = 1.0 if family == "millimetre" else 25.4
    return {
        "lash_wanted": [shown(0.2), shown(0.25)], "spring_height_wanted": shown(40.0),
        "spring_test_load": 300.0, "spring_test_height": shown(40.0), "spring_rate": round(36.0 * rate, 1),
        "spring_solid_height": shown(26.0), "valve_lift": [shown(11.0), shown(10.5)],
        "valve_opens": [12.0, 52.0], "valve_closes": [48.0, 10.0], "timing_lift": shown(1.0),
        "shim_thickness": [shown(2.5 + 0.05 * step) for step in range(10)],
        "lash_reading_lower": shown(0.08), "lash_reading_upper": shown(0.37),
        "lash_reading_origin": "part maker",
        "coil_bind_margin_lower": shown(1.0), "coil_bind_margin_origin": "common practice",
        "intake_to_piston_lower": shown(1.5), "intake_to_piston_origin": "common practice",
        "exhaust_to_piston_lower": shown(2.0), "exhaust_to_piston_origin": "common practice",
        "lobe_centre_lower": 100.0, "lobe_centre_upper": 116.0, "lobe_centre_origin": "part maker",
    }


def at_index(value: Any, number: int, index: Sequence[str]) -> Any:
    """Return what is given at one place: one for all, in order, by label, or by all labels."""
    if isinstance(value, list):
        return value[number] if len(value) > 1 else value[0]
    if isinstance(value, dict):
        return value.get(tuple(index)) if isinstance(next(iter(value)), tuple) else value[index[0]]
    return value
