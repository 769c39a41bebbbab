"""Every amount, date and hash in print is that of the reckoning, and totals add up."""

from __future__ import annotations

import dataclasses
import re
from decimal import Decimal

import pypdf
import pytest

from ldapp.claim.claim import Claim
from ldapp.dossier.formats import amount_text, date_text, money_text, photo_time_text
from ldapp.dossier.step_text import label_text
from ldapp.reckoning.result import Step
from tests.dossier.conftest import Write, text_of, words_of


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def steps_of(step: Step) -> list[Step]:
    return [step, *(inner for one in step.steps for inner in steps_of(one))]


def rows_with(text: str, start: str) -> list[str]:
    return [line for line in text.splitlines() if line.strip().startswith(start)]


def amounts_in(line: str) -> list[Decimal]:
    found = re.findall(r"−?\d[\d,]*\.\d\d", line)
    return [Decimal(one.replace(",", "").replace("−", "-")) for one in found]


def test_every_charge_stands_in_the_answer_as_it_was_reckoned(write: Write, claim: Claim) -> None:
    result, request = write(claim, "dispute")
    text = text_of(result.path, "-layout")
    for answered in request.reckoning.charges:
        charge = next(c for i in claim.invoices for c in i.charges if c.id == answered.charge)
        row = next(
            line
            for line in rows_with(text, charge.number)
            if charge.description in line and len(amounts_in(line)) == 3
        )
        assert amounts_in(row) == [answered.billed, answered.owed, answered.disputed]
        for ground in answered.grounds:
            assert amount_text(-ground.amount, "USD") in text


def test_the_total_of_the_charges_is_the_sum_of_the_rows_above_it(
    write: Write, claim: Claim
) -> None:
    result, request = write(claim, "dispute")
    text = text_of(result.path, "-layout")
    total = next(line for line in rows_with(text, "Total") if len(amounts_in(line)) == 3)
    rows = [
        amounts_in(line)
        for charge in claim.invoices[0].charges
        for line in rows_with(text, charge.number)
        if charge.description in line and len(amounts_in(line)) == 3
    ]
    assert amounts_in(total) == [sum(column) for column in zip(*rows, strict=True)]
    totals = request.reckoning.totals
    assert amounts_in(total) == [totals.billed, totals.owed, totals.disputed]


def test_what_is_claimed_adds_up_to_the_loss(write: Write, claim: Claim) -> None:
    fee = dataclasses.replace(
        claim.invoices[0].charges[0],
        id="fee",
        number="4",
        description="Handling",
        kind="administration",
        amount=Decimal("75.00"),
        unit_price=None,
        line=None,
        finding=None,
        grounds=(),
    )
    invoice = dataclasses.replace(
        claim.invoices[0], charges=(*claim.invoices[0].charges, fee), net=None, gross=None
    )
    result, request = write(dataclasses.replace(claim, invoices=(invoice,)), "insurer")
    text = text_of(result.path, "-layout")
    section = text[text.index("What is claimed") : text.index("Who pays")]
    totals = request.reckoning.totals
    (total,) = [amounts_in(line) for line in rows_with(section, "Total")]
    assert total == [totals.billed, totals.disputed, totals.loss]
    rows = [amounts_in(line) for line in section.splitlines() if len(amounts_in(line)) > 2]
    owed = [row[-1] for row in rows if row != total]
    assert sum(owed) == totals.loss
    assert Decimal("75.00") in owed


def test_who_pays_is_that_of_the_reckoning_and_adds_up(write: Write, claim: Claim) -> None:
    result, request = write(claim, "insurer")
    text = text_of(result.path, "-layout")
    totals = request.reckoning.totals
    whole = [
        totals.loss,
        totals.waiver,
        totals.policy,
        totals.other_insurance,
        totals.held_back,
        totals.renter,
    ]
    total = next(line for line in rows_with(text, "Total") if len(amounts_in(line)) == 6)
    assert amounts_in(total) == whole
    assert whole[0] == sum(whole[1:])
    pages = words_of(result.path)
    for one in request.reckoning.occurrences:
        for amount in (one.loss, one.policy, one.renter, one.deductible):
            assert plain(money_text(amount, "USD")) in pages


@pytest.mark.parametrize("version", ["insurer", "dispute"])
def test_every_amount_of_every_working_is_printed(write: Write, claim: Claim, version: str) -> None:
    result, request = write(claim, version)
    text = words_of(result.path)
    workings = [one.working for one in request.reckoning.charges]
    charged = {one.finding for one in request.reckoning.charges}
    workings += [
        one.working
        for one in request.reckoning.findings
        if version == "insurer" or one.finding in charged
    ]
    if version == "insurer":
        workings += [one.working for one in request.reckoning.occurrences]
    checked = 0
    for working in workings:
        for step in steps_of(working):
            assert label_text(step.label) in text
            if step.amount is not None:
                assert amount_text(step.amount, "USD") in text
                checked += 1
    assert checked > 10


def test_findings_stand_with_what_is_owed_for_them(write: Write, claim: Claim) -> None:
    result, request = write(claim, "insurer")
    text = words_of(result.path)
    for one in request.reckoning.findings:
        assert plain(money_text(one.owed, "USD")) in text
        if one.unit_value is not None:
            assert plain(money_text(one.unit_value, "USD")) in text


@pytest.mark.parametrize("version", ["insurer", "dispute", "photos"])
def test_photos_stand_with_time_offset_and_hash(write: Write, claim: Claim, version: str) -> None:
    result, request = write(claim, version)
    text = words_of(result.path)
    # In the caption, and in the long versions also in the index and in the record.
    times = 1 if version == "photos" else 3
    for photo in claim.photos:
        assert text.count(photo.facts.sha256) == times
        verdict = request.verdicts.get(photo.id)
        assert plain(photo_time_text(verdict)) in text


def test_a_second_reader_finds_the_same_amounts_and_dates(write: Write, claim: Claim) -> None:
    result, request = write(claim, "insurer")
    reader = pypdf.PdfReader(result.path)
    text = plain(" ".join(page.extract_text() for page in reader.pages))
    totals = request.reckoning.totals
    for amount in (totals.loss, totals.policy, totals.renter, totals.disputed):
        assert amount_text(amount, "USD") in text
    assert plain(date_text(request.date)) in text
    assert request.journal_head in text


def test_a_currency_without_decimals_prints_none(write: Write) -> None:
    assert amount_text(Decimal("1234567"), "JPY") == "1,234,567"
    assert amount_text(Decimal("-0.5"), "JPY") == "−1"
    assert amount_text(Decimal("99999999.99"), "USD") == "99,999,999.99"
    assert amount_text(None, "USD") == "cannot be computed yet"


def test_counts_differ_in_print_where_they_differ(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "dispute")
    text = text_of(result.path, "-layout")
    stingers = [line.split() for line in rows_with(text, "30") if "Stinger" in line]
    assert ["30", "Stinger", "50", "ft", "20", "19", "−1"] in [row[:7] for row in stingers]
    assert ["30", "Stinger", "50", "ft", "19", "17", "−2"] in [row[:7] for row in stingers]


def test_times_in_workings_are_written_as_everywhere_else(write: Write, claim: Claim) -> None:
    result, request = write(claim, "insurer")
    results = {step.result for one in request.reckoning.findings for step in steps_of(one.working)}
    assert any(re.match(r"\d{4}-\d\d-\d\d \d\d:\d\d", one) for one in results)
    assert not re.search(r"\d{4}-\d\d-\d\d \d\d:\d\d(:\d\d)?[+-]", text_of(result.path))
