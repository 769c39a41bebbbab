"""What a proof of loss asks for, field by field, for the insurer.

The fields follow the usual forms (common practice); a field that nobody filled in says
so, and nothing is filled in here.
"""

from __future__ import annotations

from reportlab.platypus import Flowable, HRFlowable, KeepTogether, Spacer

from ldapp.claim.causes import CAUSE_LABELS
from ldapp.dossier.book import Book, interleave
from ldapp.dossier.formats import date_text, joined, named
from ldapp.dossier.frame import start_section, start_subsection
from ldapp.dossier.style import BODY, HAIRLINE, SMALL
from ldapp.dossier.tables import Content, facts
from ldapp.dossier.text import Span
from ldapp.dossier.wording import words
from ldapp.language import marked, said

_UNKNOWN = marked("not recorded")
_MOST_NAMES = 40


def statement_section(book: Book) -> list[Flowable]:
    """Return the section."""
    story = start_section(book, said("Statement of loss"), "statement")
    story.append(facts(book, _policy_facts(book), label_width=140))
    for number, one in enumerate(book.reckoning.occurrences, 1):
        title = book.occurrence_title(one.occurrence)
        story.extend(start_subsection(book, title, f"statement-{number}", room=170))
        story.append(facts(book, _occurrence_facts(book, number - 1), label_width=140))
    story.append(
        KeepTogether(
            [
                Spacer(0, 8),
                book.text(words("pages", "statement_true"), BODY),
                Spacer(0, 30),
                HRFlowable(width=240, thickness=0.6, color=HAIRLINE, hAlign="LEFT", spaceAfter=3),
                book.text(said("Date and signature of the insured"), SMALL.but(after=16)),
            ]
        )
    )
    return story


def _policy_facts(book: Book) -> list[tuple[str, Content]]:
    policy = book.claim.policy
    if policy is None:
        return [(said("Policy"), said("no policy has been recorded for this claim"))]
    terms = policy.terms
    period = said(_UNKNOWN)
    if terms.period is not None:
        period = said(
            "{begin} to {end}",
            begin=book.time(terms.period.begins),
            end=book.time(terms.period.ends),
        )
    payees = [one.name for one in terms.loss_payees]
    if policy.loss_payee is not None and book.party_name(policy.loss_payee):
        payees.insert(0, book.party_name(policy.loss_payee))
    others = [one.insurer for one in terms.other_insurance]
    owners = [party.name for party in book.parties_in("rental_company", "owner")]
    limit = book.money(terms.limit.amount) if terms.limit is not None else said(_UNKNOWN)
    return [
        (said("Policy number"), [policy.number or said(_UNKNOWN), *_after(book, policy.document)]),
        (said("Claim number"), policy.claim_number or said("not given yet")),
        (said("Insured"), book.party_name(policy.insured) or said(_UNKNOWN)),
        (said("Agent or broker"), book.party_name(policy.broker) or said(_UNKNOWN)),
        (said("Period"), period),
        (said("Amount of the policy"), limit),
        (
            said("Interest of others"),
            said("owned by {owners}", owners=joined(owners)) if owners else said(_UNKNOWN),
        ),
        (
            said("Loss payee"),
            joined(list(dict.fromkeys(payees))) if payees else said("none recorded"),
        ),
        (said("Other insurance"), joined(others) if others else said("none recorded")),
        (
            said("Use"),
            said("rented for {title}", title=book.claim.title)
            if book.claim.title
            else said(_UNKNOWN),
        ),
    ]


def _after(book: Book, document: str | None) -> list[Span | str]:
    spans = book.exhibit_spans([document])
    return [" – ", *interleave(spans)] if spans else []


def _occurrence_facts(book: Book, index: int) -> list[tuple[str, Content]]:
    result = book.reckoning.occurrences[index]
    occurrence = next((one for one in book.claim.occurrences if one.id == result.occurrence), None)
    working = book.link(f"working-occurrence-{index + 1}")
    pairs: list[tuple[str, Content]] = []
    if occurrence is None:
        pairs.append(
            (
                said("Time and cause"),
                said("not known: found at a count and explained by no occurrence so far"),
            )
        )
    else:
        when = (
            book.time(occurrence.at)
            if occurrence.at is not None
            else date_text(occurrence.day)
            if occurrence.day is not None
            else said("known only by the counts")
        )
        third = book.party_name(occurrence.third_party)
        pairs.extend(
            [
                (said("Time"), when),
                (said("Place"), occurrence.place or said(_UNKNOWN)),
                (
                    said("Cause"),
                    said(CAUSE_LABELS[occurrence.cause])
                    if occurrence.cause is not None
                    else said(_UNKNOWN),
                ),
                (said("Police report"), occurrence.police_report or said("none recorded")),
                (said("Responsible third party"), third or said("none recorded")),
            ]
        )
    names = [
        book.line_label(one.line.id) for one in book.findings if one.finding.id in result.findings
    ]
    pairs.extend(
        [
            (said("Items"), named(names, _MOST_NAMES)),
            (
                said("Whole loss"),
                [
                    Span(book.money(result.loss), link=working),
                    *([" ", said("as far as it can be computed")] if result.lacking else ()),
                ],
            ),
            *(
                (label, book.money(amount))
                for label, amount in (
                    (said("Borne by the damage waiver"), result.waiver),
                    (said("Other insurance pays"), result.other_insurance),
                    *(
                        (said("of this {insurer}", insurer=name), share)
                        for name, share in result.other_by_insurer
                    ),
                    (said("Held back until replacement"), result.held_back),
                )
                if amount
            ),
            (said("Deductible"), book.money(result.deductible)),
            (said("Borne by us"), book.money(result.renter)),
            (said("Amount claimed"), Span(book.money(result.policy), face="bold", link=working)),
        ]
    )
    if result.reasons:
        pairs.append((said("Cover"), " ".join(result.reasons)))
    if result.lacking:
        pairs.append((said("Still lacking"), _lacking_words(book, result.lacking)))
    return pairs


def _lacking_words(book: Book, lacking: tuple[str, ...]) -> str:
    """Return what is lacking, with lines named instead of the keys of their findings."""
    labels = {one.finding.id: book.line_label(one.line.id) for one in book.findings}
    says: list[str] = []
    for one in lacking:
        key, mark, what = one.partition(": ")
        says.append(f"{labels[key]}: {what}" if mark and key in labels else one)
    return "; ".join(dict.fromkeys(says))
