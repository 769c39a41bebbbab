"""The reckoning as a statement that reads from the top; every amount unfolds into its working."""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from ldapp.casework.charges import answer_says
from ldapp.casework.edit import find
from ldapp.claim.claim import Claim
from ldapp.claim.grounds import GROUND_BY_CODE
from ldapp.desktop.pages.said import (
    MINUS,
    NOT_YET,
    day_text,
    first_upper,
    found_text,
    line_text,
)
from ldapp.desktop.pages.statement_entry import Entry, against_text, first_paths, step_entry
from ldapp.desktop.pages.statement_papers import added_up, deadlines_entry, left_open_entry
from ldapp.desktop.pages.statement_readings import readings_entry
from ldapp.desktop.widgets.values import amount_text
from ldapp.language import marked, said, said_of
from ldapp.reckoning.result import (
    ChargeResult,
    FindingResult,
    OccurrenceResult,
    Reckoning,
)

COVER_SAYS = {
    "covered": marked("covered"),
    "not_covered": marked("not covered"),
    "cannot_be_said": marked("whether it is covered cannot be said"),
    "no_policy": marked("no policy"),
}


class Statement(NamedTuple):
    """The rows of the statement, section by section, and where each record's first row is."""

    sections: tuple[Entry, ...]
    paths: dict[tuple[str, str], tuple[int, ...]]
    """The rows to go down from the top."""


def statement(claim: Claim, reckoning: Reckoning) -> Statement:
    """Return the statement of a reckoning."""
    writer = _Writer(claim, reckoning)
    sections = (
        writer.owed(),
        writer.disputed(),
        readings_entry(claim, reckoning),
        writer.by_others(),
        writer.borne(),
        writer.occurrences(),
        deadlines_entry(reckoning),
        left_open_entry(claim, reckoning),
        writer.to_look_at(),
    )
    shown = tuple(one for one in sections if one is not None)
    return Statement(shown, first_paths(shown))


