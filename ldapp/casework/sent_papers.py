"""Papers of what was sent and received, and entries that name a charge which is gone."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from ldapp.casework.edit import get, put
from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.originals import KeepsOriginals
from ldapp.casework.papers import Progress, stored_documents
from ldapp.claim.claim import Claim
from ldapp.claim.documents import ChargeOffer, Correspondence, Document, RecoveredItem
from ldapp.language import said


def attach_papers(
    desk: OpenClaim,
    keeper: KeepsOriginals,
    entry: str,
    paths: Iterable[Path],
    progress: Progress = lambda done, total, text: None,
) -> tuple[Document, ...]:
    """Copy papers into the library and hang the first on what was sent or received.

    The others stand among the claim's documents.  All of it is one change.

    Raises:
        LdappError: a file cannot be read, or the entry is gone; nothing was added then.
    """
    present = get(desk.claim.correspondence, entry, "entry")
    every, new = stored_documents(desk.claim, keeper, paths, "message", progress)
    if not every:
        return ()

    def change(claim: Claim) -> Claim:
        hung = dataclasses.replace(get(claim.correspondence, entry, "entry"), document=every[0].id)
        return dataclasses.replace(
            claim,
            documents=(*claim.documents, *new),
            correspondence=put(claim.correspondence, hung),
        )

    desk.change(
        said("Attach {title} to “{subject}”", title=every[0].title, subject=present.subject), change
    )
    return every


class GoneOffer(NamedTuple):
    """An offer for a charge that is no longer in the claim."""

    entry: Correspondence
    offer: ChargeOffer


def gone_offers(claim: Claim) -> tuple[GoneOffer, ...]:
    """Return the offers whose charge was removed, in the order of the entries."""
    known = _charges(claim)
    return tuple(
        GoneOffer(entry, offer)
        for entry in claim.correspondence
        for offer in entry.offers
        if (offer.invoice, offer.charge) not in known
    )


def gone_items(claim: Claim) -> tuple[RecoveredItem, ...]:
    """Return what turned up and names a charge that was removed."""
    known = _charges(claim)
    return tuple(
        one
        for one in claim.recovered
        if one.charge is not None and (one.invoice, one.charge) not in known
    )


def _charges(claim: Claim) -> set[tuple[str | None, str | None]]:
    return {(invoice.id, one.id) for invoice in claim.invoices for one in invoice.charges}


def offer_for_another_charge(desk: OpenClaim, gone: GoneOffer, invoice: str, charge: str) -> bool:
    """Say which charge an offer is for now; what that charge was offered before is replaced."""
    others = tuple(
        one
        for one in gone.entry.offers
        if one != gone.offer and (one.invoice, one.charge) != (invoice, charge)
    )
    named = dataclasses.replace(gone.offer, invoice=invoice, charge=charge)
    return _with_offers(desk, gone.entry, (*others, named), said("Offer for another charge"))


def take_out_gone_offers(desk: OpenClaim) -> bool:
    """Take out every offer whose charge was removed, as one change."""
    gone = {(one.offer.invoice, one.offer.charge) for one in gone_offers(desk.claim)}
    return desk.change(
        said("Take out offers for charges that are gone"),
        lambda claim: dataclasses.replace(
            claim,
            correspondence=tuple(
                dataclasses.replace(
                    entry,
                    offers=tuple(
                        one for one in entry.offers if (one.invoice, one.charge) not in gone
                    ),
                )
                for entry in claim.correspondence
            ),
        ),
    )


def _with_offers(
    desk: OpenClaim, entry: Correspondence, offers: tuple[ChargeOffer, ...], label: str
) -> bool:
    changed = dataclasses.replace(entry, offers=offers)
    return desk.change(
        label,
        lambda claim: dataclasses.replace(claim, correspondence=put(claim.correspondence, changed)),
    )


def found_for_charge(desk: OpenClaim, item: str, invoice: str | None, charge: str | None) -> bool:
    """Say with which charge a recovered item was paid; None: with none that is known."""
    present = get(desk.claim.recovered, item, "item that turned up")
    changed = dataclasses.replace(present, invoice=invoice, charge=charge)
    return desk.change(
        said("Turned up again: its charge"),
        lambda claim: dataclasses.replace(claim, recovered=put(claim.recovered, changed)),
    )


def gone_offers_say(amount: str, offers: tuple[GoneOffer, ...]) -> str:
    """Say in a sentence what is left of offers whose charge is gone; ``amount`` is their sum."""
    if len(offers) == 1:
        return said(
            "The offer of {amount} in “{subject}” is for a charge that was removed, "
            "so it counts nowhere. Say which charge it is for, or take it out.",
            amount=amount,
            subject=offers[0].entry.subject,
        )
    return said(
        "{number} offers, {amount} together, are for charges that were removed, "
        "so they count nowhere. Say which charges they are for, or take them out.",
        number=len(offers),
        amount=amount,
    )


def sum_of(offers: tuple[GoneOffer, ...]) -> Decimal:
    """Return what the offers come to, in the claim's currency."""
    return sum((one.offer.amount for one in offers), Decimal(0))
