"""What is natural for bolts, weighed parts and the valves of an invented engine, in millimetres."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from typing import Final

Natural = Callable[[Sequence[str]], float | None]

THREADS: Final = ((8.0, 1.0), (9.0, 1.0), (10.0, 1.25), (11.0, 1.25), (12.0, 1.5))
PARTS_OF_SHANK: Final = 4


def natural_bolts(chance: random.Random) -> dict[str, Natural]:
    """Return what is natural for the rod bolts: threads, shanks, lengths before and after.

    Most bolts are released again only now and then, and not every shank has the same number of parts.
    """
    pick, choose, gauss = chance.uniform, chance.choice, chance.gauss
    size, pitch = choose(THREADS)
    parts = chance.choice([0, 1, 2, 2, 3, 3, PARTS_OF_SHANK])
    length = pick(40, 75)
    stretch = length * pick(0.0018, 0.003)
    free: dict[str, float] = {}

    def before(index: Sequence[str]) -> float:
        return free.setdefault(index[0], round(length + gauss(0, 0.02), 3))

    def part(index: Sequence[str]) -> bool:
        return int(index[0][1:]) <= parts

    return {
        "bolt_thread_size": lambda index: size,
        "bolt_thread_pitch": lambda index: pitch,
        "bolt_thread_length": lambda index: length * (0.15 if parts else 0.85),
        "bolt_part_length": lambda index: length * 0.7 / parts if part(index) else None,
        "bolt_part_size": lambda index: size * pick(0.82, 1.0) if part(index) else None,
        "bolt_modulus": lambda index: pick(195, 212),
        "bolt_proof_own": lambda index: choose([None, pick(800, 1300)]),
        "bolt_yield_own": lambda index: choose([None, pick(900, 1500)]),
        "bolt_preload_share": lambda index: pick(0.6, 0.8),
        "bolt_crush_load": lambda index: choose([0.0, pick(2000, 8000)]),
        "rod_rotating_mass": lambda index: pick(250, 700),
        "rod_cap_mass": lambda index: pick(80, 240),
        "bolt_free_length": before,
        "bolt_tight_length": lambda index: before(index) + stretch + gauss(0, 0.006),
        "bolt_released_length": lambda index: before(index) + choose([0.0, 0.001, 0.004, 0.02]),
    }


def natural_joints(chance: random.Random) -> dict[str, Natural]:
    """Return what is natural for the other groups of fasteners."""
    pick, choose = chance.uniform, chance.choice
    threads: dict[str, tuple[float, float]] = {}

    def thread(index: Sequence[str]) -> tuple[float, float]:
        return threads.setdefault(index[0], choose(THREADS))

    steps = chance.randint(1, 4)
    step = {"first": 1, "second": 2, "third": 3, "fourth": 4}
    return {
        "joint_count": lambda index: float(chance.randint(4, 26)),
        "joint_size": lambda index: thread(index)[0],
        "joint_pitch": lambda index: thread(index)[1],
        "joint_flank_size": lambda index: thread(index)[0] - 0.65 * thread(index)[1],
        "joint_head_size": lambda index: thread(index)[0] * pick(1.25, 1.45),
        "joint_thread_friction": lambda index: pick(0.08, 0.18),
        "joint_head_friction": lambda index: pick(0.08, 0.18),
        "joint_preload_wanted": lambda index: pick(15e3, 70e3),
        "joint_torque_given": lambda index: pick(20, 140),
        "joint_torque_at": lambda index: pick(15, 90) if step[index[1]] <= steps else None,
        "joint_angle_at": lambda index: choose([45.0, 60.0, 90.0]) if step[index[1]] >= steps else None,
        "joint_grip": lambda index: pick(20, 140),
        "joint_sleeve_size": lambda index: thread(index)[0] * pick(1.8, 2.4),
        "joint_hole_size": lambda index: thread(index)[0] * pick(1.03, 1.12),
        "joint_sleeve_modulus": lambda index: choose([None, None, pick(65, 125)]),
    }


def natural_masses(
    chance: random.Random, bore: float, crankpin_of: Sequence[int], bank_of: Sequence[int]
) -> dict[str, Natural]:
    """Return what is natural for weighed parts and for where the cylinders stand along the crank."""
    pick, choose, gauss = chance.uniform, chance.choice, chance.gauss
    piston, small = bore * pick(3, 5), bore * pick(1.5, 2.2)
    scatter, pitch, bank_offset = choose([0.2, 1.0, 4.0]), bore * pick(1.1, 1.25), choose([0.0, bore * 0.2])
    ends: dict[tuple[str, str], float] = {}

    def end(name: str, index: Sequence[str]) -> float:
        share = 1.0 if name == "small" else 2.4
        return ends.setdefault((name, index[0]), round(small * share + gauss(0, scatter), 1))

    def whole(index: Sequence[str]) -> float:
        return end("small", index) + end("big", index) + choose([0.0, 0.1, -0.2, 0.6])

    def place(index: Sequence[str]) -> float:
        number = int(index[0]) - 1
        return 50 + pitch * (crankpin_of[number] - 1) + bank_offset * (bank_of[number] - 1)

    return {
        "piston_mass": lambda index: piston + gauss(0, scatter),
        "pin_mass": lambda index: piston * 0.27 + gauss(0, 0.3),
        "ring_mass": lambda index: piston * 0.09,
        "lock_mass": lambda index: choose([0.0, 2.5]),
        "rod_small_mass": lambda index: end("small", index),
        "rod_big_mass": lambda index: end("big", index),
        "rod_total_mass": whole,
        "scale_resolution": lambda index: choose([0.1, 0.1, 0.5]),
        "mass_guard": lambda index: pick(0.1, 0.5),
        "shell_mass": lambda index: pick(30, 90),
        "oil_mass": lambda index: pick(2, 8),
        "balance_share": lambda index: choose([50.0, 50.0, pick(40, 60)]),
        "cylinder_position": place,
    }


def natural_valves(chance: random.Random) -> dict[str, Natural]:
    """Return what is natural for lash, springs and the timing of the cam."""
    pick, gauss = chance.uniform, chance.gauss
    height, solid, lift = pick(36, 46), pick(22, 27), pick(8, 11)
    return {
        "lash_wanted": lambda index: 0.2 if index[0] == "intake" else 0.25,
        "shim_thickness": lambda index: 2.45 + 0.05 * int(index[0][1:]),
        "spring_height_wanted": lambda index: None if chance.random() < 0.3 else height,
        "spring_test_load": lambda index: pick(250, 500),
        "spring_test_height": lambda index: height,
        "spring_rate": lambda index: pick(20, 50),
        "spring_solid_height": lambda index: solid,
        "valve_lift": lambda index: lift,
        "valve_opens": lambda index: pick(-5, 20) if index[0] == "intake" else pick(35, 60),
        "valve_closes": lambda index: pick(30, 60) if index[0] == "intake" else pick(-8, 15),
        "timing_lift": lambda index: 1.0,
        "lash_reading": lambda index: pick(0.1, 0.35),
        "shim_present": lambda index: 2.5 + 0.05 * chance.randint(0, 11),
        "spring_height": lambda index: height + gauss(0.2, 0.2),
        "valve_drop": lambda index: pick(2.0, 4.0),
        "valve_drop_at": lambda index: 5.0 * int(index[0][1:]) - 15,
    }
