"""An invoice drawn by lot: first what it says, then the sheet that says it."""

from __future__ import annotations

import datetime as dt
import random
from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal

from tests.exchange.layouts.truth import RowKind, Sheet, SheetRow, TrueInvoice, TrueLine
from tests.exchange.layouts.words import (
    AFTER,
    BEFORE,
    HEADINGS,
    ITEMS,
    KINDS,
    MONIES,
    MORE,
    SECTIONS,
    SUMS,
    Money,
)

_UNITS = {
    "en": ("ea", "pcs", "EA", "units"), "de": ("Stk.", "St."), "fr": ("pce",), "es": ("ud.", "uds"),
}  # fmt: skip
_KIND_WORDS = {
    "missing": "Missing", "replacement": "Replacement", "repair": "Repair", "other": "Rental",
    "repair_labour": "Labour", "cleaning": "Cleaning", "loss_of_use": "Loss of use",
    "freight": "Freight", "administration": "Administration", "credit": "Credit",
}  # fmt: skip


_WIDTHS = {
    "line": 28, "code": 56, "description": 190, "serial": 66, "date": 54, "quantity": 44,
    "unit": 36, "days": 32, "price": 64, "discount": 40, "tax_rate": 40, "tax": 50, "amount": 70,
    "gross": 70, "kind": 70,
}  # fmt: skip


def rounded(amount: Decimal, places: int) -> Decimal:
    """Round half up to the places of a currency."""
    return amount.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)


