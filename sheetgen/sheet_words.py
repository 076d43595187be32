"""The words on a sheet: labels of rows and columns, units, and the numbers that follow from the layout."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import Any

from sheetgen.assembly import Step, steps_for
from sheetgen.errors import DefinitionError
from sheetgen.layout import Index, stage_labels
from sheetgen.naming import Names
from sheetgen.subjects import item_label
from sheetgen.template import read_templates

PRINTED = {
    "1": "", "degC": "°C", "delta_degC": "K", "um": "µm", "uin": "µin", "cm^3": "cm³", "in^3": "in³",
    "mm^2": "mm²", "in^2": "in²", "deg": "°", "m/s^2": "m/s²", "1e-6/K": "10⁻⁶/K", "percent": "%",
    "1/cm^3": "per cm³", "1/mm": "per mm", "1/in": "per in", "1/min": "per min",
    "mm^2/s": "mm²/s", "mPa*s": "mPa·s", "N*m": "N·m", "ft*lbf": "ft·lbf",
    "g*mm": "g·mm", "g*in": "g·in", "um/kN": "µm/kN", "uin/N": "µin/N",
    "kg/m^3": "kg/m³", "kg/m^3/K": "kg/m³/K",
}


def printed_unit(unit: str) -> str:
    """Return a unit as it is printed.

    Examples
    --------
    >>> printed_unit("cm^3")
    'cm³'
    """
    return PRINTED.get(unit, unit)


RADII = {"top": 0.94, "second": 0.8, "high": 0.66, "joint": 0.52, "deep": 0.38}
"""Where the gaps are drawn, in radii of the piston: no two rings on one circle, so none hides another."""
HEIGHTS = {"top": 3, "middle": 2, "bottom": 1}
"""How high the depths of a bore are drawn."""
ENDS = {"front": (0.0, 1.0), "rear": (0.0, -1.0), "right": (1.0, 0.0), "left": (-1.0, 0.0)}
"""Ends of the pin axis and of the thrust axis in the drawing of the rings."""


def circle_point(label: str) -> tuple[float, float]:
    """Return one point of the circle in the drawing of the rings: to the right, and to the front.

    Examples
    --------
    >>> circle_point("c3"), circle_point("rear")
    ((0.5, 0.866025), (0.0, -1.0))
    """
    if label in ENDS:
        return ENDS[label]
    angle = math.radians(10 * int(label[1:]))
    return round(math.sin(angle), 6), round(math.cos(angle), 6)


class SheetWords:
    """What is printed for one build."""

    def __init__(self, names: Names) -> None:
        self.build, self.catalogue = names.build, names.catalogue

    def fixed(self, key: str, index: Index) -> Any:
        """Return the number of a quantity that follows from the layout."""
        layout = self.build.layout
        if key == "item_required":
            limited = self.catalogue.entries.get(index[0])
            return 0 if limited is not None and limited.optional else 1
        if key == "rodbolt_cylinder":
            return int(index[0][:-1])
        if key == "pace_share":
            return int(index[0][1:]) / 5
        if key in ("step_number", "step_rests", "step_marks", "step_points"):
            return self.of_step(key, index)
        if key == "ring_dot_radius":
            return RADII[index[0]]
        if key in ("dial_across", "dial_along"):
            return circle_point(index[0])[key == "dial_along"]
        if key == "profile_height":
            return HEIGHTS[index[0]]
        if key == "motion_angle":
            return int(index[0][1:])
        if key == "node_eccentricity":
            return int(index[0][1:]) / 100
        if key == "trial_place":
            return int(index[0][1:]) - 3
        number = int(index[0]) - 1 if index else 0
        return {
            "layout_cylinders": lambda: layout.cylinders,
            "layout_crankpins": lambda: layout.crankpins,
            "layout_mains": lambda: layout.mains,
            "layout_banks": lambda: layout.banks,
            "cylinder_number": lambda: number + 1,
            "cylinder_bank": lambda: layout.bank_of[number],
            "cylinder_crankpin": lambda: layout.crankpin_of[number],
            "crankpin_number": lambda: number + 1,
            "crankpin_rods": lambda: layout.crankpin_of.count(number + 1),
            "main_number": lambda: number + 1,
            "bank_number": lambda: number + 1,
            "bank_cylinders": lambda: layout.bank_of.count(number + 1),
            "shellpair_upper": lambda: layout.shell_pairs[number][0],
            "shellpair_lower": lambda: layout.shell_pairs[number][1],
        }[key]()

    def of_step(self, key: str, index: Index) -> int:
        """Return the number of a step of the assembly, or whether it rests on an item or on the marks."""
        steps = {step.key: step for step in self.steps}
        step = steps[index[-1]]
        if key == "step_number":
            return self.steps.index(step) + 1
        if key in ("step_marks", "step_points"):
            return step.marks if key == "step_marks" else step.points
        return int(index[0] in step.rests_on)

    @property
    def steps(self) -> tuple[Step, ...]:
        """The steps of the assembly of this layout."""
        return steps_for(self.build.layout.kind)

    def printed(self, what: str, label: str) -> str:
        """Return the text that is printed in a row of a table."""
        if what != "step_text":
            raise DefinitionError("sheets", f"nothing is printed that is called '{what}'")
        step = next(step for step in self.steps if step.key == label)
        layout = self.build.layout
        return step.text.format(cylinders=layout.cylinders, mains=layout.mains, banks=layout.banks)

    def unit(self, key: str) -> str:
        """Return the unit a quantity is shown in, as printed."""
        measure = self.catalogue.measure_of(key)
        return printed_unit(measure.unit(self.build.family)) if measure else ""

    def with_unit(self, label: str, key: str) -> str:
        """Return a label with the unit behind it."""
        unit = self.unit(key)
        return f"{label}, {unit}" if unit else label

    def axis_label(self, axis: str) -> str:
        """Return an axis as the head of a column of labels."""
        label = self.catalogue.axes[axis].label
        return label[:1].upper() + label[1:]

    def told(self, axis: str, label: str) -> str:
        """Return what an element is called at the head of a column."""
        if axis == "task":
            return str(self.of_step("step_number", (label,)))
        return self.catalogue.axes[axis].elements.get(label) or f"{self.catalogue.axes[axis].label} {label}"

    def row_label(self, axis: str, label: str) -> str:
        """Return what stands at the left of a row."""
        if axis == "item":
            entry = self.catalogue.entries.get(label)
            return item_label(entry.key, entry.label) if entry else "Rings: end gap"
        if axis == "task":
            step = next(step for step in self.steps if step.key == label)
            return f"{self.told(axis, label)}  {step.title}"
        if axis == "stage":
            return next(t.title for t in read_templates(1) if t.stem == label)
        if axis == "shellpair":
            index = (label,)
            return (
                f"Upper grade {self.fixed('shellpair_upper', index)}, "
                f"lower grade {self.fixed('shellpair_lower', index)}"
            )
        text = self.told(axis, label)
        if axis == "cylinder" and self.build.layout.banks > 1:
            text += f" (bank {self.build.layout.bank_of[int(label) - 1]})"
        return text[:1].upper() + text[1:]

    def labels(self, axis: str) -> tuple[str, ...]:
        """Return the labels of an axis in this build."""
        if axis == "stage":
            return stage_labels(self.catalogue)
        return self.build.layout.labels(axis, self.catalogue)

    def turns(self, axes: Sequence[str]) -> list[dict[str, str]]:
        """Return the turns of a loop over some axes."""
        return [dict(zip(axes, turn, strict=True))
                for turn in itertools.product(*(self.labels(axis) for axis in axes))]
