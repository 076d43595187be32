"""The drawing of the ring gaps: a piston from above, one mark for each gap at its angle.

Told apart by shape, not by colour: every mark has a form of its own and its ring's name beside it.  A
point that is not given stands outside the frame and is not drawn.
"""

from __future__ import annotations

from typing import Any

from xlsxwriter.utility import xl_range_abs

from sheetgen.look import look
from sheetgen.naming import element_name
from sheetgen.plan import Plan

DRAWN = {
    "ring_dot_across": 1, "ring_dot_along": 1, "thrust_dot_across": 1, "place_piston": 1, "place_main": 1,
    "place_rod": 1, "profile_across": -1, "candidate_drop": -1, "candidate_ahead": -1,
}
"""Results that a drawing shows, and on which side of its frame that stands which is not known."""
WIDTH, HEIGHT = 424, 436
"""Pixels of the drawing.  Programs differ by 5 % in how wide they make a column against the height of a
row, and the drawing spans both: half of that is given way, and no circle is out of round by more than 3 %."""
REACH = 1.5
"""How far the frame reaches from the middle, in radii of the piston."""
MARKS = {"top": "square", "second": "diamond", "high": "triangle", "joint": "x", "deep": "circle"}


def placed(alternative: str) -> dict[str, Any]:
    """Return how a drawing stands on its sheet: it moves with its cells, and says what it shows."""
    return {"object_position": 2, "x_offset": 4, "y_offset": 4, "description": alternative}


def ring_dial(book: Any, plan: Plan) -> Any:
    """Return the drawing of the ring gaps as a chart of the workbook."""
    colours, font = look()["colours"], {"name": look()["font"], "size": look()["sizes"]["small"]}
    font["color"] = colours["ink"]
    chart = book.add_chart({"type": "scatter", "subtype": "straight"})

    def line(first: str, last: str, name: str, **style: Any) -> None:
        chart.add_series({
            "name": name,
            "categories": cells(plan, f"dial_across_{first}", f"dial_across_{last}"),
            "values": cells(plan, f"dial_along_{first}", f"dial_along_{last}"),
            "line": style, "marker": {"type": "none"},
        })

    def point(name: str, across: str, along: str, beside: str, marker: dict[str, Any]) -> None:
        chart.add_series({
            "name": name, "categories": cells(plan, across), "values": cells(plan, along),
            "line": {"none": True}, "marker": marker,
            "data_labels": {"series_name": True, "value": False, "position": beside, "font": font},
        })

    line("c0", "c36", "piston", color=colours["ink"], width=1.5)
    line("front", "rear", "pin axis", color=colours["faint"], width=0.75, dash_type="dash")
    line("right", "left", "thrust axis", color=colours["faint"], width=0.75, dash_type="dash_dot")
    for name, label, beside in (("front", "front", "above"), ("pin axis", "rear", "below")):
        point(name, f"dial_across_{label}", f"dial_along_{label}", beside, {"type": "none"})
    point("thrust side", "thrust_dot_across", "dial_along_right", "center", {"type": "none"})
    rings = plan.catalogue.axes["ringgap"].elements
    for label, shape in MARKS.items():
        marker = {"type": shape, "size": 9, "border": {"color": colours["ink"], "width": 1.5},
                  "fill": {"color": colours["ink"]}}
        point(rings[label], element_name("ring_dot_across", (label,)),
              element_name("ring_dot_along", (label,)), "right", marker)
    axis = {"min": -REACH, "max": REACH, "visible": False, "major_gridlines": {"visible": False},
            "label_position": "none"}
    chart.set_x_axis(axis)
    chart.set_y_axis(axis)
    chart.set_legend({"none": True})
    chart.set_size({"width": WIDTH, "height": HEIGHT})
    chart.set_plotarea({"layout": {"x": 0.02, "y": 0.02, "width": 0.96, "height": 0.96}})
    chart.set_chartarea({"border": {"color": colours["hair"]}})
    return chart


def cells(plan: Plan, first: str, last: str = "") -> str:
    """Return the block from one named cell to another, the way a chart speaks of it."""
    one, other = plan.by_name[first], plan.by_name[last or first]
    area = xl_range_abs(one.row - 1, one.column - 1, other.row - 1, other.column - 1)
    return f"='{one.sheet}'!{area}"
