"""Oils, duties and bearings put where the oil film's formula begins or ceases to hold."""

from __future__ import annotations

import math
from collections.abc import Callable

from validators.edge_entries import Steps

CRAWLING = 5.0
"""Turns in a minute: less than a radian in a second."""
BEARINGS = (("main", "main_journal"), ("rod", "crankpin"))
"""Each with the journal that runs in it."""
WARM, HOT = 40.0, 100.0
"""Temperatures that the data sheet of an oil speaks of."""
USUAL_DUTY = (("speed", 3000.0), ("gas_pressure", 60.0), ("crank_angle", 10.0), ("oil_temperature", 90.0))
USUAL_OIL = (("viscosity_warm", 90.0), ("viscosity_hot", 13.0), ("density", 860.0), ("high_shear", None))
THINNER = 0.9
TOO_COLD = (-10.0, -40.0)
"""Temperatures that no oil film is believed to have."""


class Films(Steps):
    """Entries of oils, duties and bearings at the edge of a decision."""

    def steps(self) -> list[Callable[[], None]]:
        """Return what can be brought to an edge."""
        return [
            self.oil_as_thin_as_the_line, self.oil_of_no_density, self.level_oil, self.crawling_duty,
            self.smooth_surfaces, lambda: self.bearing_clearance_edge("main"),
            lambda: self.bearing_clearance_edge("rod"), self.trial_clearance_edge,
            self.chance.choice([
                self.weightless_rods, self.something_missing, self.oil_without_shear, self.no_journal,
            ]),
        ]

    def oil_as_thin_as_the_line(self) -> None:
        """Let oils be as thin in the film as their line holds for, or hardly thinner; one is too thin."""
        found = self.numbers("viscosity_lowest", "viscosity_shift")
        if found is None:
            return
        lowest, shift = found
        warm = lowest * self.chance.uniform(2, 4)
        heights = [math.log(math.log(viscosity + shift)) for viscosity in (warm, lowest)]
        slope = (heights[0] - heights[1]) / math.log((HOT + 273.15) / (WARM + 273.15))
        thinned = (lowest + shift) * math.log(lowest + shift) * slope / (HOT + 273.15)
        for oil in self.layout.labels("oil", self.catalogue):
            self.put(f"oil_viscosity_warm_{oil}", warm)
            self.put(f"oil_viscosity_hot_{oil}", lowest)
            self.put(f"oil_high_shear_{oil}", None)
        self.put(f"oil_viscosity_hot_{oil}", THINNER * lowest)
        for duty in self.layout.labels("duty", self.catalogue):
            self.put(f"duty_oil_temperature_{duty}", HOT - self.beside() / thinned)

    def oil_of_no_density(self) -> None:
        """Let the oil weigh nothing at the temperature of the film, or less."""
        density = self.chance.choice([65.0, 10.0, 0.0])
        for oil in self.layout.labels("oil", self.catalogue):
            self.put(f"oil_density_{oil}", density)
            self.put(f"oil_high_shear_{oil}", None)
        for duty in self.layout.labels("duty", self.catalogue):
            self.put(f"duty_oil_temperature_{duty}", 115.0)

    def level_oil(self) -> None:
        """Let an oil be as thick hot as it is warm, or a bench find it without any thickness."""
        oil = self.one("oil")
        if self.chance.random() < 0.5:
            self.put(f"oil_viscosity_warm_{oil}", self.entries[f"oil_viscosity_hot_{oil}"])
        else:
            self.put(f"oil_density_{oil}", self.chance.choice([0.0, 10.0]))
            self.put(f"oil_high_shear_{oil}", self.chance.choice([0.0, -3.0, 3.0]))

    def oil_without_shear(self) -> None:
        """Let the bench find no thickness of an oil under high shear, or less than none."""
        oil = self.one("oil")
        for what, figure in USUAL_OIL:
            self.put(f"oil_{what}_{oil}", figure)
        self.put(f"oil_high_shear_{oil}", self.chance.choice([0.0, -3.0]))

    def crawling_duty(self) -> None:
        """Let the engine hardly turn, backwards or not at all, now and then with a rod not weighed."""
        for duty in self.layout.labels("duty", self.catalogue):
            self.put(f"duty_speed_{duty}", self.chance.choice([CRAWLING, CRAWLING, -CRAWLING, 0.0]))
            self.put(f"duty_gas_pressure_{duty}", self.chance.choice([0.0, 50.0]))
        if self.chance.random() < 0.5:
            self.put("rod_big_end_mass", None)
            self.put(f"rod_big_mass_{self.one('cylinder')}", None)

    def smooth_surfaces(self) -> None:
        """Let one surface, or both, be without roughness."""
        for name in self.chance.choice([("journal_roughness",), ("shell_roughness",), ("journal_roughness",
                                        "shell_roughness")]):
            self.put(name, self.chance.choice([0.0, 0.0, None]))
        self.usual_running()

    def no_journal(self) -> None:
        """Give a journal no diameter, or a bearing no width, or less, where all else bears a film.

        The other kind of bearing has no width then.
        """
        self.usual_running()
        bearing, journal = self.chance.choice(BEARINGS)
        size = self.chance.choice([f"nominal_size_{journal}", f"{bearing}_bearing_width"])
        for other, _ in BEARINGS:
            if other != bearing:
                self.put(f"{other}_bearing_width", 0.0)
        self.put(size, self.chance.choice([0.0, -2.0]))

    def usual_running(self) -> None:
        """Let every duty be one that bears a film: speed, gas and heat as usual, oils and widths too."""
        for duty in self.layout.labels("duty", self.catalogue):
            for what, value in USUAL_DUTY:
                self.put(f"duty_{what}_{duty}", value)
        for oil in self.layout.labels("oil", self.catalogue):
            for what, figure in USUAL_OIL:
                self.put(f"oil_{what}_{oil}", figure)
        for bearing, journal in BEARINGS:
            size = self.number(f"nominal_size_{journal}")
            if size is not None:
                self.put(f"{bearing}_bearing_width", 0.4 * size)

    def bearing_clearance_edge(self, bearing: str) -> None:
        """Leave, hot, the least clearance that a film is reckoned for."""
        axis, body = ("main", "block") if bearing == "main" else ("cylinder", "rod")
        housing = f"{bearing}_housing"
        sign = self.dial_sign(housing) if self.entries[f"entry_form_{housing}"] == "deviation" else 1
        for place in self.layout.labels(axis, self.catalogue):
            reading = f"{housing}_reading_{place}_vertical"
            found = self.numbers(
                reading, f"{bearing}_clearance_hot_{place}", "film_clearance_lowest",
                f"body_expansion_{body}", "bearing_housing_hot", "reference_temperature",
                f"part_factor_{housing}", f"reference_factor_{housing}",
            )
            if found and self.chance.random() < 0.6:
                read, hot, lowest, expansion, warm, cold, part, reference = found
                growth = 1 + expansion * 1e-6 * (warm - cold)
                apart = (lowest + self.beside() - hot) / growth * part / reference
                self.put(reading, read + sign * apart)

    def trial_clearance_edge(self) -> None:
        """Want the clearance that leaves, hot, the least that a film is reckoned for."""
        bearing = self.chance.choice(["main", "rod"])
        found = self.numbers(
            f"{bearing}_clearance_growth", f"{bearing}_clearance_target", "film_clearance_lowest",
            "body_expansion_shell", "bearing_shell_hot", "reference_temperature",
        )
        if found:
            growth, target, lowest, expansion, warm, cold = found
            of_the_shell = expansion * 1e-6 * (warm - cold)
            wanted = lowest + self.beside() - (growth - of_the_shell * target)
            self.put(f"{bearing}_clearance_target", wanted / (1 + of_the_shell))
            self.usual_running()

    def weightless_rods(self) -> None:
        """Leave rods and pistons without weight and cylinders without gas: nothing loads a bearing."""
        for duty in self.layout.labels("duty", self.catalogue):
            self.put(f"duty_gas_pressure_{duty}", 0.0)
        for cylinder in self.layout.labels("cylinder", self.catalogue):
            self.put(f"piston_mass_{cylinder}", None)
            self.put(f"rod_big_mass_{cylinder}", None)
        for candidate in self.layout.labels("candidate", self.catalogue):
            self.put(f"candidate_reciprocating_mass_{candidate}", 0.0)
        self.put("rod_big_end_mass", 0.0)

    def something_missing(self) -> None:
        """Leave out, or make nothing of, what every film needs."""
        bearing, journal = self.chance.choice(BEARINGS)
        kind = self.chance.choice(["width", "size", "share", "roughness", "cold"])
        if kind == "width":
            self.put(f"{bearing}_bearing_width", self.chance.choice([0.0, -20.0, None]))
        elif kind == "size":
            self.put(f"nominal_size_{journal}", self.chance.choice([0.0, -50.0, None]))
        elif kind == "share":
            for main in self.layout.labels("main", self.catalogue):
                self.put(f"main_load_share_{main}", None)
        elif kind == "roughness":
            self.put(self.chance.choice(["journal_roughness", "shell_roughness"]), None)
        else:
            for duty in self.layout.labels("duty", self.catalogue):
                self.put(f"duty_oil_temperature_{duty}", self.chance.choice(TOO_COLD))
