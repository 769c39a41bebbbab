"""What many houses do besides: more layouts for a drawn invoice, without changing what it says.

Each habit changes the sheet alone, or the truth with it, by a lot of its own, so that the
invoices drawn before it was known stay the same.
"""

from __future__ import annotations

import random
from decimal import Decimal

from tests.exchange.layouts.drawn import Drawing
from tests.exchange.layouts.truth import Sheet, SheetRow, TrueInvoice

FIRST_SEED = 20_000
"""From this seed on an invoice has habits."""

SERIAL_LABELS = {
    "en": ("S/N {}", "Serial no. {}", "Serial number: {}", "SN: {}", "Serial # {}"),
    "de": ("Seriennr. {}", "S/N {}", "Seriennummer: {}", "Serien-Nr.: {}"),
    "fr": ("N° de série : {}", "N° série {}", "S/N {}"),
    "es": ("N.º de serie: {}", "Núm. de serie {}", "S/N {}"),
}
DEPARTMENTS = {
    "en": ("Camera", "Grip", "Lighting", "GRIP AND ELECTRIC", "Lenses", "Camera department"),
    "de": ("Kamera", "Licht", "Bühne", "OPTIK", "Strom und Verteilung"),
    "fr": ("Caméra", "Lumière", "MACHINERIE", "Optiques"),
    "es": ("Cámara", "Iluminación", "MAQUINARIA", "Ópticas"),
}
TOTAL_OF = {
    "en": ("Total {}", "{} total", "Subtotal {}"),
    "de": ("Summe {}", "Zwischensumme {}"),
    "fr": ("Sous-total {}", "Total {}"),
    "es": ("Subtotal {}", "Total {}"),
}
DEPOSIT = {
    "en": ("Less deposit", "Deposit received", "Payment received"),
    "de": ("abzüglich Anzahlung", "Anzahlung"),
    "fr": ("Acompte versé", "Acompte"),
    "es": ("Anticipo recibido", "Anticipo"),
}
BALANCE = {
    "en": ("Balance due", "Amount due"), "de": ("Restbetrag", "Offener Betrag"),
    "fr": ("Solde à payer", "Reste à payer"), "es": ("Saldo pendiente", "Pendiente de pago"),
}  # fmt: skip
PERIODS = {
    "en": ("Return date 04/22/26", "Charged per the rental agreement, section 7"),
    "de": ("Rückgabe am 22.04.2026", "Gemäß Ziffer 7 der Mietbedingungen"),
    "fr": ("Retour le 22/04/2026", "Selon l'article 7 des conditions"),
    "es": ("Devuelto el 22/04/2026", "Según la cláusula 7 del contrato"),
}
BANKS = {
    "en": (
        "Example House (invented) · 1 Invented Street · Exampleton 00000 · VAT no. 000 0000 00",
        "Example Bank · Account 12345678 · Sort code 00-00-00 · Page {} of {}",
    ),
    "de": (
        "Beispielhaus (erfunden) · Beispielweg 1 · 00000 Beispielstadt · USt-IdNr. DE000000000",
        "Beispielbank · IBAN DE00 0000 0000 0000 0000 00 · Seite {} von {}",
    ),
    "fr": (
        "Maison Exemple (inventée) · 1 rue Inventée · 00000 Exempleville · TVA FR00000000000",
        "Banque Exemple · IBAN FR00 0000 0000 0000 0000 0000 000 · Page {} sur {}",
    ),
    "es": (
        "Casa Ejemplo (inventada) · Calle Inventada 1 · 00000 Ejemplo · NIF B00000000",
        "Banco Ejemplo · IBAN ES00 0000 0000 0000 0000 0000 · Página {} de {}",
    ),
}
SUMMARY = {
    "en": ("Tax rate", "Taxable", "Tax", "Total"), "de": ("Steuersatz", "Netto", "MwSt.", "Brutto"),
    "fr": ("Taux", "Base HT", "TVA", "TTC"), "es": ("Tipo", "Base", "Cuota IVA", "Total"),
}  # fmt: skip


def draw(seed: int) -> tuple[TrueInvoice, Sheet]:
    """Return what an invoice says and its sheet, with the habits of its house from 20,000 on."""
    drawing = Drawing(seed)
    truth, sheet = drawing.draw()
    if seed >= FIRST_SEED:
        lot = random.Random(f"habits {seed}")
        for habit in lot.sample(HABITS, k=lot.choice((1, 1, 2, 3))):
            habit(drawing, truth, sheet, lot)
    return truth, sheet


