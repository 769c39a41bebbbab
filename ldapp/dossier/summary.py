"""The summary: parties and papers, what is claimed or charged, and who pays."""

from __future__ import annotations

from decimal import Decimal

from reportlab.platypus import Flowable

from ldapp.claim.parties import Party
from ldapp.dossier.book import AnsweredCharge, Book, ReckonedFinding, interleave
from ldapp.dossier.formats import NONE, date_text, joined, quantity_text, shortened
from ldapp.dossier.frame import start_section, start_subsection
from ldapp.dossier.labels import ANSWER_LABELS, FINDING_LABELS, ROLE_LABELS
from ldapp.dossier.letter import invoice_totals
from ldapp.dossier.style import BODY, CELL, NOTE
from ldapp.dossier.tables import Column, Content, Row, facts, table
from ldapp.dossier.text import Span
from ldapp.dossier.wording import words
from ldapp.language import said, said_in
from ldapp.reckoning.result import ChargeResult


def summary_section(book: Book) -> list[Flowable]:
    """Return the section."""
    # Behind the list of volumes there is room on the page.
    story = start_section(book, said("Summary"), "summary", new_page=book.volumes == 1)
    story.append(facts(book, _facts(book)))
    if book.request.version == "dispute":
        story.extend(_charged(book))
    else:
        story.extend(_claimed(book))
        story.extend(_who_pays(book))
    story.append(book.text(words("pages", "rounding"), NOTE))
    story.append(book.text(words("pages", "prepared"), NOTE))
    return story


def party_words(party: Party) -> str:
    """Return a party in one line: name, contact, reference."""
    parts = [party.name, party.contact, party.email, party.phone]
    if party.reference:
        parts.append(said("reference {number}", number=party.reference))
    return ", ".join(part for part in parts if part)


def answer_words(result: ChargeResult) -> str:
    """Return the answer to a charge in words."""
    if result.answer == "disputed" and result.owed > 0:
        return said("disputed in part")
    return said(ANSWER_LABELS[result.answer])


def _facts(book: Book) -> list[tuple[str, Content]]:
    claim = book.claim
    pairs: list[tuple[str, Content]] = [
        (said("Our reference"), claim.reference),
        (said("Project"), claim.title),
        (said("Place"), claim.place),
    ]
    pairs.extend(
        (said(ROLE_LABELS[party.role]), party_words(party)) for party in book.parties.values()
    )
    for agreement in book.agreements:
        parts = [agreement.reference or said("agreement")]
        if book.disclosure.every_agreement and book.party_name(agreement.lessor):
            parts.append(said("with {company}", company=book.party_name(agreement.lessor)))
        if agreement.signed is not None:
            parts.append(said("signed {day}", day=date_text(agreement.signed)))
        if agreement.starts is not None:
            parts.append(said("from {time}", time=book.time(agreement.starts)))
        if agreement.ends is not None:
            parts.append(said("due back {time}", time=book.time(agreement.ends)))
        spans: list[Span | str] = [", ".join(parts)]
        exhibit = book.exhibit_spans([agreement.document])
        if exhibit:
            spans.extend((" – ", *exhibit))
        pairs.append((said("Rental agreement"), spans))
    if book.shows("policy") and claim.policy is not None:
        policy = claim.policy
        parts = [
            said("No. {number}", number=policy.number)
            if policy.number
            else said("number not recorded")
        ]
        if policy.terms.period is not None:
            period = policy.terms.period
            parts.append(
                said("{begin} to {end}", begin=book.time(period.begins), end=book.time(period.ends))
            )
        pairs.append(
            (said("Policy"), [", ".join(parts), *_after(book.exhibit_spans([policy.document]))])
        )
    for invoice in book.invoices:
        result = book.invoice_results.get(invoice.id)
        says = said("{invoice} of {day}", invoice=invoice.number, day=date_text(invoice.dated))
        if result is not None and result.replaced_by is not None:
            newer = next((one.number for one in book.invoices if one.id == result.replaced_by), "")
            says = said("{invoice}, replaced by {newer}", invoice=says, newer=newer)
        pairs.append((said("Invoice"), [says, *_after(book.exhibit_spans([invoice.document]))]))
    return pairs


def _after(spans: list[Span]) -> list[Span | str]:
    return [" – ", *interleave(spans)] if spans else []


