"""The charts of the summary and of the sheets where a choice is made, and every drawing by its name.

Told apart by shape and hatching, not by colour. A column that is not known has no height; a point that
is not known stands outside the frame.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from sheetgen.chart_style import axis, finished
from sheetgen.drawing import cells, ring_dial
from sheetgen.look import look
from sheetgen.part_charts import bore_profiles, candidate_against_first, candidate_motion
from sheetgen.plan import Plan

PLACE_LEAST, PLACE_MOST = -0.5, 1.5
"""Frame of the chart of places: nought is the lower limit, one the upper."""
WORDS_AT_LIMITS = '[=0]"lower limit";[=1]"upper limit";'
MOST_HEIGHT, MOST_SPREAD = 3.5, 1.2
"""Beyond these (millimetres; ratio) the axes say nothing: a program numbers an axis from 0 to 12 where
nothing is measured yet."""


def below(most: str, decimals: str) -> str:
    """Return a number format for an axis: nothing beyond `most`, and below nought a minus.

    A format with a condition has lost the minus in one program unless it is written out.
    """
    return f'[>{most}]"";[<0]-{decimals};{decimals}'


def whole(plan: Plan, key: str) -> str:
    """Return the block of every element of a quantity, the way a chart speaks of it."""
    first, *rest = plan.by_key[key]
    return cells(plan, first.name, rest[-1].name if rest else "")


PLACES = {
    "piston in bore": ("cylinder_number", "place_piston", "long_dash", 16),
    "main bearing": ("main_number", "place_main", "diamond", 8),
    "rod bearing": ("cylinder_number", "place_rod", "x", 9),
}
"""Series of clearances: what they stand over, where they lie between their limits, their mark and its size.
Bar, diamond and cross show beside each other where they meet, whichever a program draws last."""


def clearance_places(book: Any, plan: Plan, *names: str) -> Any:
    """Where clearances lie between their limits: all kinds under a title, or the named ones without."""
    colours = look()["colours"]
    chart = book.add_chart({"type": "scatter"})
    shown = names or tuple(PLACES)
    for name in shown:
        places, values, shape, size = PLACES[name] if not names else (*PLACES[name][:2], "diamond", 8)
        chart.add_series({
            "name": name, "categories": whole(plan, places), "values": whole(plan, values),
            "marker": {"type": shape, "size": size, "border": {"color": colours["ink"]},
                       "fill": {"color": colours["ink"]}},
        })
    over = {PLACES[name][0]: name for name in shown}
    most = max(len(plan.by_key[places]) for places in over)
    told = "Cylinder or main bearing" if len(over) > 1 else plan.catalogue.entries[next(iter(over))].label
    chart.set_x_axis(axis(told, min=0, max=most + 1, major_unit=1, num_format=f'[=0]"";[={most + 1}]"";0',
                           label_position="low", major_gridlines={"visible": False}))
    chart.set_y_axis(axis("", min=PLACE_LEAST, max=PLACE_MOST, major_unit=0.5, num_format=WORDS_AT_LIMITS,
                           label_position="low", crossing=PLACE_LEAST))
    made = finished(chart, "" if names else "Clearances between their limits")
    if names:
        made.set_legend({"none": True})
    return made


def _places_of(book: Any, plan: Plan, name: str) -> Any:
    """Where the clearances of one kind lie between their limits."""
    return clearance_places(book, plan, name)


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
    chart.set_x_axis(axis("Cylinder", label_position="low", major_gridlines={"visible": False}))
    most = plan.catalogue.measures["length"].from_millimetre(MOST_HEIGHT, plan.build.family)
    told = f"Height, {plan.unit('crown_highest')}"
    chart.set_y_axis(axis(told, num_format=below(f"{most:.2g}", "General")))
    return finished(chart, "Rocked height and gasket")


def ratio_spread(book: Any, plan: Plan) -> Any:
    """How far the ratio of each cylinder is from the mean of all."""
    ink = look()["colours"]["ink"]
    chart = book.add_chart({"type": "column"})
    chart.add_series({
        "name": "ratio minus mean", "categories": whole(plan, "cylinder_number"),
        "values": whole(plan, "ratio_from_mean"), "fill": {"color": ink}, "border": {"color": ink}, "gap": 60,
    })
    chart.set_x_axis(axis("Cylinder", label_position="low", major_gridlines={"visible": False}))
    chart.set_y_axis(axis("Ratio minus mean", num_format=below(str(MOST_SPREAD), "0.00")))
    chart = finished(chart, "Compression ratio, spread")
    chart.set_legend({"none": True})
    return chart


CHARTS: dict[str, Callable[[Any, Plan], Any]] = {
    "candidate_motion": candidate_motion,
    "candidate_against_first": candidate_against_first,
    "bore_profiles": bore_profiles,
    "ring_dial": ring_dial,
    "clearance_places": clearance_places,
    **{f"{values}_chart": partial(_places_of, name=name) for name, (_, values, *_) in PLACES.items()},
    "rocked_heights": rocked_heights,
    "ratio_spread": ratio_spread,
}
"""Charts by the name that a template calls them by."""
