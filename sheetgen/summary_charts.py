"""The charts of the summary, and every drawing by its name.

Told apart by shape and hatching, not by colour. A column that is not known has no height; a point that
is not known stands outside the frame.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from sheetgen.drawing import cells, ring_dial
from sheetgen.look import look
from sheetgen.plan import Plan

PLACE_LEAST, PLACE_MOST = -0.5, 1.5
"""Frame of the chart of places: nought is the lower limit, one the upper."""
WORDS_AT_LIMITS = '[=0]"lower limit";[=1]"upper limit";'


def whole(plan: Plan, key: str) -> str:
    """Return the block of every element of a quantity, the way a chart speaks of it."""
    first, *rest = plan.by_key[key]
    return cells(plan, first.name, rest[-1].name if rest else "")


def _fonts() -> dict[str, Any]:
    return {"name": look()["font"], "size": look()["sizes"]["small"], "color": look()["colours"]["ink"]}


def _axis(title: str, **more: Any) -> dict[str, Any]:
    hair = {"color": look()["colours"]["hair"], "width": 0.75}
    return {
        "name": title, "name_font": {**_fonts(), "bold": False}, "num_font": _fonts(),
        "line": {"color": look()["colours"]["line"]}, "major_gridlines": {"visible": True, "line": hair},
        **more,
    }


def _finished(chart: Any, title: str) -> Any:
    chart.set_title({"name": title, "name_font": {**_fonts(), "bold": True, "size": 10}, "overlay": False})
    chart.set_legend({"position": "bottom", "font": _fonts()})
    chart.set_chartarea({"border": {"color": look()["colours"]["hair"]}})
    return chart


def clearance_places(book: Any, plan: Plan) -> Any:
    """Where every clearance lies between its limits."""
    colours = look()["colours"]
    chart = book.add_chart({"type": "scatter"})
    series = (
        ("piston in bore", "cylinder_number", "place_piston", "square"),
        ("main bearing", "main_number", "place_main", "diamond"),
        ("rod bearing", "cylinder_number", "place_rod", "x"),
    )
    for name, places, values, shape in series:
        ground = {"color": colours["ink"]} if shape == "diamond" else {"none": True}
        chart.add_series({
            "name": name, "categories": whole(plan, places), "values": whole(plan, values),
            "marker": {"type": shape, "size": 8, "border": {"color": colours["ink"]}, "fill": ground},
        })
    most = max(plan.build.layout.cylinders, plan.build.layout.mains)
    chart.set_x_axis(_axis("Cylinder or main bearing", min=0, max=most + 1, major_unit=1, num_format="0",
                           label_position="low", major_gridlines={"visible": False}))
    chart.set_y_axis(_axis("", min=PLACE_LEAST, max=PLACE_MOST, major_unit=0.5, num_format=WORDS_AT_LIMITS,
                           label_position="low"))
    return _finished(chart, "Clearances between their limits")


def rocked_heights(book: Any, plan: Plan) -> Any:
    """How far each piston stands out of its deck when rocked, beside the gasket that is chosen."""
    ink = look()["colours"]["ink"]
    chart = book.add_chart({"type": "column"})
    hatched = {"pattern": "wide_upward_diagonal", "fg_color": ink, "bg_color": "#FFFFFF"}
    for name, key, ground in (
        ("piston above the deck, rocked", "crown_highest", {"fill": {"color": ink}}),
        ("gasket chosen, compressed", "gasket_here", {"pattern": hatched}),
    ):
        chart.add_series({
            "name": name, "categories": whole(plan, "cylinder_number"), "values": whole(plan, key),
            "border": {"color": ink}, "gap": 60, **ground,
        })
    chart.set_x_axis(_axis("Cylinder", label_position="low", major_gridlines={"visible": False}))
    chart.set_y_axis(_axis(f"Height, {plan.unit('crown_highest')}"))
    return _finished(chart, "Rocked height and gasket")


def ratio_spread(book: Any, plan: Plan) -> Any:
    """How far the ratio of each cylinder is from the mean of all."""
    ink = look()["colours"]["ink"]
    chart = book.add_chart({"type": "column"})
    chart.add_series({
        "name": "ratio minus mean", "categories": whole(plan, "cylinder_number"),
        "values": whole(plan, "ratio_from_mean"), "fill": {"color": ink}, "border": {"color": ink}, "gap": 60,
    })
    chart.set_x_axis(_axis("Cylinder", label_position="low", major_gridlines={"visible": False}))
    chart.set_y_axis(_axis("Ratio minus mean", num_format="0.00"))
    chart = _finished(chart, "Compression ratio, spread")
    chart.set_legend({"none": True})
    return chart


CHARTS: dict[str, Callable[[Any, Plan], Any]] = {
    "ring_dial": ring_dial,
    "clearance_places": clearance_places,
    "rocked_heights": rocked_heights,
    "ratio_spread": ratio_spread,
}
"""Charts by the name that a template calls them by."""
