"""The build definition: one engine's layout, its family of units, what is given and what is allowed."""

from __future__ import annotations

import datetime
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from sheetgen.catalogue import (
    FAMILIES,
    LIMIT_SIDES,
    TEMPLATES,
    Catalogue,
    Entry,
    read_toml,
)
from sheetgen.errors import DefinitionError, nearest
from sheetgen.optional_sheets import catalogue_without, optional_sheets

LAYOUTS = ("inline", "v", "flat")
NUMBERINGS = ("alternate", "bank by bank")
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
MOST_CYLINDERS = 12
MOST_GROUPS = 12

Index = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Layout:
    """How many of everything there is, and what sits on what."""

    kind: str
    bank_of: tuple[int, ...]
    crankpin_of: tuple[int, ...]
    mains: int
    bank_angle: float
    throws: tuple[float, ...]
    shell_grades: int
    fastener_groups: int = 4

    @property
    def cylinders(self) -> int:
        """Number of cylinders."""
        return len(self.bank_of)

    @property
    def crankpins(self) -> int:
        """Number of crankpins."""
        return max(self.crankpin_of)

    @property
    def banks(self) -> int:
        """Number of banks."""
        return max(self.bank_of)

    @property
    def name(self) -> str:
        """The layout as a person writes it.

        Examples
        --------
        >>> Layout("inline", (1, 1, 1), (1, 2, 3), 4, 0.0, (), 3).name
        'inline-3'
        """
        return f"{'V' if self.kind == 'v' else self.kind}-{self.cylinders}".replace("V-", "V")

    def labels(self, axis: str, catalogue: Catalogue) -> tuple[str, ...]:
        """Return the element labels of an axis, as they stand in names."""
        fixed = catalogue.axes[axis].elements
        if fixed:
            return tuple(fixed)
        if axis == "item":
            return tuple(key.removesuffix("_verdict") for key in catalogue.items)
        if axis == "boltclass":
            return tuple(f"k{number}" for number in range(1, len(bolt_classes()) + 1))
        if axis == "rodbolt":
            return tuple(f"{n}{bolt}" for n in range(1, self.cylinders + 1) for bolt in "ab")
        if axis == "material":
            return tuple(f"m{number}" for number in range(1, len(materials()) + 1))
        counts = {
            "cylinder": self.cylinders,
            "crankpin": self.crankpins,
            "main": self.mains,
            "bank": self.banks,
            "grade": self.shell_grades,
            "shellpair": self.shell_grades**2,
            "joint": self.fastener_groups,
        }
        return tuple(str(number) for number in range(1, counts[axis] + 1))


@cache
def materials() -> tuple[Mapping[str, Any], ...]:
    """Return the material table of the constants, in order."""
    return tuple(read_toml(TEMPLATES / "constants.toml")["material"])


@cache
def bolt_classes() -> tuple[Mapping[str, Any], ...]:
    """Return the strength classes of the constants, in order."""
    return tuple(read_toml(TEMPLATES / "constants.toml")["bolt_class"])


LISTED = {"material_name": materials, "bolt_class_name": bolt_classes}
"""Lists that an entry is chosen from, by the constant that prints them."""


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
        _check_layout("birth record", layout)
        if family not in FAMILIES:
            raise ValueError(family)
        entries = {}
        for key, index, value in data["entries"]:
            entry = catalogue.entries[key]
            place = tuple(str(x) for x in index)
            if place not in set(indices(entry, layout, catalogue)) or not entry.is_input:
                raise ValueError(key)
            entries[key, place] = value
    except (KeyError, TypeError, ValueError, RecursionError) as error:
        raise DefinitionError("birth record", f"the build definition cannot be read ({error})") from None
    return BuildDefinition(layout, family, entries, left_out)


def indices(entry: Entry, layout: Layout, catalogue: Catalogue) -> list[Index]:
    """Return every index of a quantity, in catalogue order."""
    places: list[Index] = [()]
    for axis in entry.over:
        labels = stage_labels(catalogue) if axis == "stage" else layout.labels(axis, catalogue)
        places = [(*place, label) for place in places for label in labels]
    return places