def _charged(book: Book) -> list[Flowable]:
    """Return the table of charges: billed, not disputed, disputed."""
    story = start_subsection(book, said("The charges"), "summary-charges")
    if not book.charges:
        story.append(book.text(said("No charge has been billed so far."), BODY))
        return story
    columns = [
        Column(said_in("narrow column", "No."), 24),
        Column(said("Charge"), share=1.0),
        Column(said_in("narrow column", "Qty"), 30, align="right"),
        Column(said("Answer"), 86),
        Column(
            said_in("narrow column", "Billed, {currency}", currency=book.currency),
            72,
            align="right",
        ),
        Column(said_in("narrow column", "Not disputed"), 72, align="right"),
        Column(said_in("narrow column", "Disputed"), 72, align="right"),
    ]
    rows: list[Row] = []
    several = len(book.invoices) > 1
    for invoice in sorted(book.invoices, key=lambda one: (one.dated, one.number)):
        answered = [one for one in book.charges if one.invoice.id == invoice.id]
        if not answered:
            continue
        if several:
            rows.append(
                Row(
                    [
                        said(
                            "Invoice {number} of {day}",
                            number=invoice.number,
                            day=date_text(invoice.dated),
                        )
                    ],
                    band=True,
                )
            )
        for one in answered:
            rows.append(
                Row(
                    [
                        one.charge.number or str(one.number),
                        book.spans_to(
                            shortened(one.charge.description), f"charge-{one.number}", short=True
                        ),
                        quantity_text(one.charge.quantity),
                        answer_words(one.result),
                        book.amount(one.result.billed),
                        book.amount(one.result.owed),
                        book.amount(one.result.disputed),
                    ]
                )
            )
        result = book.invoice_results.get(invoice.id)
        if result is not None:
            if result.credits:
                rows.append(
                    Row(["", said("Credits of the invoice"), "", "", book.amount(-result.credits)])
                )
            if several:
                rows.append(
                    Row(
                        [
                            "",
                            said("Invoice {number}", number=invoice.number),
                            "",
                            "",
                            book.amount(result.billed),
                            book.amount(result.owed),
                            book.amount(result.disputed),
                        ],
                        strong=True,
                    )
                )
    totals = invoice_totals(book)
    rows.append(
        Row(
            [
                "",
                said("Total"),
                "",
                "",
                book.amount(totals.billed),
                book.amount(totals.owed),
                book.amount(totals.disputed),
            ],
            strong=True,
        )
    )
    story.append(table(book, columns, rows))
    waiver = sum((one.result.waiver for one in book.charges), Decimal(0))
    if waiver:
        story.append(
            book.text(
                said(
                    "The damage waiver bears {amount} of what is not disputed.",
                    amount=book.money(waiver),
                ),
                BODY,
            )
        )
    return story


def _claimed(book: Book) -> list[Flowable]:
    """Return the table of findings: what is owed for each, and what the policy pays."""
    story = start_subsection(book, said("What is claimed"), "summary-claimed")
    if not book.findings:
        story.append(book.text(said("No finding has been recorded so far."), BODY))
        return story
    columns = [
        Column(said_in("narrow column", "Line"), 28),
        Column(said("Item"), share=1.0),
        Column(said("Finding"), 54),
        Column(said_in("narrow column", "Qty"), 24, align="right"),
        Column(said_in("narrow column", "Unit value"), 62, align="right"),
        Column(
            said_in("narrow column", "Billed, {currency}", currency=book.currency),
            66,
            align="right",
        ),
        Column(said_in("narrow column", "Disputed"), 62, align="right"),
        Column(said_in("narrow column", "Owed"), 66, align="right"),
    ]
    rows: list[Row] = []
    groups = list(dict.fromkeys(one.result.occurrence for one in book.findings))
    order = {one.id: index for index, one in enumerate(book.occurrences)}
    groups.sort(key=lambda one: order.get(one or "", len(order)))
    for group in groups:
        rows.append(Row([book.occurrence_title(group)], band=True))
        rows.extend(
            _claimed_row(book, one) for one in book.findings if one.result.occurrence == group
        )
    found = {one.finding.id for one in book.findings}
    others = [one for one in book.charges if one.result.finding not in found]
    if others:
        rows.append(Row([said("Charges that concern no single finding")], band=True))
        rows.extend(_other_charge_row(book, one) for one in others)
    totals = book.reckoning.totals
    rows.append(
        Row(
            [
                "",
                said("Total"),
                "",
                "",
                "",
                book.amount(totals.billed),
                book.amount(totals.disputed),
                book.amount(totals.loss),
            ],
            strong=True,
        )
    )
    story.append(table(book, columns, rows, style=CELL.but(size=7.9)))
    if totals.not_yet_charged:
        words = said(
            "Of what is owed, {amount} has not been billed yet.",
            amount=book.money(totals.not_yet_charged),
        )
        story.append(book.text(words, BODY))
    return story


