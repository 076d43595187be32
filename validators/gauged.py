"""With which gauge each reading is taken, and in what the reading is compared.

The gauges sheet has one row for each gauge (a feature); burette and roughness tester stand below.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sheetgen.catalogue import Catalogue, Entry
from sheetgen.plan import Plan
from validators.expected import form_feature

BURETTE, TESTER = "burette", "roughness tester"
PLAIN_FEATURE = {
    "bore_present_largest": "bore", "bore_present_smallest": "bore",
    "thrust_journal_width": "width", "thrust_bearing_width": "width",
    "pin_width": "width", "rod_width": "width",
    "ring_gap_reading": "ring_gap", "rail_gap_reading": "ring_gap",
    "deck_reading": "deck", "rocked_reading": "deck", "deck_corner": "deck",
}
"""Readings that are taken as they stand, without temperature, and their row of the gauges sheet."""

DIALS = {
    "throw_height_top": "stroke_measured", "throw_height_bottom": "stroke_measured",
    "runout_greatest": "main_runout", "runout_least": "main_runout",
    "end_float_fore": "end_float", "end_float_aft": "end_float",
    "main_height": "main_line_residual",
}
"""Readings from a zero that each person chooses: only what follows from several of them can be compared."""

INSTALLED = {"main_installed_bore": "main_housing", "rod_installed_bore": "rod_housing"}
"""Bores of installed shells: whole sizes, brought to 20 °C with the housing."""

NOT_OF_A_PART = frozenset({"bore_setting"})
"""Readings outside the gauges sheet that tell how a gauge was set, not what a part is."""

SETTINGS_OF = {
    "thermometer_bound": "sized", "one_thermometer": "sized", "expansion_uncertainty": "sized",
    "burette_resolution": BURETTE, "burette_uncertainty": BURETTE, "burette_factor": BURETTE,
    "surface_uncertainty": TESTER,
}
"""Entries of the gauges sheet that speak of more than one row of it."""

GAUGES = "gauges"
Way = Literal["size", "plain", "dial", "burette", "roughness tester"]


@dataclass(frozen=True, slots=True)
class Gauged:
    """How a reading is taken.

    Attributes
    ----------
    way : str
        "size" is compared at 20 °C, "dial" as the result that does not depend on where the dial was
        zeroed, everything else as it was typed.
    feature : str
        Row of the gauges sheet; "" for burette and roughness tester.
    compared : str
        Quantity that is compared: the reading itself, its size at 20 °C, or a result of several readings.
    """

    way: Way
    feature: str
    compared: str


def gauges_sheet(plan: Plan) -> str:
    """Return the title of the sheet that tells how things were measured."""
    return next(sheet.template.title for sheet in plan.sheets if sheet.template.stem == GAUGES)


def gauged(catalogue: Catalogue, entry: Entry) -> Gauged | None:
    """Return how a reading is taken, None when it is no number about a part.

    Examples
    --------
    >>> from sheetgen.catalogue import load_catalogue
    >>> told = load_catalogue()
    >>> gauged(told, told.entries["bore_reading"])
    Gauged(way='size', feature='bore', compared='bore_size')
    >>> gauged(told, told.entries["deck_reading"]).feature
    'deck'
    """
    key = entry.key
    if entry.kind != "reading" or not entry.measure or key in NOT_OF_A_PART:
        return None
    feature = form_feature(key) or INSTALLED.get(key)
    if feature is not None:
        return Gauged("size", feature, f"{key.removesuffix('_reading')}_size")
    if key in DIALS:
        return Gauged("dial", "width", DIALS[key])
    if key in PLAIN_FEATURE:
        return Gauged("plain", PLAIN_FEATURE[key], key)
    if "feature" in entry.over or "sized" in entry.over or key in SETTINGS_OF:
        return None
    if entry.measure == "volume":
        return Gauged("burette", "", key)
    return Gauged("roughness tester", "", key) if entry.measure == "roughness" else None


def rests_on_setting(plan: Plan, setting: str, reading: str) -> bool:
    """Return whether the meaning of a reading depends on an entry of the gauges sheet, both by cell name."""
    cell, read = plan.by_name[setting], plan.by_name[reading]
    how = gauged(plan.catalogue, plan.catalogue.entries[read.key])
    if how is None:
        return False
    entry = plan.catalogue.entries[cell.key]
    if entry.over == ("fit",):
        relations = plan.catalogue.relations
        members = (relations["hole_of_fit"][cell.index[0]], relations["shaft_of_fit"][cell.index[0]])
        return how.way == "size" and how.feature in members
    if entry.over:
        return how.feature == cell.index[0]
    return SETTINGS_OF.get(cell.key) in (how.way, "sized" if how.way == "size" else None)
