"""The arithmetic of an invoice, to the minor unit: lines, sub-totals, tax, total.

Amounts are rounded half-up to the currency's minor unit.  Tax may be rounded once for the
invoice or line by line; either is accepted.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal
from typing import Protocol

from babel.numbers import get_currency_precision

from ldapp.errors import Fault
from ldapp.language import said
from ldapp.local_forms import local_number


class Billed(Protocol):
    """What the check needs of a charge."""

    place: str
    quantity: Decimal | None
    unit_price: Decimal | None
    amount: Decimal | None
    days: Decimal | None
    discount: Decimal | None
    tax_rate: Decimal | None
    tax: Decimal | None
    taxable: bool | None


@dataclasses.dataclass(frozen=True, slots=True)
class SumRow:
    """A row that prints a sum; ``after`` is how many charges stand above it."""

    place: str
    kind: str
    label: str
    value: Decimal
    rate: Decimal | None
    """The rate of a tax row, as a share."""
    included: bool
    after: int
    figures: tuple[Decimal, ...] = ()
    """The other figures of the row, such as the amount that is taxed."""


@dataclasses.dataclass(frozen=True, slots=True)
class PrintedSums:
    """The sums as printed, None where they are not, and what does not add up."""

    net: Decimal | None
    tax: Decimal | None
    gross: Decimal | None
    tax_included: bool
    faults: tuple[Fault, ...]


def check_arithmetic(
    file: str, rows: Sequence[Billed], sums: Sequence[SumRow], currency: str | None
) -> PrintedSums:
    """Return the sums of an invoice as printed and every place where they do not hold."""
    return _Check(file, rows, sums, currency).result()


class _Check:
    def __init__(
        self, file: str, rows: Sequence[Billed], sums: Sequence[SumRow], currency: str | None
    ) -> None:
        self._file = file
        self._rows = rows
        self._unit = Decimal(1).scaleb(-get_currency_precision(currency) if currency else -2)
        self._faults: list[Fault] = []
        self._amounts = [row.amount or Decimal(0) for row in rows]
        self._sums = list(sums)
        self._taxes = [one for one in sums if one.kind == "tax"]
        self._payments = [one for one in sums if one.kind == "payment"]
        self._gross = self._find_gross()
        self._net = self._find_net()

    def result(self) -> PrintedSums:
        """Check everything and return it."""
        included = self._is_tax_included()
        for row in self._rows:
            self._check_extension(row)
        self._check_sub_totals()
        self._check_net(included)
        self._check_taxes(included)
        self._check_gross(included)
        tax = sum((one.value for one in self._taxes), Decimal(0)) if self._taxes else None
        return PrintedSums(
            net=self._net_value(included),
            tax=tax,
            gross=self._gross.value if self._gross else None,
            tax_included=included,
            faults=tuple(self._faults),
        )

    def _net_value(self, included: bool) -> Decimal | None:
        """Return the net amount printed, or that which net and tax make the total of.

        Freight or a discount between a sub-total and the tax belongs to the net amount.
        """
        if self._net is not None:
            return self._net.value
        if self._gross is None or included or not self._taxes:
            return None
        tax = sum((one.value for one in self._taxes), Decimal(0))
        if self._gross.value - tax - self._rounding() == self._sum():
            return self._sum()
        printed = [one for one in self._sums if one.kind == "sub_total"]
        return printed[0].value if len(printed) == 1 else None

    def _rounding(self) -> Decimal:
        return sum((one.value for one in self._sums if one.kind == "rounding"), Decimal(0))

    # --- which sum is which -------------------------------------------------------------

    def _find_gross(self) -> SumRow | None:
        totals = [one for one in self._sums if one.kind == "gross"]
        if self._payments:
            # What is due after a payment is a balance, whatever it is called, and what is
            # due before it is the total.
            first = self._sums.index(self._payments[0])
            due = [one for one in self._sums[:first] if one.kind in {"gross", "balance"}]
            if due:
                return due[-1]
        if totals:
            return totals[-1]
        balances = [one for one in self._sums if one.kind == "balance"]
        if balances and not self._payments:
            return balances[-1]
        last = self._sums[-1] if self._sums else None
        if len(self._sums) == 1 and last is not None and last.after == len(self._rows):
            # The only sum, of all lines, in words of its own: ``Total missing equipment``.
            whole = last.kind == "sub_total" and "sub" not in last.label.casefold()
            return last if whole and last.value == self._sum() else None
        return None

    def _find_net(self) -> SumRow | None:
        for kind in ("net", "gross", "sub_total"):
            found = [
                one
                for one in self._sums
                if one.kind == kind
                and one is not self._gross
                and one.after == len(self._rows)
                and not self._follows_payment(one)
            ]
            if found:
                exact = [one for one in found if one.value == self._sum()]
                lone = kind != "sub_total" or self._is_only_sub_total(found[-1])
                return exact[-1] if exact else found[-1] if lone else None
        return None

    def _follows_payment(self, one: SumRow) -> bool:
        return bool(self._payments) and self._sums.index(one) > self._sums.index(self._payments[0])

    def _is_only_sub_total(self, one: SumRow) -> bool:
        return all(other is one or other.kind != "sub_total" for other in self._sums)

    def _sum(self, start: int = 0, end: int | None = None) -> Decimal:
        return sum(self._amounts[start:end], Decimal(0))

    def _is_tax_included(self) -> bool:
        if not self._taxes or self._gross is None:
            return False
        if any(one.included for one in self._taxes):
            return True
        tax = sum((one.value for one in self._taxes), Decimal(0))
        total = self._sum()
        return bool(tax) and total == self._gross.value and total + tax != self._gross.value

    # --- checks -------------------------------------------------------------------------

    def _round(self, amount: Decimal) -> Decimal:
        return amount.quantize(self._unit, ROUND_HALF_UP)

    def _expect(self, place: str, reckoned: Decimal, printed: Decimal, how: str) -> None:
        reckoned = self._round(reckoned)
        if reckoned == printed:
            return
        pattern = (
            said("{how} {reckoned}, but {printed} is printed, {difference} more")
            if printed > reckoned
            else said("{how} {reckoned}, but {printed} is printed, {difference} less")
        )
        self._faults.append(
            Fault(
                file=self._file,
                place=place,
                wrong=pattern.format(
                    how=how,
                    reckoned=self._text(reckoned),
                    printed=self._text(printed),
                    difference=self._text(abs(printed - reckoned)),
                ),
                expected=self._text(reckoned),
            )
        )

    def _text(self, amount: Decimal) -> str:
        places = max(-int(self._unit.as_tuple().exponent), -int(amount.as_tuple().exponent))
        return local_number(f"{amount:.{places}f}")

    def _check_extension(self, row: Billed) -> None:
        if row.quantity is None or row.unit_price is None or row.amount is None:
            return
        plain = row.quantity * row.unit_price
        ways = [plain]
        product = f"{_plain(row.quantity)} × {self._text(row.unit_price)}"
        if row.days is not None:
            ways.append(plain * row.days)
            product += f" × {_plain(row.days)}"
        how = said("{product} is", product=product)
        if row.discount:
            ways = [way * (1 - row.discount) for way in ways]
            percent = _plain(row.discount * 100)
            how = said("{product} less {percent} % is", product=product, percent=percent)
        if row.amount < 0 < plain:
            ways = [-way for way in ways]
        if all(self._round(way) != row.amount for way in ways):
            self._expect(row.place, ways[-1], row.amount, how)

    def _check_sub_totals(self) -> None:
        start = 0
        for one in self._sums:
            if one.kind == "sub_total" and one is not self._net:
                section = self._sum(start, one.after)
                if one.value not in {section, self._sum(0, one.after)}:
                    self._expect(one.place, section, one.value, said("the lines above it sum to"))
                start = one.after

    def _check_net(self, included: bool) -> None:
        if self._net is None:
            return
        if included and self._gross is not None and self._net.value != self._sum():
            tax = sum((one.value for one in self._taxes), Decimal(0))
            self._expect(
                self._net.place, self._gross.value - tax, self._net.value, said("total less tax is")
            )
        else:
            self._expect(self._net.place, self._sum(), self._net.value, said("the lines sum to"))

    def _check_taxes(self, included: bool) -> None:
        for one in self._taxes:
            rate = one.rate
            if rate is None or self._is_right_tax(one, rate, included):
                continue
            rows = self._taxed_rows(rate)
            base = sum((row.amount or Decimal(0) for row in rows), Decimal(0))
            percent = _plain(rate * 100)
            if included:
                self._expect(
                    one.place,
                    base - base / (1 + rate),
                    one.value,
                    said(
                        "{percent} % tax within {base} is", percent=percent, base=self._text(base)
                    ),
                )
            else:
                self._expect(
                    one.place,
                    base * rate,
                    one.value,
                    said("{percent} % of {base} is", percent=percent, base=self._text(base)),
                )

    def _taxed_rows(self, rate: Decimal) -> list[Billed]:
        if any(row.tax_rate is not None for row in self._rows):
            return [row for row in self._rows if row.tax_rate == rate]
        return [row for row in self._rows if row.taxable is not False]

    def _is_right_tax(self, one: SumRow, rate: Decimal, included: bool) -> bool:
        rows = self._taxed_rows(rate)
        base = sum((row.amount or Decimal(0) for row in rows), Decimal(0))
        bases = [base, *one.figures]
        bases += [other.value for other in self._sums if other.kind in {"sub_total", "net"}]
        for amount in bases:
            if included:
                net = amount / (1 + rate)
                # Half a cent goes to the tax or to the net amount, whichever is rounded first.
                right = one.value in {self._round(amount - net), amount - self._round(net)}
            else:
                right = one.value == self._round(amount * rate)
            if right:
                return True
        by_line = sum((self._round((row.amount or Decimal(0)) * rate) for row in rows), Decimal(0))
        return not included and by_line == one.value

    def _check_gross(self, included: bool) -> None:
        if self._gross is None:
            return
        net = self._net.value if self._net is not None and not included else self._sum()
        tax = Decimal(0)
        how = said("the lines sum to")
        if self._taxes and not included:
            tax = sum((one.value for one in self._taxes), Decimal(0))
            how = said("net and tax sum to")
        elif self._net is not None and not included:
            how = said("the net amount is")
        total = net + tax + self._rounding()
        paid = sum((abs(one.value) for one in self._payments), Decimal(0))
        if self._gross.value != total - paid:
            self._expect(self._gross.place, total, self._gross.value, how)


def _plain(number: Decimal) -> str:
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