class _Writer:
    def __init__(self, claim: Claim, reckoning: Reckoning) -> None:
        self._claim = claim
        self._reckoning = reckoning
        self._charges = {
            charge.id: charge for invoice in claim.invoices for charge in invoice.charges
        }
        self._agreement_of_line = {line.id: line.agreement for line in claim.kit}
        self._lessor_of = {one.id: one.lessor for one in claim.agreements}

    def _money(self, amount: Decimal | None) -> str:
        return said(NOT_YET) if amount is None else amount_text(amount, self._claim.currency)

    # --- A: owed -------------------------------------------------------------------------

    def owed(self) -> Entry:
        totals = self._reckoning.totals
        section = Entry(
            said("Owed under the agreements"),
            "" if totals.complete else said("⚠ some amounts cannot be computed yet"),
            self._money(totals.loss),
            mark="total",
            key=("section", "owed"),
        )
        lessors = dict.fromkeys(one.lessor for one in self._claim.agreements)
        for lessor in lessors:
            entry = self._lessor(lessor)
            if entry.under:
                section.under.append(entry)
        if totals.offsets:
            section.under.append(
                Entry(
                    said("Credits of invoices"),
                    said("come off what is to be paid, not off what is owed"),
                    f"{MINUS}{self._money(totals.offsets)}",
                )
            )
            section.under.append(
                Entry(
                    said("To pay to the rental companies"),
                    "",
                    self._money(totals.to_pay_to_lessors),
                )
            )
        return section

    def _lessor(self, lessor: str) -> Entry:
        party = find(self._claim.parties, lessor)
        entry = Entry(
            party.name if party and party.name else said("Rental company not named"),
            key=("party", lessor),
        )
        total = Decimal(0)
        for invoice in self._claim.invoices:
            if self._lessor_of.get(invoice.agreement) == lessor:
                one = self._invoice(invoice.id)
                if one is not None:
                    entry.under.append(one[0])
                    total += one[1]
        open_ones = [
            one
            for one in self._reckoning.findings
            if one.not_yet_charged != 0
            and self._lessor_of.get(self._agreement_of_line.get(one.line, "")) == lessor
        ]
        if open_ones:
            known = sum((one.not_yet_charged or Decimal(0) for one in open_ones), Decimal(0))
            total += known
            entry.under.append(
                Entry(
                    said("Not yet charged"),
                    said("reckoned value of what no invoice has charged"),
                    self._money(known),
                    under=[self._finding(one) for one in open_ones],
                )
            )
        entry.amount = self._money(total)
        return entry

    def _invoice(self, key: str) -> tuple[Entry, Decimal] | None:
        result = next((one for one in self._reckoning.invoices if one.invoice == key), None)
        invoice = find(self._claim.invoices, key)
        if result is None or invoice is None:
            return None
        how = said(
            "billed {billed}, disputed {disputed}",
            billed=self._money(result.billed),
            disputed=self._money(result.disputed),
        )
        if result.difference:
            differs = said(
                "⚠ printed total differs by {amount}", amount=self._money(result.difference)
            )
            how = f"{how}; {differs}"
        if result.tax_without_charge:
            tax = said(
                "⚠ {amount} of tax on no line", amount=self._money(result.tax_without_charge)
            )
            how = f"{how}; {tax}"
        name = said("Invoice {number}, {day}", number=invoice.number, day=day_text(invoice.dated))
        if result.replaced_by is not None:
            return (
                Entry(
                    name,
                    said("replaced by a revision"),
                    mark="muted",
                    key=("invoice", key),
                    under=[added_up(result, self._claim.currency)],
                ),
                Decimal(0),
            )
        entry = Entry(
            name,
            how,
            self._money(result.owed),
            key=("invoice", key),
            under=[
                *(self._charge(one) for one in self._reckoning.charges if one.invoice == key),
                added_up(result, self._claim.currency),
            ],
        )
        return entry, result.owed

    def _charge(self, result: ChargeResult) -> Entry:
        charge = self._charges.get(result.charge)
        name = (
            f"{charge.number} · {charge.description}" if charge else said("a charge that is gone")
        )
        billed = said("billed {billed}", billed=self._money(result.billed))
        entry = Entry(
            name,
            f"{billed}; {answer_says(charge, result.answer)}" if charge else billed,
            self._money(result.owed),
            key=("charge", result.charge),
        )
        for fall in result.grounds:
            how = said("strong") if fall.strong else said("not strong")
            if fall.rests_on:
                how = said(
                    "{strength}; rests on {proofs}", strength=how, proofs=", ".join(fall.rests_on)
                )
            ground = Entry(
                said(GROUND_BY_CODE[fall.code].label),
                how,
                f"{MINUS}{self._money(fall.amount)}",
            )
            if fall.not_stated:
                ground.under.append(Entry(f"⚠ {fall.not_stated}", mark="amber"))
            if fall.against:
                ground.under.append(Entry(against_text(fall), mark="amber"))
            entry.under.append(ground)
        if result.waiver:
            entry.under.append(
                Entry(
                    said("Borne by the damage waiver"), "", self._money(result.waiver), mark="muted"
                )
            )
        entry.under.append(step_entry(result.working, self._claim.currency))
        return entry

    def _finding(self, result: FindingResult) -> Entry:
        finding = find(self._claim.findings, result.finding)
        return Entry(
            f"{line_text(find(self._claim.kit, result.line))}: "
            f"{found_text(finding) if finding else ''}",
            "⚠ " + "; ".join(result.lacking) if result.lacking else "",
            self._money(result.not_yet_charged),
            mark="amber" if result.lacking else "",
            key=("finding", result.finding),
            under=[step_entry(result.working, self._claim.currency)],
        )

    # --- disputed, B, C --------------------------------------------------------------------

    def disputed(self) -> Entry | None:
        totals = self._reckoning.totals
        if not any(one.disputed for one in self._reckoning.charges):
            return None
        section = Entry(
            said("Disputed"),
            said("of {amount} billed", amount=self._money(totals.billed)),
            self._money(totals.disputed),
            mark="total",
            key=("section", "disputed"),
        )
        by_ground: dict[str, Entry] = {}
        sums: dict[str, Decimal] = {}
        for result in self._reckoning.charges:
            charge = self._charges.get(result.charge)
            for fall in result.grounds:
                entry = by_ground.setdefault(
                    fall.code, Entry(first_upper(said(GROUND_BY_CODE[fall.code].label)))
                )
                sums[fall.code] = sums.get(fall.code, Decimal(0)) + fall.amount
                name = f"{charge.number} · {charge.description}" if charge else ""
                entry.under.append(
                    Entry(
                        name,
                        said("strong") if fall.strong else said("not strong"),
                        self._money(fall.amount),
                        key=("charge", result.charge),
                    )
                )
        for code, entry in by_ground.items():
            entry.amount = self._money(sums[code])
        section.under = list(by_ground.values())
        return section

    def by_others(self) -> Entry:
        totals = self._reckoning.totals
        section = Entry(
            said("Paid by others"),
            said("damage waiver, policy and other insurance"),
            self._money(totals.paid_by_others),
            mark="total",
            key=("section", "others"),
        )
        for name, amount in (
            (said("Damage waiver"), totals.waiver),
            (said("Policy"), totals.policy),
            (said("Other insurance"), totals.other_insurance),
        ):
            if amount:
                section.under.append(Entry(name, "", self._money(amount)))
        looked_at = self._reckoning.as_of
        if totals.held_back:
            section.under.append(
                Entry(
                    said("Held back until proof of replacement"),
                    said("the time for it as of {day}", day=day_text(looked_at))
                    if looked_at
                    else "",
                    self._money(totals.held_back),
                )
            )
        return section

    def borne(self) -> Entry:
        totals = self._reckoning.totals
        section = Entry(
            said("Left to bear"),
            said("what is owed, less what others pay and hold back"),
            self._money(totals.renter),
            mark="total",
            key=("section", "borne"),
        )
        for bearer in totals.borne_by:
            party = find(self._claim.parties, bearer.party)
            section.under.append(
                Entry(
                    party.name if party else bearer.party or said("The renter"),
                    said("jointly") if party and party.together == "jointly" else "",
                    self._money(bearer.amount),
                )
            )
        return section

    def occurrences(self) -> Entry | None:
        results = self._reckoning.occurrences
        if not results:
            return None
        return Entry(
            said("Each occurrence"),
            said("loss = waiver + policy + other insurance + held back + left to bear"),
            mark="total",
            key=("section", "occurrences"),
            under=[self._occurrence(one) for one in results],
        )

    def _occurrence(self, result: OccurrenceResult) -> Entry:
        one = find(self._claim.occurrences, result.occurrence)
        how = said(COVER_SAYS[result.cover])
        if result.reasons:
            how += ": " + "; ".join(result.reasons)
        entry = Entry(
            one.title if one else said("Explained by no event"),
            how,
            self._money(result.loss),
            key=("occurrence", result.occurrence or ""),
        )
        if result.probably_uninsured:
            entry.under.append(Entry(said("⚠ probably not insured"), mark="amber"))
        by_line = [
            Entry(line_text(find(self._claim.kit, line)), "", self._money(amount))
            for line, amount in result.policy_by_line
        ]
        by_insurer = [
            Entry(insurer, "", self._money(amount)) for insurer, amount in result.other_by_insurer
        ]
        for name, amount, shares in (
            (said("Damage waiver"), result.waiver, []),
            (said("Policy"), result.policy, by_line),
            (said("Other insurance"), result.other_insurance, by_insurer),
            (said("Held back"), result.held_back, []),
            (said("Left to bear"), result.renter, []),
        ):
            entry.under.append(Entry(name, "", self._money(amount), under=shares))
        entry.under += [
            Entry(said("Hint: {hint}", hint=hint), mark="muted") for hint in result.hints
        ]
        entry.under += [
            Entry(said("⚠ Lacking: {fact}", fact=one), mark="amber") for one in result.lacking
        ]
        entry.under.append(step_entry(result.working, self._claim.currency))
        return entry

    # --- what to look at ---------------------------------------------------------------------

    def to_look_at(self) -> Entry | None:
        seen = self._reckoning.observations
        if not seen:
            return None
        return Entry(
            said("To look at"),
            said_of(len(seen), "{count} point", "{count} points"),
            mark="total",
            key=("section", "observations"),
            under=[Entry(f"⚠ {one.says}", mark="amber", key=(one.kind, one.place)) for one in seen],
        )
