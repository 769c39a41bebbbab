"""A letter names the lines that it speaks of, as the invoice numbers them."""

from __future__ import annotations

import dataclasses

from ldapp.claim.claim import Claim
from tests.dossier.conftest import Write, words_of


def opened(claim: Claim, number: int) -> Claim:
    invoice = claim.invoices[0]
    charges = tuple(
        dataclasses.replace(one, open_until_documented=place < number)
        for place, one in enumerate(invoice.charges)
    )
    return dataclasses.replace(
        claim, invoices=(dataclasses.replace(invoice, charges=charges), *claim.invoices[1:])
    )


def test_open_lines_are_named_in_the_letter(write: Write, claim: Claim) -> None:
    numbers = [one.number for one in claim.invoices[0].charges]
    result, _ = write(opened(claim, 1), "dispute")
    assert f"We cannot answer line {numbers[0]} yet; this is left open" in words_of(result.path)
    result, _ = write(opened(claim, 2), "dispute")
    words = words_of(result.path)
    assert f"We cannot answer lines {numbers[0]} and {numbers[1]} yet;" in words


def test_many_lines_are_counted_and_lines_of_two_invoices_told_apart(
    write: Write, claim: Claim
) -> None:
    invoice = claim.invoices[0]
    first = invoice.charges[0]
    many = tuple(
        dataclasses.replace(first, id=f"m{n}", number=f"9{n:02}", open_until_documented=True)
        for n in range(13)
    )
    one = dataclasses.replace(invoice, charges=many)
    result, _ = write(dataclasses.replace(claim, invoices=(one,)), "dispute")
    assert "We cannot answer 13 lines yet;" in words_of(result.path)
    halves = (
        dataclasses.replace(invoice, charges=many[:1]),
        dataclasses.replace(invoice, id="second", number="LD-2ND", charges=many[1:3]),
    )
    result, _ = write(dataclasses.replace(claim, invoices=halves), "dispute")
    told = f"line 900 of invoice {invoice.number} and lines 901 and 902 of invoice LD-2ND yet;"
    assert told in words_of(result.path)
