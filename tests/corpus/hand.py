"""Faults of the hand: what goes wrong while a reading is typed."""

from __future__ import annotations

import random
import statistics
from typing import Any

from sheetgen.plan import PlannedCell
from tests.corpus.engines import INCH
from tests.corpus.fault import Fault, Kind, fault
from tests.corpus.readings import FORMS, READ, Copy, _round, shown

ALL_SIZES, BORE_BY_DEVIATION = frozenset(), frozenset({"bore"})
CLEAR = 0.030
"""mm: beyond this a reading stands out from any set of good ones: three and a half times the least spread
of pistons (0.005 mm), and the place of the part within its own kind."""

LEAST_SET = 4


def reading(copy: Copy, chance: random.Random, form: str, least: int = 1) -> PlannedCell | None:
    """Return one reading of a sized feature that is typed in this form."""
    cells = [
        cell for key, feature in READ.items() if copy.forms[feature] == form
        for cell in copy.cells(key) if len(copy.cells(key)) >= least
    ]
    return chance.choice(cells) if cells else None


def other_unit(copy: Copy, chance: random.Random) -> Fault | None:
    """A size typed in inches where millimetres belong, or the other way round."""
    cell = reading(copy, chance, "size")
    if cell is None:
        return None
    factor, digits = (1 / INCH, 4) if copy.engine.length == 1.0 else (INCH, 3)
    typed = {cell.name: round(copy.typed[cell.name] * factor, digits)}
    return fault("READ04", cell.name, typed=typed)


def point_moved(copy: Copy, chance: random.Random) -> Fault | None:
    """A decimal point one or two places off."""
    cell = reading(copy, chance, "size")
    if cell is None:
        return None
    factor = chance.choice([10.0, 0.1, 100.0, 0.01])
    return fault("READ05", cell.name, typed={cell.name: round(copy.typed[cell.name] * factor, 6)})


def swapped_digits(copy: Copy, chance: random.Random) -> Fault | None:
    """Two neighbouring digits of a size that changed places."""
    cell = reading(copy, chance, "size", LEAST_SET)
    if cell is None:
        return None
    value, length = copy.typed[cell.name], copy.engine.length
    text = f"{value:.{digits_of(copy, cell)}f}"
    places = [
        n for n in range(len(text) - 1)
        if text[n].isdigit() and text[n + 1].isdigit() and text[n] != text[n + 1]
    ]
    if not places:
        return None
    at = chance.choice(places)
    changed = float(text[:at] + text[at + 1] + text[at] + text[at + 2:])
    return by_size(copy, cell, changed, abs(changed - value) * length)


def by_size(copy: Copy, cell: PlannedCell, changed: float, away: float) -> Fault:
    """Return a fault that is told from natural spread where it is big enough."""
    clear = away >= CLEAR
    size = f"{CLEAR * 1000:.0f} µm and more" if clear else f"under {CLEAR * 1000:.0f} µm"
    codes = "READ12 READ05 READ04 READ06 READ03" if away > 1.0 else "READ12"
    return fault(codes, cell.name, cell.key, typed={cell.name: changed}, size=size, decidable=clear)


def digits_of(copy: Copy, cell: PlannedCell) -> int:
    """Return how many decimals a reading is typed with."""
    step = copy.steps[READ[cell.key]]
    return next(n for n in range(9) if abs(round(step, n) - step) < 1e-12)


def outlier(copy: Copy, chance: random.Random) -> Fault | None:
    """A reading unlike the others, in either form: a wrong digit in the second or third decimal."""
    cell = reading(copy, chance, chance.choice(["size", "deviation"]), LEAST_SET)
    if cell is None:
        return None
    away = chance.choice([-1, 1]) * chance.choice([0.012, 0.02, 0.03, 0.04, 0.05, 0.08, 0.1, 0.3])
    # From the middle of its kind: a part that lay on one side is moved from there.
    step = copy.steps[READ[cell.key]]
    values = [size_typed(copy, other) for other in copy.cells(cell.key)]
    sign = dial(copy, READ[cell.key])
    shift = statistics.median(values) + away / copy.engine.length - size_typed(copy, cell)
    changed = _round(copy.typed[cell.name] + sign * shift, step)
    return by_size(copy, cell, changed, abs(away))


