"""Which of the parts on offer go together: every rod with every piston and every gasket."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from sheetgen.errors import DefinitionError
from validators.checked import Checked
from validators.choosing.measured import Measured
from validators.choosing.programme import Numbers
from validators.choosing.stock_lists import OFFERED, Offer
from validators.reference.evaluate import evaluate
from validators.units import to_si

MOST_COMBINATIONS = 100_000
WISHES = (
    ("candidate_deck_clearance", "deck clearance"),
    ("candidate_rod_ratio", "rod ratio"),
    ("candidate_rod_angle", "rod angle"),
    ("head_clearance_static", "squish, at rest"),
    ("head_clearance_speed", "squish, at speed"),
    ("compression_ratio", "ratio"),
)
"""What is wished for, as the limits in the workbook say it, in the order of the columns."""
HEIGHTS = ("head_clearance_static", "head_clearance_speed")


@dataclass(frozen=True, slots=True)
class Combination:
    """One rod with one piston and one gasket; figures by quantity, in shown units, nan where not known."""

    rod: str
    piston: str
    gasket: str
    figures: dict[str, float]
    missed: tuple[str, ...]
    miss: float
    close: tuple[str, ...]
    mass: float
    price: float
    undominated: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranked:
    """Every combination, the best first, with the limits they were held against."""

    file: str
    digest: str
    units: dict[str, str]
    limits: dict[str, tuple[float | None, float | None]]
    target: float | None
    combinations: tuple[Combination, ...]
    left_out: tuple[str, ...] = ()
    taken: tuple[str, ...] = field(default=())

    @property
    def good(self) -> int:
        """How many meet every wish that can be judged."""
        return sum(not combination.missed for combination in self.combinations)

    @property
    def exit_status(self) -> int:
        """0 when a combination meets every wish and every wish can be judged, else 1."""
        return 0 if self.good and not self.left_out else 1


def rank(sheet: Checked, offers: Sequence[Offer]) -> Ranked:
    """Rank every combination of offered rods, pistons and gaskets.

    The order: fewest wishes missed; smallest miss, each as a share of its limit (or of one); nearest the
    wanted ratio; lowest price; lightest; the order of the list.

    Raises
    ------
    DefinitionError
        More combinations than can be ranked.
    """
    read = Measured(sheet)
    by_kind = {kind: [offer for offer in offers if offer.kind == kind] for kind in OFFERED}
    taken = []
    for kind in OFFERED:
        if not by_kind[kind]:
            by_kind[kind] = _of_the_workbook(read, kind)
            taken.append(f"no {kind} is on offer: the one of the chosen combination is taken")
    count = math.prod(len(listed) for listed in by_kind.values())
    if count > MOST_COMBINATIONS:
        raise DefinitionError("--offered", f"{count} combinations; at most {MOST_COMBINATIONS} are ranked")
    sets = [(r, p, g) for r in by_kind["rod"] for p in by_kind["piston"] for g in by_kind["gasket"]]
    values = _computed(read, sets)
    limits = {key: (read.number(f"{key}_lower"), read.number(f"{key}_upper")) for key, _ in WISHES}
    away = np.array([_away(values[key], *limits[key]) for key, _ in WISHES])
    shares = np.sum(away, axis=0)
    left_out = [
        f"{label}: {_why(read, key)}" for key, label in WISHES
        if limits[key] != (None, None) and np.all(np.isnan(values[key]))
    ]
    target = read.number("ratio_target")
    made = [
        _combination(
            read,
            sets[n],
            {key: float(values[key][n]) for key in values},
            limits,
            [bool(far > 0) for far in away[:, n]],
            float(shares[n]),
        )
        for n in range(count)
    ]
    order = sorted(
        range(count),
        key=lambda n: (
            len(made[n].missed),
            made[n].miss,
            _last(abs(made[n].figures["compression_ratio"] - (target or 0.0))) if target is not None else 0.0,
            _last(made[n].price),
            _last(made[n].mass),
            n,
        ),
    )
    ranked = [made[n] for n in order]
    front = _front(ranked, target)
    return Ranked(
        file=str(sheet.path),
        digest=sheet.returned.digest,
        units={key: read.unit(key) for key, _ in WISHES},
        limits=limits,
        target=target,
        combinations=tuple(
            Combination(
                c.rod, c.piston, c.gasket, c.figures, c.missed, c.miss, c.close, c.mass, c.price, n in front
            )
            for n, c in enumerate(ranked)
        ),
        left_out=tuple(left_out),
        taken=tuple(taken),
    )


def _away(value: Numbers, lower: float | None, upper: float | None) -> Numbers:
    """Return how far each combination misses its limits, as a share of the limit (or of one).

    One that cannot be computed where another can misses by the whole: its parts cannot go together.
    Where none can be computed, nothing is said of any.
    """
    if lower is None and upper is None:
        return np.zeros(np.shape(value))
    below = 0.0 if lower is None else np.maximum(0.0, np.round(lower - value, 9)) / (abs(lower) or 1.0)
    above = 0.0 if upper is None else np.maximum(0.0, np.round(value - upper, 9)) / (abs(upper) or 1.0)
    unknown = np.isnan(value)
    return np.where(unknown, 0.0 if np.all(unknown) else 1.0, below + above)


def _last(value: float) -> float:
    return math.inf if math.isnan(value) else value


def _of_the_workbook(read: Measured, kind: str) -> list[Offer]:
    chosen = (read.mark("chosen_candidate") or "A").lower()
    figures = dict.fromkeys(
        ("length", "compression_height", "thickness", "crown_volume", "mass", "price"), math.nan
    )
    for name, key in {
        "rod": {"length": "candidate_rod_length"},
        "piston": {
            "compression_height": "candidate_compression_height",
            "crown_volume": "candidate_crown_volume",
        },
        "gasket": {"thickness": "candidate_gasket_thickness"},
    }[kind].items():
        value = read.number(f"{key}_{chosen}")
        figures[name] = math.nan if value is None else value
    return [Offer(kind, "of the workbook", figures)]


def _computed(read: Measured, sets: Sequence[tuple[Offer, Offer, Offer]]) -> dict[str, Numbers]:
    """Return what every combination gives, in shown units, through the reference core at once."""
    recomputer, sheet = read.sheet.recompute, read.sheet
    usable = {n: None if n in sheet.unusable else v for n, v in sheet.values.items()}
    inputs, _ = recomputer.arrays([usable])
    count, cylinders, family = len(sets), len(read.cylinders), read.plan.build.family
    factor = {name: to_si(measure, family)[0] for name, measure in read.plan.catalogue.measures.items()}

    def column(of: int, figure: str, measure: str) -> Numbers:
        return np.array([parts[of].figures[figure] for parts in sets]) * factor[measure]

    def candidate(values: Numbers) -> Numbers:
        made = np.full((count, 4), np.nan)
        made[:, 0] = values
        return made

    def every(value: Any) -> Numbers:
        return np.asarray(value, dtype=float).reshape(-1, 1) * np.ones((1, cylinders))

    mass = column(0, "mass", "mass") + column(1, "mass", "mass")
    chosen = "ABCD".index((read.mark("chosen_candidate") or "A").upper())
    mass = np.where(np.isnan(mass), inputs["candidate_reciprocating_mass"][0, chosen], mass)
    chamber = inputs["candidate_chamber_volume"][0, chosen]
    measured = inputs["chamber_volume"][0]
    if not np.any(np.isnan(measured)):
        chamber = float(np.mean(measured))
    bore = _element(read, inputs["nominal_size"][0], "bore")
    gasket = column(2, "thickness", "length")
    inputs |= {
        "chosen_candidate": np.zeros(1),
        "candidate_rod_length": candidate(column(0, "length", "length")),
        "candidate_compression_height": candidate(column(1, "compression_height", "length")),
        "candidate_crown_volume": candidate(column(1, "crown_volume", "volume")),
        "candidate_gasket_thickness": candidate(gasket),
        "candidate_reciprocating_mass": candidate(mass),
        "candidate_chamber_volume": candidate(np.full(count, chamber)),
        "bore_thrust_least": every(bore),
        "bore_mean": every(bore),
        "piston_size": every(bore - inputs["piston_clearance_target"][0]),
        "main_take_up": inputs["main_clearance_target"],
        "rod_clearance": every(inputs["rod_clearance_target"]),
        "pin_take_up": every(_pin_play(inputs)),
    }
    deck = ["candidate_deck_clearance", "candidate_rod_ratio", "candidate_rod_angle"]
    arguments = recomputer.shapes, recomputer.relations, recomputer.limited
    first = evaluate(inputs, *arguments, [*deck, "rock_rise"])
    height = every(first["candidate_deck_clearance"][:, 0])
    inputs |= {
        "deck_clearance_mean": height,
        "deck_clearance_least": height - first["rock_rise"],
        "gasket_chosen": gasket[:, np.newaxis] * np.ones((1, read.plan.build.layout.banks)),
        "chamber_volume": every(np.full(count, chamber)),
        "crown_volume": every(column(1, "crown_volume", "volume")),
    }
    second = evaluate(inputs, *arguments, [*HEIGHTS, "compression_ratio"])
    made = {key: first[key] for key in deck} | second
    return {
        key: np.broadcast_to(value[:, 0], (count,)) / factor[read.plan.catalogue.entries[key].measure]
        for key, value in made.items()
    }


def _pin_play(inputs: dict[str, Numbers]) -> float:
    """Return the play of the pins that is reckoned with: the middle of its limits, or none."""
    play = 0.0
    for key in ("piston_pin_clearance", "bush_pin_clearance"):
        if key == "bush_pin_clearance" and inputs["pin_fit"][0] != 0:
            continue
        middle = (inputs[f"{key}_lower"][0] + inputs[f"{key}_upper"][0]) / 2
        play += 0.0 if np.isnan(middle) else float(middle)
    return play


def _element(read: Measured, values: Numbers, label: str) -> float:
    return float(values[list(read.plan.catalogue.axes["sized"].elements).index(label)])


def _why(read: Measured, key: str) -> str:
    """Say which given figures are missing for a wish."""
    needed = ["stroke_nominal", "deck_height", "pin_offset", "engine_speed", "nominal_size_bore"]
    if key in HEIGHTS:
        needed.append("crown_step")
    if key == "head_clearance_speed":
        needed += [
            "piston_clearance_target",
            "main_clearance_target",
            "rod_clearance_target",
            "skirt_length",
            "rock_radius",
            "rod_shank_length",
            "rod_shank_area",
            "rod_shank_mass",
            "take_up_factor",
            "crank_rise",
            "rod_rise",
            "piston_rise",
            "block_rise",
        ]
    if key == "compression_ratio":
        needed += ["gasket_bore", "land_diameter", "land_height"]
    absent = [name for name in needed if read.number(name) is None]
    told = "; ".join(map(read.why, absent))
    if not told and key == "compression_ratio":
        return "no chamber volume is given or measured"
    return told or "it cannot be computed from what is entered and offered"


def _combination(
    read: Measured,
    parts: tuple[Offer, Offer, Offer],
    figures: dict[str, float],
    limits: dict[str, tuple[float | None, float | None]],
    missed: list[bool],
    miss: float,
) -> Combination:
    rod, piston, gasket = parts
    guard = read.number("plain_guard_deck")
    close = []
    for key, label in WISHES:
        if key in HEIGHTS and guard is not None:
            lower = limits[key][0]
            if lower is not None and abs(figures[key] - lower) < guard:
                close.append(label)
    prices = [offer.figures["price"] for offer in parts if offer.mark != "of the workbook"]
    return Combination(
        rod.mark,
        piston.mark,
        gasket.mark,
        figures,
        tuple(label for (_, label), out in zip(WISHES, missed, strict=True) if out),
        round(miss, 12),
        tuple(close),
        rod.figures["mass"] + piston.figures["mass"],
        math.fsum(prices) if prices else math.nan,
    )


def _front(ranked: Sequence[Combination], target: float | None) -> set[int]:
    """Return those that meet every wish and that none beats in ratio, squish and price at once."""
    good = [n for n, combination in enumerate(ranked) if not combination.missed]
    if not good:
        return set()
    points = np.array(
        [
            [
                0.0 if target is None else _last(abs(ranked[n].figures["compression_ratio"] - target)),
                _last(ranked[n].figures["head_clearance_static"]),
                _last(ranked[n].price),
            ]
            for n in good
        ]
    )
    front = set()
    for n, point in zip(good, points, strict=True):
        no_worse = np.all(points <= point, axis=1)
        better = np.any(points < point, axis=1)
        if not np.any(no_worse & better):
            front.add(n)
    return front
