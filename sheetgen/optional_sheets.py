"""Sheets that a job may do without, and the catalogue that is left then."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import cache

from sheetgen.catalogue import Catalogue, load_catalogue
from sheetgen.sources import TEMPLATES, read_toml


@cache
def optional_sheets() -> tuple[str, ...]:
    """Return the stems of the sheets that may be left out.

    Examples
    --------
    >>> optional_sheets()
    ('top_end',)
    """
    listed = read_toml(TEMPLATES / "workbook.toml")["sheet"]
    return tuple(sheet["stem"] for sheet in listed if sheet.get("optional"))


@cache
def catalogue_without(left_out: tuple[str, ...] = ()) -> Catalogue:
    """Return the catalogue without what is placed on the sheets that are left out.

    What such a sheet only shows again stays, and so does all that follows from the limits of the rest.

    Examples
    --------
    >>> "valve_lift" in catalogue_without().entries, "valve_lift" in catalogue_without(("top_end",)).entries
    (True, False)
    """
    whole = load_catalogue()
    if not left_out:
        return whole
    gone = {key for stem in left_out for key in _placed_on(stem)}
    entries = {
        key: entry for key, entry in whole.entries.items() if key not in gone and entry.of not in gone
    }
    limited = tuple(key for key in whole.limited if key in entries)
    return replace(whole, entries=entries, limited=limited, left_out=left_out)


def _placed_on(stem: str) -> Iterable[str]:
    """Yield the quantities that a sheet places."""
    version = read_toml(TEMPLATES / "workbook.toml")["version"]
    for block in read_toml(TEMPLATES / "sheets" / stem / f"{version}.toml")["block"]:
        for line in block.get("lines", ()):
            if line.get("quantity"):
                yield line["quantity"]