def dial(copy: Copy, feature: str) -> int:
    """Return which way the dial of a feature counts."""
    minus = copy.forms[feature] == "deviation" and copy.typed[f"dial_sense_{feature}"] == "plus is smaller"
    return -1 if minus else 1


def size_typed(copy: Copy, cell: PlannedCell) -> float:
    """Return the size that a reading stands for, without regard to temperature."""
    feature = READ[cell.key]
    if copy.forms[feature] == "size":
        return float(copy.typed[cell.name])
    own = copy.setting.get(f"bore_setting_{cell.index[0]}") if feature == "bore" else None
    start = own if own is not None else copy.setting[feature]
    return float(start + dial(copy, feature) * copy.typed[cell.name])


def wrong_whole(copy: Copy, chance: random.Random) -> Fault | None:
    """A whole millimetre, or fifty thousandths of an inch, too much or too little against nominal."""
    cell = reading(copy, chance, "size", LEAST_SET)
    if cell is None:
        return None
    away = chance.choice([-1, 1]) * (1.0 if copy.engine.length == 1.0 else 0.05)
    typed = {cell.name: round(copy.typed[cell.name] + away, 6)}
    return fault("READ12", cell.name, cell.key, typed=typed)


def deviation_for_size(copy: Copy, chance: random.Random) -> Fault | None:
    """What the dial shows, typed where the whole size belongs."""
    cell = reading(copy, chance, "size")
    if cell is None:
        return None
    size = round(copy.engine.sizes[READ[cell.key]] / copy.engine.length, 2)
    return fault("READ06", cell.name, typed={cell.name: round(copy.typed[cell.name] - size, 6)})


def size_for_deviation(copy: Copy, chance: random.Random) -> Fault | None:
    """The whole size, typed where a deviation belongs."""
    cell = reading(copy, chance, "deviation")
    if cell is None:
        return None
    return fault("READ06", cell.name, typed={cell.name: round(size_typed(copy, cell), 6)})


def wrong_setting(copy: Copy, chance: random.Random) -> Fault | None:
    """The setting size of a neighbouring cylinder, where each bore was measured from its own."""
    cells = copy.cells("bore_setting")
    if len(cells) < LEAST_SET:
        return None
    coarse = 0.01 if copy.engine.length == 1.0 else 0.0005
    typed: dict[str, Any] = {}
    settings = [_round(copy.setting["bore"] + chance.randint(-9, 9) * coarse, coarse) for _ in cells]
    for cell, size in zip(cells, settings, strict=True):
        typed[cell.name] = copy.setting[cell.name] = size
    for cell in copy.cells("bore_reading"):
        size = copy.engine.sizes["piston"] + 0.05 + chance.gauss(0, 0.002)
        typed[cell.name] = shown(copy, "bore", size, copy.setting[f"bore_setting_{cell.index[0]}"])
    place = chance.randrange(len(cells))
    beside = place + 1 if place + 1 < len(cells) else place - 1
    away = abs(settings[place] - settings[beside]) * copy.engine.length
    if away == 0:
        return None
    typed[cells[place].name] = settings[beside]
    clear = away >= CLEAR
    size = f"{CLEAR * 1000:.0f} µm and more apart" if clear else f"under {CLEAR * 1000:.0f} µm apart"
    return fault("READ22", cells[place].name, typed=typed, size=size, decidable=clear)


