"""Makes the files in `templates_src/diagrams`; run `python -m sheetgen.diagrams`.

Each file says in its own text which drawing it was made from, so that a test can tell a stale one.
"""

from __future__ import annotations

import hashlib
import shutil
import subprocess
import tempfile
import zlib
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from sheetgen.diagrams.block import bores, deck, housings
from sheetgen.diagrams.canvas import Canvas
from sheetgen.diagrams.moving import bolt, gauge_forms, journals, piston, ring_gap, stack, volumes
from sheetgen.errors import DefinitionError
from sheetgen.sources import TEMPLATES

DIAGRAMS: Mapping[str, Callable[[], Canvas]] = {
    "bores": bores, "housings": housings, "deck": deck, "journals": journals, "piston": piston,
    "ring_gap": ring_gap, "stack": stack, "bolt": bolt, "volumes": volumes, "gauge_forms": gauge_forms,
}
"""Drawings by the name that a template calls them by."""
FOLDER = TEMPLATES / "diagrams"
DOTS_PER_INCH, METRES_PER_INCH = 192, 0.0254
SIGNATURE = b"\x89PNG\r\n\x1a\n"


def diagram_path(name: str) -> Path:
    """Return the file of a drawing.

    Raises
    ------
    DefinitionError
        There is no such drawing.
    """
    path = FOLDER / f"{name}.png"
    if not path.is_file():
        raise DefinitionError("sheets", f"there is no drawing called '{name}'")
    return path


def alternative(name: str) -> str:
    """Return what is said to a person who does not see a drawing."""
    return " ".join((DIAGRAMS[name].__doc__ or "").split())


def digest(name: str) -> str:
    """Return a digest of the drawing as it is drawn now."""
    return hashlib.sha256(DIAGRAMS[name]().pdf()).hexdigest()


def chunks(data: bytes) -> list[tuple[bytes, bytes]]:
    """Return the parts of a PNG file: kind and content."""
    found, at = [], len(SIGNATURE)
    while at < len(data):
        size = int.from_bytes(data[at : at + 4], "big")
        found.append((data[at + 4 : at + 8], data[at + 8 : at + 8 + size]))
        at += 12 + size
    return found


def written_digest(name: str) -> str:
    """Return the digest of the drawing that a file was made from."""
    for kind, content in chunks(diagram_path(name).read_bytes()):
        if kind == b"tEXt" and content.startswith(b"Source\x00"):
            return content.partition(b"\x00")[2].decode()
    return ""


def render() -> None:
    """Make every file again; needs pdftoppm."""
    raster = shutil.which("pdftoppm")
    if not raster:
        raise DefinitionError("diagrams", "pdftoppm is needed to make the drawings")
    with tempfile.TemporaryDirectory() as scratch:
        for name, draw in DIAGRAMS.items():
            page = Path(scratch) / name
            page.with_suffix(".pdf").write_bytes(draw().pdf())
            subprocess.run(  # noqa: S603  # its own files only
                [raster, "-r", str(DOTS_PER_INCH), "-gray", "-singlefile",
                 str(page.with_suffix(".pdf")), str(page)],
                check=True, capture_output=True,
            )
            made = page.with_suffix(".pgm").read_bytes()
            (FOLDER / f"{name}.png").write_bytes(_packed(made, digest(name)))


def _packed(data: bytes, told: str) -> bytes:
    """Return a grey map as a PNG file in sixteen steps, with the digest of its drawing in it."""
    _, size, _, pixels = data.split(b"\n", 3)
    wide, tall = (int(number) for number in size.split())
    rows = [pixels[number * wide : (number + 1) * wide] for number in range(tall)]
    return grey_picture(rows, DOTS_PER_INCH, told)


def grey_picture(rows: Sequence[bytes], dots: int, told: str) -> bytes:
    """Return rows of grey, a byte for each dot, as a PNG file in sixteen steps with a text in it."""
    wide, tall = len(rows[0]), len(rows)
    packed = b"".join(b"\0" + _nibbles(row) for row in rows)
    dense = round(dots / METRES_PER_INCH).to_bytes(4, "big")
    kept = [
        (b"IHDR", wide.to_bytes(4, "big") + tall.to_bytes(4, "big") + bytes((4, 0, 0, 0, 0))),
        (b"pHYs", dense + dense + b"\1"), (b"tEXt", b"Source\x00" + told.encode()),
        (b"IDAT", zlib.compress(packed, 9)), (b"IEND", b""),
    ]
    return SIGNATURE + b"".join(
        len(content).to_bytes(4, "big") + kind + content + zlib.crc32(kind + content).to_bytes(4, "big")
        for kind, content in kept
    )


def _nibbles(row: bytes) -> bytes:
    """Return a row in sixteen steps of grey, two to a byte.

    Examples
    --------
    >>> _nibbles(bytes((255, 0, 128))).hex()
    'f080'
    """
    steps = [round(value / 17) for value in row] + [0] * (len(row) % 2)
    return bytes(16 * one + other for one, other in zip(steps[::2], steps[1::2], strict=True))
