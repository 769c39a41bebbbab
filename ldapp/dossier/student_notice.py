"""A notice that tells a person its part of a loss: one letter, and nothing about anybody else.

It knows no claim: everything that it prints is in the request, which holds no more than the
recipient may see.  The same request gives the same bytes.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from io import BytesIO
from pathlib import Path
from typing import Any

import pikepdf
from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate, Spacer

from ldapp.claim.parties import Party
from ldapp.dossier.archival import make_archival
from ldapp.dossier.disclosure import WITHHELD
from ldapp.dossier.fonts import Typesetter, font
from ldapp.dossier.formats import date_text, joined, money_text
from ldapp.dossier.frame import INVENTED
from ldapp.dossier.grid import Grid, GridLook, GridRow, RowKind
from ldapp.dossier.structure import put_structure
from ldapp.dossier.style import (
    ACCENT,
    CELL,
    CELL_RIGHT,
    HEAD_CELL,
    HEAD_CELL_RIGHT,
    LETTER,
    LOSS,
    MARGIN_BOTTOM,
    MARGIN_SIDE,
    MARGIN_TOP,
    MILLIMETRE,
    PAPER_SIZES,
    QUIET,
    SMALL,
    SUBSECTION,
    TextStyle,
)
from ldapp.dossier.tagging import TaggedCanvas
from ldapp.dossier.text import Text, draw_text
from ldapp.dossier.wording import fill, read_wording
from ldapp.language import language, said, said_in
from ldapp.whole_file import write_whole

_FILE = "student_notice.toml"
_SUBJECT = LETTER.but(face="bold", size=10.6, leading=15, before=4, after=10)
_NAME = TextStyle(size=13, leading=17, face="bold", colour=ACCENT)
_FOOTER = TextStyle(size=7.4, leading=9.4, colour=QUIET)


@dataclass(frozen=True, slots=True)
class NoticePart:
    """What the part takes of one event; amounts in the notice's currency."""

    event: str
    day: dt.date | None
    to_bear: Decimal
    amount: Decimal


@dataclass(frozen=True, slots=True)
class NoticePayment:
    """One payment that counts for the part; ``own`` False is another member's, not named."""

    day: dt.date
    amount: Decimal
    own: bool


@dataclass(frozen=True, slots=True)
class NoticeRequest:
    """All that a notice prints."""

    reference: str
    production: str
    date: dt.date
    currency: str
    sender: Party | None
    recipient: Party
    amount: Decimal
    paid: Decimal
    parts: tuple[NoticePart, ...]
    payments: tuple[NoticePayment, ...]
    rule: str = ""
    group: str = ""
    together: tuple[str, ...] = ()
    """The names of all who bear it jointly, the recipient's among them."""
    reply_by: dt.date | None = None
    withheld: tuple[str, ...] = ()
    """Names of others that must not be told: taken out of what a person typed."""
    invented: bool = False
    paper: str = "a4"


def notice_wording() -> dict[str, Any]:
    """Return the sentences of the notice, in the language spoken now.

    Raises:
        InputError: somebody edited the file so that it can no longer be read.
    """
    return read_wording(_FILE, language())


def write_notice(request: NoticeRequest, target: Path) -> None:
    """Write the notice to ``target``; it is there whole, or not at all.

    Raises:
        MachineError: the file cannot be written there.
        InputError: the wording file was edited so that it cannot be read.
    """
    says = said("The notice could not be written to {target}", target=target)
    write_whole(
        target, notice_pdf(request), says, said("Choose another folder, or make room there.")
    )


def notice_pdf(request: NoticeRequest) -> bytes:
    """Return the notice as a tagged PDF/A."""
    before = rl_config.useA85, rl_config.invariant
    rl_config.useA85, rl_config.invariant = 0, 1
    try:
        drawn, document = _drawn(request)
    finally:
        rl_config.useA85, rl_config.invariant = before
    canvas = document.canv
    assert isinstance(canvas, TaggedCanvas)
    finished = BytesIO()
    with pikepdf.open(BytesIO(drawn)) as pdf:
        put_structure(pdf, canvas.tree)
        day = f"D:{request.date:%Y%m%d}000000Z"
        pdf.docinfo["/CreationDate"] = day
        pdf.docinfo["/ModDate"] = day
        pdf.Root.ViewerPreferences = pikepdf.Dictionary(DisplayDocTitle=True)
        make_archival(pdf, foreign_pages=False)
        pdf.save(finished, deterministic_id=True)
    return finished.getvalue()


