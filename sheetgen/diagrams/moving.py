"""Drawings of what is measured on the moving parts, and of how they stack up."""

from __future__ import annotations

from sheetgen.diagrams.canvas import THIN, Canvas


def journals() -> Canvas:
    """A journal from the side with its two places, and from its end with its two directions."""
    c = Canvas()
    c.words(8, 14, "from the side", faint=True)
    c.box(14, 30, 22, 112, filled=True)
    c.box(122, 30, 22, 112, filled=True)
    c.box(36, 56, 86, 60)
    c.axis(4, 86, 156, 86)
    for x, name in ((56, "front"), (102, "rear")):
        c.measure(x, 56, x, 116)
        c.words(x, 50, name, at="middle")
    c.words(79, 170, "clear of fillets and oil hole", at="middle")
    x, y, radius = 246, 104, 36
    c.words(180, 14, "from its end", faint=True)
    c.circle(x, y - 52, 20, wide=THIN, dash="4 3")
    c.words(x + 24, y - 58, "throw", faint=True)
    c.circle(x, y, radius)
    c.axis(x, y - 80, x, y + 48)
    c.measure(x, y - radius, x, y + radius)
    c.measure(x - radius, y, x + radius, y)
    c.words(x + 5, y + 50, "in line")
    c.words(x + 41, y + 4, "square")
    c.words(x, 170, "with the throw, and square to it", at="middle")
    return c


def piston() -> Canvas:
    """A piston: where its size is taken, its pin hole, its pin and the small end of the rod."""
    c = Canvas()
    left, right, top, foot = 40, 124, 26, 138
    c.words(8, 14, "seen along the pin", faint=True)
    c.path([(left, top), (right, top), (right, foot), (right - 20, foot), (right - 26, foot - 20),
            (left + 26, foot - 20), (left + 20, foot), (left, foot)], closed=True, filled=True)
    for y in (36, 46, 56):
        c.line(left, y, left + 7, y)
        c.line(right - 7, y, right, y)
    c.circle(82, 84, 13, blank=True)
    c.measure(left, 112, right, 112)
    c.words(82, 108, "piston", at="middle")
    c.line(right + 3, foot, right + 26, foot, wide=THIN)
    c.line(right + 3, 112, right + 26, 112, wide=THIN)
    c.measure(right + 18, 112, right + 18, foot)
    c.words(right + 24, 128, "gauge")
    c.words(right + 24, 141, "height")
    c.words(8, 170, "square to the pin, at its maker's height")
    c.words(212, 14, "pin and small end", faint=True)
    c.circle(262, 64, 32, filled=True)
    c.path([(244, 92), (250, 142), (274, 142), (280, 92)], filled=True)
    c.circle(262, 64, 21, blank=True)
    c.circle(262, 64, 17, wide=THIN)
    c.measure(245, 64, 279, 64)
    c.words(262, 60, "pin", at="middle")
    c.arrow(304, 38, 279, 52)
    c.words(330, 34, "bush", at="end")
    return c


def ring_gap() -> Canvas:
    """A ring pushed square into its bore, and its gap from above."""
    c = Canvas()
    x, y = 76, 92
    c.words(8, 14, "from above", faint=True)
    c.circle(x, y, 54, filled=True)
    c.circle(x, y, 46, blank=True)
    c.arc(x, y, 46, 5, 355)
    c.arc(x, y, 38, 5, 355)
    for angle in (5, 355):
        c.line(*c.round_point(x, y, 38, angle), *c.round_point(x, y, 46, angle))
    c.arrow(x, y - 10, x, y - 38)
    c.words(x, y + 3, "gap: feeler", at="middle")
    c.words(x, 170, "free of burrs, ends together", at="middle")
    left, right = 200, 272
    c.words(180, 14, "cut open", faint=True)
    c.box(left - 20, 26, 20, 124, filled=True)
    c.box(right, 26, 20, 124, filled=True)
    c.box(left, 62, right - left, 6)
    c.path([(left + 4, 28), (left + 4, 60), (right - 4, 60), (right - 4, 28)], wide=THIN, dash="4 3")
    c.words((left + right) / 2, 46, "piston,", at="middle", faint=True)
    c.words((left + right) / 2, 57, "inverted", at="middle", faint=True)
    c.measure(left - 8, 30, left - 8, 62, wide=THIN)
    c.words(right + 24, 68, "ring")
    c.words((left + right) / 2, 106, "smallest", at="middle")
    c.words((left + right) / 2, 119, "place", at="middle")
    c.words((left + right) / 2, 170, "pushed square, in its own bore", at="middle")
    return c


