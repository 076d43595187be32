"""The returned pile: what is found in it, where it says it is, and that nothing in it can do harm."""

from __future__ import annotations

import io
import os
import zipfile
from email.message import EmailMessage
from pathlib import Path

import pytest
from typer.testing import CliRunner

from sheetgen.fill import fill_workbook
from tests.returned.workbooks import engine
from validators import batch
from validators.batch import check_files
from validators.checks import out_of_limits
from validators.cli import app
from validators.pile import MAIL_DATE, Aside, Piece, PileLimits, walk
from validators.progress import Progress
from validators.recompute import Recomputer

RUN = CliRunner()
OLD_WORKBOOK = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600) + "Workbook".encode("utf-16-le")


@pytest.fixture(scope="module")
def book() -> bytes:
    return engine("three").filled


def packed(members, compression=zipfile.ZIP_DEFLATED) -> bytes:
    """Return an archive; members are names and bytes, a name may stand twice."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", compression) as archive:
        for name, data in members:
            archive.writestr(zipfile.ZipInfo(name, (2031, 3, 4, 8, 0, 0)), data, compression)
    return out.getvalue()


def mail(subject, attached, text="Here it is.") -> EmailMessage:
    message = EmailMessage()
    message["From"], message["To"], message["Subject"] = "shop@example.org", "me@example.org", subject
    message["Date"] = "Tue, 04 Mar 2031 10:00:00 +0100"
    message.set_content(text)
    for name, data in attached:
        message.add_attachment(data, maintype="application", subtype="octet-stream", filename=name)
    return message


def mailbox(*mails) -> bytes:
    return b"".join(b"From shop@example.org Tue Mar  4 10:00:00 2031\n" + bytes(m) + b"\n" for m in mails)


def found(folder: Path, files, **limits):
    """Write files into a folder and return what is in the pile, by place below the folder."""
    for name, data in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    pile = list(walk([folder], PileLimits(**limits)))
    assert len({item.place for item in pile}) == len(pile), "two things in one place"
    return {item.place.removeprefix(f"{folder.as_posix()}/"): item for item in pile}


def test_workbooks_are_found_wherever_they_are(tmp_path, book):
    """In folders, archives, archives in archives, mails, mailboxes and archives attached to mails."""
    inner = packed([("march/job-12.xlsx", book)])
    pile = found(tmp_path, {
        "b/job-1.xlsx": book,
        "a.zip": packed([("job-2.xlsx", book), ("more/inner.zip", inner)]),
        "one.eml": bytes(mail("Bores", [("job-3.xlsx", book), ("sent.zip", inner)])),
        "all.mbox": mailbox(mail("Hello", []), mail("März 7/8", [("job 4.xlsx", book)])),
    })
    assert [*pile] == [
        "a.zip/job-2.xlsx",
        "a.zip/more/inner.zip/march/job-12.xlsx",
        "all.mbox/message 2 (März 7-8, 2031-03-04)/job 4.xlsx",
        "one.eml/job-3.xlsx",
        "one.eml/sent.zip/march/job-12.xlsx",
        "b/job-1.xlsx",
    ]
    assert {item.data for item in pile.values()} == {book}
    dates = {place: dict(item.dates) for place, item in pile.items()}
    assert dates["one.eml/sent.zip/march/job-12.xlsx"][MAIL_DATE].isoformat() == "2031-03-04T10:00:00+01:00"
    assert MAIL_DATE not in dates["b/job-1.xlsx"]


def test_a_workbook_is_known_by_what_it_is(tmp_path, book):
    """Whatever it is called; and what is called a workbook is looked at as one."""
    pile = found(tmp_path, {"job.xlsx.download": book, "page.xlsx": b"<html>", "empty.xlsx": b""})
    assert all(isinstance(item, Piece) and item.fault is None for item in pile.values())


@pytest.mark.parametrize(
    ("name", "data", "words", "grave"),
    [
        ("block.jpg", b"\xff\xd8\xff\xe0", "a picture", False),
        ("block.heic", b"\x00\x00\x00\x18ftypheic", "a picture", False),
        ("hone.mp4", b"\x00\x00\x00\x18ftypisom", "a film", False),
        ("note.txt", b"bore 3 is done", "plain text", False),
        ("letter.pdf", b"%PDF-1.7", "a PDF document", False),
        ("job.xls", OLD_WORKBOOK, "an older workbook format (.xls)", True),
        ("job.rar", b"Rar!\x1a\x07\x00", "an archive (.rar)", True),
        ("letter.docx", packed([("[Content_Types].xml", b""), ("word/document.xml", b"")]), "a text", False),
        ("letter.odt", packed([("mimetype", b"application/vnd.oasis.opendocument.text")]), "an Open", False),
        ("winmail.dat", b"\x78\x9f\x3e\x22\x00", "winmail.dat", True),
        ("nothing", b"", "an empty file", False),
        ("empty.zip", packed([]), "an archive with nothing in it", False),
        ("hello.eml", bytes(mail("Hello", [])), "a mail with nothing attached", False),
    ],
)
def test_what_is_no_workbook_is_named(tmp_path, name, data, words, grave):
    """It is said what it is; what may hold readings needs a look."""
    (item,) = found(tmp_path, {name: data}).values()
    assert isinstance(item, Aside)
    assert words in item.found
    assert item.grave is grave
    assert item.todo


def test_what_programs_keep_for_themselves_is_not_named(tmp_path, book):
    """Lock files, and what systems add to folders and archives."""
    pile = found(tmp_path, {
        "~$job.xlsx": b"x", ".~lock.job.xlsx#": b"x", ".DS_Store": b"x", "Thumbs.db": b"x",
        "a.zip": packed([("__MACOSX/._job.xlsx", b"x"), ("job.xlsx", book)]),
    })
    assert [*pile] == ["a.zip/job.xlsx"]


def test_names_in_an_archive_lead_nowhere(tmp_path, book):
    """A place is below its archive, and nothing is written."""
    data = packed([("../../up.xlsx", book), ("/etc/abs.xlsx", book), ("C:\\w\\win.xlsx", book),
                   ("a\x1b[31m.xlsx", book), ("up.xlsx", book)])
    pile = found(tmp_path, {"bad.zip": data})
    assert [*pile] == [
        "bad.zip/up.xlsx", "bad.zip/etc/abs.xlsx", "bad.zip/C-/w/win.xlsx", "bad.zip/a-[31m.xlsx",
        "bad.zip/up.xlsx (2)",
    ]
    assert sorted(p.name for p in tmp_path.iterdir()) == ["bad.zip"]


def faults(pile):
    return [item.fault.code for item in pile.values() if isinstance(item, Piece) and item.fault]


def test_an_archive_that_grows_is_not_unpacked(tmp_path):
    """A member packed a thousand times smaller than it is."""
    pile = found(tmp_path, {"bomb.zip": packed([("job.xlsx", bytes(20_000_000))])})
    assert faults(pile) == ["FILE05"]


@pytest.mark.parametrize(
    "limits", [{"members": 2}, {"unpacked_bytes": 2}, {"archive_bytes": 2}, {"inner_bytes": 2}]
)
def test_an_archive_over_a_limit_is_refused(tmp_path, limits):
    """Too many files, too much in all, too big itself, one file too big."""
    data = packed([(f"note {number}.zip", packed([("a.txt", b"text")])) for number in range(3)])
    pile = found(tmp_path, {"big.zip": data}, **limits)
    assert set(faults(pile)) == {"FILE05"}
    assert found(tmp_path, {"big.zip": data}).keys() == {
        f"big.zip/note {number}.zip/a.txt" for number in range(3)
    }


def test_archives_in_archives_end(tmp_path, book):
    """What is packed too deep is said, and not opened."""
    data = packed([("job.xlsx", book)])
    for number in range(6):
        data = packed([(f"{number}.zip", data)])
    pile = found(tmp_path, {"deep.zip": data})
    assert faults(pile) == ["FILE05"]
    assert [*pile] == ["deep.zip/5.zip/4.zip/3.zip/2.zip"]


@pytest.mark.parametrize("cut", [10, 100, 0.5, 0.9])
def test_a_damaged_archive_is_said(tmp_path, book, cut):
    """Wherever it ends; and the pile goes on."""
    data = packed([("job.xlsx", book)])
    data = data[: cut if isinstance(cut, int) else int(len(data) * cut)]
    pile = found(tmp_path, {"a.zip": data, "b.xlsx": book})
    assert faults(pile) == ["FILE02"]
    assert "b.xlsx" in pile


def test_a_member_with_a_password_is_said_and_the_others_are_read(tmp_path, book):
    """The flag of one member is set as programs set it."""
    data = bytearray(packed([("a.xlsx", book), ("b.xlsx", book)]))
    data[data.index(b"PK\x01\x02") + 8] |= 1
    pile = found(tmp_path, {"secret.zip": bytes(data)})
    assert faults(pile) == ["FILE03"]
    assert pile["secret.zip/b.xlsx"].data == book


def test_mails_in_mails_and_names_that_stand_twice(tmp_path, book):
    """An attached mail is opened; two attachments of one name stay apart."""
    inner = mail("Inside", [("job.xlsx", book)])
    outer = mail("Outside", [("job.xlsx", book), ("job.xlsx", book)])
    outer.add_attachment(inner)
    pile = found(tmp_path, {"a.eml": bytes(outer)})
    assert [*pile] == ["a.eml/job.xlsx", "a.eml/job (2).xlsx", "a.eml/attached mail (Inside)/job.xlsx"]


def test_a_mail_larger_than_allowed_costs_only_itself(tmp_path, book):
    """The others in its mailbox are read."""
    box = mailbox(mail("Small", [("a.xlsx", book)]), mail("Big", [], "x\n" * 1_000_000))
    pile = found(tmp_path, {"all.mbox": box}, message_bytes=1_000_000)
    assert faults(pile) == ["FILE05"]
    assert "all.mbox/message 1 (Small, 2031-03-04)/a.xlsx" in pile
    assert found(tmp_path, {"all.mbox": box}, messages=1).keys() >= {"all.mbox"}


@pytest.mark.parametrize("data", [
    b"From: a\nTo: b\nSubject: =?utf-8?q?=ff?=\nDate: no day\nContent-Type: multipart/mixed\n\nx",
    b"From: a\nTo: b\nSubject: c\nContent-Type: multipart/mixed; boundary=x\n\n" + b"--x\n" * 3000,
    b"From: a\nTo: b\nSubject: c\nContent-Transfer-Encoding: base64\nContent-Type: a/b; name=j.xlsx\n\n!!",
])
def test_ill_made_mails_are_no_traceback(tmp_path, data):
    """Whatever a mail looks like, something is said or nothing is in it."""
    for item in found(tmp_path, {"a.eml": data}).values():
        assert isinstance(item, Aside | Piece)


# ---------------------------------------------------------------- the run


def test_sheets_that_compute_the_same_are_recomputed_together(tmp_path, monkeypatch, book):
    """Once for each set of formulas, although the jobs, and so the birth records, differ."""
    calls = []
    honest = Recomputer.reference

    def reference(self, entries):
        calls.append(len(entries))
        return honest(self, entries)

    monkeypatch.setattr(Recomputer, "reference", reference)
    other = engine("three", ("main_clearance",))
    assert other.plan.digest != engine("three").plan.digest
    for name, data in {"a": book, "b": engine("twin").filled, "c": other.filled, "d": book}.items():
        (tmp_path / f"{name}.xlsx").write_bytes(data)
    report = check_files([tmp_path])
    assert sorted(calls) == [1, 3]
    assert [Path(sheet.file).name for sheet in report.sheets] == ["a.xlsx", "b.xlsx", "c.xlsx", "d.xlsx"]
    assert report.sheets[2].findings == check_files([tmp_path / "c.xlsx"]).sheets[0].findings


def test_a_batch_that_fails_is_tried_one_by_one(tmp_path, monkeypatch, book, caplog):
    """The fault is told of the one sheet that has it."""
    honest = Recomputer.recalculated

    def recalculated(self, entries):
        if any(sheet["bore_reading_1_top_thrust"] == 86.0025 for sheet in entries):
            raise ZeroDivisionError
        return honest(self, entries)

    monkeypatch.setattr(Recomputer, "recalculated", recalculated)
    odd = fill_workbook(book, engine("three").plan, {"bore_reading_1_top_thrust": 86.0025})
    for name, data in {"a": book, "b": odd, "c": book}.items():
        (tmp_path / f"{name}.xlsx").write_bytes(data)
    report = check_files([tmp_path])
    assert [[f.code for f in sheet.findings] for sheet in report.sheets] == [[], ["TOOL01"], []]


@pytest.mark.parametrize(
    ("workers", "sizes"),
    [(0, [32, 32, 32, 4]), (1, [32, 32, 32, 4]), (2, [16, 16, 32, 32, 4]),
     (8, [16] * 6 + [4])],
)
def test_every_worker_soon_has_a_portion_and_later_ones_are_larger(workers, sizes):
    """The larger a portion, the less its recomputation takes for a file."""
    pieces = [Piece(place=f"{number}.xlsx") for number in range(100)]
    found = list(batch.chunks(pieces, workers))
    assert [len(portion) for portion in found] == sizes
    assert [piece for portion in found for piece in portion] == pieces


def test_a_portion_of_large_files_is_smaller():
    """It is held in memory."""
    pieces = [Piece(place=f"{number}.xlsx", data=bytes(batch.CHUNK_BYTES // 3)) for number in range(7)]
    assert [len(portion) for portion in batch.chunks(pieces)] == [3, 3, 1]


def test_the_report_is_the_same_whatever_the_number_of_workers(tmp_path, monkeypatch, book):
    """Order, findings and copies; a portion holds two files, so that workers overtake each other."""
    monkeypatch.setattr(batch, "CHUNK", 2)
    for number in range(5):
        entries = {"job_number": f"J-{number // 2}", "bore_reading_2_top_thrust": 86.001 + number / 1000}
        data = fill_workbook(book, engine("three").plan, entries, recalculate=False)
        (tmp_path / f"job-{number}.xlsx").write_bytes(data)
        os.utime(tmp_path / f"job-{number}.xlsx", (1e9 + number, 1e9 + number))
    (tmp_path / "block.jpg").write_bytes(b"\xff\xd8\xff")
    alone, many = check_files([tmp_path]), check_files([tmp_path], jobs=2)
    assert alone == many
    assert len(alone.sheets) == 5
    assert [copies.files[0][-10:] for copies in alone.copies] == ["job-1.xlsx", "job-3.xlsx"]


def test_a_file_that_brings_a_worker_down_costs_only_itself(tmp_path, monkeypatch, book, caplog):
    """Its report says that this program failed; the others of its portion are checked."""
    honest = out_of_limits.find

    def find(sheet):
        if sheet.path.name == "b.xlsx":
            os._exit(3)
        return honest(sheet)

    monkeypatch.setattr(out_of_limits, "find", find)
    for name in "abc":
        (tmp_path / f"{name}.xlsx").write_bytes(book)
    report = check_files([tmp_path], jobs=2)
    assert [[f.code for f in sheet.findings] for sheet in report.sheets] == [[], ["TOOL01"], []]


class Screen(io.StringIO):
    def isatty(self):
        return True


def test_progress_is_shown_on_a_terminal_only_and_taken_away(monkeypatch):
    """One line that is written over; nothing into a file, nothing when nobody wants it."""
    monkeypatch.setattr("validators.progress.SECONDS_BETWEEN", 0)
    screen = Screen()
    with Progress(screen) as told:
        told(0, "a/job-1.xlsx")
        told(3, "a/\x1b[31mjob-2.xlsx")
    assert "3 checked, 2 found: a/\\x1b[31mjob-2.xlsx" in screen.getvalue()
    assert "\n" not in screen.getvalue()
    assert screen.getvalue().endswith(" \r")
    for stream, shown in ((io.StringIO(), True), (Screen(), False)):
        with Progress(stream, shown=shown) as told:
            told(0, "a")
        assert stream.getvalue() == ""


def test_data_goes_to_stdout_and_talk_to_stderr(tmp_path, book):
    """`--quiet` leaves the talk out and nothing else."""
    (tmp_path / "job.xlsx").write_bytes(book)
    (tmp_path / "block.jpg").write_bytes(b"\xff\xd8\xff")
    report = tmp_path / "out"
    report.mkdir()
    call = ["check", str(tmp_path), "--report"]
    loud = RUN.invoke(app, [*call, str(report / "a.json")])
    quiet = RUN.invoke(app, [*call, str(report / "b.json"), "--quiet", "--jobs", "2"])
    assert loud.exit_code == quiet.exit_code == 0
    assert "Report:" in loud.stderr
    assert quiet.stderr == ""
    assert "1 file: 1 with nothing to act on" in quiet.stdout
    assert "PILE01" not in quiet.stdout
    assert "PILE01" in RUN.invoke(app, ["check", str(tmp_path), "--all"]).stdout


def test_a_pile_without_a_workbook_is_not_a_pass(tmp_path):
    """It is said what was there instead."""
    (tmp_path / "block.jpg").write_bytes(b"\xff\xd8\xff")
    result = RUN.invoke(app, ["check", str(tmp_path)])
    assert result.exit_code == 2
    assert "a picture (.jpg), passed over" in result.stderr
    assert "no workbook" in result.stderr
