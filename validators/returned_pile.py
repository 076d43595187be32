"""A returned pile once every file of it is checked: what the checks of the pile look at."""

from __future__ import annotations

from dataclasses import dataclass

from validators.findings import Copies
from validators.pile import Aside


@dataclass(frozen=True, slots=True, kw_only=True)
class ReturnedPile:
    """What was passed over, which files are the same, and which are copies of one job."""

    asides: tuple[Aside, ...]
    identical: tuple[tuple[str, ...], ...]
    copies: tuple[Copies, ...]
