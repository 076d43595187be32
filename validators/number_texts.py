"""Numbers that were typed as text: what they probably are."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

UNITS = {
    "mm": "mm", "millimetre": "mm", "millimeter": "mm",
    "in": "in", "in.": "in", "inch": "in", "inches": "in", '"': "in", "''": "in",
    "thou": "thou", "µm": "µm", "um": "µm",
    "°c": "°C", "c": "°C", "degc": "°C", "°": "°", "deg": "°", "°f": "°F", "f": "°F", "degf": "°F",
    "g": "g", "kg": "kg", "cm3": "cm³", "cc": "cm³", "ccm": "cm³", "ml": "cm³",
    "rpm": "rpm", "1/min": "rpm", "gpa": "GPa", "mpa": "MPa", "bar": "bar", "%": "%", "k": "K",
}
"""Units that people write behind a number, and how they are printed."""

LENGTHS = {"mm": 1.0, "in": 25.4, "thou": 0.0254, "µm": 0.001}
"""Millimetres in one of each."""

LONGEST = 40
SPACES = "\u00a0\u2007\u2009\u202f"
WRITTEN = re.compile(
    r"[Øø⌀]?\s*(?P<sign>[+-]?)"
    r"(?P<body>[0-9]{1,3}(?:[ '][0-9]{3})+(?:[.,][0-9]{1,9})?|[0-9]{1,7}(?:[.,][0-9]{1,9})*|[.,][0-9]{1,9})"
    r"[.,]?\s*(?P<unit>[^0-9\s][^0-9]{0,11}|cm3|)"
)
PLAIN = str.maketrans({
    "\u2212": "-", "\u2013": "-", "\u2019": "'", "\u2032": "'", "\u2033": '"', "\u201d": '"', "\u201c": '"',
    "\u03bc": "µ", "\u00b3": "3", **dict.fromkeys(SPACES, " "),
})


@dataclass(frozen=True, slots=True)
class Meant:
    """What a text probably stands for: a number, and the unit written behind it ("" for none)."""

    value: float
    unit: str


def numbers_in_text(text: str) -> tuple[Meant, ...]:
    """Return the numbers that a text can stand for, the likelier first; empty when it is none.

    Examples
    --------
    >>> numbers_in_text("86,012"), numbers_in_text('3.9175"')
    ((Meant(value=86.012, unit=''), Meant(value=86012.0, unit='')), (Meant(value=3.9175, unit='in'),))
    >>> numbers_in_text("'99.52 mm")
    (Meant(value=99.52, unit='mm'),)
    >>> numbers_in_text("about 3"), numbers_in_text("1 or 2")
    ((), ())
    """
    if len(text) > LONGEST:
        return ()
    match = WRITTEN.fullmatch(text.translate(PLAIN).strip().lstrip("'").strip())
    if match is None:
        return ()
    unit = UNITS.get(match["unit"].strip().lower()) if match["unit"].strip() else ""
    if unit is None:
        return ()
    sign = -1.0 if match["sign"] == "-" else 1.0
    return tuple(Meant(sign * value, unit) for value in _readings(match["body"]))


def _readings(body: str) -> list[float]:
    """Return a written number by the decimal sign it most likely has, then by the other."""
    body = body.replace(" ", "").replace("'", "")
    signs = [c for c in body if c in ".,"]
    if not signs:
        return [float(body)]
    if len(set(signs)) > 1:  # the last one is the decimal sign, the others part the thousands
        decimal = signs[-1]
        if signs.count(decimal) > 1:
            return []
        return [float(body.replace("," if decimal == "." else ".", "").replace(",", "."))]
    parts = re.split("[.,]", body)
    grouped = all(len(part) == 3 for part in parts[1:]) and 1 <= len(parts[0]) <= 3
    if len(signs) > 1:
        return [float("".join(parts))] if grouped else []
    likely = float(f"{parts[0] or '0'}.{parts[1]}")
    return [likely, float("".join(parts))] if grouped and parts[0].strip("0") else [likely]


def likeliest(meant: tuple[Meant, ...], believable: Callable[[float], bool]) -> Meant | None:
    """Return the first number that is believable, else the first one, None when there is none."""
    return next((m for m in meant if believable(m.value)), meant[0] if meant else None)


def in_length_unit(meant: Meant, unit: str) -> float | None:
    """Return a length in another unit, None when it is no length or has no unit.

    Examples
    --------
    >>> in_length_unit(Meant(3.9175, "in"), "mm")
    99.5045
    """
    if meant.unit not in LENGTHS or unit not in LENGTHS:
        return None
    return meant.value * LENGTHS[meant.unit] / LENGTHS[unit]
