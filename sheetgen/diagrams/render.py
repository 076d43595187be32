"""Makes the files in `templates_src/diagrams`; run `python -m sheetgen.diagrams`.

Each file says in its own text which drawing it was made from, so that a test can tell a stale one.
"""

from __future__ import annotations

import hashlib
import shutil
import subprocess
import tempfile
import zlib
from collections.abc import Callable, Mapping
from pathlib import Path

from sheetgen.catalogue import TEMPLATES
from sheetgen.diagrams.block import bores, deck, housings
from sheetgen.diagrams.canvas import Canvas
from sheetgen.diagrams.moving import bolt, gauge_forms, journals, piston, ring_gap, stack, volumes
from sheetgen.errors import DefinitionError

DIAGRAMS: Mapping[str, Callable[[], Canvas]] = {
    "bores": bores, "housings": housings, "deck": deck, "journals": journals, "piston": piston,
    "ring_gap": ring_gap, "stack": stack, "bolt": bolt, "volumes": volumes, "gauge_forms": gauge_forms,
}
"""Drawings by the name that a template calls them by."""
FOLDER = TEMPLATES / "diagrams"
DOTS_PER_INCH = 192
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
            subprocess.run(
                [raster, "-r", str(DOTS_PER_INCH), "-gray", "-png", "-singlefile",
                 str(page.with_suffix(".pdf")), str(page)],
                check=True, capture_output=True,
            )
            made = page.with_suffix(".png").read_bytes()
            diagram_file = FOLDER / f"{name}.png"
            diagram_file.write_bytes(_signed(made, digest(name)))


def _signed(data: bytes, told: str) -> bytes:
    """Return a PNG file packed tightly, with the digest of its drawing in it."""
    parts = chunks(data)
    pixels = zlib.compress(zlib.decompress(b"".join(c for kind, c in parts if kind == b"IDAT")), 9)
    kept = [part for part in parts if part[0] in (b"IHDR", b"pHYs")]
    kept += [(b"tEXt", b"Source\x00" + told.encode()), (b"IDAT", pixels), (b"IEND", b"")]
    return SIGNATURE + b"".join(
        len(content).to_bytes(4, "big") + kind + content + zlib.crc32(kind + content).to_bytes(4, "big")
        for kind, content in kept
    )
