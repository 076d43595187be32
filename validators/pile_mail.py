"""Saved mails: the messages of a mailbox and what is attached to them."""

from __future__ import annotations

import email
import email.policy
import email.utils
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from email.message import Message
from typing import TYPE_CHECKING, BinaryIO

from validators.errors import UnreadableFile
from validators.file_kinds import unsafe
from validators.pile_archive import clean_place

if TYPE_CHECKING:
    from validators.pile import PileLimits

DEEPEST_PARTS = 50
LONGEST_SUBJECT = 60
BEGINS = b"From "
SAVE_ATTACHED = "Save its attachments and send the workbooks."


@dataclass(frozen=True, slots=True)
class Attachment:
    """Something attached to a mail."""

    name: str
    data: bytes


@dataclass(frozen=True, slots=True)
class Mail:
    """One mail: what tells it apart, and what is attached."""

    subject: str
    when: datetime | None
    attached: tuple[Attachment, ...]
    fault: UnreadableFile | None = None

    @property
    def told(self) -> str:
        """Subject and day, in brackets, as far as they are known."""
        day = self.when.date().isoformat() if self.when else ""
        told = ", ".join(part for part in (self.subject, day) if part)
        return f" ({told})" if told else ""


def messages(stream: BinaryIO, limits: PileLimits) -> Iterator[bytes | UnreadableFile]:
    """Yield the messages of a mailbox one after the other; one that is too large as why it is not read.

    Raises
    ------
    UnreadableFile
        FILE05 more messages than allowed.
    """
    lines: list[bytes] = []
    size = count = 0
    blank = True
    started = False
    while line := stream.readline(limits.message_bytes):
        if blank and line.startswith(BEGINS):
            if started:
                yield _message(lines, size, limits)
            started, lines, size = True, [], 0
            count += 1
            if count > limits.messages:
                raise unsafe(
                    f"more than {limits.messages} messages", f"at most {limits.messages}",
                    "Save the mails with workbooks in a mailbox of their own.",
                )
            blank = False
            continue
        blank = not line.strip()
        size += len(line)
        if size <= limits.message_bytes:
            lines.append(line)
        else:
            lines.clear()
    if started:
        yield _message(lines, size, limits)


def _message(lines: list[bytes], size: int, limits: PileLimits) -> bytes | UnreadableFile:
    if size > limits.message_bytes:
        return unsafe("a very large mail", f"at most {limits.message_bytes / 1e6:.0f} MB", SAVE_ATTACHED)
    return b"".join(lines)


def attachments(data: bytes, limits: PileLimits) -> Mail:
    """Return what is attached to a mail, mails attached to it included; its own text is left out."""
    try:
        message = email.message_from_bytes(data, policy=email.policy.compat32)
        attached = tuple(_attached(message, limits))
    except UnreadableFile as fault:
        return Mail("", None, (), fault)
    except (RecursionError, LookupError, ValueError, TypeError, AttributeError) as error:
        return Mail("", None, (), UnreadableFile(
            "FILE02", f"a mail that cannot be taken apart ({type(error).__name__})", "a mail as it was sent",
            SAVE_ATTACHED,
        ))
    return Mail(_header(message, "subject"), _when(message), attached)


def _attached(message: Message, limits: PileLimits) -> Iterator[Attachment]:
    count = 0
    seen: dict[str, int] = {}
    waiting: list[tuple[Message, str, int]] = [(message, "", 0)]
    while waiting:
        part, under, depth = waiting.pop()
        count += 1
        if depth > DEEPEST_PARTS or count > limits.attachments:
            raise unsafe(
                "a mail with far too many parts", f"at most {limits.attachments} parts", SAVE_ATTACHED
            )
        if part.is_multipart():
            inner: list[Message] = part.get_payload()  # type: ignore[assignment]
            if part.get_content_type() == "message/rfc822" and depth:
                subject = _header(inner[0], "subject") if inner else ""
                under = f"{under}attached mail{f' ({subject})' if subject else ''}/"
            waiting += [(child, under, depth + 1) for child in reversed(inner)]
            continue
        name = _name(part)
        if not name and part.get_content_maintype() == "text":
            continue
        payload = part.get_payload(decode=True)
        name = f"{under}{name or f'attachment {count}'}"
        seen[name] = seen.get(name, 0) + 1
        again = f" ({seen[name]})" if seen[name] > 1 else ""
        yield Attachment(_numbered(name, again), payload if isinstance(payload, bytes) else b"")


def _numbered(name: str, again: str) -> str:
    stem, dot, ending = name.rpartition(".")
    return f"{stem}{again}{dot}{ending}" if dot and again else f"{name}{again}"


def _name(part: Message) -> str:
    found = part.get_filename()
    if not found:
        return ""
    return clean_place(_decoded(found).replace("/", "-").replace("\\", "-"))


def _header(message: Message, name: str) -> str:
    found = message.get(name)
    if found is None:
        return ""
    text = " ".join(_decoded(str(found)).split()).replace("/", "-").replace("\\", "-")
    shown = "".join(c if c.isprintable() else "-" for c in text)
    return shown if len(shown) <= LONGEST_SUBJECT else f"{shown[:LONGEST_SUBJECT]}..."


def _decoded(text: str) -> str:
    """Return a header with its encoded words written out."""
    from email.header import decode_header, make_header

    try:
        return str(make_header(decode_header(text)))
    except (LookupError, ValueError, UnicodeError, email.errors.HeaderParseError):
        return text


def _when(message: Message) -> datetime | None:
    found = message.get("date")
    try:
        when = email.utils.parsedate_to_datetime(str(found)) if found else None
        return when.replace(tzinfo=UTC) if when is not None and when.tzinfo is None else when
    except (ValueError, TypeError, IndexError, OverflowError):
        return None