def stage_labels(catalogue: Catalogue) -> tuple[str, ...]:
    """Return the stems of the sheets that are counted for missing entries."""
    return tuple(stem for stem in _stages() if stem not in catalogue.left_out)


@cache
def _stages() -> tuple[str, ...]:
    listed = read_toml(TEMPLATES / "workbook.toml")["sheet"]
    return tuple(sheet["stem"] for sheet in listed if sheet.get("stage"))


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
    data = read_toml(path)
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


def _place(where: str, text: str | None, key: str) -> str:
    """Return file and line of a key, as far as it can be found."""
    if text:
        for number, line in enumerate(text.splitlines(), 1):
            if re.match(rf'\s*(\[[^\]]*\b)?"?{re.escape(key)}"?\s*(=|\.|\])', line):
                return f"{where}, line {number}"
    return where


def _build(data: Mapping[str, Any], where: str, text: str | None) -> BuildDefinition:
    for section in data:
        if section not in SECTIONS:
            raise DefinitionError(
                _place(where, text, section), f"unknown section '{section}'{nearest(section, SECTIONS)}"
            )
    engine = dict(data.get("engine", {}))
    keys = (*ENGINE_KEYS, *optional_sheets())
    for key in engine:
        if key not in keys:
            raise DefinitionError(_place(where, text, key), f"unknown key '{key}'{nearest(key, keys)}")
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
    layout = _layout(engine, where, text)
    entries: dict[tuple[str, Index], Any] = {}
    _put_defaults(entries, layout, family, catalogue)
    for key, value in data.get("given", {}).items():
        entry = catalogue.entries.get(key)
        _refuse_left_out(key, catalogue, _place(where, text, key))
        if entry is None or entry.kind != "given" or entry.of:
            known = [k for k, e in catalogue.entries.items() if e.kind == "given" and not e.of]
            raise DefinitionError(
                _place(where, text, key), f"'{key}' is nothing that is given{nearest(key, known)}"
            )
        _put(entries, entry, value, layout, family, catalogue, _place(where, text, key))
    for key, value in data.get("marks", {}).items():
        entry = catalogue.entries.get(key)
        known = [k for k, e in catalogue.entries.items() if e.text == "mark" and e.kind == "reading"]
        if entry is None or key not in known:
            raise DefinitionError(_place(where, text, key), f"'{key}' is no mark{nearest(key, known)}")
        _put(entries, entry, value, layout, family, catalogue, _place(where, text, key))
    for key, sides in data.get("limits", {}).items():
        _put_limits(entries, key, sides, layout, family, catalogue, where, text)
    _limits_in_order(entries, catalogue, where, text)
    return BuildDefinition(layout, family, entries, left_out)


def _left_out(engine: Mapping[str, Any], where: str, text: str | None) -> tuple[str, ...]:
    """Return the optional sheets that are not asked for; a job is a short block unless it says more."""
    for stem in optional_sheets():
        if not isinstance(engine.get(stem, False), bool):
            raise DefinitionError(
                _place(where, text, stem), f"{stem} is true or false, not {engine[stem]!r}"
            )
    return tuple(stem for stem in optional_sheets() if not engine.get(stem, False))


