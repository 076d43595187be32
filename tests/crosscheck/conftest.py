"""The office program, one for all tests of a run, and the workbooks that are put to it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.crosscheck.office import Office, office_program


@pytest.fixture(scope="session")
def program() -> Iterator[Office]:
    """The office program; started by the first test that needs it, always stopped at the end."""
    with office_program() as office:
        yield office
