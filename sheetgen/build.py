"""The build definition: one engine's layout, its family of units, what is given and what is allowed."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from sheetgen.build_values import values_of
from sheetgen.catalogue import FAMILIES, LIMIT_SIDES, Catalogue, Entry
from sheetgen.errors import DefinitionError, nearest
from sheetgen.layout import Index, Layout, check_layout, indices
from sheetgen.layout_file import line_of, read_layout
from sheetgen.optional_sheets import catalogue_without, optional_sheets
from sheetgen.sources import TEMPLATES, parsed, read_toml

ENGINE_KEYS = (
    "layout",
    "preset",
    "cylinders",
    "main_bearings",
    "rods_per_crankpin",
    "bank_angle",
    "throws",
    "numbering",
    "banks",
    "crankpins",
    "shell_grades",
    "fastener_groups",
    "units",
)
SECTIONS = ("engine", "given", "limits", "marks")


@dataclass(frozen=True, slots=True)
class BuildDefinition:
    """Everything that one workbook is written from.

    `entries` holds what is typed into input cells before the workbook goes out: key and index to
    value, in the unit the workbook shows. `left_out` names the optional sheets that it does without.
    """

    layout: Layout
    family: str
    entries: Mapping[tuple[str, Index], Any] = field(default_factory=dict)
    left_out: tuple[str, ...] = ()

    def as_text(self) -> str:
        """Return the definition as one line of text, the same for the same definition."""
        return json.dumps(
            {
                "family": self.family,
                "left_out": list(self.left_out),
                "layout": {
                    name: list(value) if isinstance(value := getattr(self.layout, name), tuple) else value
                    for name in Layout.__dataclass_fields__
                },
                "entries": [[key, list(index), value] for (key, index), value in self.entries.items()],
            },
            ensure_ascii=True,
            separators=(",", ":"),
        )


def build_from_text(text: str) -> BuildDefinition:
    """Read back what `as_text` wrote.

    Raises
    ------
    DefinitionError
        The text is not a build definition, or names what the catalogue does not know.
    """
    try:
        data = json.loads(text)
        left_out = tuple(stem for stem in optional_sheets() if stem in data["left_out"])
        if list(left_out) != data["left_out"]:
            raise ValueError("left_out")
        catalogue = catalogue_without(left_out)
        fields = data["layout"]
        layout = Layout(
            str(fields["kind"]),
            tuple(int(x) for x in fields["bank_of"]),
            tuple(int(x) for x in fields["crankpin_of"]),
            int(fields["mains"]),
            float(fields["bank_angle"]),
            tuple(float(x) for x in fields["throws"]),
            int(fields["shell_grades"]),
            int(fields["fastener_groups"]),
        )
        family = str(data["family"])
        check_layout("birth record", layout)
        if family not in FAMILIES:
            raise ValueError(family)
        entries = {}
        places: dict[str, set[Index]] = {}
        for key, index, value in data["entries"]:
            entry = catalogue.entries[key]
            place = tuple(str(x) for x in index)
            if key not in places:
                places[key] = set(indices(entry, layout, catalogue))
            if place not in places[key] or not entry.is_input:
                raise ValueError(key)
            entries[key, place] = value
    except (KeyError, TypeError, ValueError, RecursionError) as error:
        raise DefinitionError("birth record", f"the build definition cannot be read ({error})") from None
    return BuildDefinition(layout, family, entries, left_out)


def presets() -> Mapping[str, Mapping[str, Any]]:
    """Return the layouts that are known by name."""
    return read_toml(TEMPLATES / "layouts.toml")


def new_build(preset: str, family: str = "millimetre", *, optional: bool = True) -> BuildDefinition:
    """Return the definition of a preset layout, with the defaults and the usual limits.

    Parameters
    ----------
    preset, family : str
        A layout known by name, and a family of units.
    optional : bool
        Whether it has the optional sheets.

    Raises
    ------
    DefinitionError
        An unknown layout or family of units.
    """
    engine = {"preset": preset, "units": family, **dict.fromkeys(optional_sheets(), optional)}
    return _build({"engine": engine}, "--layout", None)


def read_build(
    path: Path, preset: str = "", family: str = "", optional: Sequence[str] = ()
) -> BuildDefinition:
    """Read a build file, strictly; `preset`, `family` and `optional` sheets fill what it leaves open.

    Raises
    ------
    DefinitionError
        A key, an index or a value that cannot be, with file, line and the nearest right key.
    """
    data = parsed(path)
    engine = data.setdefault("engine", {})
    if not isinstance(engine, dict):
        raise DefinitionError(path.name, "[engine] is a table")
    if preset and "layout" not in engine and "preset" not in engine:
        engine["preset"] = preset
    if family:
        engine.setdefault("units", family)
    for stem in optional:
        engine.setdefault(stem, True)
    return _build(data, path.name, path.read_text(encoding="utf-8"))


def _build(data: Mapping[str, Any], where: str, text: str | None) -> BuildDefinition:
    for section in data:
        if section not in SECTIONS:
            raise DefinitionError(
                line_of(where, text, section), f"unknown section '{section}'{nearest(section, SECTIONS)}"
            )
    engine = dict(data.get("engine", {}))
    keys = (*ENGINE_KEYS, *optional_sheets())
    for key in engine:
        if key not in keys:
            raise DefinitionError(line_of(where, text, key), f"unknown key '{key}'{nearest(key, keys)}")
    left_out = _left_out(engine, where, text)
    catalogue = catalogue_without(left_out)
    preset = engine.pop("preset", "")
    if preset:
        layouts = presets()
        if preset not in layouts:
            raise DefinitionError(where, f"unknown layout '{preset}'{nearest(str(preset), layouts)}")
        engine = {**layouts[preset], **engine}
    family = engine.get("units", "millimetre")
    if family not in FAMILIES:
        raise DefinitionError(where, f"units are one of {', '.join(FAMILIES)}, not '{family}'")
    layout = read_layout(engine, where, text)
    entries: dict[tuple[str, Index], Any] = {}
    _put_defaults(entries, layout, family, catalogue)
    for key, value in data.get("given", {}).items():
        entry = catalogue.entries.get(key)
        _refuse_left_out(key, catalogue, line_of(where, text, key))
        if entry is None or entry.kind != "given" or entry.of:
            given = [k for k, e in catalogue.entries.items() if e.kind == "given" and not e.of]
            raise DefinitionError(
                line_of(where, text, key), f"'{key}' is nothing that is given{nearest(key, given)}"
            )
        entries.update(_values(entry, value, layout, family, catalogue, line_of(where, text, key)))
    for key, value in data.get("marks", {}).items():
        entry = catalogue.entries.get(key)
        known = [k for k, e in catalogue.entries.items() if e.text == "mark" and e.kind == "reading"]
        if entry is None or key not in known:
            raise DefinitionError(line_of(where, text, key), f"'{key}' is no mark{nearest(key, known)}")
        entries.update(_values(entry, value, layout, family, catalogue, line_of(where, text, key)))
    for key, sides in data.get("limits", {}).items():
        _put_limits(entries, key, sides, layout, family, catalogue, where, text)
    _limits_in_order(entries, catalogue, where, text)
    return BuildDefinition(layout, family, entries, left_out)


def _left_out(engine: Mapping[str, Any], where: str, text: str | None) -> tuple[str, ...]:
    """Return the optional sheets that are not asked for; a job is a short block unless it says more."""
    for stem in optional_sheets():
        if not isinstance(engine.get(stem, False), bool):
            raise DefinitionError(
                line_of(where, text, stem), f"{stem} is true or false, not {engine[stem]!r}"
            )
    return tuple(stem for stem in optional_sheets() if not engine.get(stem, False))


def _by_family(value: Any, family: str) -> Any:
    """Pick the family's value from a [millimetre, inch] pair."""
    return value[FAMILIES.index(family)] if isinstance(value, list) else value