def bore_copied(copy: Copy, chance: random.Random) -> Fault | None:
    """The six readings of one bore typed for another as well."""
    bores = sorted({cell.index[0] for cell in copy.cells("bore_reading")}, key=int)
    one, other = chance.sample(bores, 2)
    if copy.forms["bore"] == "deviation" and "bore_setting_1" in copy.setting:
        return None
    typed = {
        cell.name: copy.typed[cell.name.replace(f"bore_reading_{other}_", f"bore_reading_{one}_")]
        for cell in copy.cells("bore_reading") if cell.index[0] == other
    }
    first = [f"bore_reading_{bore}_top_thrust" for bore in (one, other)]
    return fault("READ11", *first, typed=typed)


def all_equal(copy: Copy, chance: random.Random) -> Fault | None:
    """One reading typed six times for a bore."""
    of = chance.choice(copy.cells("bore_reading")).index[0]
    cells = [cell for cell in copy.cells("bore_reading") if cell.index[0] == of]
    typed = {cell.name: copy.typed[cells[0].name] for cell in cells}
    return fault("READ11", cells[0].name, typed=typed)


def text_number(copy: Copy, chance: random.Random) -> Fault | None:
    """A number that stands as text: a comma, a unit behind it, an inch sign."""
    cell = reading(copy, chance, chance.choice(["size", "deviation"]))
    if cell is None:
        return None
    text = f"{copy.typed[cell.name]:.{digits_of(copy, cell)}f}"
    unit = "mm" if copy.engine.length == 1.0 else "in"
    written = chance.choice([text.replace(".", ","), f"{text} {unit}", f"{text}{unit}",
                             f"{text.replace('.', ',')} {unit}",
                             f'{text}"' if unit == "in" else f"'{text}", f" {text}"])
    return fault("READ02", cell.name, typed={cell.name: written})


def bore_under_piston(copy: Copy, chance: random.Random) -> Fault | None:
    """A piston bigger than its bore."""
    cell = chance.choice(copy.cells("piston_reading"))
    more = chance.uniform(0.065, 0.1) / copy.engine.length * dial(copy, "piston")
    typed = {cell.name: _round(copy.typed[cell.name] + more, copy.steps["piston"])}
    return fault("LIMIT04", f"piston_clearance_{cell.index[0]}", typed=typed)


def journal_over_shell(copy: Copy, chance: random.Random) -> Fault | None:
    """A journal bigger than its shells leave room for."""
    kind, key = chance.choice([("main", "main_journal"), ("rod", "crankpin")])
    of = chance.choice(copy.cells(f"{key}_reading")).index[0]
    more = chance.uniform(0.065, 0.1) / copy.engine.length * dial(copy, key)
    typed = {
        cell.name: _round(copy.typed[cell.name] + more, copy.steps[key])
        for cell in copy.cells(f"{key}_reading") if cell.index[0] == of
    }
    pins = copy.engine.build.layout.crankpin_of
    of_cells = [str(n) for n, pin in enumerate(pins, 1) if str(pin) == of] if kind == "rod" else [of]
    return fault("LIMIT04", *(f"{kind}_clearance_{n}" for n in of_cells), typed=typed)


def mark_twice(copy: Copy, chance: random.Random) -> Fault | None:
    """One mark on two pistons, rods or ring sets, in another spelling at times."""
    cells = copy.cells(chance.choice(["piston_mark", "rod_mark", "ring_mark"]))
    one, other = chance.sample(cells, 2)
    mark = copy.typed[one.name]
    typed = {other.name: chance.choice([mark, mark, mark.lower(), f"{mark} "])}
    return fault("READ07", one.name, other.name, typed=typed)


def another_piston(copy: Copy, chance: random.Random) -> Fault | None:
    """Two pistons that sit in each other's bores."""
    one, other = chance.sample(copy.cells("crown_mark"), 2)
    typed = {one.name: copy.typed[other.name], other.name: copy.typed[one.name]}
    return fault("READ07", one.name, other.name, typed=typed)


def fahrenheit(copy: Copy, chance: random.Random) -> Fault | None:
    """A temperature in °F."""
    cell = chance.choice((*copy.cells("part_temperature"), *copy.cells("gauge_temperature")))
    return fault("READ10", cell.name, typed={cell.name: float(round(copy.typed[cell.name] * 1.8 + 32))})


