"""What all charts share: type, axes that say their unit, a frame, a legend below."""

from __future__ import annotations

from typing import Any

from sheetgen.look import look

DASHES = ("solid", "dash", "square_dot", "long_dash_dot")
MARKERS = ("circle", "square", "triangle", "diamond")
"""Series are told apart by dash and marker, so that a print in grey loses nothing."""


def fonts() -> dict[str, Any]:
    """Return the type of a chart."""
    return {"name": look()["font"], "size": look()["sizes"]["small"], "color": look()["colours"]["ink"]}


def hair() -> dict[str, Any]:
    """Return the line of a grid."""
    return {"color": look()["colours"]["hair"], "width": 0.75}


def axis(title: str, **more: Any) -> dict[str, Any]:
    """Return an axis with a grid; `more` overrides."""
    return {
        "name": title, "name_font": {**fonts(), "bold": False}, "num_font": fonts(),
        "line": {"color": look()["colours"]["line"]}, "major_gridlines": {"visible": True, "line": hair()},
        **more,
    }


def finished(chart: Any, title: str, **legend: Any) -> Any:
    """Return a chart with its title, its legend below and a frame."""
    if title:
        chart.set_title({"name": title, "name_font": {**fonts(), "bold": True, "size": 10}, "overlay": False})
    else:
        chart.set_title({"none": True})
    chart.set_legend({"position": "bottom", "font": fonts(), **legend})
    chart.set_chartarea({"border": {"color": look()["colours"]["hair"]}})
    return chart


def marked(number: int, *, hollow: bool = False) -> dict[str, Any]:
    """Return line and marker of a series by its number: dash and shape tell it, and not colour."""
    ink = look()["colours"]["ink"]
    return {
        "line": {"color": ink, "width": 1.25, "dash_type": DASHES[number % len(DASHES)]},
        "marker": {"type": MARKERS[number % len(MARKERS)], "size": 6, "border": {"color": ink},
                   "fill": {"color": look()["colours"]["paper"] if hollow else ink}},
        "smooth": False,
    }
