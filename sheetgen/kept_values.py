"""Stored values of a workbook in which nothing is given: computed once, not at each start.

They are found by a digest of all that they follow from, to the last byte, and of the edition of the engine
that computes them; and kept only if they give the very parts that the engine gave.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable, Mapping, Sequence
from importlib.metadata import version
from typing import Any

from sheetgen.sources import edition
from sheetgen.user_cache import Keeping, digest_of

ENGINE = "formualizer"
SHEETS, ASIDE = "xl/worksheets/sheet", "docProps/"
"""Parts with cells, and parts that no value follows from: one has the time of writing."""

FORMULA = re.compile(
    '(<c r="[A-Z]+[0-9]+"(?: s="[0-9]+")?)((?: t="[a-z]+")?)(><f>[^<]*</f><v>)([^<]*)(</v></c>)'
)
"""A formula's cell: up to its format, kind of value, formula, value, end."""

VALUE = re.compile('((?: t="(?:str|b|e)")?)>([^<>]*)')
"""What is kept of a value: its kind as it stands in the cell, and itself as it is written."""

Parts = Mapping[str, bytes]


def with_values(data: bytes, compute: Callable[[bytes], bytes]) -> bytes:
    """Return the same workbook with every formula's value stored.

    Parameters
    ----------
    data : bytes
        The workbook as written.
    compute : callable
        Returns it with values; called when none are kept.
    """
    parts = _unpacked(data)
    told = [part for item in parts.items() if not item[0].startswith(ASIDE) for part in item]
    keeping = Keeping("values", digest_of([ENGINE, version(ENGINE), *told]), edition())
    filled = put_in(parts, keeping.load())
    if filled is not None:
        return _packed(filled)
    computed = compute(data)
    found = taken_from(_unpacked(computed))
    if put_in(parts, found) == _unpacked(computed):
        keeping.save(found)
    return computed


def taken_from(parts: Parts) -> dict[str, Any]:
    """Return the stored values as plain data: each is said once, and for a cell its number."""
    known: dict[str, int] = {}
    sheets = {
        name: [
            known.setdefault(f"{kind}>{value}", len(known))
            for _, kind, _, value, _ in FORMULA.findall(content.decode())
        ]
        for name, content in parts.items() if name.startswith(SHEETS)
    }
    return {"values": list(known), "sheets": sheets}


def put_in(parts: Parts, kept: Any) -> dict[str, bytes] | None:
    """Return the parts with kept values in their formula cells, None when there are none or not for these."""
    try:
        values = [VALUE.fullmatch(value).groups() for value in kept["values"]]  # type: ignore[union-attr]
        return {
            name: _filled(content.decode(), [values[number] for number in kept["sheets"][name]]).encode()
            if name.startswith(SHEETS) else content
            for name, content in parts.items()
        }
    except (AttributeError, LookupError, TypeError, ValueError):
        return None


def _filled(sheet: str, values: Sequence[Any]) -> str:
    """Return a sheet with values in its formula cells, which come in the same order.

    Raises
    ------
    LookupError
        There are more cells, or fewer.
    """
    following = iter(values)

    def cell(written: re.Match[str]) -> str:
        kind, value = next(following, (None, None))
        if value is None:
            raise LookupError("a formula without a value")
        return f"{written[1]}{kind}{written[3]}{value}{written[5]}"

    made = FORMULA.sub(cell, sheet)
    if next(following, None) is not None:
        raise LookupError("a value without a formula")
    return made


def _unpacked(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def _packed(parts: Parts) -> bytes:
    """Return the parts as a file, without the time of writing, as the writer does."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            item = zipfile.ZipInfo(name)
            item.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(item, content)
    return out.getvalue()
