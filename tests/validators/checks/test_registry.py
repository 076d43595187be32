"""Every check says what it is, once, in the order of the gates."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from validators import checks
from validators.checks.registry import GATES, all_checks, finding
from validators.findings import Note, Place, Severity

HEADS = ("What it finds", "Why it matters", "Example", "What to do")
MANUAL = Path(checks.__path__[0]) / "README.md"
ENTRY = re.compile(r"^### (?P<code>[A-Z]+[0-9]{2}) (?P<name>[a-z-]+)$", re.MULTILINE)


def sections(docstring: str) -> tuple[str, dict[str, str]]:
    """Return the title of a check and what stands behind each of its heads, on one line each."""
    title, _, rest = docstring.strip().partition("\n\n")
    parts = re.split(rf"^({'|'.join(HEADS)}): ", rest, flags=re.MULTILINE)
    assert parts[0] == "", "something stands before the first head"
    return title, {head: " ".join(text.split()) for head, text in zip(parts[1::2], parts[2::2], strict=True)}


def manual_entry(check) -> str:
    """Return a check's entry as it stands in the manual."""
    title, told = sections(check.__doc__)
    lines = [f"### {check.CODE} {check.NAME}", "", f"{title} *{str(check.SEVERITY).capitalize()}.*", ""]
    return "\n".join([*lines, *(f"- {head}: {told[head]}" for head in HEADS)])


@pytest.mark.parametrize("check", all_checks(), ids=lambda check: check.CODE)
def test_a_check_tells_four_things(check):
    """What it finds, why it matters, an example, what to do: the manual is made from it."""
    title, told = sections(check.__doc__)
    assert tuple(told) == HEADS
    assert title.endswith(".")
    assert all(text.endswith(".") for text in told.values())
    assert isinstance(check.SEVERITY, Severity)


@pytest.mark.parametrize("check", all_checks(), ids=lambda check: check.CODE)
def test_the_manual_says_what_the_check_says(check):
    """An entry of the manual is the check's own docstring."""
    assert manual_entry(check) in MANUAL.read_text("utf-8")


def test_manual_and_checks_have_the_same_codes_in_the_same_order():
    """No code is missing from the manual, none is left in it, and they stand in the order of the gates."""
    found = [(match["code"], match["name"]) for match in ENTRY.finditer(MANUAL.read_text("utf-8"))]
    assert found == [(check.CODE, check.NAME) for check in all_checks()]


def test_codes_and_names_are_not_used_twice():
    """A code and a name stand for one fault."""
    assert len({check.CODE for check in all_checks()}) == len(all_checks())
    assert len({check.NAME for check in all_checks()}) == len(all_checks())


def test_checks_run_in_the_order_of_the_gates():
    """The file first, then the birth record, the cells, the entries, the results, the engine."""
    gates = [check.CODE[:-2] for check in all_checks()]
    assert gates == sorted(gates, key=GATES.index)
    assert set(gates) == set(GATES)


def test_a_note_can_be_graver_or_milder_than_its_check():
    """The severity of a note counts before that of its check."""
    check = next(check for check in all_checks() if check.CODE == "CELL06")
    place = Place(file="a.xlsx", sheet="Bores", cell="F14")
    plain = Note(place=place, found="a", expected="b", todo="c")
    grave = Note(place=place, found="a", expected="b", todo="c", severity=Severity.BLOCKS)
    assert finding(check, plain).severity is check.SEVERITY
    assert finding(check, grave).severity is Severity.BLOCKS
    assert finding(check, grave).code == "CELL06"
