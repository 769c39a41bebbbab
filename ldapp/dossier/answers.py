"""The answer to each charge: billed, not disputed, disputed, why, and what proves it."""

from __future__ import annotations

from decimal import Decimal

from reportlab.platypus import Flowable

from ldapp.claim.charges import Charge, GroundChoice
from ldapp.claim.grounds import GROUND_BY_CODE
from ldapp.dossier.book import AnsweredCharge, Book, interleave
from ldapp.dossier.formats import date_text, quantity_text, sentence, shortened
from ldapp.dossier.frame import start_section, start_subsection
from ldapp.dossier.labels import CHARGE_KIND_LABELS
from ldapp.dossier.second_round import second_round
from ldapp.dossier.style import BODY, CELL
from ldapp.dossier.summary import answer_words
from ldapp.dossier.tables import Column, Content, Row, facts, table
from ldapp.dossier.text import Span
from ldapp.dossier.wording import wording
from ldapp.language import said, said_of
from ldapp.reckoning.result import GroundFall

_ENDLESS = 1e6
_HEADING_AND_GAPS = 70.0
_MOST_KEPT_TOGETHER = 520.0
"""An answer that is higher than this is parted over pages."""


def answers_section(book: Book) -> list[Flowable]:
    """Return the section."""
    story = start_section(book, said("Answer to the charges"), "answers")
    again = second_round(book)
    offers = again.offers if again is not None else {}
    for answered in book.charges:
        offer = offers.get((answered.invoice.id, answered.charge.id))
        story.extend(_answer(book, answered, offer))
    return story


def _answer(book: Book, answered: AnsweredCharge, offer: Decimal | None) -> list[Flowable]:
    title = f"{answered.number}. {shortened(answered.charge.description)}"
    body: list[Flowable] = [
        facts(book, _charge_facts(book, answered, offer)),
        _amounts(book, answered),
    ]
    result = answered.result
    if result.answer == "open_until_documented":
        body.append(
            book.text(said("This charge stays open until the documents asked for are here."), BODY)
        )
    high = sum(one.wrap(book.text_width, _ENDLESS)[1] for one in body) + _HEADING_AND_GAPS
    room = high if high < _MOST_KEPT_TOGETHER else 120
    head = start_subsection(book, title, f"charge-{answered.number}", room=room)
    return [*head, *body]


def _charge_facts(
    book: Book, answered: AnsweredCharge, offer: Decimal | None
) -> list[tuple[str, Content]]:
    charge = answered.charge
    where = said(
        "{invoice} of {day}",
        invoice=answered.invoice.number,
        day=date_text(answered.invoice.dated),
    )
    if charge.number:
        where = said("{invoice}, line {number}", invoice=where, number=charge.number)
    whole = charge.description.strip()
    pairs: list[tuple[str, Content]] = [
        (said("In full"), whole if shortened(whole) != whole else ""),
        (said("Invoice"), [where, *_with_dash(book.exhibit_spans([answered.invoice.document]))]),
        (said("Billed as"), _billed_words(book, charge)),
    ]
    finding = next(
        (one for one in book.findings if one.finding.id == answered.result.finding), None
    )
    if finding is not None:
        label = book.line_label(finding.line.id)
        pairs.append((said("Kit line"), book.spans_to(label, f"finding-{finding.number}")))
    elif charge.line is not None and book.line_label(charge.line):
        pairs.append((said("Kit line"), book.line_label(charge.line)))
    pairs.append((said("Answer"), Span(answer_words(answered.result), face="bold")))
    if offer is not None:
        pairs.append((said("Your offer"), book.money(offer)))
    if charge.settled is not None:
        settled = book.money(charge.settled)
        if charge.settled_on is not None:
            day = date_text(charge.settled_on)
            settled = said("{amount} on {day}", amount=settled, day=day)
        pairs.append((said("Settled"), settled))
    return pairs


def _billed_words(book: Book, charge: Charge) -> str:
    """Return what was billed: ``repair, 2 units at USD 40.00 for 3 days``."""
    words = said(
        "{kind}, {units}",
        kind=said(CHARGE_KIND_LABELS[charge.kind]),
        units=_units_words(charge.quantity),
    )
    if charge.unit_price is not None:
        words = said("{billed} at {price}", billed=words, price=book.money(charge.unit_price))
    if charge.days is not None:
        words = said("{billed} for {days} days", billed=words, days=quantity_text(charge.days))
    return words


def _units_words(quantity: Decimal) -> str:
    number = quantity_text(quantity)
    return said_of(1 if quantity == 1 else 2, "{count} unit", "{count} units", count=number)


def _with_dash(spans: list[Span]) -> list[Span | str]:
    return [" – ", *interleave(spans)] if spans else []


def _amounts(book: Book, answered: AnsweredCharge) -> Flowable:
    """Return the sum of the charge: billed, what each ground takes off, what is left."""
    result = answered.result
    working = book.link(f"working-charge-{answered.number}")
    columns = [
        Column("", share=1.0),
        Column(said("Proof"), 128),
        Column(book.currency, 84, align="right"),
    ]
    rows = [Row([said("Billed"), "", book.amount(result.billed)])]
    choices = {one.code: one for one in answered.charge.grounds if one.on}
    rows.extend(
        Row(
            [
                _ground_spans(fall, choices.get(fall.code)),
                _proof_spans(book, choices.get(fall.code)),
                book.amount(-fall.amount),
            ]
        )
        for fall in result.grounds
    )
    if result.grounds:
        rows.append(Row([said("Disputed"), "", book.amount(result.disputed)]))
    rows.append(
        Row(
            [
                Span(said("Not disputed")),
                Span(said("working"), link=working, face="regular") if working else "",
                book.amount(result.owed),
            ],
            strong=True,
        )
    )
    if result.waiver:
        rows.append(Row([said("of which the damage waiver bears"), "", book.amount(result.waiver)]))
    return table(book, columns, rows, style=CELL)


def _ground_spans(fall: GroundFall, choice: GroundChoice | None) -> list[Span | str]:
    kind = GROUND_BY_CODE[fall.code]
    spans: list[Span | str] = [Span(sentence(said(kind.label)), face="bold")]
    says = wording()["dispute"]["grounds"].get(fall.code, "")
    if says:
        spans.append(f" {says}")
    if choice is not None and choice.words.strip():
        spans.append(f"\n{choice.words.strip()}")
    return spans


def _proof_spans(book: Book, choice: GroundChoice | None) -> list[Span | str]:
    if choice is None:
        return []
    spans: list[Span] = []
    if choice.clause:
        named = choice.clause.lstrip()[:1].isdigit()
        spans.append(
            Span(said("clause {number}", number=choice.clause) if named else choice.clause)
        )
    spans.extend(book.exhibit_spans(choice.documents))
    spans.extend(book.photo_spans(choice.photos))
    spans.extend(book.count_spans(choice.counts))
    return interleave(spans)
