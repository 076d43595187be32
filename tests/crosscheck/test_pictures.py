"""The pictures of the documentation show the sheets as they are."""

import hashlib
import itertools

import pytest

from sheetgen.pictures.__main__ import HERE, LEVELS, PICTURES, make
from sheetgen.pictures.every import BOOKS, book, told
from sheetgen.pictures.programs import printed

pytestmark = pytest.mark.office
EVERY = "the contact pictures no longer show the sheets: python -m sheetgen.pictures --every"
AGAIN = "the picture no longer shows the sheet: python -m sheetgen.pictures"
DARKNESS = 1.0
"""How far two pictures may be apart on average, of 15; moved by one place they are 1.8 to 2.8 apart."""


def parts(path):
    digest, words, dark = path.read_text(encoding="utf-8").split("\n\n")
    return digest, words, [[LEVELS.index(level) for level in row] for row in dark.split()]


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("pictures")
    assert len(list(make(folder))) == len(PICTURES)
    return folder


@pytest.mark.parametrize("picture", PICTURES, ids=lambda p: p.sheet)
def test_a_picture_is_not_stale(made, picture):
    """Made again now it has the same words, and is dark in the same places."""
    name = picture.file.replace(".png", ".txt")
    digest, words, dark = parts(HERE / name)
    assert digest == "sha256 " + hashlib.sha256((HERE / picture.file).read_bytes()).hexdigest()
    _, words_now, dark_now = parts(made / name)
    assert words_now == words, AGAIN
    assert abs(len(dark_now) - len(dark)) <= 1, AGAIN
    apart = [
        abs(a - b) for now, then in zip(dark_now, dark, strict=False) for a, b in zip(now, then, strict=False)
    ]
    assert sum(apart) / len(apart) < DARKNESS, AGAIN


@pytest.mark.parametrize("name", BOOKS)
def test_contact_pictures_show_the_pages_as_they_are(name, tmp_path):
    """Every page has the words and is dark where the pictures are; a line is told from another page's."""
    then = (HERE / "every" / f"{name}_print.txt").read_text(encoding="utf-8").split("\n")
    now = told(printed(book(name), tmp_path, name)).split("\n")
    assert [line.split()[:3] for line in now] == [line.split()[:3] for line in then], EVERY
    dark = [
        [LEVELS.index(level) for line in lines if line for level in line.split()[3]] for lines in (now, then)
    ]
    apart = [abs(a - b) for a, b in zip(*dark, strict=True)]
    assert sum(apart) / len(apart) < 0.2, EVERY
    moved = [abs(a - b) for a, b in zip(dark[0], dark[0][16:], strict=False)]
    assert sum(moved) / len(moved) > 0.6


def test_a_moved_picture_would_be_found():
    """The measure tells a picture from the same one, one place further down."""
    for picture in PICTURES:
        _, _, dark = parts(HERE / picture.file.replace(".png", ".txt"))
        apart = [abs(a - b) for up, down in itertools.pairwise(dark)
                 for a, b in zip(up, down, strict=False)]
        assert sum(apart) / len(apart) > DARKNESS