def _claimed_row(book: Book, one: ReckonedFinding) -> Row:
    charged = [each.result for each in book.charges if each.result.finding == one.finding.id]
    return Row(
        [
            one.line.number,
            book.spans_to(item_words(one), f"finding-{one.number}", short=True),
            said(FINDING_LABELS[one.finding.kind]),
            str(_quantity(one)),
            _or_none(book, one.result.unit_value),
            book.amount(sum((each.billed for each in charged), Decimal(0))) if charged else NONE,
            book.amount(sum((each.disputed for each in charged), Decimal(0))) if charged else NONE,
            book.amount(one.result.owed),
        ]
    )


def _other_charge_row(book: Book, one: AnsweredCharge) -> Row:
    return Row(
        [
            "",
            book.spans_to(
                shortened(one.charge.description), f"working-charge-{one.number}", short=True
            ),
            said("charge"),
            "",
            "",
            book.amount(one.result.billed),
            book.amount(one.result.disputed),
            book.amount(one.result.owed),
        ]
    )


def item_words(one: ReckonedFinding) -> str:
    """Return what a finding is about: the line, and the part where it is one."""
    part = next((p.description for p in one.line.parts if p.id == one.finding.part), "")
    words = f"{one.line.description}: {part}" if part else one.line.description
    return shortened(words)


def _quantity(one: ReckonedFinding) -> int:
    """Return the units that the amount stands for; of what is not owed, the units found."""
    if one.finding.kind in ("missing", "damaged"):
        return one.result.reckoned_quantity
    return one.result.quantity


def _or_none(book: Book, amount: Decimal | None) -> str:
    return NONE if amount is None else book.amount(amount)


def _who_pays(book: Book) -> list[Flowable]:
    """Return the table of occurrences: the loss and who pays which part of it."""
    if not book.reckoning.occurrences:
        return []
    story = start_subsection(book, said("Who pays"), "summary-who-pays")
    columns = [
        Column(said("Occurrence"), share=1.0),
        Column(
            said_in("narrow column", "Loss, {currency}", currency=book.currency), 66, align="right"
        ),
        Column(said_in("narrow column", "Waiver"), 62, align="right"),
        Column(said_in("narrow column", "Policy"), 66, align="right"),
        Column(said_in("narrow column", "Other ins."), 58, align="right"),
        Column(said_in("narrow column", "Held back"), 58, align="right"),
        Column(said_in("narrow column", "Borne by us"), 66, align="right"),
    ]
    rows = []
    for number, one in enumerate(book.reckoning.occurrences, 1):
        title = book.spans_to(
            book.occurrence_title(one.occurrence), f"working-occurrence-{number}", short=True
        )
        rows.append(
            Row(
                [
                    title,
                    book.amount(one.loss),
                    book.amount(one.waiver),
                    book.amount(one.policy),
                    book.amount(one.other_insurance),
                    book.amount(one.held_back),
                    book.amount(one.renter),
                ]
            )
        )
    totals = book.reckoning.totals
    rows.append(
        Row(
            [
                said("Total"),
                book.amount(totals.loss),
                book.amount(totals.waiver),
                book.amount(totals.policy),
                book.amount(totals.other_insurance),
                book.amount(totals.held_back),
                book.amount(totals.renter),
            ],
            strong=True,
        )
    )
    story.append(table(book, columns, rows, style=CELL.but(size=7.9)))
    borne = [one for one in totals.borne_by if one.party is not None]
    if borne and book.shows("borne_by"):
        parts = [
            said(
                "{party} {amount}",
                party=book.party_name(one.party) or said("a party"),
                amount=book.money(one.amount),
            )
            for one in borne
        ]
        story.append(
            book.text(said("What is borne by us falls to {parties}.", parties=joined(parts)), BODY)
        )
    if totals.disputed:
        story.append(
            book.text(
                said(
                    "Billed by the rental companies: {billed}; of this {disputed} is "
                    "disputed and outside the loss.",
                    billed=book.money(totals.billed),
                    disputed=book.money(totals.disputed),
                ),
                BODY,
            )
        )
    if not totals.complete:
        story.append(
            book.text(said("Some amounts cannot be computed yet; the totals leave them out."), BODY)
        )
    return story
