"""The catalogue: every name that workbook, reference core and reports share."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache, partial
from pathlib import Path
from typing import Any

from sheetgen.errors import DefinitionError, nearest
from sheetgen.prompts import Prompts, read_prompts
from sheetgen.sources import TEMPLATES, read_toml
from sheetgen.subjects import item_label

FAMILIES = ("millimetre", "inch")
NAME = re.compile(r"^[a-z]{2,}[a-z0-9]*(_[a-z0-9]+)+$")
KINDS = ("given", "reading", "result", "constant", "fixed")
LIMIT_SIDES = {"both": ("lower", "upper"), "lower": ("lower",), "upper": ("upper",)}
EXACT, PAIRS, MANY = "exact_guard", "pairs", (2, 3, 4, 5, 6)
"""The guard of what carries no uncertainty, and how many readings may decide an extreme: so many, or
each pair of two cylinders."""


@dataclass(frozen=True, slots=True)
class Axis:
    """One direction in which a quantity repeats; `elements` is empty when the layout sets it."""

    name: str
    label: str
    elements: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Measure:
    """How a number is shown in each family of units, and what the reference core speaks."""

    name: str
    si: str
    units: tuple[str, str]
    decimals: tuple[int, int]
    to_si: tuple[float, float]
    offset: float

    def unit(self, family: str) -> str:
        """Return the unit of one family, as pint spells it."""
        return self.units[FAMILIES.index(family)]

    def from_millimetre(self, value: float, family: str) -> float:
        """Convert a number in the millimetre family's unit to the unit of `family`."""
        if family == "millimetre":
            return value
        return value * self.to_si[0] / self.to_si[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One quantity: what it is, never how it is computed or whether it is good."""

    key: str
    label: str
    kind: str
    measure: str = ""
    words: str = ""
    text: str = ""
    over: tuple[str, ...] = ()
    range: tuple[float, float] | None = None
    default: Any = None
    optional: bool = False
    limits: str = ""
    guard: str = ""
    chances: int | str = 1
    advisory: bool = False
    prompt: str = ""
    title: str = ""
    term: str = ""
    list: str = ""
    of: str = ""
    floor: float = 0.0
    unchecked: str = ""

    @property
    def is_input(self) -> bool:
        """True when a person types it."""
        return self.kind in ("given", "reading")


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Axes, measures, word lists and entries, by name.

    `left_out` names the sheets whose entries it is without.
    """

    axes: Mapping[str, Axis]
    measures: Mapping[str, Measure]
    words: Mapping[str, tuple[str, ...]]
    entries: Mapping[str, Entry]
    relations: Mapping[str, Mapping[str, str]]
    limited: tuple[str, ...] = field(default=())
    left_out: tuple[str, ...] = ()

    @property
    def items(self) -> tuple[str, ...]:
        """The verdict quantities that the summary counts, in order; estimates are not among them."""
        counted = (key for key in self.limited if not self.entries[key].advisory)
        return (*(f"{key}_verdict" for key in counted), "ring_gap_verdict")

    def measure_of(self, key: str) -> Measure | None:
        """Return the measure of a quantity, or None for words and text."""
        name = self.entries[key].measure
        return self.measures[name] if name else None


def _entry(where: str, key: str, fields: Mapping[str, Any]) -> Entry:
    known = set(Entry.__dataclass_fields__) - {"key", "of", "prompt", "title"}
    for name in fields:
        if name not in known:
            raise DefinitionError(f"{where}, {key}", f"unknown field '{name}'{nearest(name, known)}")
    fields = dict(fields)
    fields["over"] = tuple(fields.get("over", ()))
    if "range" in fields:
        fields["range"] = tuple(float(x) for x in fields["range"])
    return Entry(key=key, **fields)


def _check(where: str, entry: Entry, catalogue: Catalogue) -> None:
    def wrong(why: str) -> DefinitionError:
        return DefinitionError(f"{where}, {entry.key}", why)

    if not NAME.match(entry.key):
        raise wrong("a key is lower-case words joined by underscores, at least two of them")
    if entry.kind not in KINDS:
        raise wrong(f"unknown kind '{entry.kind}'{nearest(entry.kind, KINDS)}")
    if bool(entry.measure) + bool(entry.words) + bool(entry.text) != 1:
        raise wrong("it needs exactly one of measure, words, text")
    for value, known, what in (
        (entry.measure, catalogue.measures, "measure"),
        (entry.words, catalogue.words, "word list"),
    ):
        if value and value not in known:
            raise wrong(f"unknown {what} '{value}'{nearest(value, known)}")
    for axis in entry.over:
        if axis not in catalogue.axes:
            raise wrong(f"unknown axis '{axis}'{nearest(axis, catalogue.axes)}")
    if bool(entry.limits) != bool(entry.guard):
        raise wrong("limits and guard go together")
    if entry.chances != 1 and (entry.guard in ("", EXACT) or entry.chances not in (PAIRS, *MANY)):
        raise wrong(f"chances go with a guard, and are {', '.join(map(str, MANY))} or '{PAIRS}'")
    if entry.unchecked and entry.kind != "result":
        raise wrong("only a result can be unchecked")
    if entry.advisory and not (entry.limits and entry.optional):
        raise wrong("what is advisory has limits and is optional")
    if entry.limits and entry.limits not in LIMIT_SIDES:
        raise wrong(f"limits are one of {', '.join(LIMIT_SIDES)}")


def _measure_of_guard(guard: str, entries: Mapping[str, Entry]) -> str:
    """Return how a guard is shown: that of a quantity, or of one element of a quantity over one axis."""
    words = guard.split("_")
    stems = ("_".join(words[:length]) for length in range(len(words), 1, -1))
    return next(entries[stem].measure for stem in stems if stem in entries)


def _limit_entries(entry: Entry, entries: Mapping[str, Entry], prompts: Prompts) -> list[Entry]:
    """Make what a limited quantity brings along: its limits, their origin and state, its verdict."""

    def given(side: str, label: str, **what: str) -> Entry:
        title, text = prompts.of_limit(side, item_label(entry.key, entry.label))
        return Entry(key=f"{entry.key}_{side}", label=f"{entry.label}, {label}", kind="given", optional=True,
                     of=entry.key, prompt=text, title=title, **what)  # type: ignore[arg-type]

    made = [given(side, f"{side} limit", measure=entry.measure) for side in LIMIT_SIDES[entry.limits]]
    made.append(given("origin", "limits come from", words="origin"))
    result = partial(Entry, kind="result", of=entry.key)
    made.append(
        result(key=f"{entry.key}_limit_state", label=f"{entry.label}, limits are", words="limit_state")
    )
    for side in ("floor", "ceiling"):
        made.append(
            result(key=f"{entry.key}_{side}", label=f"{entry.label}, {side} used", measure=entry.measure)
        )
    if entry.chances != 1:
        measure = _measure_of_guard(entry.guard, entries)
        made.append(
            result(key=f"{entry.key}_guard_used", label=f"{entry.label}, U used", measure=measure)
        )
    made.append(
        result(
            key=f"{entry.key}_verdict", label=f"{entry.label}, verdict", words="verdict", over=entry.over
        )
    )
    return made


@cache
def load_catalogue(path: Path = TEMPLATES / "quantities.toml") -> Catalogue:
    """Read the catalogue and, beside it, the prompts of its entries; strictly.

    Raises
    ------
    DefinitionError
        A key, field, axis, measure or word list that does not exist; an entry without a prompt.
    """
    where = path.name
    data = read_toml(path)
    axes = {
        name: Axis(name, fields["label"], fields.get("elements", {}))
        for name, fields in data["axes"].items()
    }
    measures = {
        name: Measure(
            name,
            fields["si"],
            (fields["mm"], fields["inch"]),
            tuple(fields["decimals"]),
            tuple(fields["to_si"]),
            fields.get("offset", 0.0),
        )
        for name, fields in data["measure"].items()
    }
    words = {name: tuple(listed) for name, listed in data["words"].items()}
    entries: dict[str, Entry] = {}
    relations = data["relations"]
    catalogue = Catalogue(axes, measures, words, entries, relations)
    for key, fields in data["quantity"].items():
        entry = _entry(where, key, fields)
        _check(where, entry, catalogue)
        entries[key] = entry
    beside = path.with_name("prompts.toml")
    labels = {key: entry.label for key, entry in entries.items() if entry.is_input}
    prompts = read_prompts(beside.name, read_toml(beside), labels)
    for key, label in labels.items():
        said = {"prompt": prompts.texts[key], "title": prompts.title(key, label)}
        entries[key] = replace(entries[key], **said)  # type: ignore[arg-type]
    limited = tuple(key for key, entry in entries.items() if entry.limits)
    for key in limited:
        for made in _limit_entries(entries[key], entries, prompts):
            if made.key in entries:
                raise DefinitionError(f"{where}, {made.key}", "this key is made from a limit")
            entries[made.key] = made
    return Catalogue(axes, measures, words, entries, relations, limited)
