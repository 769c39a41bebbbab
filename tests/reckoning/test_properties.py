"""What must hold for every input."""

from __future__ import annotations

import dataclasses
import datetime as dt
import random
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from ldapp.claim.charges import GroundChoice
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, CountEntry
from ldapp.claim.documents import Document
from ldapp.claim.kit import KitLine
from ldapp.claim.terms import RepairDecision, Terms
from ldapp.errors import InputError
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.money import allocate
from ldapp.reckoning.result import Reckoning
from tests.reckoning.claims import at, claim, event, line, missing, photo
from tests.reckoning.generated import any_claims, depreciations, kit_lines, shares, valuations

every = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
CENT = Decimal("0.01")


@every
@given(any_claims)
def test_parts_sum_to_wholes_and_nobody_pays_less_than_nought(of: Claim) -> None:
    found = reckon(of)
    for occurrence in found.occurrences:
        parts = (
            occurrence.waiver,
            occurrence.policy,
            occurrence.other_insurance,
            occurrence.held_back,
            occurrence.renter,
        )
        assert occurrence.loss == sum(parts)
        assert min(parts) >= 0
        assert sum(b.amount for b in occurrence.borne_by) == occurrence.renter
        assert sum(amount for _, amount in occurrence.policy_by_line) == occurrence.policy
        assert sum(a for _, a in occurrence.other_by_insurer) == occurrence.other_insurance
    totals = found.totals
    assert totals.loss == totals.owed + totals.not_yet_charged
    assert totals.loss == totals.paid_by_others + totals.held_back + totals.renter
    assert totals.renter == sum(bearer.amount for bearer in totals.borne_by)


@every
@given(any_claims)
def test_owed_never_exceeds_billed_and_grounds_sum_to_disputed(of: Claim) -> None:
    found = reckon(of)
    for charge in found.charges:
        assert 0 <= charge.owed <= charge.billed
        assert charge.owed + charge.disputed == charge.billed
        assert sum(ground.amount for ground in charge.grounds) == charge.disputed
        assert all(ground.amount >= 0 for ground in charge.grounds)
        assert charge.owed <= charge.strong.owed or any(
            g.code in ("tax_not_due", "fee_not_agreed") for g in charge.grounds
        )
        assert charge.strong.owed + charge.strong.disputed == charge.billed
        assert 0 <= charge.waiver <= charge.owed
    assert found.totals.owed + found.totals.disputed == found.totals.billed


@every
@given(any_claims, st.randoms(use_true_random=False))
def test_the_order_of_entry_changes_no_amount(of: Claim, rnd: random.Random) -> None:
    def mixed(items: tuple[object, ...]) -> tuple[object, ...]:
        shuffled = list(items)
        rnd.shuffle(shuffled)
        return tuple(shuffled)

    policy = of.policy
    if policy is not None:
        insurers = mixed(policy.terms.other_insurance)
        terms = dataclasses.replace(policy.terms, other_insurance=insurers)
        policy = dataclasses.replace(policy, terms=terms)
    other = dataclasses.replace(
        of,
        policy=policy,
        kit=mixed(of.kit),
        counts=tuple(
            dataclasses.replace(count, entries=mixed(count.entries)) for count in mixed(of.counts)
        ),
        movements=mixed(of.movements),
        occurrences=mixed(of.occurrences),
        findings=mixed(of.findings),
        invoices=tuple(
            dataclasses.replace(
                invoice,
                charges=tuple(
                    dataclasses.replace(c, grounds=mixed(c.grounds)) for c in mixed(invoice.charges)
                ),
            )
            for invoice in mixed(of.invoices)
        ),
    )
    first, second = reckon(of), reckon(other)
    assert first.totals == second.totals
    assert set(first.findings) == set(second.findings)
    assert first.charges == second.charges
    assert first.occurrences == second.occurrences
    assert first.counts == second.counts


@every
@given(any_claims)
def test_the_same_input_gives_the_same_working(of: Claim) -> None:
    assert repr(reckon(of)) == repr(reckon(of))


@every
@given(kit_lines("k1"), valuations, depreciations, st.data())
def test_a_later_acquisition_never_lowers_a_unit_value(
    kit: KitLine, valuation: Any, depreciation: Any, data: st.DataObject
) -> None:
    early = data.draw(st.dates(dt.date(2019, 1, 1), dt.date(2026, 4, 1)))
    late = data.draw(st.dates(early, dt.date(2026, 4, 1)))
    terms = Terms(valuation=valuation, depreciation=depreciation)

    def value(acquired: dt.date) -> Decimal | None:
        of = claim(
            kit=[dataclasses.replace(kit, acquired=acquired)],
            findings=[missing()],
            occurrences=[event()],
            terms=terms,
        )
        return reckon(of).findings[0].unit_value

    before, after = value(early), value(late)
    assert (before is None) == (after is None)
    if before is not None and after is not None:
        assert before <= after