def _drawn(request: NoticeRequest) -> tuple[bytes, BaseDocTemplate]:
    font("NotoSans-Regular")
    words, typesetter = notice_wording(), Typesetter(request.withheld, said(WITHHELD))
    width, height = PAPER_SIZES[request.paper]
    file = BytesIO()

    def furnish(canvas: Canvas, document: BaseDocTemplate) -> None:
        y = MARGIN_BOTTOM - 9 * MILLIMETRE
        left = f"{request.reference}  ·  {words['title']}  ·  {date_text(request.date)}"
        draw_text(canvas, MARGIN_SIDE, y, left, _FOOTER, typesetter)
        page = said("page {number}", number=canvas.getPageNumber())
        right = _FOOTER.but(align="right")
        draw_text(canvas, width - MARGIN_SIDE, y, page, right, typesetter)
        if request.invented:
            style = right.but(colour=LOSS, face="italic")
            top = height - 11 * MILLIMETRE
            draw_text(canvas, width - MARGIN_SIDE, top, said(INVENTED), style, typesetter)

    document = BaseDocTemplate(
        file,
        pagesize=(width, height),
        invariant=1,
        pageCompression=1,
        lang=language(),
        initialFontName="NotoSans-Regular",
        title=typesetter.clean(f"{words['title']} · {request.recipient.name}"),
        author=request.sender.name if request.sender is not None else "",
        subject=f"Claim {request.reference}, {date_text(request.date)}",
        creator="ldapp",
        producer="ldapp",
    )
    frame = Frame(
        MARGIN_SIDE,
        MARGIN_BOTTOM,
        width - 2 * MARGIN_SIDE,
        height - MARGIN_TOP - MARGIN_BOTTOM,
        leftPadding=0,
        rightPadding=0,
        topPadding=0,
        bottomPadding=0,
    )
    document.addPageTemplates([PageTemplate("plain", [frame], onPage=furnish)])
    room = width - 2 * MARGIN_SIDE
    document.build(_Letter(request, words, typesetter, room).story(), canvasmaker=TaggedCanvas)
    return file.getvalue(), document


