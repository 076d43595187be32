"""Native charts: points over a range of the sheet, with axes that say what they are."""

from __future__ import annotations

from typing import Any

from sheetgen.chart_style import DASHES, MARKERS
from sheetgen.layout import indices
from sheetgen.look import look, number_format
from sheetgen.naming import element_name
from sheetgen.plan import Plan, PlannedCell

ROLE = "chart"
FOOT, FOOT_MOST = "pace_share", 2
"""Shares of 1, drawn without line or mark. Where nothing is known yet they alone give the axes their ends,
and figures up to there are not written: an empty axis would be numbered from 0 to 12."""


def chart(book: Any, plan: Plan, cell: PlannedCell) -> Any:
    """Return the chart that belongs into a cell: a quantity over another, a line for each of its elements.

    Parameters
    ----------
    book : xlsxwriter.Workbook
        What the chart is made for.
    plan : Plan
        Where both quantities stand.
    cell : PlannedCell
        Its key is the quantity drawn, its label the quantity that it is drawn over.
    """
    over, drawn = plan.catalogue.entries[cell.label], plan.catalogue.entries[cell.key]
    colours, small = look()["colours"], look()["sizes"]["small"]
    font = {"name": look()["font"], "size": small, "color": colours["ink"], "bold": False}
    line = {"color": colours["line"], "width": 0.75}
    made = book.add_chart({"type": "scatter", "subtype": "straight_with_markers"})
    along = over.over[0]
    places = plan.by_key[over.key]
    series = dict.fromkeys(
        tuple(label for axis, label in zip(drawn.over, index, strict=True) if axis != along)
        for index in indices(drawn, plan.build.layout, plan.catalogue)
    )
    for number, labels in enumerate(series):
        points = [
            element_name(drawn.key, _with(drawn.over, along, place.index[0], labels)) for place in places
        ]
        told = ", ".join(
            plan.catalogue.axes[axis].elements.get(label, label)
            for axis, label in zip((a for a in drawn.over if a != along), labels, strict=True)
        )
        colour = (colours["ink"], colours["entry_line"])[number % 2]
        made.add_series({
            "name": told or drawn.label,
            "categories": _area(plan, [place.name for place in places]),
            "values": _area(plan, points),
            "line": {"color": colour, "width": 1.5, "dash_type": DASHES[number % len(DASHES)]},
            "marker": {"type": MARKERS[number % len(MARKERS)], "size": 5,
                       "border": {"color": colour}, "fill": {"color": colour}},
            "smooth": False,
        })
    foot = _area(plan, [place.name for place in plan.by_key[FOOT]])
    made.add_series({"name": FOOT, "categories": foot, "values": foot, "line": {"none": True},
                     "marker": {"type": "none"}})
    for put, entry in ((made.set_x_axis, over), (made.set_y_axis, drawn)):
        decimals = number_format(entry, plan.catalogue, plan.build.family).split("_")[0]
        put({
            "name": f"{entry.label}, {plan.unit(entry.key)}", "name_font": font, "num_font": font,
            "num_format": f'[=0]0;[<={FOOT_MOST}]"";{decimals}',
            "min": 0, "line": line, "visible": True,
            "major_gridlines": {"visible": entry is drawn, "line": {"color": colours["hair"], "width": 0.5}},
        })
    made.set_legend({"position": "bottom", "font": font, "delete_series": [len(series)]})
    made.set_title({"none": True})
    made.set_chartarea({"border": {"none": True}})
    made.show_blanks_as("gap")
    return made


def described(plan: Plan, cell: PlannedCell) -> str:
    """Return what is said to a person who does not see the chart."""
    over, drawn = plan.catalogue.entries[cell.label], plan.catalogue.entries[cell.key]
    lines = [
        plan.catalogue.axes[axis].label for axis in drawn.over if axis != over.over[0]
    ]
    each = f", one line for each {' and '.join(lines)}" if lines else ""
    return (
        f"Chart of {drawn.label} in {plan.unit(drawn.key)} over {over.label} in {plan.unit(over.key)}{each}. "
        f"The figures stand in the table above it."
    )


def _with(axes: tuple[str, ...], along: str, label: str, others: tuple[str, ...]) -> tuple[str, ...]:
    """Return an index: one axis has its label, the others theirs in order."""
    rest = iter(others)
    return tuple(label if axis == along else next(rest) for axis in axes)


def _area(plan: Plan, names: list[str]) -> list[Any]:
    """Return cells that stand under one another, as the writer wants a range."""
    cells = [plan.by_name[name] for name in names]
    return [cells[0].sheet, cells[0].row - 1, cells[0].column - 1, cells[-1].row - 1, cells[-1].column - 1]
