"""Charts beside the parts they speak of: the shape of the bores, the motion near top dead centre."""

from __future__ import annotations

from typing import Any

from sheetgen.chart_style import axis, finished, marked
from sheetgen.drawing import cells
from sheetgen.naming import element_name
from sheetgen.plan import Plan

WORDS_AT_DEPTHS = '[=3]"top";[=1]"bottom";"middle"'
MOST_DROP, MOST_AHEAD, MOST_ANGLE = 0.1, 0.01, 32
"""Frames of the charts of motion: a tenth and a hundredth of the stroke, and the degrees of the table."""


def bore_profiles(book: Any, plan: Plan) -> Any:
    """Every bore as if cut open: how far it is from its own mean, depth by depth, on both axes."""
    made = book.add_chart({"type": "scatter", "subtype": "straight_with_markers"})
    heights = cells(plan, *_ends(plan, "profile_height"))
    count = plan.build.layout.cylinders
    for cylinder in range(1, count + 1):
        for number, (label, told) in enumerate(plan.catalogue.axes["axis"].elements.items()):
            first, last = (
                element_name("profile_across", (str(cylinder), depth, label)) for depth in ("top", "bottom")
            )
            made.add_series({"name": told, "categories": cells(plan, first, last), "values": heights,
                             **marked(number, hollow=number == 1)})
    span = plan.by_name["profile_span"].value
    made.set_x_axis(axis(
        f"Cylinder; from one line to the next {span:.2g} {plan.unit('profile_span')} of diameter",
        min=0, max=count + 1, major_unit=1, num_format=f'[=0]"";[={count + 1}]"";0', label_position="low",
    ))
    made.set_y_axis(axis("", min=1, max=3, major_unit=1, num_format=WORDS_AT_DEPTHS,
                         label_position="low", major_gridlines={"visible": False}))
    return finished(made, "", delete_series=list(range(2, 2 * count)))


def candidate_motion(book: Any, plan: Plan) -> Any:
    """How far the piston has gone down in the first degrees after top, for each combination."""
    return _over_angle(book, plan, "candidate_drop", axis(
        "Below top, % of stroke", min=0, max=MOST_DROP, major_unit=0.02, num_format="0%", reverse=True,
    ), labels="high")


def candidate_against_first(book: Any, plan: Plan) -> Any:
    """The same against combination A, ten times as large: below the line goes down sooner."""
    return _over_angle(book, plan, "candidate_ahead", axis(
        "Further down than A, % of stroke", min=-MOST_AHEAD, max=MOST_AHEAD, major_unit=0.005,
        num_format="+0.0%;-0.0%;0.0%", reverse=True,
    ), labels="high")


def _over_angle(book: Any, plan: Plan, key: str, upright: dict[str, Any], *, labels: str) -> Any:
    """Return a chart with one line for each combination over the crank angle."""
    made = book.add_chart({"type": "scatter", "subtype": "straight_with_markers"})
    angles = cells(plan, *_ends(plan, "motion_angle"))
    first, last = (plan.by_key["motion_angle"][place].index[0] for place in (0, -1))
    for number, (label, told) in enumerate(plan.catalogue.axes["candidate"].elements.items()):
        ends = (element_name(key, (label, angle)) for angle in (first, last))
        made.add_series({"name": told, "categories": angles, "values": cells(plan, *ends),
                         **marked(number, hollow=number % 2 == 1)})
    made.set_x_axis(axis("Crank after true top, °", min=0, max=MOST_ANGLE, major_unit=8, num_format="0",
                         label_position=labels, major_gridlines={"visible": False}))
    made.set_y_axis(upright)
    return finished(made, "")


def _ends(plan: Plan, key: str) -> tuple[str, str]:
    """Return the names of the first and the last element of a quantity."""
    members = plan.by_key[key]
    return members[0].name, members[-1].name