class _Letter:
    def __init__(
        self, request: NoticeRequest, words: dict[str, Any], typesetter: Typesetter, width: float
    ) -> None:
        self._request = request
        self._words = words
        self._typesetter = typesetter
        self._width = width

    def _text(self, words: str, style: TextStyle) -> Text:
        return Text(words, style, self._typesetter)

    def _heading(self, words: str, style: TextStyle) -> Text:
        text = self._text(words, style)
        text.means = "H1" if style is _SUBJECT else "H2"
        return text

    def _money(self, amount: Decimal) -> str:
        return money_text(amount, self._request.currency)

    def _values(self) -> dict[str, str]:
        request = self._request
        left = request.amount - request.paid
        return {
            "production": request.production or request.reference,
            "name": request.recipient.contact or request.recipient.name,
            "school": request.sender.name
            if request.sender is not None
            else said_in("by whose rule", "the school"),
            "amount": self._money(request.amount),
            "paid": self._money(request.paid),
            "open": self._money(max(left, Decimal(0))),
            "over": self._money(max(-left, Decimal(0))),
            "group": request.group,
            "names": joined(list(request.together)),
            "rule": request.rule,
            "reply_by": date_text(request.reply_by) if request.reply_by else "",
        }

    def _holds(self) -> dict[str, bool]:
        request = self._request
        jointly, is_open = bool(request.together), request.amount > request.paid
        return {
            "always": True,
            "alone": not request.group,
            "equal_part": bool(request.group) and not jointly,
            "jointly": jointly,
            "rule": bool(request.rule),
            "overpaid": request.paid > request.amount,
            "reply_by": is_open and request.reply_by is not None,
            "no_reply_by": is_open and request.reply_by is None,
        }

    def story(self) -> list[Flowable]:
        """Return the letter from its head to the payments."""
        words, values, holds = self._words, self._values(), self._holds()
        story: list[Flowable] = [*self._head(), Spacer(0, 14)]
        story.append(self._heading(fill(words["subject"], values), _SUBJECT))
        story.append(self._text(fill(words["salutation"], values), LETTER))
        story.extend(
            self._text(fill(one["text"], values), LETTER)
            for one in words["paragraphs"]
            if holds.get(one["when"], False)
        )
        story.append(self._heading(words["parts_head"], SUBSECTION))
        story.append(self._parts())
        story.append(self._heading(words["payments_head"], SUBSECTION))
        story.append(
            self._payments()
            if self._request.payments
            else self._text(words["nothing_paid"], LETTER)
        )
        story.append(Spacer(0, 8))
        story.append(self._text(words["closing"], LETTER))
        sender = self._request.sender
        if sender is not None:
            story.append(self._text("\n".join(filter(None, (sender.contact, sender.name))), LETTER))
        return story

    def _head(self) -> Iterable[Flowable]:
        request = self._request
        sender, to = request.sender, request.recipient
        if sender is not None:
            yield self._text(sender.name, _NAME)
            details = (*_lines(sender.address), sender.email, sender.phone)
            yield self._text("  ·  ".join(filter(None, details)), SMALL)
        yield Spacer(0, 18)
        address = [to.name, *_lines(to.address), to.email]
        yield self._text("\n".join(filter(None, address)), CELL.but(size=9.4, leading=13))
        yield Spacer(0, 12)
        facts = [
            date_text(request.date),
            said("Our reference: {reference}", reference=request.reference),
        ]
        if to.reference:
            facts.append(said("Your number: {reference}", reference=to.reference))
        yield self._text("  ·  ".join(facts), SMALL)

    def _parts(self) -> Flowable:
        request = self._request
        whose = said("Your joint part") if request.together else said("Your part")
        rows = [
            (one.event, date_text(one.day) if one.day else "", one.to_bear, one.amount)
            for one in request.parts
        ]
        return self._table(
            (said("Event"), said("Day"), said("Not paid by others"), whose),
            [
                (event, day, self._money(to_bear), self._money(amount))
                for event, day, to_bear, amount in rows
            ],
            total=(said("Together"), "", "", self._money(request.amount)),
        )

    def _payments(self) -> Flowable:
        request = self._request
        return self._table(
            (said("Day"), said_in("who paid", "By"), "", said("Amount")),
            [
                (
                    date_text(one.day),
                    said_in("who paid", "you") if one.own else said_in("who paid", "the group"),
                    "",
                    self._money(one.amount),
                )
                for one in request.payments
            ],
            total=(said("Together"), "", "", self._money(request.paid)),
        )

    def _table(
        self,
        head: tuple[str, str, str, str],
        rows: list[tuple[str, str, str, str]],
        total: tuple[str, str, str, str],
    ) -> Flowable:
        share = self._width / 10
        bold, bold_right = CELL.but(face="bold"), CELL_RIGHT.but(face="bold")

        def row(
            texts: tuple[str, str, str, str],
            left: TextStyle,
            right: TextStyle,
            kind: RowKind = "plain",
        ) -> GridRow:
            styles = (left, left, right, right)
            pairs = zip(texts, styles, strict=True)
            return GridRow([self._text(text, style) for text, style in pairs], kind)

        return Grid(
            [share * 4, share * 2, share * 2, share * 2],
            [*(row(one, CELL, CELL_RIGHT) for one in rows), row(total, bold, bold_right)],
            GridLook(left=(0.0, 0.0, 0.0, 0.0), meaning="table"),
            head=row(head, HEAD_CELL, HEAD_CELL_RIGHT, "head"),
        )


def _lines(text: str) -> list[str]:
    return [line.strip() for line in text.split("\n") if line.strip()]
