"""The reckoning of a claim, and what it would be under other terms."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from ldapp.casework.charges import add_charges
from ldapp.casework.edit import get
from ldapp.casework.open_claim import OpenClaim, new_id
from ldapp.casework.verdicts import verdicts_of
from ldapp.claim.charges import Charge
from ldapp.claim.claim import Claim
from ldapp.claim.photo_facts import PhotoVerdict
from ldapp.claim.policy import Deductible
from ldapp.claim.terms import StraightLine, ValuationRule, ValueBasis
from ldapp.language import said
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.result import Reckoning

__all__ = ["enter_printed_tax", "reckon_claim", "what_if", "with_strong_grounds_alone"]


def reckon_claim(
    claim: Claim,
    verdicts: Mapping[str, PhotoVerdict] | None = None,
    as_of: dt.date | None = None,
) -> Reckoning:
    """Return everything that follows from the claim's facts, with workings.

    Photos support a ground as far as their time stands; ``verdicts`` are made where they
    are not given.  ``as_of`` is the day on which the time for proof of replacement is looked
    at; without it none has run out.

    Raises:
        InputError: a term cannot be as it is entered; all such faults at once.
    """
    verdicts = verdicts_of(claim) if verdicts is None else verdicts
    standings = {photo: verdict.standing for photo, verdict in verdicts.items()}
    return reckon(claim, standings, as_of)


def with_strong_grounds_alone(
    claim: Claim,
    verdicts: Mapping[str, PhotoVerdict] | None = None,
    as_of: dt.date | None = None,
) -> Reckoning:
    """Return the reckoning as if every ground that is not strong were switched off.

    Policy, waiver and what is borne follow from what is then owed.  Switching one ground
    off may let another take its place, so this goes on until only strong ones are left.
    """
    reckoning = reckon_claim(claim, verdicts, as_of)
    # Each turn switches at least one ground off, so their number bounds the turns.
    while weak := {
        (result.charge, ground.code)
        for result in reckoning.charges
        for ground in result.grounds
        if not ground.strong
    }:
        claim = dataclasses.replace(
            claim,
            invoices=tuple(
                dataclasses.replace(
                    invoice,
                    charges=tuple(
                        dataclasses.replace(
                            charge,
                            grounds=tuple(
                                dataclasses.replace(
                                    one, on=one.on and (charge.id, one.code) not in weak
                                )
                                for one in charge.grounds
                            ),
                        )
                        for charge in invoice.charges
                    ),
                )
                for invoice in claim.invoices
            ),
        )
        after = reckon_claim(claim, verdicts, as_of)
        if after == reckoning:
            # What falls without being switched on (a charge that matches nothing) stays.
            break
        reckoning = after
    return reckoning


def enter_printed_tax(desk: OpenClaim, invoice: str) -> bool:
    """Enter the tax that an invoice prints in its footer as a charge that can be answered.

    Returns:
        Whether there was such tax; an invoice whose lines carry tax stays as it is.
    """
    present = get(desk.claim.invoices, invoice, "invoice")
    if not present.tax or any(charge.kind == "tax" for charge in present.charges):
        return False
    charge = Charge(
        id=new_id(),
        number="tax",
        description=said("Tax as printed below the lines"),
        kind="tax",
        amount=present.tax,
    )
    return add_charges(desk, invoice, [charge], said("Enter the printed tax as a charge"))


def what_if(
    claim: Claim,
    *,
    deductible: Decimal | None = None,
    basis: ValueBasis | None = None,
    life_months: int | None = None,
    residual_percent: Decimal | None = None,
    as_of: dt.date | None = None,
) -> Reckoning:
    """Reckon with another deductible, basis or life; the claim itself stays as it is."""
    changed = claim
    if deductible is not None and claim.policy is not None:
        cover = dataclasses.replace(
            claim.policy.terms, deductibles=(Deductible(form="flat", amount=deductible),)
        )
        changed = dataclasses.replace(
            changed, policy=dataclasses.replace(claim.policy, terms=cover)
        )
    if basis is not None or life_months is not None:
        agreements = []
        for agreement in changed.agreements:
            terms = agreement.terms
            if basis is not None:
                terms = dataclasses.replace(
                    terms, valuation=ValuationRule(bases=(basis,)), valuation_overrides=()
                )
            if life_months is not None:
                share = None if residual_percent is None else Fraction(residual_percent) / 100
                terms = dataclasses.replace(
                    terms,
                    depreciation=StraightLine(life_months=life_months, residual_share=share),
                    depreciation_overrides=(),
                )
            agreements.append(dataclasses.replace(agreement, terms=terms))
        changed = dataclasses.replace(changed, agreements=tuple(agreements))
    return reckon_claim(changed, as_of=as_of)