def _layout(engine: Mapping[str, Any], where: str, text: str | None) -> Layout:
    def whole(key: str, default: int, low: int, high: int) -> int:
        value = engine.get(key, default)
        if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
            raise DefinitionError(
                _place(where, text, key), f"{key} is a whole number from {low} to {high}, not {value!r}"
            )
        return value

    kind = engine.get("layout")
    if kind not in LAYOUTS:
        raise DefinitionError(
            _place(where, text, "layout"), f"layout is one of {', '.join(LAYOUTS)}, not {kind!r}"
        )
    if "cylinders" not in engine:
        raise DefinitionError(where, "the number of cylinders is missing: [engine] cylinders = ...")
    cylinders = whole("cylinders", 1, 1, MOST_CYLINDERS)
    rods = whole("rods_per_crankpin", 1, 1, 2)
    numbering = engine.get("numbering", "alternate")
    if numbering not in NUMBERINGS:
        raise DefinitionError(
            _place(where, text, "numbering"), f"numbering is one of {', '.join(NUMBERINGS)}"
        )
    if kind == "inline" and rods == 2:
        raise DefinitionError(
            _place(where, text, "rods_per_crankpin"), "an inline engine has one rod on each crankpin"
        )
    order = list(range(cylinders))
    two_banks = kind != "inline" and cylinders > 1
    half = (cylinders + 1) // 2
    if not two_banks:
        banks, along = [1] * cylinders, order
    elif numbering == "alternate":
        banks, along = [1 + i % 2 for i in order], order
    else:
        banks = [1 if i < half else 2 for i in order]
        along = [2 * i if i < half else 2 * (i - half) + 1 for i in order]
    pins = [1 + place // rods for place in along]
    banks = list(_whole_list(engine, "banks", banks, cylinders, where, text))
    pins = list(_whole_list(engine, "crankpins", pins, cylinders, where, text))
    throws = engine.get("throws", [])
    if not isinstance(throws, list) or not all(
        isinstance(x, int | float) and not isinstance(x, bool) for x in throws
    ):
        raise DefinitionError(_place(where, text, "throws"), "throws is a list of angles in degrees")
    angle = engine.get("bank_angle", {"inline": 0, "v": 90, "flat": 180}[kind])
    if isinstance(angle, bool) or not isinstance(angle, int | float) or not 0 <= angle <= 180:
        raise DefinitionError(
            _place(where, text, "bank_angle"), "bank_angle is a number of degrees from 0 to 180"
        )
    layout = Layout(
        kind,
        tuple(banks),
        tuple(pins),
        whole("main_bearings", max(pins) + 1, 1, 25),
        float(angle),
        tuple(float(x) for x in throws),
        whole("shell_grades", 3, 1, 5),
        whole("fastener_groups", 4, 1, MOST_GROUPS),
    )
    _check_layout(where, layout)
    return layout


def _whole_list(
    engine: Mapping[str, Any], key: str, default: Sequence[int], count: int, where: str, text: str | None
) -> Sequence[int]:
    value = engine.get(key, default)
    if (
        not isinstance(value, list)
        or len(value) != count
        or not all(isinstance(x, int) and not isinstance(x, bool) for x in value)
    ):
        raise DefinitionError(
            _place(where, text, key), f"{key} is a list of {count} whole numbers, one per cylinder"
        )
    return value


def _check_layout(where: str, layout: Layout) -> None:
    if layout.kind not in LAYOUTS or not 1 <= layout.cylinders <= MOST_CYLINDERS:
        raise DefinitionError(where, "the layout has 1 to 12 cylinders, inline, v or flat")
    if len(layout.crankpin_of) != layout.cylinders:
        raise DefinitionError(where, "each cylinder has one crankpin")
    if set(layout.bank_of) not in ({1}, {1, 2}):
        raise DefinitionError(where, "banks are numbered 1 and 2")
    pins = layout.crankpin_of
    if set(pins) != set(range(1, max(pins) + 1)):
        raise DefinitionError(where, "crankpins are numbered from 1 without a gap")
    if max(pins.count(pin) for pin in pins) > 2:
        raise DefinitionError(where, "a crankpin carries one or two rods")
    if layout.throws and len(layout.throws) != layout.crankpins:
        raise DefinitionError(where, f"throws has {layout.crankpins} angles, one per crankpin")
    if not 1 <= layout.mains <= 25 or not 1 <= layout.shell_grades <= 5:
        raise DefinitionError(where, "1 to 25 main bearings and 1 to 5 shell grades are possible")
    if not 1 <= layout.fastener_groups <= MOST_GROUPS:
        raise DefinitionError(where, f"1 to {MOST_GROUPS} groups of other fasteners are possible")


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
    place = _place(where, text, key)
    _refuse_left_out(key, catalogue, place)
    if key not in catalogue.limited:
        raise DefinitionError(place, f"'{key}' has no limits{nearest(key, catalogue.limited)}")
    allowed = (*LIMIT_SIDES[catalogue.entries[key].limits], "origin")
    if not isinstance(sides, dict):
        raise DefinitionError(place, f"limits of {key} are a table of {', '.join(allowed)}")
    for side in LIMIT_SIDES[catalogue.entries[key].limits]:
        entries.pop((f"{key}_{side}", ()), None)
    entries[f"{key}_origin", ()] = "builder's own"
    for side, value in sides.items():
        if side not in allowed:
            raise DefinitionError(place, f"'{side}' is no limit of {key}{nearest(side, allowed)}")
        _put(entries, catalogue.entries[f"{key}_{side}"], value, layout, family, catalogue, place)


def _limits_in_order(
    entries: Mapping[tuple[str, Index], Any], catalogue: Catalogue, where: str, text: str | None
) -> None:
    for key in catalogue.limited:
        lower, upper = entries.get((f"{key}_lower", ())), entries.get((f"{key}_upper", ()))
        if lower is not None and upper is not None and lower > upper:
            raise DefinitionError(
                _place(where, text, key), f"the lower limit of {key} ({lower}) is above the upper ({upper})"
            )


def _put(
    entries: dict[tuple[str, Index], Any],
    entry: Entry,
    value: Any,
    layout: Layout,
    family: str,
    catalogue: Catalogue,
    where: str,
) -> None:
    """Enter one value, a list along the only axis, or a table by element."""
    places = indices(entry, layout, catalogue)
    if not entry.over:
        pairs: Iterable[tuple[Index, Any]] = [((), value)]
    elif isinstance(value, list):
        if len(value) != len(places):
            raise DefinitionError(where, f"{entry.key} needs {len(places)} values, {len(value)} given")
        pairs = zip(places, value, strict=True)
    elif isinstance(value, dict):
        labels = [place[0] for place in places]
        for label in value:
            if label not in labels:
                raise DefinitionError(where, f"{entry.key} has no element '{label}'{nearest(label, labels)}")
        pairs = [((label,), item) for label, item in value.items()]
    else:
        pairs = [(place, value) for place in places]
    for index, item in pairs:
        if item == "":
            continue
        entries[entry.key, index] = _checked(entry, item, family, catalogue, where)


def _checked(entry: Entry, value: Any, family: str, catalogue: Catalogue, where: str) -> Any:
    if entry.text == "date":
        if isinstance(value, datetime.date):
            return value.isoformat()[:10]
        raise DefinitionError(where, f"{entry.key} is a date, written 2031-05-28 without quotes")
    if entry.words or entry.list in LISTED:
        allowed = (
            catalogue.words[entry.words] if entry.words else [item["name"] for item in LISTED[entry.list]()]
        )
        if value not in allowed:
            raise DefinitionError(
                where,
                f"{entry.key} is one of {', '.join(allowed)}; {value!r} is not{nearest(str(value), allowed)}",
            )
        return value
    if entry.text:
        if not isinstance(value, str) or len(value) > 200:
            raise DefinitionError(where, f"{entry.key} is a text of at most 200 characters in quotes")
        return value
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise DefinitionError(where, f"{entry.key} is a number, {value!r} is not")
    measure = catalogue.measures[entry.measure]
    unit = measure.unit(family)
    if entry.range:
        low, high = (measure.from_millimetre(x, family) for x in entry.range)
        if not low <= value <= high:
            raise DefinitionError(
                where,
                f"{entry.key} = {value:g} {unit} is outside {low:.6g} to {high:.6g} {unit}; "
                f"this workbook is in the {family} family",
            )
    return value