def stack() -> Canvas:
    """How stroke, rod and piston add up to the deck."""
    c = Canvas()
    x, base, deck = 112, 146, 34
    c.words(8, 14, "piston at top dead centre", faint=True)
    c.box(x - 66, deck, 28, 96, filled=True)
    c.box(x + 38, deck, 28, 96, filled=True)
    c.box(x - 36, deck + 5, 72, 42)
    c.circle(x, base, 7, blank=True)
    c.circle(x, base - 28, 9, blank=True)
    c.circle(x, deck + 34, 6, blank=True)
    c.line(x - 5, deck + 40, x - 7, base - 35)
    c.line(x + 5, deck + 40, x + 7, base - 35)
    c.axis(x, 22, x, 166)
    for y in (deck, deck + 5, deck + 34, base - 28, base):
        c.line(x + (68 if y == deck else 40 if y == deck + 5 else 12), y, 270, y, wide=THIN, faint=True)
    for first, last, name in (
        (deck + 5, deck + 34, "compression height"), (deck + 34, base - 28, "rod length"),
        (base - 28, base, "half the stroke"),
    ):
        c.measure(206, first, 206, last)
        c.words(213, (first + last) / 2 + 4, name)
    c.measure(40, deck, 40, base)
    c.line(36, base, x - 10, base, wide=THIN, faint=True)
    c.line(36, deck, x - 66, deck, wide=THIN, faint=True)
    c.words(36, 92, "deck", at="end")
    c.words(36, 105, "height", at="end")
    c.words(206, 30, "deck clearance: the rest")
    c.words(8, 170, "deck height: crank centre to deck, along the cylinder axis")
    return c


def bolt() -> Canvas:
    """A rod bolt with its length before, tight, and after it is loosened."""
    c = Canvas()
    c.words(8, 14, "rod bolt between the anvils", faint=True)
    for x, name, length in ((70, "before", 92), (164, "tight", 104), (258, "loosened", 94)):
        top = 34
        c.path([(x - 14, top), (x + 14, top), (x + 14, top + 14), (x + 7, top + 14), (x + 7, top + length),
                (x - 7, top + length), (x - 7, top + 14), (x - 14, top + 14)], closed=True, filled=True)
        for y in range(top + length - 26, top + length - 2, 5):
            c.line(x - 7, y + 2, x + 7, y, wide=THIN)
        c.line(x - 34, top, x - 16, top, wide=THIN)
        c.line(x - 34, top + length, x - 9, top + length, wide=THIN)
        c.measure(x - 26, top, x - 26, top + length)
        c.words(x, 154, name, at="middle")
    c.words(166, 170, "stretch: tight minus before; set: loosened minus before", at="middle")
    return c


def volumes() -> Canvas:
    """A chamber under its plate filled from a burette, and what adds up above the piston."""
    c = Canvas()
    c.words(8, 14, "chamber, level, plug and valves in", faint=True)
    c.path([(20, 92), (58, 92), (72, 132), (124, 132), (138, 92), (170, 92), (170, 148), (20, 148)],
           closed=True, filled=True)
    c.box(34, 84, 126, 8)
    c.box(66, 26, 13, 48)
    c.path([(69, 74), (72, 84), (73, 84), (76, 74)], closed=True)
    c.line(66, 40, 79, 40, wide=THIN)
    c.words(86, 44, "first reading", faint=True)
    c.line(66, 64, 79, 64, wide=THIN)
    c.words(86, 68, "last reading", faint=True)
    c.words(98, 118, "chamber", at="middle")
    c.words(96, 170, "last minus first: the volume", at="middle")
    x = 216
    c.words(204, 14, "above the piston", faint=True)
    for y, tall, name in ((30, 30, "chamber"), (60, 16, "gasket"), (76, 16, "deck"), (92, 24, "crown")):
        c.box(x, y, 34, tall, filled=name in ("gasket", "crown"))
        c.words(x + 40, y + tall / 2 + 4, name)
    c.box(x, 116, 34, 30, wide=THIN, dash="4 3")
    c.words(x + 40, 134, "swept")
    c.words(330, 170, "dish adds, dome takes", at="end")
    return c


def gauge_forms() -> Canvas:
    """One bore typed in either form: its whole size, or the deviation from a setting size."""
    c = Canvas()
    c.words(8, 14, "read directly: type the size", faint=True)
    c.box(18, 60, 96, 26, filled=True)
    c.words(66, 78, "whole size", at="middle", bold=True)
    frame = [(114, 66), (140, 66), (140, 50), (152, 50), (152, 96), (140, 96), (140, 80), (114, 80)]
    c.path(frame, closed=True)
    c.line(8, 50, 8, 96)
    c.line(8, 73, 18, 73)
    c.words(80, 170, "blank means not measured", at="middle")
    c.words(180, 14, "set on a master: type the dial", faint=True)
    x, y = 250, 84
    c.circle(x, y, 48)
    for step in range(-5, 6):
        inner = 40 if step else 36
        c.line(*c.round_point(x, y, inner, step * 24), *c.round_point(x, y, 46, step * 24), wide=THIN)
    c.words(x, y - 22, "0", at="middle")
    c.words(x + 24, y + 2, "+", bold=True)
    c.words(x - 31, y + 2, "-", bold=True)
    c.arrow(x, y, *c.round_point(x, y, 34, 36))
    c.circle(x, y, 3, blank=True)
    c.words(x, y + 30, "deviation", at="middle", bold=True)
    c.words(x, 170, "0 is the setting size: a reading", at="middle")
    return c
