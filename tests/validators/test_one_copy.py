"""The one workbook that a command is given: by itself, or in an archive, a mail or a folder."""

import io
import shutil
import subprocess
import zipfile
from email.message import EmailMessage
from pathlib import Path

import pytest
from typer.testing import CliRunner

from sheetgen.errors import DefinitionError
from tests.validators.hands import part, three, write_copy
from validators.cli import app
from validators.copies import find_copy, open_copy, outer_file

RUN = CliRunner()


def archive(**members):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as written:
        for name, data in members.items():
            written.writestr(name.replace("_", "."), data)
    return out.getvalue()


def mail(path, **attached):
    message = EmailMessage()
    message.set_content("the readings")
    for name, data in attached.items():
        message.add_attachment(data, maintype="application", subtype="octet-stream",
                               filename=name.replace("_", "."))
    path.write_bytes(bytes(message))
    return path


@pytest.fixture(scope="module")
def hands(tmp_path_factory):
    """Return a folder with two hands' copies: one in an archive, one attached to a mail."""
    folder = tmp_path_factory.mktemp("hands")
    one, two = three(), three()
    for name in part(two, "piston_reading"):
        two[name] = two[name] + 0.02
    first = write_copy(folder / "one.xlsx", one).read_bytes()
    second = write_copy(folder / "two.xlsx", two).read_bytes()
    (folder / "one.zip").write_bytes(archive(one_xlsx=first, photo_jpg=b"\xff\xd8\xff\xe0"))
    mail(folder / "two.eml", two_xlsx=second, letter_txt=b"good day")
    (folder / "both.zip").write_bytes(archive(one_xlsx=first, two_xlsx=second))
    (folder / "twice.zip").write_bytes(archive(one_xlsx=first, again_xlsx=first))
    (folder / "none.zip").write_bytes(archive(photo_jpg=b"\xff\xd8\xff\xe0"))
    (folder / "letter.pdf").write_bytes(b"%PDF-1.4 good day")
    return folder


def test_a_single_workbook_is_found_wherever_it_is(hands):
    """In an archive, in a mail, by its place among several, and where one file is there twice."""
    for given, place in (
        ("one.xlsx", "one.xlsx"), ("one.zip", "one.zip/one.xlsx"), ("two.eml", "two.eml/two.xlsx"),
        ("both.zip/two.xlsx", "both.zip/two.xlsx"), ("twice.zip", "twice.zip/one.xlsx"),
    ):
        assert find_copy(hands / given).place == (hands / place).as_posix()
    assert outer_file(hands / "both.zip" / "two.xlsx") == hands / "both.zip"
    assert open_copy(hands / "one.zip").values == open_copy(hands / "one.xlsx").values


@pytest.mark.parametrize(("given", "words"), [
    ("both.zip", "there are 2 workbooks in it; name one of them: '.*one.xlsx', '.*two.xlsx'"),
    ("both.zip/three.xlsx", "there is no such workbook in .*both.zip"),
    ("none.zip", "there is no workbook in it"),
    ("letter.pdf", "this is a PDF document"),
    ("nowhere.xlsx", "no file of this name"),
])
def test_what_is_not_one_workbook_is_said_in_a_sentence(hands, given, words):
    """How many there are, and what to write instead."""
    with pytest.raises(DefinitionError, match=words):
        open_copy(hands / given)


def test_compare_merge_and_record_take_what_check_takes(hands, tmp_path):
    """Archive against mail; the record is written beside the archive."""
    result = RUN.invoke(app, ["compare", str(hands / "one.zip"), str(hands / "two.eml")])
    assert result.exit_code == 1, result.output
    plain = RUN.invoke(app, ["compare", str(hands / "one.xlsx"), str(hands / "two.xlsx")])
    assert result.stdout == plain.stdout
    out = tmp_path / "together.xlsx"
    call = ["merge", str(hands / "both.zip/one.xlsx"), str(hands / "both.zip/two.xlsx"), "-o", str(out)]
    result = RUN.invoke(app, [*call, "--prefer", str(hands / "both.zip/two.xlsx")])
    assert result.exit_code == 0, result.output
    assert out.is_file()
    result = RUN.invoke(app, ["merge", str(hands / "both.zip"), str(hands / "one.xlsx"), "-o", str(out)])
    assert result.exit_code == 2
    result = RUN.invoke(app, ["record", str(hands / "one.zip")])
    assert result.exit_code == 0, result.output
    assert Path(result.stdout.strip()) == hands / "one record.html"
    result = RUN.invoke(app, ["record", str(hands / "both.zip")])
    assert result.exit_code == 2
    assert "name one of them" in result.stderr


@pytest.mark.office
@pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not installed")
def test_a_copy_saved_as_ods_is_compared_with_one_in_an_archive(hands, tmp_path):
    """Saved by an office program, alone and in an archive: the same readings, the same answer."""
    call = ["soffice", "--headless", f"-env:UserInstallation={(tmp_path / 'office').as_uri()}",
            "--convert-to", "ods", "--outdir", str(tmp_path), str(hands / "one.xlsx")]
    subprocess.run(call, check=True, capture_output=True, timeout=120)
    saved = tmp_path / "one.ods"
    (tmp_path / "sent.zip").write_bytes(archive(one_ods=saved.read_bytes()))
    assert open_copy(saved).values == open_copy(hands / "one.xlsx").values
    plain = RUN.invoke(app, ["compare", str(hands / "one.xlsx"), str(hands / "two.xlsx")])
    for given in (saved, tmp_path / "sent.zip"):
        result = RUN.invoke(app, ["compare", str(given), str(hands / "two.eml")])
        assert result.exit_code == 1, result.output
        assert result.stdout.replace("one.ods", "one.xlsx").split() == plain.stdout.split()