def too_fine(copy: Copy, chance: random.Random) -> Fault | None:
    """A reading with a digit that its gauge does not show."""
    cells = [
        cell for key, feature in READ.items() for cell in copy.cells(key)
        if f"gauge_repeat_count_{feature}" not in copy.typed
    ]
    cell = chance.choice(cells)
    part = copy.steps[READ[cell.key]] * chance.choice([0.1, 0.2, 0.3, 0.4, 0.6, 0.7, 0.8])
    return fault("READ21", cell.name, cell.key, typed={cell.name: round(copy.typed[cell.name] + part, 9)})


def date_before(copy: Copy, chance: random.Random) -> Fault | None:
    """Measured before the job was sent out, or with a gauge that was calibrated later."""
    if chance.random() < 0.5:
        day = copy.typed["measured_date"] - chance.choice([60, 365, 31 + 28])
        return fault("READ20", "measured_date", typed={"measured_date": float(day)})
    cell = chance.choice(copy.cells("gauge_calibrated"))
    day = copy.typed["measured_date"] + chance.randint(1, 400)
    return fault("READ20", cell.name, typed={cell.name: float(day)})


PAIRS = (("throw_height_top", "throw_height_bottom"), ("runout_greatest", "runout_least"),
         ("end_float_fore", "end_float_aft"), ("bore_present_largest", "bore_present_smallest"))


def pair_swapped(copy: Copy, chance: random.Random) -> Fault | None:
    """The greater and the lesser of two readings, each in the cell of the other."""
    pairs = [pair for pair in PAIRS if copy.cells(pair[0])[0].name in copy.typed]
    upper, lower = chance.choice(pairs)
    place = chance.randrange(len(copy.cells(upper)))
    one, other = copy.cells(upper)[place].name, copy.cells(lower)[place].name
    typed = {one: copy.typed[other], other: copy.typed[one]}
    return fault("READ23", one, other, typed=typed)


def left_blank(copy: Copy, chance: random.Random) -> Fault | None:
    """A reading that is missing."""
    cell = reading(copy, chance, chance.choice(["size", "deviation"]))
    return None if cell is None else fault("READ01", cell.name, typed={cell.name: None})


HAND = {
    "other-unit": Kind("inch for millimetre, millimetre for inch", other_unit),
    "point": Kind("decimal point slipped", point_moved),
    "digits": Kind("two digits swapped", swapped_digits),
    "outlier": Kind("unlike the other parts", outlier),
    "whole": Kind("1 mm (0.05 in) off nominal", wrong_whole),
    "deviation": Kind("deviation for size", deviation_for_size),
    "size": Kind("size for deviation", size_for_deviation),
    "setting": Kind("setting size of another cylinder", wrong_setting, BORE_BY_DEVIATION),
    "copied": Kind("readings of another bore", bore_copied),
    "equal": Kind("one reading six times", all_equal),
    "text": Kind("number as text", text_number),
    "piston": Kind("bore under piston", bore_under_piston),
    "journal": Kind("journal over shell", journal_over_shell),
    "mark": Kind("mark twice", mark_twice),
    "crown": Kind("piston in another bore", another_piston),
    "fahrenheit": Kind("temperature in °F", fahrenheit),
    "fine": Kind("reading finer than the gauge", too_fine),
    "date": Kind("dates that cannot follow each other", date_before),
    "pair": Kind("greater and lesser reading swapped", pair_swapped),
    "blank": Kind("reading left out", left_blank),
}
for _key, _kind in list(HAND.items()):
    if _key in ("other-unit", "point", "digits", "whole", "deviation"):
        HAND[_key] = Kind(_kind.title, _kind.make, ALL_SIZES)
    elif _key == "size":
        HAND[_key] = Kind(_kind.title, _kind.make, frozenset(FORMS))
