"""Entries that make an engine unusual, or bring a decision to its edge."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable

from sheetgen.naming import element_name
from validators.changed_build import ChangedBuild

MOST_VOLUME = 1000.0
"""Up to here, in cubic centimetres, a volume can be taken off another and leave figures that hold."""

DIALS = {
    "bore": "bore_reading", "piston": "piston_reading", "main_journal": "main_journal_reading",
    "crankpin": "crankpin_reading",
}
"""Parts that something is divided by, and what is read of them."""


class Steps(ChangedBuild):
    """Changes of single entries, each made in some of the builds."""

    def steps(self) -> list[Callable[[], None]]:
        """Return what can be done, in the order in which it is done."""
        raise NotImplementedError

    def bring(self) -> None:
        """Change the entries of the build."""
        for step in [] if self.mood.tidy else self.steps():
            if self.chance.random() < 0.35:
                step()

    def dial_sign(self, feature: str) -> int:
        """Return what plus means on the dial of a feature; nought where it is not said."""
        senses = {"plus is bigger": 1, "plus is smaller": -1}
        return senses.get(str(self.entries[f"dial_sense_{feature}"]), 0)


class Figures(Steps):
    """Entries that make an engine unusual."""

    def steps(self) -> list[Callable[[], None]]:
        """Return what makes an engine unusual."""
        return [
            self.equal_bores, self.equal_sizes, self.straight_line, self.level_line, self.no_steps,
            self.no_runout, self.shortest_rod, self.usual_rod, self.low_piston, self.tight_ring_gap,
            self.dwell_edge, self.no_clearance_volume, self.no_chamber_volume, self.short_skirt,
            self.usual_ratio, self.no_interference, self.no_wall, self.gaps_in_line,
            self.odd_wishes, self.hardly_loaded, self.film_length_edge,
            lambda: self.class_edge("main_journal", "main"), lambda: self.class_edge("crankpin", "crankpin"),
        ]

    def bring(self) -> None:
        """Change the entries of the build; a tidy job gets ring gaps that can be met."""
        super().bring()
        if self.mood.tidy:
            self.ring_gaps_within()
        elif self.chance.random() < 0.12:
            self.no_size()

    def ring_gaps_within(self) -> None:
        """Allow more than the ring needs when hot, and put every gap amid what is allowed."""
        cells = self.plan.by_key["ring_gap_reading"]
        kinds = ("ring_gap_wanted", "ring_gap_least")
        gaps = [self.numbers(*(element_name(kind, cell.index) for kind in kinds)) for cell in cells]
        widest = max((least - wanted for wanted, least in filter(None, gaps)), default=0.0)
        allowance = widest + max((least for _, least in filter(None, gaps)), default=0.0) / 2
        self.put("ring_gap_allowance", allowance)
        for cell, found in zip(cells, gaps, strict=True):
            if found:
                self.put(cell.name, (found[1] + found[0] + allowance) / 2)

    def equal_bores(self) -> None:
        """Give two cylinders the same sizes: they tie in rank, even if their dials were set apart."""
        one, other = self.one("cylinder"), self.one("cylinder")
        setting = self.number(f"bore_setting_{one}")
        sign = self.dial_sign("bore")
        by_dial = self.entries["entry_form_bore"] == "deviation"
        apart = 0.01 if by_dial and setting is not None and one != other else 0.0
        for cell in self.plan.by_key["bore_reading"]:
            if cell.index[0] == other:
                reading = self.number(element_name("bore_reading", (one, *cell.index[1:])))
                self.put(cell.name, None if reading is None else reading - sign * apart)
        self.put(f"bore_setting_{other}", None if setting is None else setting + apart)
        self.put(f"piston_reading_{other}", self.entries[f"piston_reading_{one}"])

    def equal_sizes(self) -> None:
        """Measure at 20 degrees with a true master: sizes come out as they are typed."""
        for key, value in (("part_temperature", 20.0), ("gauge_temperature", 20.0), ("setting_error", 0.0)):
            for cell in self.plan.by_key[key]:
                if self.entries[cell.name] is not None:
                    self.put(cell.name, value)

    def straight_line(self) -> None:
        """Put main bearings at one place, all of them or only the first and the last."""
        cells = self.plan.by_key["main_position"]
        place = self.entries[cells[0].name]
        for cell in cells if self.chance.random() < 0.5 else cells[-1:]:
            self.put(cell.name, place)

    def level_line(self) -> None:
        """Let every main bore stand at the same height."""
        cells = self.plan.by_key["main_height"]
        for cell in cells:
            self.put(cell.name, self.entries[cells[0].name])

    def no_steps(self) -> None:
        """Offer no undersize at all, now and then."""
        for cell in self.plan.by_key["undersize_step"] if self.chance.random() < 0.25 else ():
            self.put(cell.name, None)

    def no_runout(self) -> None:
        """Let a dial stand still, or be typed the wrong way round."""
        main = self.one("main")
        one, other = f"runout_greatest_{main}", f"runout_least_{main}"
        if self.chance.random() < 0.5:
            self.put(one, self.entries[other])
        else:
            self.entries[one], self.entries[other] = self.entries[other], self.entries[one]

    def shortest_rod(self) -> None:
        """Make a rod as short as the crank radius and the offset allow."""
        found = self.numbers("stroke_nominal", "pin_offset")
        if found:
            shortest = found[0] / 2 + abs(found[1])
            # A rod that is hardly longer stands so flat that its height is all rounding.
            beside = self.chance.choice([0.0, 3e-10, -3e-10, -7e-10, -1e-6, 0.01])
            self.put(f"candidate_rod_length_{self.one('candidate')}", shortest + beside)

    def usual_rod(self) -> None:
        """Make the rod ratio the lowest or the highest usual one."""
        ratio = self.chance.choice(["rod_ratio_lowest", "rod_ratio_highest"])
        found = self.numbers("stroke_nominal", ratio)
        if found:
            length = found[0] * (found[1] + self.beside())
            self.put(f"candidate_rod_length_{self.one('candidate')}", length)

    def low_piston(self) -> None:
        """Make the compression height the least usual share of the bore."""
        found = self.numbers("compression_height_share", "nominal_size_bore")
        if found:
            height = found[0] * found[1] + self.beside()
            if self.chance.random() < 0.2:
                height = -height
                self.put("nominal_size_bore", None)
            self.put(f"candidate_compression_height_{self.one('candidate')}", height)

    def no_size(self) -> None:
        """Read the dial of one kind of part from a setting size that is none: sizes near or under nought."""
        feature, key = self.chance.choice(list(DIALS.items()))
        setting, side = self.chance.choice([0.0, -0.1]), self.chance.choice([1, -1])
        self.put(f"entry_form_{feature}", "deviation")
        self.put(f"setting_size_{feature}", setting)
        if feature == "bore":
            for cell in self.plan.by_key["bore_setting"]:
                self.put(cell.name, None)
        for cell in self.plan.by_key[key]:
            if self.entries[cell.name] is not None:
                size = side * self.chance.uniform(0.05, 0.06)
                self.put(cell.name, self.dial_sign(feature) * (size - setting))

    def tight_ring_gap(self) -> None:
        """Allow no more than the wanted gap, or less than that."""
        self.put("ring_gap_allowance", self.chance.choice([0.0, -0.001]))

    def class_edge(self, journal: str, axis: str) -> None:
        """Put a journal half-way between two undersizes."""
        place = self.chance.randint(1, 4)
        found = self.numbers(
            f"{journal}_mean_{self.one(axis)}", f"undersize_step_s{place}", f"undersize_step_s{place + 1}"
        )
        if found:
            self.put(f"nominal_size_{journal}", found[0] + (found[1] + found[2]) / 2 + self.beside())

    def dwell_edge(self) -> None:
        """Count the whole stroke as dwell, most of it, or nothing."""
        stroke = self.number("stroke_nominal")
        if stroke is not None:
            self.put("dwell_distance", stroke * self.chance.choice([1.0, 0.75, 0.0]))

    def no_clearance_volume(self) -> None:
        """Leave hardly any clearance volume, or a little less than none."""
        cylinder, candidate = self.one("cylinder"), self.one("candidate")
        for chamber, whole in (
            (f"chamber_volume_{cylinder}", f"clearance_volume_{cylinder}"),
            (f"candidate_chamber_volume_{candidate}", f"candidate_clearance_volume_{candidate}"),
        ):
            found = self.numbers(chamber, whole)
            if found and abs(found[1]) < MOST_VOLUME:
                self.put(chamber, found[0] - found[1] + self.chance.choice([0.9, -0.9]))

    def no_chamber_volume(self) -> None:
        """Want a ratio that leaves hardly anything for the chamber, or a little less than nothing."""
        cylinder = self.one("cylinder")
        found = self.numbers(f"other_volume_{cylinder}", f"swept_volume_{cylinder}")
        if found and 1 < found[0] < MOST_VOLUME < MOST_VOLUME * found[1]:
            self.put("ratio_target", 1 + found[1] / (found[0] + self.chance.choice([0.5, -0.5])))

    def usual_ratio(self) -> None:
        """Make the compression ratio the lowest or the highest usual one."""
        cylinder = self.one("cylinder")
        bound = self.chance.choice(["ratio_lowest", "ratio_highest"])
        found = self.numbers(f"other_volume_{cylinder}", f"swept_volume_{cylinder}", bound)
        if found and abs(found[0]) < MOST_VOLUME < MOST_VOLUME * found[1]:
            clearance = found[1] / (found[2] + self.beside() - 1)
            self.put(f"chamber_volume_{cylinder}", clearance - found[0])

    def no_interference(self) -> None:
        """Let a pressed pin be hardly bigger than its hole, or a little smaller."""
        self.put("pin_fit", "pressed")
        for cylinder in self.layout.labels("cylinder", self.catalogue):
            found = self.numbers(f"bush_size_{cylinder}", f"pin_size_{cylinder}", f"pin_reading_{cylinder}")
            if found and self.chance.random() < 0.5:
                bigger = self.chance.choice([1e-3, -1e-3, 2e-3])
                apart = found[0] + bigger - found[1]
                sign = self.dial_sign("pin") if self.entries["entry_form_pin"] == "deviation" else 1
                self.put(f"pin_reading_{cylinder}", found[2] + sign * apart)

    def no_wall(self) -> None:
        """Give the small end or the pin hardly any wall, or a little less than none."""
        self.put("pin_fit", "pressed")
        bush = self.number(f"bush_size_{self.one('cylinder')}")
        if bush is not None:
            name = self.chance.choice(["small_eye_size", "pin_inside_size"])
            self.put(name, bush * (1 + self.chance.choice([1e-3, -1e-3])))

    def gaps_in_line(self) -> None:
        """Let two gaps stand opposite, above each other or a whole turn apart, or one on an axis."""
        found = self.numbers("ring_gap_angle_top", "ring_gap_angle_high")
        if found:
            turned = self.chance.choice([0.0, 180.0, 360.0, -180.0]) + self.beside()
            self.put("ring_gap_angle_second", found[0] + turned)
            self.put("ring_gap_angle_deep", found[1] + self.chance.choice([0.0, 180.0, -360.0, 540.0]))
            self.put("ring_gap_angle_joint", found[1] + self.chance.choice([0.0, 179.5, -180.5, 360.0]))
        else:
            self.put("ring_gap_angle_top", self.chance.choice([0.0, 45.0, 90.0, 270.0]) + self.beside())

    def odd_wishes(self) -> None:
        """Want a cross-hatch without slope, a ratio that hardly compresses, or gas that does not warm."""
        name, values = self.chance.choice([
            ("crosshatch_wanted", (0.0, 180.0)), ("ratio_target", (1.0, 1.5)),
            ("compression_exponent", (0.0, -1.0)),
        ])
        self.put(name, self.chance.choice(values))

    def hardly_loaded(self) -> None:
        """Turn the engine slowly without gas, in cold oil: films lighter loaded than the formula knows."""
        for duty in self.layout.labels("duty", self.catalogue):
            cold = (("speed", 100.0), ("gas_pressure", 0.0), ("crank_angle", 0.0), ("oil_temperature", 30.0))
            for what, value in cold:
                self.put(f"duty_{what}_{duty}", value)

    def film_length_edge(self) -> None:
        """Make a bearing as short or as long as the formula of the oil film allows."""
        bearing, journal = self.chance.choice([("main", "main_journal"), ("rod", "crankpin")])
        bound = self.chance.choice(["film_ratio_lowest", "film_ratio_highest"])
        found = self.numbers(f"nominal_size_{journal}", bound)
        if found:
            self.put(f"{bearing}_bearing_width", found[0] * (found[1] + self.beside()))

    def short_skirt(self) -> None:
        """Give the pistons a skirt so short that one of them could tilt until it jams, or hardly."""
        cylinder = self.one("cylinder")
        found = self.numbers(f"bore_thrust_least_{cylinder}", f"piston_size_{cylinder}")
        if found and found[0] > found[1] > 0:
            shortest = math.sqrt(found[0] ** 2 - found[1] ** 2)
            self.put("skirt_length", shortest * self.chance.choice([0.9, 1.1, 1.5]))


class Edges(Steps):
    """Entries put where a figure that follows from them lies at the edge of a decision."""

    def steps(self) -> list[Callable[[], None]]:
        """Return what can be brought to an edge."""
        return [
            self.hone_edge, self.deck_cut_edge, self.gasket_bore_edge, self.ring_gap_edge, self.rock_edge,
            lambda: self.shell_edge("main", "main"), lambda: self.shell_edge("rod", "cylinder"),
            lambda: self.closure_edge("main", "main"), lambda: self.closure_edge("rod", "cylinder"),
            lambda: self.shells_as_advised("main", "main"), lambda: self.shells_as_advised("rod", "cylinder"),
        ]

    def hone_edge(self) -> None:
        """Leave exactly no metal, or exactly the allowance, for the hone."""
        for cell in self.plan.by_key["hone_order"]:
            found = self.numbers(cell.name, "clean_up_allowance")
            if found and self.chance.random() < 0.7:
                left = self.chance.choice([0.0, found[1]])
                self.put(element_name("bore_present_largest", cell.index), found[0] - left + self.beside())

    def deck_cut_edge(self) -> None:
        """Want exactly the deck clearance that is there."""
        found = self.numbers("deck_clearance_nominal")
        if found:
            self.put("deck_clearance_wanted", found[0] + self.beside())

    def gasket_bore_edge(self) -> None:
        """Make the gasket as big as the biggest bore, or smaller."""
        bores = self.numbers(*(cell.name for cell in self.plan.by_key["bore_greatest"]))
        if bores:
            self.put("gasket_bore", max(bores) + self.beside() - self.chance.choice([0.0, 0.0, 0.01]))

    def ring_gap_edge(self) -> None:
        """Put ring gaps at the edges of their verdicts."""
        for cell in self.plan.by_key["ring_gap_reading"]:
            found = self.numbers(
                element_name("ring_gap_least", cell.index), element_name("ring_gap_most", cell.index),
                "plain_guard_ring_gap",
            )
            if found and self.chance.random() < 0.5:
                guard = self.chance.choice([-1, 1]) * found[2]
                self.put(cell.name, self.chance.choice(found[:2]) + guard + self.beside())

    def shell_edge(self, bearing: str, axis: str) -> None:
        """Want a clearance half-way between those of two shell pairs."""
        place = self.one(axis)
        cells = [cell for cell in self.plan.by_key[f"{bearing}_option_clearance"] if cell.index[0] == place]
        there = [value for cell in cells if (value := self.number(cell.name)) is not None]
        if there:
            one, other = self.chance.choice(there), self.chance.choice(there)
            self.put(f"{bearing}_clearance_target", (one + other) / 2 + self.beside())

    def closure_edge(self, bearing: str, axis: str) -> None:
        """Let the two routes to a clearance differ by exactly what is believed."""
        housing = f"{bearing}_housing"
        for place in self.layout.labels(axis, self.catalogue):
            journal = f"main_journal_greatest_{place}"
            if axis == "cylinder":
                journal = f"crankpin_greatest_{self.layout.crankpin_of[int(place) - 1]}"
            found = self.numbers(
                f"{bearing}_clearance_computed_{place}", f"{bearing}_clearance_uncertainty", journal,
                f"part_factor_{housing}", f"reference_factor_{housing}", "closure_factor",
            )
            if found and self.chance.random() < 0.6:
                computed, uncertainty, size, part, reference, factor = found
                apart = self.chance.choice([-1, 1]) * factor * uncertainty + self.beside()
                self.put(f"{bearing}_installed_bore_{place}", (computed + size + apart) * part / reference)

    def shells_as_advised(self, bearing: str, axis: str) -> None:
        """Choose the shells that are nearest, or only one of the two."""
        places = self.layout.labels(axis, self.catalogue)
        for half, place in itertools.product(("upper", "lower"), places):
            advised = self.results[f"{bearing}_pick_{half}_{place}"]
            if advised not in (None, "") and self.chance.random() < 0.8:
                # A shell that is not named must not be taken for the grade 0.
                named = advised != 0 or self.chance.random() < 0.3
                self.put(f"{bearing}_shell_{half}_{place}", advised if named else None)

    def rock_edge(self) -> None:
        """Measure pistons that do not rock, or rock as little or as much as is believed."""
        for cylinder in self.layout.labels("cylinder", self.catalogue):
            found = self.numbers(
                f"rock_rise_{cylinder}", f"rocked_reading_{cylinder}_down", "rock_ratio_lowest",
                "rock_ratio_highest",
            )
            if found and self.chance.random() < 0.5:
                rise, down, lowest, highest = found
                ratio = self.chance.choice([0.0, lowest, highest]) + self.beside()
                self.put(f"rocked_reading_{cylinder}_up", down + 2 * ratio * rise)
