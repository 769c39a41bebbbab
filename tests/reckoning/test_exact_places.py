"""Every fault of a claim's numbers stands under the name of the field where it is."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest

from ldapp.claim.claim import Claim
from ldapp.claim.counts import CountEntry, Movement
from ldapp.errors import Fault
from ldapp.reckoning.check import check_terms
from tests.reckoning.claims import at, charge, claim, count, event, invoice, line, missing


def whole() -> Claim:
    return claim(
        kit=[line(price="100")],
        counts=[count("n", "pickup", at(1), {"k1": 1})],
        movements=(Movement(id="m", kind="added", line="k1", quantity=1, at=at(2)),),
        findings=[missing()],
        occurrences=[event()],
        invoices=[invoice(charge(finding="f1"))],
    )


def faults(of: Claim) -> list[Fault]:
    return list(check_terms(of))


def twice(field: str) -> Callable[[Claim], Claim]:
    def change(of: Claim) -> Claim:
        members = getattr(of, field)
        return dataclasses.replace(of, **{field: (*members, members[0])})

    return change


@pytest.mark.parametrize(
    ("field", "identity"),
    [
        ("agreements", "a"),
        ("kit", "k1"),
        ("counts", "n"),
        ("movements", "m"),
        ("occurrences", "o1"),
        ("findings", "f1"),
        ("invoices", "i1"),
    ],
)
def test_an_id_that_stands_twice_is_said_with_its_collection(field: str, identity: str) -> None:
    assert faults(whole()) == []
    found = [one for one in faults(twice(field)(whole())) if one.place == field]
    (fault,) = found
    assert fault.wrong == f"the id {identity!r} stands twice"
    assert fault.expected == "an id of its own for each"


def test_a_charge_that_stands_twice_is_said_with_its_collection() -> None:
    of = whole()
    doubled = invoice(*of.invoices[0].charges, *of.invoices[0].charges)
    found = faults(dataclasses.replace(of, invoices=(doubled,)))
    assert [one.wrong for one in found if one.place == "charges"] == ["the id 'h1' stands twice"]


def test_a_line_that_is_counted_twice_is_said_with_its_entry() -> None:
    of = whole()
    entries = (CountEntry(line="k1", quantity=1), CountEntry(line="k1", quantity=1))
    other = dataclasses.replace(of.counts[0], id="whole")
    doubled = dataclasses.replace(of.counts[0], entries=entries)
    # The sound count before the faulty one must not end the search.
    (fault,) = faults(dataclasses.replace(of, counts=(other, doubled)))
    assert fault.place.startswith("counts[1].entries[1]")
    assert fault.wrong == "'k1' is counted twice"
    assert fault.expected == "one entry for each line"


@pytest.mark.parametrize("name", ["net", "tax", "gross"])
def test_a_sum_of_an_invoice_that_is_no_number_is_said_with_its_name(name: str) -> None:
    of = whole()
    more: dict[str, Any] = {name: Decimal("NaN")}
    (fault,) = faults(
        dataclasses.replace(of, invoices=(dataclasses.replace(of.invoices[0], **more),))
    )
    assert fault.place == f"invoices[0].{name}"


def test_every_fault_is_one_of_the_claim() -> None:
    (fault,) = faults(twice("kit")(whole()))[:1]
    assert fault.file == "claim"
