"""The cover letter: who writes to whom, about what, how much, what is asked and by when."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from reportlab.platypus import Flowable, HRFlowable, KeepTogether, NextPageTemplate, Spacer

from ldapp.claim.parties import Party
from ldapp.dossier.book import Book
from ldapp.dossier.charge_names import lines_named
from ldapp.dossier.formats import date_text, joined, shortened
from ldapp.dossier.frame import ContentsLine
from ldapp.dossier.grid import Grid, GridLook, GridRow, plain_grid
from ldapp.dossier.second_round import second_round
from ldapp.dossier.style import ACCENT, CELL, HAIRLINE, LABEL, LETTER, QUIET, SMALL, TextStyle
from ldapp.dossier.tables import panel
from ldapp.dossier.wording import fill, wording
from ldapp.language import said, said_of

_NAME = TextStyle(size=13, leading=17, face="bold", colour=ACCENT)
_SUBJECT = LETTER.but(face="bold", size=10.6, leading=15, before=4, after=10)
_LIST = LETTER.but(after=3)


def letter_page(book: Book, enclosures: list[tuple[str, str]]) -> list[Flowable]:
    """Return the letter; ``enclosures`` are titles and anchors of the sections behind it."""
    to_insurer = book.request.version == "insurer"
    round_two = None if to_insurer else second_round(book)
    texts = wording()["insurer" if to_insurer else "dispute_again" if round_two else "dispute"]
    own = book.request.letter
    values = _values(book, texts)
    holds = _conditions(book)
    if round_two is not None:
        values.update(round_two.values)
        holds.update(round_two.holds)
    requests = [] if to_insurer else _requests(book, wording()["dispute"])
    holds["requests"] = bool(requests)
    story: list[Flowable] = [*_letterhead(book), *_addresses(book), Spacer(0, 10)]
    story.append(book.text(own.subject or _subject(book, texts, values), _SUBJECT))
    story.append(book.text(own.salutation or str(texts["salutation"]), LETTER))
    if own.paragraphs:
        story.extend(book.text(one, LETTER) for one in own.paragraphs)
        story.extend(_figures(book))
    else:
        story.extend(_paragraphs(book, texts, values, holds, requests))
    signature = own.signed_by or (book.sender.contact if book.sender is not None else "")
    # A closing never stands on a page without words of the letter above it.
    last = story.pop()
    closing = _signature(book, own.closing or str(texts["closing"]), signature)
    story.append(KeepTogether([last, Spacer(0, 4), *closing]))
    if enclosures:
        story.append(_enclosures(book, enclosures))
    story.append(NextPageTemplate("plain"))
    return story


def _letterhead(book: Book) -> list[Flowable]:
    sender = book.sender
    name = sender.name if sender is not None else book.claim.title or book.claim.reference
    details = ""
    if sender is not None:
        address = ", ".join(part.strip() for part in sender.address.split("\n") if part.strip())
        details = "  ·  ".join(part for part in (address, sender.email, sender.phone) if part)
    return [
        book.text(name, _NAME),
        book.text(details, SMALL),
        Spacer(0, 5),
        HRFlowable(width="100%", thickness=0.8, color=ACCENT, spaceBefore=0, spaceAfter=16),
    ]


def recipient(book: Book) -> Party | None:
    """Return who the letter is for: the insurer, or the rental company that is answered."""
    if book.request.version == "insurer":
        policy = book.claim.policy
        if policy is not None and policy.insurer in book.parties:
            return book.parties[policy.insurer]
        found = book.parties_in("insurer", "broker")
        return found[0] if found else None
    for agreement in book.agreements:
        if agreement.lessor in book.parties:
            return book.parties[agreement.lessor]
    return None


def _addresses(book: Book) -> list[Flowable]:
    to = recipient(book)
    lines = [said("The recipient is not recorded")] if to is None else [to.name]
    if to is None:
        book.fall_short(lambda: said("Nobody is recorded to whom the letter could be addressed."))
    if to is not None:
        if to.contact:
            lines.append(to.contact)
        lines.extend(part for part in to.address.split("\n") if part.strip())
        if to.email:
            lines.append(to.email)
    facts = [
        (said("Date"), date_text(book.request.date)),
        (said("Our reference"), book.claim.reference),
    ]
    policy = book.claim.policy
    if book.request.version == "insurer":
        if policy is not None and policy.claim_number:
            facts.append((said("Your claim number"), policy.claim_number))
    else:
        facts.extend(
            (said("Rental agreement"), one.reference) for one in book.agreements if one.reference
        )
    if to is not None and to.reference:
        facts.append((said("Your reference"), to.reference))
    label = CELL.but(colour=QUIET)
    right = Grid(
        [82, 118],
        [GridRow([book.text(name, label), book.text(value, CELL)]) for name, value in facts],
        GridLook(left=(0.0, 0.0), right=2.0, above=0.5, below=0.5, ruled=False),
    )
    look = GridLook(left=(0.0, 0.0), right=0.0, above=0.0, below=0.0, ruled=False)
    address = book.text("\n".join(lines), CELL.but(size=9.4, leading=13))
    both = Grid([book.text_width - 204, 204], [GridRow([address, right])], look, space_after=0)
    return [both]


def _subject(book: Book, texts: dict[str, object], values: dict[str, str]) -> str:
    if book.request.version == "insurer":
        known = bool(values["policy_number"])
        return fill(str(texts["subject" if known else "subject_without_policy"]), values)
    known = bool(book.invoices)
    if known:
        return fill(str(texts["subject"]), values)
    agreed = bool(values["agreement"])
    return fill(
        str(texts["subject_without_invoice" if agreed else "subject_without_agreement"]), values
    )


def _paragraphs(
    book: Book,
    texts: dict[str, object],
    values: dict[str, str],
    holds: dict[str, bool],
    requests: list[str],
) -> Iterable[Flowable]:
    paragraphs = texts["paragraphs"]
    assert isinstance(paragraphs, list)
    for one in paragraphs:
        if not holds.get(str(one["when"]), False):
            continue
        with_list = one.get("list") == "requests"
        yield book.text(fill(str(one["text"]), values), _LIST if with_list else LETTER)
        if with_list:
            yield from (_bullet(book, request) for request in requests)
            yield Spacer(0, 7)
        if one.get("figures"):
            yield from _figures(book)


def _bullet(book: Book, words: str) -> Flowable:
    return plain_grid(
        [14, book.text_width - 14],
        [[book.text("–", _LIST), book.text(words, _LIST)]],
        space_after=2.0,
    )


def figures(book: Book) -> list[tuple[str, str]]:
    """Return the amounts that the letter is about, the one asked for last."""
    if book.request.version == "insurer":
        whole = book.reckoning.totals
        rows = [(said("Loss under the rental agreements"), book.money(whole.loss))]
        if whole.waiver:
            rows.append((said("Borne by the damage waiver"), book.money(whole.waiver)))
        if whole.other_insurance:
            rows.append((said("Payable by other insurance"), book.money(whole.other_insurance)))
        if whole.held_back:
            rows.append((said("Held back until replacement"), book.money(whole.held_back)))
        rows.append((said("Borne by us, deductible included"), book.money(whole.renter)))
        if book.claim.policy is not None:
            rows.append((said("Claimed under the policy"), book.money(whole.policy)))
        return rows
    totals = invoice_totals(book)
    return [
        (said("Billed"), book.money(totals.billed)),
        (said("Disputed"), book.money(totals.disputed)),
        (said("Not disputed"), book.money(totals.owed)),
    ]


@dataclass(frozen=True, slots=True)
class InvoiceTotals:
    """What the invoices of one rental company come to, as reckoned."""

    billed: Decimal
    owed: Decimal
    disputed: Decimal


def invoice_totals(book: Book) -> InvoiceTotals:
    """Return what the invoices that still stand come to."""
    standing = [one for one in book.invoice_results.values() if one.replaced_by is None]
    return InvoiceTotals(
        billed=sum((one.billed for one in standing), Decimal(0)),
        owed=sum((one.owed for one in standing), Decimal(0)),
        disputed=sum((one.disputed for one in standing), Decimal(0)),
    )


def _figures(book: Book) -> list[Flowable]:
    if book.request.version == "dispute" and not book.invoices:
        return []
    return [panel(book, figures(book))]


def _values(book: Book, texts: dict[str, object]) -> dict[str, str]:
    request, totals = book.request, book.reckoning.totals
    invoiced = invoice_totals(book)
    days = texts["answer_within_days"]
    assert isinstance(days, int)
    answer_by = request.answer_by or request.date + dt.timedelta(days=days)
    standing = [one for one in book.invoices if _stands(book, one.id)]
    policy = book.claim.policy
    open_lines = [one for one in book.charges if one.result.answer == "open_until_documented"]
    values = {
        "reference": book.claim.reference,
        "title": shortened(book.claim.title) or book.claim.reference,
        "agreement": joined([one.reference for one in book.agreements if one.reference]),
        "invoices": joined(
            [
                said("{invoice} of {day}", invoice=one.number, day=date_text(one.dated))
                for one in standing
            ]
        ),
        "billed": book.money(invoiced.billed),
        "owed": book.money(invoiced.owed),
        "disputed": book.money(invoiced.disputed),
        "open_lines": lines_named(open_lines),
        "waiver": book.money(sum((one.result.waiver for one in book.charges), Decimal(0))),
        "answer_by": date_text(answer_by),
    }
    if book.shows("policy"):
        values.update(
            policy_number=policy.number if policy is not None else "",
            loss=book.money(totals.loss),
            policy=book.money(totals.policy),
            held_back=book.money(totals.held_back),
            disputed=book.money(totals.disputed),
            occurrences=said_of(
                _known_occurrences(book), "{count} occurrence", "{count} occurrences"
            ),
        )
    return values


def _stands(book: Book, invoice: str) -> bool:
    result = book.invoice_results.get(invoice)
    return result is None or result.replaced_by is None


def _known_occurrences(book: Book) -> int:
    return sum(one.occurrence is not None for one in book.reckoning.occurrences)


def _conditions(book: Book) -> dict[str, bool]:
    totals = book.reckoning.totals
    kinds = {one.finding.kind for one in book.findings}
    holds = {
        "always": True,
        "invoiced": bool(book.invoices),
        "not_invoiced": not book.invoices,
        "open_lines": any(one.result.answer == "open_until_documented" for one in book.charges),
        "waiver": any(one.result.waiver for one in book.charges),
        "damaged": "damaged" in kinds,
        "missing": "missing" in kinds,
    }
    insured = book.claim.policy is not None
    if book.shows("policy"):
        holds.update(
            several_occurrences=_known_occurrences(book) > 1,
            no_policy=not insured and totals.complete,
            no_policy_incomplete=not insured and not totals.complete,
            complete=insured and totals.complete and totals.policy > 0,
            nothing_payable=insured and totals.complete and not totals.policy,
            incomplete=insured and not totals.complete,
            held_back=bool(totals.held_back),
            disputed=bool(totals.disputed),
            uninsured=book.reckoning.unexplained is not None,
        )
    return holds


def _requests(book: Book, texts: dict[str, object]) -> list[str]:
    """Return the documents to ask for: always some, and more by the grounds in force."""
    if not book.invoices:
        return []
    requests = texts["requests"]
    assert isinstance(requests, dict)
    wanted: list[str] = list(requests["always"])
    for answered in book.charges:
        for ground in answered.result.grounds:
            wanted.extend(requests.get(ground.code, ()))
    return list(dict.fromkeys(str(one) for one in wanted))


def _signature(book: Book, closing: str, name: str) -> list[Flowable]:
    return [
        book.text(closing, LETTER),
        Spacer(0, 26),
        HRFlowable(width=190, thickness=0.6, color=HAIRLINE, hAlign="LEFT", spaceAfter=3),
        book.text(name or (book.sender.name if book.sender is not None else ""), LETTER),
    ]


def _enclosures(book: Book, enclosures: list[tuple[str, str]]) -> Flowable:
    """Return what is enclosed, with the pages, in two columns read downwards."""
    half = (len(enclosures) + 1) // 2
    gap = 22.0
    width = (book.text_width - gap) / 2
    rows: list[list[Flowable]] = []
    for index in range(half):
        row: list[Flowable] = [ContentsLine(book, *enclosures[index]), Spacer(0, 0)]
        other = index + half
        has_other = other < len(enclosures)
        row.append(ContentsLine(book, *enclosures[other]) if has_other else Spacer(0, 0))
        rows.append(row)
    contents = plain_grid([width, gap, width], rows)
    return KeepTogether([Spacer(0, 8), book.text(said("Enclosed"), LABEL), Spacer(0, 2), contents])
