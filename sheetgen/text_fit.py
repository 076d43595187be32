"""How much room a text takes in the workbook's typeface: widths in screen pixels, wrapped lines.

The advance widths are those of the common grotesque that `templates_src/look.toml` names and of its
metric twins, in thousandths of the type size.
"""

from __future__ import annotations

from functools import cache, lru_cache
from itertools import repeat

PIXELS_PER_POINT = 96 / 72
DIGIT = 7
"""Pixels of the widest digit at the default type size: the unit of column widths."""
PADDING = 5
"""Pixels a column holds besides its characters."""
BOLD = 1.075
SAFETY = 1.04
AIR = 3
"""Pixels that a head leaves free at each side."""

_GROUPS = (
    (191, "'"),
    (222, "ijl|"),
    (278, " !,./:;I[]\\ft"),
    (333, "-()r²³⁻"),
    (355, '"'),
    (389, "*"),
    (400, "°"),
    (500, "Jcksvxyz"),
    (584, "+<=>±×"),
    (611, "FTZ"),
    (667, "&ABEKPSVXY"),
    (722, "CDHNRUw"),
    (778, "GOQ"),
    (833, "Mm"),
    (889, "%"),
    (944, "W"),
)
_ADVANCE = {letter: width for width, letters in _GROUPS for letter in letters}
_USUAL = 556


@cache
def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Return the width of one line of text in pixels.

    Examples
    --------
    >>> round(text_width("too close to call", 10))
    96
    """
    thousandths = sum(map(_ADVANCE.get, text, repeat(_USUAL)))
    return thousandths / 1000 * size * PIXELS_PER_POINT * SAFETY * (BOLD if bold else 1)


def column_pixels(characters: float) -> float:
    """Return how many pixels a column of so many characters is wide.

    Examples
    --------
    >>> column_pixels(14)
    103
    """
    return int(characters * DIGIT + 0.5) + PADDING


def column_characters(pixels: float) -> float:
    """Return the width of the column that holds so many pixels of text, with a little air."""
    return round((pixels + PADDING + 1) / DIGIT, 1)


@lru_cache(maxsize=8192)
def with_air(text: str, pixels: float, size: float, *, bold: bool = False) -> str:
    """Return a text with even lines where a program might let one touch the frame, else as it is.

    Examples
    --------
    >>> with_air("Housing, largest", 103, 9, bold=True).splitlines()
    ['Housing,', 'largest']
    >>> with_air("Pin hole", 103, 9, bold=True)
    'Pin hole'
    """
    room = pixels - PADDING - 2 * AIR
    narrow = _lines(text, room, size, bold=bold)
    if narrow == _lines(text, (pixels - PADDING) * SAFETY, size, bold=bold):
        return text
    even = narrow
    while room > 0 and len(even) == len(narrow):
        narrow, room = even, room - 1
        even = _lines(text, room, size, bold=bold)
    return "\n".join(narrow)


def _lines(text: str, room: float, size: float, *, bold: bool) -> list[str]:
    """Return the lines into which words are put, as many on each as fit; no unit stands alone."""
    lines: list[str] = []
    for word in text.replace(" °", "\N{NO-BREAK SPACE}°").split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size, bold=bold) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


@lru_cache(maxsize=8192)
def wrapped_lines(text: str, pixels: float, size: float, *, bold: bool = False) -> int:
    """Return how many lines a text takes in so many pixels.

    Examples
    --------
    >>> wrapped_lines("Clearance from thrust-axis mean", 103, 9, bold=True)
    3
    """
    space = text_width(" ", size, bold=bold)
    room = max(1.0, pixels - PADDING)
    total = 0
    for paragraph in text.split("\n"):
        lines, used = 1, 0.0
        for word in paragraph.split():
            width = text_width(word, size, bold=bold)
            if used and used + space + width > room:
                lines, used = lines + 1, 0.0
            used += width + (space if used else 0)
            while used > room:
                lines, used = lines + 1, used - room
        total += lines
    return total