def _put_defaults(
    entries: dict[tuple[str, Index], Any], layout: Layout, family: str, catalogue: Catalogue
) -> None:
    for entry in catalogue.entries.values():
        if entry.default is None:
            continue
        for index in indices(entry, layout, catalogue):
            value = entry.default
            if isinstance(value, dict):
                value = value.get(index[0], value.get("*"))
            value = _by_family(value, family)
            if value is not None:
                entries[entry.key, index] = value
    for number, throw in enumerate(layout.throws, 1):
        entries["throw_angle", (str(number),)] = throw
    for bank, side in ((1, 1), (2, -1)):
        if bank <= layout.banks:
            direction = side * layout.bank_angle / 2 if layout.banks > 1 else 0.0
            entries["bank_direction", (str(bank),)] = direction
    for key, sides in read_toml(TEMPLATES / "limits.toml").items():
        if catalogue.left_out and key in catalogue_without().limited and key not in catalogue.limited:
            continue
        if key not in catalogue.limited:
            raise DefinitionError("limits.toml", f"'{key}' has no limits{nearest(key, catalogue.limited)}")
        for side, value in sides.items():
            entries[f"{key}_{side}", ()] = _by_family(value, family)
        entries[f"{key}_origin", ()] = "common practice"


def _refuse_left_out(key: str, catalogue: Catalogue, where: str) -> None:
    """Say so if a key belongs to a sheet that the build does without."""
    if key not in catalogue.entries and key in catalogue_without().entries:
        ask = " and ".join(f"{stem} = true" for stem in catalogue.left_out)
        raise DefinitionError(where, f"'{key}' is on a sheet that is left out: say [engine] {ask}")


def _put_limits(
    entries: dict[tuple[str, Index], Any],
    key: str,
    sides: Any,
    layout: Layout,
    family: str,
    catalogue: Catalogue,
    where: str,
    text: str | None,
) -> None:
    place = line_of(where, text, key)
    _refuse_left_out(key, catalogue, place)
    if key not in catalogue.limited:
        raise DefinitionError(place, f"'{key}' has no limits{nearest(key, catalogue.limited)}")
    allowed = (*LIMIT_SIDES[catalogue.entries[key].limits], "origin")
    if not isinstance(sides, dict):
        raise DefinitionError(place, f"limits of {key} are a table of {', '.join(allowed)}")
    for side in LIMIT_SIDES[catalogue.entries[key].limits]:
        entries.pop((f"{key}_{side}", ()), None)
    entries[f"{key}_origin", ()] = "builder"
    for side, value in sides.items():
        if side not in allowed:
            raise DefinitionError(place, f"'{side}' is no limit of {key}{nearest(side, allowed)}")
        limit = catalogue.entries[f"{key}_{side}"]
        entries.update(_values(limit, value, layout, family, catalogue, place))


def _limits_in_order(
    entries: Mapping[tuple[str, Index], Any], catalogue: Catalogue, where: str, text: str | None
) -> None:
    for key in catalogue.limited:
        lower, upper = entries.get((f"{key}_lower", ())), entries.get((f"{key}_upper", ()))
        if lower is not None and upper is not None and lower > upper:
            raise DefinitionError(
                line_of(where, text, key), f"the lower limit of {key} ({lower}) is above the upper ({upper})"
            )


def _values(
    entry: Entry, value: Any, layout: Layout, family: str, catalogue: Catalogue, where: str
) -> dict[tuple[str, Index], Any]:
    """Return the values of one quantity by key and index."""
    return {
        (entry.key, index): item
        for index, item in values_of(entry, value, layout, family, catalogue, where)
    }
