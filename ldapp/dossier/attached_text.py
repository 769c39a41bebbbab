"""Papers that are text: plain text, tables of values, saved e-mails, as pages of an exhibit.

Nothing in them is followed or run: an e-mail's text is printed, its attachments are named
with their size and hash.  Source of the e-mail format: RFC 5322 and RFC 2045.
"""

from __future__ import annotations

import email.policy
import hashlib
import re
from email.message import EmailMessage
from email.parser import BytesParser
from html.parser import HTMLParser
from pathlib import PurePath

from ldapp.dossier.formats import size_text
from ldapp.language import said

LARGEST = 4_000_000
"""Bytes of a file that is read as text; a longer one is no paper."""

_TEXT_ENDINGS = frozenset({".txt", ".csv", ".tsv", ".md", ".log"})
_MAIL_ENDINGS = frozenset({".eml"})
_TOLD_HEADERS = ("From", "To", "Cc", "Date", "Subject", "Message-ID")
_BLOCKS = frozenset({"p", "div", "br", "tr", "li", "h1", "h2", "h3", "h4", "table", "blockquote"})
_NOT_READ = frozenset({"script", "style", "head", "title"})
_WHITE_SPACE = re.compile(r"\s+")
_MANY_LINES = re.compile(r"\n[\n ]{2,}")


def read_text_paper(data: bytes, name: str) -> str | None:
    """Return the text of a paper, or None where it is none that is read as text.

    An e-mail is told by its ending; every other text must be text throughout.
    """
    ending = PurePath(name).suffix.lower()
    if ending in _MAIL_ENDINGS:
        try:
            return _mail(data)
        except (ValueError, LookupError, AttributeError, TypeError):
            return None  # the standard reader of e-mails gives up on some damaged ones
    text = _decoded(data)
    if text is None or (ending not in _TEXT_ENDINGS and not _is_prose(text)):
        return None
    return text


def _decoded(data: bytes) -> str | None:
    for encoding in (
        ("utf-8-sig", "utf-16")
        if data[:2] in (b"\xff\xfe", b"\xfe\xff")
        else (
            "utf-8-sig",
            "cp1252",
        )
    ):
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        return None if "\0" in text else text
    return None


def _is_prose(text: str) -> bool:
    """Return whether what could be read is a text: it has words, and no control signs."""
    return bool(text.strip()) and not any(one < " " and one not in "\t\n\r\f" for one in text)


def _mail(data: bytes) -> str | None:
    message = BytesParser(policy=email.policy.default).parsebytes(data)
    if not isinstance(message, EmailMessage) or not message.keys():
        return None
    lines = [f"{name}: {_header(message, name)}" for name in _TOLD_HEADERS if message[name]]
    lines += ["", _body(message).strip(), ""]
    for part in message.iter_attachments():
        content = part.get_payload(decode=True)
        held = content if isinstance(content, bytes) else b""
        lines.append(
            said(
                "Attachment: {name}, {media_type}, {size}, SHA-256 {hash}",
                name=part.get_filename() or said("without a name"),
                media_type=part.get_content_type(),
                size=size_text(len(held)),
                hash=hashlib.sha256(held).hexdigest(),
            )
        )
    return "\n".join(lines).strip()


def _header(message: EmailMessage, name: str) -> str:
    return " ".join(str(message[name]).split())


def _body(message: EmailMessage) -> str:
    part = message.get_body(preferencelist=("plain", "html"))
    if part is None:
        return ""
    try:
        text = part.get_content()
    except (LookupError, ValueError):  # an encoding that nobody knows
        raw = part.get_payload(decode=True)
        text = raw.decode("latin-1") if isinstance(raw, bytes) else ""
    if part.get_content_type() == "text/html":
        reader = _Words()
        reader.feed(str(text))
        text = reader.text
    return _MANY_LINES.sub("\n\n", str(text).replace("\r\n", "\n"))


class _Words(HTMLParser):
    """Takes the words out of an e-mail that is written as a web page."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self._found: list[str] = []
        self._silent = 0

    @property
    def text(self) -> str:
        return "".join(self._found)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in _NOT_READ:
            self._silent += 1
        elif tag in _BLOCKS:
            self._found.append("\n")

    def handle_endtag(self, tag: str) -> None:
        if tag in _NOT_READ:
            self._silent = max(self._silent - 1, 0)

    def handle_data(self, data: str) -> None:
        if not self._silent:
            self._found.append(_WHITE_SPACE.sub(" ", data))