class Drawing:
    """Draws one invoice."""

    def __init__(self, seed: int) -> None:
        self.lot = random.Random(seed)
        self.money: Money = self.lot.choice(MONIES)
        self.language = self.money.language
        self.before = self.lot.choice(self.money.before)
        self.after = self.lot.choice(self.money.after) if not self.before else ""
        self.sign_in_cells = self.lot.random() < 0.6
        self.negative = self.lot.choice(("-{}", "-{}", "({})", "{}-", "{} CR", "–{}", "sign-"))
        self.capital = self.lot.random() < 0.15
        self.fields = self._fields()
        self.pieces = self.lot.choice(("plain", "plain", "plain", "decimals", "unit", "times"))
        self.long = self.lot.choice((0, 1, 1, 3))
        self.headings = [self.text(self._heading(field)) for field in self.fields]
        self.tax_code = self.lot.random() < 0.07 and "tax" not in self.fields

    # --- columns ------------------------------------------------------------------------

    def _fields(self) -> list[str]:
        lot = self.lot
        fields = ["description", "quantity", "price", "amount"]
        if lot.random() < 0.12:
            fields.remove("price")
        elif lot.random() < 0.08:
            fields.remove("quantity")
            fields.remove("price")
        if "quantity" in fields:
            if lot.random() < 0.25:
                fields.remove("quantity")
                fields.insert(0, "quantity")
            if "price" in fields and lot.random() < 0.15:
                fields.insert(fields.index("quantity") + 1, "days")
            if lot.random() < 0.12:
                fields.insert(fields.index("quantity") + 1, "unit")
        if "price" in fields and lot.random() < 0.12:
            fields.insert(fields.index("amount"), "discount")
        if lot.random() < 0.08:
            fields.insert(fields.index("amount"), "tax_rate")
        if lot.random() < 0.2:
            fields.insert(fields.index("description") + lot.choice((0, 1)), "serial")
        if lot.random() < 0.15:
            fields.insert(fields.index("description"), "code")
        if lot.random() < 0.12:
            fields.insert(0, "date")
        if self.language == "en" and lot.random() < 0.12:
            fields.insert(fields.index("description"), "kind")
        if lot.random() < 0.55:
            fields.insert(0, "line")
        return fields

    # --- texts --------------------------------------------------------------------------

    def text(self, words: str) -> str:
        """Return a text in the letters of this house."""
        return words.upper() if self.capital else words

    def figure(self, amount: Decimal, *, with_sign: bool | None = None) -> str:
        """Write an amount as this house does."""
        with_sign = self.sign_in_cells if with_sign is None else with_sign
        before = self.before if with_sign else ""
        after = self.after if with_sign else ""
        plain = self.money.write(abs(amount), self.money.places)
        if amount >= 0:
            return f"{before}{plain}{after}"
        if self.negative == "sign-":
            return f"{before}-{plain}{after}"
        return self.negative.format(f"{before}{plain}{after}")

    def count(self, quantity: Decimal) -> str:
        """Write a number of pieces."""
        whole = quantity == int(quantity)
        if self.pieces == "decimals" or not whole:
            text = self.money.write(quantity, 2)
        else:
            text = str(int(quantity))
        if self.pieces == "unit" and "unit" not in self.fields and whole:
            return f"{text} {self.lot.choice(_UNITS[self.language])}"
        if self.pieces == "times" and "unit" not in self.fields and whole:
            return f"{text}x"
        return text

    def day(self, date: dt.date) -> str:
        """Write a day as this house does."""
        if self.money.currency == "USD":
            return f"{date:%B} {date.day}, {date.year}"
        if self.language == "de":
            return f"{date:%d.%m.%Y}"
        if self.language == "en":
            return f"{date.day} {date:%b} {date.year}"
        return f"{date:%d/%m/%Y}"

    # --- the charges --------------------------------------------------------------------

    def lines(self) -> tuple[list[TrueLine], list[tuple[int, str, str]]]:
        """Return the charges, and the sections: index of the first, heading, kind."""
        lot = self.lot
        lines: list[TrueLine] = []
        sections: list[tuple[int, str, str]] = []
        if lot.random() < 0.35 and "kind" not in self.fields:
            for kind in lot.sample(("missing", "repair", "other"), k=lot.choice((2, 3))):
                title = lot.choice(SECTIONS[self.language][kind])
                sections.append((len(lines), title, kind))
                lines += [self._line(kind, plain=True) for _ in range(lot.randint(1, 5))]
            return lines, sections
        kinds = list(KINDS[self.language])
        count = lot.choice((3, 6, 9, 14, 40)) if lot.random() < 0.9 else 70
        for _ in range(count):
            kind = lot.choice(["missing", "replacement", "repair", *kinds])
            if kind == "administration" and any(one.kind == kind for one in lines):
                kind = "missing"
            lines.append(self._line(kind))
        if lines[-1].kind == "credit":
            lines.append(self._line("missing"))
        while sum(line.amount for line in lines) <= 0:
            lines.append(self._line("replacement", dear=True))
        return lines, sections

    def _line(self, kind: str, *, plain: bool = False, dear: bool = False) -> TrueLine:
        lot = self.lot
        item = lot.choice(ITEMS[self.language])
        if lot.random() < 0.3 * self.long:
            more = lot.sample(MORE[self.language], k=min(self.long, 3))
            item = f"{item}, {', '.join(more)}"
        words = "{}" if plain else lot.choice(KINDS[self.language][kind])
        quantity = Decimal(lot.choice((1, 1, 1, 2, 3, 4, 6, 10, 12)))
        if kind == "repair_labour":
            quantity = Decimal(lot.choice(("1", "1.5", "2.25", "3")))
        places = self.money.places
        largest = 99_999 if dear else lot.choice((999, 9_999, 99_999, 999_999))
        cents = Decimal(lot.randint(500, max(largest, 501)))
        price = rounded(cents / 100 if places else cents, places)
        if places == 3:
            price = rounded(cents / 1000, 3)
        if kind == "credit":
            price = -price
        if lot.random() < 0.03 and kind not in {"credit"}:
            price = Decimal(0).scaleb(-places)
        days = discount = None
        if "days" in self.fields and kind == "loss_of_use":
            days = Decimal(lot.randint(2, 30))
        if "discount" in self.fields and lot.random() < 0.3:
            discount = Decimal(lot.choice((5, 10, 25)))
        if "quantity" not in self.fields:
            quantity = Decimal(1)
        amount = quantity * price * (days or 1)
        if discount:
            amount = amount * (100 - discount) / 100
        shown = price if "price" in self.fields else None
        return TrueLine(
            description=self.text(words.format(item)),
            kind=kind,
            quantity=quantity,
            price=shown,
            amount=rounded(amount, places),
            days=days,
            discount=discount,
            serial=self._serial() if "serial" in self.fields and lot.random() < 0.6 else "",
        )

    def _serial(self) -> str:
        lot = self.lot
        return lot.choice(
            (f"SN{lot.randint(1000, 99999)}", str(lot.randint(10000, 999999)),
             f"{lot.choice('ABCK')}-{lot.randint(10, 99)}/{lot.randint(100, 999)}")
        )  # fmt: skip

    # --- the sheet ----------------------------------------------------------------------

    def draw(self) -> tuple[TrueInvoice, Sheet]:
        """Return what the invoice says and the sheet that says it."""
        lot = self.lot
        lines, sections = self.lines()
        dated = dt.date(2026, 1, 1) + dt.timedelta(days=lot.randint(0, 300))
        number = lot.choice(("LD-{}", "{}", "INV{}", "2026-{}", "R{}/26")).format(
            lot.randint(1000, 99999)
        )
        net = sum((line.amount for line in lines), Decimal(0))
        places = self.money.places
        taxation = lot.choice(("on top", "on top", "on top", "none", "included", "two"))
        if "tax_rate" in self.fields and taxation in {"none", "two"}:
            taxation = "on top"
        rate = Decimal(lot.choice(self.money.rates))
        rows = self._rows(lines, sections, rate, dated)
        sums: list[tuple[str, Decimal]] = []
        words = {kind: lot.choice(labels) for kind, labels in SUMS[self.language].items()}
        rate_text = f"{rate}".replace(".", "," if self.money.comma else ".")
        tax: Decimal | None = rounded(net * rate / 100, places)
        printed_net: Decimal | None = net
        included = False
        if taxation == "on top":
            gross = net + (tax or 0)
            sums = [
                (words["net"], net), (words["tax"].format(rate_text), tax or Decimal(0)),
                (words["gross"], gross),
            ]  # fmt: skip
        elif taxation == "two":
            second = Decimal("2.5")
            more = rounded(net * second / 100, places)
            first = tax or Decimal(0)
            tax = first + more
            gross = net + tax
            second_text = "2,5" if self.money.comma else "2.5"
            sums = [
                (words["net"], net), (words["tax"].format(rate_text), first),
                (words["tax2"].format(second_text), more), (words["gross"], gross),
            ]  # fmt: skip
        elif taxation == "included":
            gross, printed_net, included = net, None, True
            tax = net - rounded(net / (1 + rate / 100), places)
            sums = [(words["gross"], gross), (words["included"].format(rate_text), tax)]
        else:
            gross, tax, printed_net = net, None, None
            sums = [(words["gross"], gross)]
        written = [(self.text(label), self.figure(value, with_sign=True)) for label, value in sums]
        if lot.random() < 0.35:
            rows += self._sum_rows(written)
            written = []
        carried = None
        if lot.random() < 0.5:
            carried = (self.text(words["carried"]), self.text(words["brought"]))
        sheet = Sheet(
            language=self.language,
            before=self._before(number, dated),
            headings=self.headings,
            fields=self.fields,
            widths=self._widths(),
            rows=rows,
            sums=written,
            carried=carried,
            after=lot.sample(AFTER[self.language], k=lot.randint(0, 3)),
            footer=lot.choice(("", "{} / {}", "Page {} of {}", "Example House (invented)  {}")),
        )
        truth = TrueInvoice(
            number, dated, self.money.currency, lines, printed_net, tax, gross, included
        )
        return truth, sheet

    def _heading(self, field: str) -> str:
        words = HEADINGS[self.language][field]
        return self.lot.choice((words[0], *words))

    def _widths(self) -> list[float]:
        widths = [float(_WIDTHS[field]) for field in self.fields]
        for column, heading in enumerate(self.headings):
            longest = max(heading.split(), key=len) if len(heading) > 22 else heading
            widths[column] = max(widths[column], (7.2 if self.capital else 6.0) * len(longest) + 8)
        rest = 515.0 - sum(widths)
        widths[self.fields.index("description")] += max(rest, -90.0)
        place = self.fields.index("description")
        widths[place] = max(widths[place], 130.0)
        scale = min(1.0, 515.0 / sum(widths))
        return [width * scale for width in widths]

    def _before(self, number: str, dated: dt.date) -> list[list[str]]:
        lot = self.lot
        words = {kind: lot.choice(texts) for kind, texts in BEFORE[self.language].items()}
        facts = [
            words["number"].format(number),
            words["date"].format(self.day(dated)),
        ]
        if lot.random() < 0.5:
            facts.append(words["due"].format(self.day(dated + dt.timedelta(days=30))))
        says = self.before.strip() not in {"", "$", "Fr."} or bool(self.after.strip())
        if not says or "$" in self.before:
            facts.append(words["currency"].format(self.money.currency))
        house = ["Example House (invented)", "1 Invented Street", "Exampleton 00000"]
        to = ["Bill to: Sample Production (invented)", "Order no. 4711", "2 Sample Road"]
        lines: list[list[str]] = [[lot.choice((words["title"], words["title"].upper()))]]
        if lot.random() < 0.5:
            lines += [[left, right] for left, right in zip(house, facts[:3], strict=False)]
            lines += [[one] for one in facts[min(len(house), 3) :]]
        else:
            lines += [[one] for one in [*house, *facts]]
        if lot.random() < 0.5:
            ship = ["Ship to: Stage 4 (invented)", "Gate 2", "Attn: Best boy"]
            lines += [[left, right] for left, right in zip(to, ship, strict=True)]
        return lines

    def _rows(
        self,
        lines: Sequence[TrueLine],
        sections: Sequence[tuple[int, str, str]],
        rate: Decimal,
        dated: dt.date,
    ) -> list[SheetRow]:
        rows: list[SheetRow] = []
        starts = {start: title for start, title, _ in sections}
        with_sums = bool(sections) and self.lot.random() < 0.6
        label = self.lot.choice(SUMS[self.language]["sub_total"])
        notes = self.lot.random() < 0.1
        begin = 0
        title = ""
        for index, line in enumerate(lines):
            if index in starts:
                if with_sums and index:
                    rows += self._section_sum(label, title, lines[begin:index])
                title, begin = starts[index], index
                rows.append(self._text_row("section", title))
            rows.append(SheetRow("charge", self._cells(index, line, rate, dated)))
            if notes and self.lot.random() < 0.2:
                rows.append(self._text_row("note", self.lot.choice(MORE[self.language])))
                line.note = rows[-1].cells[self.fields.index("description")]
        if with_sums:
            rows += self._section_sum(label, title, lines[begin:])
        return rows

    def _text_row(self, kind: RowKind, text: str) -> SheetRow:
        cells = [""] * len(self.fields)
        cells[self.fields.index("description")] = self.text(text)
        return SheetRow(kind, cells)

    def _section_sum(self, label: str, title: str, lines: Sequence[TrueLine]) -> list[SheetRow]:
        total = sum((line.amount for line in lines), Decimal(0))
        plain = title.rstrip(":").split(". ")[-1].lower()
        words = label.format(plain).strip()
        return self._sum_rows([(self.text(words), self.figure(total))])

    def _sum_rows(self, sums: Sequence[tuple[str, str]]) -> list[SheetRow]:
        rows = []
        amount = self.fields.index("amount")
        place = self.fields.index("description")
        widths = self._widths()
        beside = self.lot.random() < 0.5 and amount > 0
        for label, figure in sums:
            if beside and 5.5 * len(label) < widths[amount - 1]:
                place = amount - 1
            cells = [""] * len(self.fields)
            cells[place] = label
            cells[amount] = figure
            rows.append(SheetRow("sum", cells))
        return rows

    def _cells(self, index: int, line: TrueLine, rate: Decimal, dated: dt.date) -> list[str]:
        lot = self.lot
        written = {
            "line": str(index + 1),
            "code": f"{lot.choice(('G', 'L', ''))}{lot.randint(1000, 9999)}",
            "description": line.description,
            "serial": line.serial,
            "date": self.day(dated) if self.language in {"de", "fr", "es"} else f"{dated:%m/%d/%y}",
            "quantity": self.count(line.quantity),
            "unit": lot.choice(_UNITS[self.language]),
            "days": str(line.days) if line.days is not None else lot.choice(("", "-")),
            "price": self.figure(line.price) if line.price is not None else "",
            "discount": "" if not line.discount else f"{line.discount} %",
            "tax_rate": f"{rate} %".replace(".", "," if self.money.comma else "."),
            "amount": self.figure(line.amount) + (" A" if self.tax_code else ""),
            "kind": _KIND_WORDS[line.kind],
        }
        return [written[field] for field in self.fields]
