"""What is said beside an entry when its cell is selected, from `templates_src/prompts.toml`."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from sheetgen.errors import DefinitionError, nearest

LIMITS, TITLES = "limits", "titles"
SIDES = ("lower", "upper", "origin")
HEADINGS = {"lower": "Lower limit", "upper": "Upper limit", "origin": "Limits come from"}
LONGEST_HEADING = 32
"""Characters that a spreadsheet program shows above a prompt."""


@dataclass(frozen=True, slots=True)
class Prompts:
    """The texts: of each entry, of the limits of any quantity, and shorter headings than the labels."""

    texts: Mapping[str, str]
    limits: Mapping[str, str]
    titles: Mapping[str, str]

    def title(self, key: str, label: str) -> str:
        """Return what stands above an entry's text."""
        return self.titles.get(key, label)

    def of_limit(self, side: str, label: str) -> tuple[str, str]:
        """Return heading and text of the entry of a limit, for the quantity of that label."""
        return HEADINGS[side], self.limits[side].format(label=label)


def read_prompts(where: str, data: Mapping[str, Any], labels: Mapping[str, str]) -> Prompts:
    """Read the texts strictly: one for every entry, none for anything else, every heading short.

    Parameters
    ----------
    where : str
        The file's name, for what is wrong in it.
    data : mapping
        The file's tables.
    labels : mapping
        Every entry that a person types to its label, without those that are made from limits.

    Raises
    ------
    DefinitionError
        An entry without a text, a text twice or of no entry, a heading that is too long.
    """
    texts: dict[str, str] = {}
    for table, said in data.items():
        if table in (LIMITS, TITLES):
            continue
        for key, text in said.items():
            if key in texts:
                raise DefinitionError(f"{where}, {key}", "it has a text already")
            _known(where, key, labels)
            texts[key] = text
    for key in labels:
        if not texts.get(key):
            raise DefinitionError(f"{where}, {key}", "this entry has no text")
    made = Prompts(texts, data[LIMITS], data[TITLES])
    for key in made.titles:
        _known(where, key, labels)
    for key, label in labels.items():
        if len(made.title(key, label)) > LONGEST_HEADING:
            why = f"its heading '{made.title(key, label)}' has more than {LONGEST_HEADING} characters"
            raise DefinitionError(f"{where}, {key}", why)
    for side in SIDES:
        if "{label}" not in made.limits.get(side, ""):
            raise DefinitionError(f"{where}, {LIMITS}", f"'{side}' does not say of what")
    return made


def _known(where: str, key: str, labels: Collection[str]) -> None:
    if key not in labels:
        raise DefinitionError(f"{where}, {key}", f"this is no entry{nearest(key, labels)}")