def _charges(sheet: Sheet) -> list[int]:
    return [index for index, row in enumerate(sheet.rows) if row.kind == "charge"]


def _text_row(drawing: Drawing, text: str, kind: str = "note") -> SheetRow:
    cells = [""] * len(drawing.fields)
    cells[drawing.fields.index("description")] = drawing.text(text)
    return SheetRow("section" if kind == "section" else "note", cells)


def _serials_below(drawing: Drawing, truth: TrueInvoice, sheet: Sheet, lot: random.Random) -> None:
    """A serial number on a line of its own below the description."""
    if "serial" in sheet.fields or any(row.kind == "note" for row in sheet.rows):
        return
    label = lot.choice(SERIAL_LABELS[sheet.language])
    for number, index in reversed(list(enumerate(_charges(sheet)))):
        if lot.random() < 0.6:
            serial = f"{lot.choice('ABCK')}{lot.randint(1000, 99_999)}"
            truth.lines[number].serial = serial
            sheet.rows.insert(index + 1, _text_row(drawing, label.format(serial)))


def _departments(drawing: Drawing, truth: TrueInvoice, sheet: Sheet, lot: random.Random) -> None:
    """Departments as headings, each with its total."""
    if any(row.kind in {"section", "note"} for row in sheet.rows):
        return
    charges = _charges(sheet)
    if len(charges) < 3:
        return
    names = DEPARTMENTS[sheet.language]
    cuts = sorted({0, *lot.sample(range(1, len(charges)), k=min(2, len(charges) - 1))})
    title = lot.choice(TOTAL_OF[sheet.language])
    chosen = lot.sample(names, k=len(cuts))
    with_sums = lot.random() < 0.7
    rows: list[SheetRow] = []
    for place, (start, name) in enumerate(zip(cuts, chosen, strict=True)):
        end = cuts[place + 1] if place + 1 < len(cuts) else len(charges)
        rows.append(_text_row(drawing, name, "section"))
        rows += [sheet.rows[index] for index in charges[start:end]]
        if with_sums:
            total = sum((line.amount for line in truth.lines[start:end]), Decimal(0))
            row = _text_row(drawing, title.format(name))
            row.cells[drawing.fields.index("amount")] = drawing.figure(total)
            rows.append(SheetRow("sum", row.cells))
    rows += sheet.rows[charges[-1] + 1 :]
    sheet.rows[:] = rows


def _deposit(drawing: Drawing, truth: TrueInvoice, sheet: Sheet, lot: random.Random) -> None:
    """A deposit that is taken off, and what is left to pay."""
    if not sheet.sums or truth.gross <= 2 or truth.included:
        return
    paid = (truth.gross / 4).quantize(Decimal(1).scaleb(-drawing.money.places))
    sheet.sums += [
        (drawing.text(lot.choice(DEPOSIT[sheet.language])), drawing.figure(-paid, with_sign=True)),
        (
            drawing.text(lot.choice(BALANCE[sheet.language])),
            drawing.figure(truth.gross - paid, with_sign=True),
        ),
    ]


def _remarks_below(drawing: Drawing, truth: TrueInvoice, sheet: Sheet, lot: random.Random) -> None:
    """A day or a clause on a line of its own below some charges."""
    if any(row.kind == "note" for row in sheet.rows):
        return
    text = lot.choice(PERIODS[sheet.language])
    for number, index in reversed(list(enumerate(_charges(sheet)))):
        if lot.random() < 0.4:
            truth.lines[number].note = drawing.text(text)
            sheet.rows.insert(index + 1, _text_row(drawing, text))


def _bank_footer(drawing: Drawing, truth: TrueInvoice, sheet: Sheet, lot: random.Random) -> None:
    """A foot of two lines with the bank and the number of the page."""
    del drawing, truth, lot
    sheet.footer = "\n".join(BANKS[sheet.language])


def _tax_summary(drawing: Drawing, truth: TrueInvoice, sheet: Sheet, lot: random.Random) -> None:
    """A small table of the tax below the sums."""
    del lot
    if truth.net is None or truth.tax is None or len(sheet.sums) != 3:
        return
    rate = next((word for word in sheet.sums[1][0].split() if word[0].isdigit()), "")
    figures = [drawing.figure(one) for one in (truth.net, truth.tax, truth.gross)]
    sheet.summary = [
        list(SUMMARY[sheet.language]),
        [rate if "%" in rate else f"{rate} %", *figures],
    ]


HABITS = (
    _serials_below, _departments, _deposit, _remarks_below, _bank_footer, _tax_summary,
)  # fmt: skip