@every
@given(any_claims, st.decimals(0, 3000, places=2))
def test_a_higher_deductible_never_raises_what_the_policy_pays(of: Claim, more: Decimal) -> None:
    assume(of.policy is not None)
    assert of.policy is not None

    def paid(extra: Decimal) -> tuple[Decimal, ...]:
        assert of.policy is not None
        raised = tuple(
            dataclasses.replace(
                d,
                amount=(d.amount or Decimal(0)) + extra,
                minimum=extra if d.maximum is None else min(extra, d.maximum),
            )
            for d in of.policy.terms.deductibles
        )
        terms = dataclasses.replace(of.policy.terms, deductibles=raised, aggregate=None)
        changed = dataclasses.replace(of, policy=dataclasses.replace(of.policy, terms=terms))
        return tuple(o.policy for o in reckon(changed).occurrences)

    for low, high in zip(paid(Decimal(0)), paid(more), strict=True):
        assert high <= low + CENT


@every
@given(any_claims, st.data())
def test_a_pickup_count_not_above_the_list_never_makes_the_renter_owe_more(
    of: Claim, data: st.DataObject
) -> None:
    # One finding a line that leaves the number to the counts, as a proposal does.
    listed = {line.id: line.quantity for line in of.kit}
    one_each = {finding.line: finding for finding in of.findings if finding.kind == "missing"}
    findings = tuple(
        dataclasses.replace(finding, quantity=listed[finding.line]) for finding in one_each.values()
    )
    known = {finding.id for finding in findings}
    without = dataclasses.replace(
        of,
        findings=findings,
        invoices=tuple(
            dataclasses.replace(
                invoice,
                charges=tuple(c for c in invoice.charges if c.finding in known or not c.finding),
            )
            for invoice in of.invoices
        ),
        counts=tuple(c for c in of.counts if c.stage != "pickup"),
        movements=tuple(m for m in of.movements if m.at > at(2)),
    )
    entries = tuple(
        CountEntry(line=k.id, quantity=data.draw(st.integers(0, k.quantity))) for k in of.kit
    )
    pickup = Count(id="p", stage="pickup", at=at(2), acknowledgement="none", entries=entries)
    counted = dataclasses.replace(without, counts=(pickup, *without.counts))
    assert reckon(counted).totals.loss <= reckon(without).totals.loss
    assert reckon(counted).totals.owed <= reckon(without).totals.owed


@every
@given(any_claims, st.data())
def test_adding_support_to_a_switched_on_ground_never_raises_what_is_owed(
    of: Claim, data: st.DataObject
) -> None:
    places = [
        (i, c, g)
        for i, invoice in enumerate(of.invoices)
        for c, charge in enumerate(invoice.charges)
        for g, ground in enumerate(charge.grounds)
        if ground.on
    ]
    assume(places)
    paper = Document(id="d9", title="A signed sheet", signed_by_other_side=True)
    of = dataclasses.replace(of, documents=(paper,), photos=(photo("p1"),))
    i, c, g = data.draw(st.sampled_from(places))
    more: dict[str, Any] = data.draw(
        st.sampled_from([{"documents": ("d9",)}, {"clause": "4.1"}, {"photos": ("p1",)}])
    )

    def supported(ground: GroundChoice) -> GroundChoice:
        return dataclasses.replace(ground, **more)

    charges = list(of.invoices[i].charges)
    grounds = list(charges[c].grounds)
    grounds[g] = supported(grounds[g])
    charges[c] = dataclasses.replace(charges[c], grounds=tuple(grounds))
    invoices = list(of.invoices)
    invoices[i] = dataclasses.replace(invoices[i], charges=tuple(charges))
    better = dataclasses.replace(of, invoices=tuple(invoices))
    before, after = reckon(of), reckon(better, {"p1": "backed"})
    assert after.totals.owed <= before.totals.owed
    assert after.totals.strong_owed <= before.totals.strong_owed
    for one, two in zip(before.charges, after.charges, strict=True):
        assert two.owed <= one.owed
        assert two.strong.owed <= one.strong.owed


@every
@given(any_claims, st.sampled_from(["terms", "policy", "invoice"]))
def test_currency_never_mixes_silently(of: Claim, where: str) -> None:
    if where == "terms":
        (agreement,) = of.agreements
        terms = dataclasses.replace(agreement.terms, currency="CAD")
        of = dataclasses.replace(of, agreements=(dataclasses.replace(agreement, terms=terms),))
    elif where == "policy":
        assume(of.policy is not None)
        assert of.policy is not None
        policy_terms = dataclasses.replace(of.policy.terms, currency="CAD")
        of = dataclasses.replace(of, policy=dataclasses.replace(of.policy, terms=policy_terms))
    else:
        first = dataclasses.replace(of.invoices[0], currency="CAD")
        of = dataclasses.replace(of, invoices=(first, *of.invoices[1:]))
    with pytest.raises(InputError, match="CAD"):
        reckon(of)


@every
@given(st.integers(0, 100_000), st.lists(shares, min_size=1, max_size=8))
def test_shares_of_a_total_always_sum_to_it(cents: int, weights: list[Fraction]) -> None:
    total = Decimal(cents) / 100
    parts = allocate(total, weights, 2)
    assert sum(parts) == total
    assert min(parts) >= 0


def test_no_threshold_is_among_the_generated_values() -> None:
    """The rule on acquisition dates holds where no repair threshold is in force."""
    assert RepairDecision(rule="threshold").threshold is None
    assert isinstance(reckon(claim(kit=[line("k1", "1")])), Reckoning)
