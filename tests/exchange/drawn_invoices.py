"""Invoices in layouts drawn by lot: columns, alignment, rules, spacing and language vary."""

from __future__ import annotations

import dataclasses
import random
from collections.abc import Callable, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph, SimpleDocTemplate, Spacer, Table

from tests.exchange.invoices import comma, french, point, rounded, swiss
from tests.exchange.table_rules import table_rules

WORDS = (
    "stand flag cable panel head arm yoke door scrim case net silk clamp sandbag box track wheel "
    "monitor cap rod foam key bag frame corner tie solid double small large left right"
)

Charge = tuple[str, Decimal, Decimal, Decimal]


@dataclasses.dataclass(frozen=True)
class Wording:
    """How one house writes its invoices."""

    headings: tuple[str, ...]
    section: str
    sums: tuple[str, ...]
    rate: str
    write: Callable[[Decimal], str]


HOUSES = (
    Wording(
        ("No.", "Description", "Qty", "Unit price", "Amount"),
        "Missing items",
        ("Subtotal", "Sales tax 8.25%", "Total due"),
        "0.0825",
        point,
    ),
    Wording(
        ("Line", "Item", "Quantity", "Price each", "Line total"),
        "Damaged equipment",
        ("Net amount", "VAT 20%", "Total incl. VAT"),
        "0.20",
        point,
    ),
    Wording(
        ("Pos.", "Bezeichnung", "Menge", "Einzelpreis", "Gesamtpreis"),
        "Fehlende Teile",
        ("Nettobetrag", "MwSt. 19 %", "Gesamtbetrag"),
        "0.19",
        comma,
    ),
    Wording(
        ("N°", "Désignation", "Qté", "Prix unitaire", "Montant HT"),
        "Manquants",
        ("Total HT", "TVA 20 %", "Total TTC"),
        "0.20",
        french,
    ),
    Wording(
        ("Pos", "Artikel", "Anzahl", "Preis", "Betrag"),
        "Reparaturen",
        ("Total netto", "MwSt. 8.1 %", "Gesamtsumme"),
        "0.081",
        swiss,
    ),
)
WIDTHS = (30, 220, 60, 85, 85)
ORDERS = ((0, 1, 2, 3, 4), (1, 2, 3, 4), (2, 1, 3, 4), (0, 2, 1, 3, 4))


def draw_invoice(seed: int, path: Path) -> tuple[list[Charge], Decimal, Decimal]:
    """Draw an invoice; return its charges, its net amount and its tax."""
    lot = random.Random(seed)
    house, order = lot.choice(HOUSES), lot.choice(ORDERS)
    size = lot.choice((8, 9, 10))
    style = ParagraphStyle(
        "text", fontName="Helvetica", fontSize=size, leading=size * lot.choice((1.1, 1.2, 1.3))
    )
    charges = [_charge(lot) for _ in range(lot.randint(4, 30))]
    write = house.write
    rows = [
        _ordered(
            order,
            (
                str(number),
                Paragraph(description, style),
                _pieces(quantity, write),
                write(price),
                write(amount),
            ),
        )
        for number, (description, quantity, price, amount) in enumerate(charges, 1)
    ]
    if lot.random() < 0.4:
        rows.insert(
            0, _ordered(order, ("", Paragraph(f"<b>{house.section}</b>", style), "", "", ""))
        )
    net = sum((amount for *_, amount in charges), Decimal(0))
    tax = rounded(net * Decimal(house.rate))
    sums = list(zip(house.sums, (net, tax, net + tax), strict=True))
    inside = lot.random() < 0.5
    if inside:
        rows += [_ordered(order, ("", "", "", label, write(amount))) for label, amount in sums]
    table = Table(
        [_ordered(order, house.headings), *rows],
        _ordered(order, WIDTHS),
        repeatRows=lot.choice((0, 1)),
        style=_style(lot, order, size, len(rows) - 3 * inside),
    )
    parts: list[Any] = [
        Paragraph("Example House (invented)", style),
        Paragraph("Invoice no. LD-3071", style),
        Spacer(1, 10),
        table,
        Spacer(1, 8),
    ]
    if not inside:
        parts.append(
            Table(
                [[label, write(amount)] for label, amount in sums],
                [110, 85],
                hAlign="RIGHT",
                style=[("ALIGN", (1, 0), (1, -1), "RIGHT"), ("FONTSIZE", (0, 0), (-1, -1), size)],
            )
        )
    parts.append(Paragraph("Please pay within 10 days to account 123456 at Example Bank.", style))
    page = lot.choice((A4, LETTER))
    SimpleDocTemplate(str(path), pagesize=page, leftMargin=40, rightMargin=40).build(parts)
    return charges, net, tax


def _charge(lot: random.Random) -> Charge:
    words = lot.choices(WORDS.split(), k=lot.randint(1, lot.choice((3, 6, 14, 20))))
    description = " ".join(words).capitalize()
    if lot.random() < 0.3:
        description += f" {lot.randint(1, 50)} ft"
    quantity = Decimal(lot.randint(1, 12)) / lot.choice((1, 1, 1, 1, 2))
    price = Decimal(lot.randint(100, lot.choice((9_999, 999_999)))) / 100
    if lot.random() < 0.06:
        price = -price
    return description, quantity, price, rounded(quantity * price)


def _ordered(order: Sequence[int], cells: Sequence[Any]) -> list[Any]:
    return [cells[index] for index in order]


def _pieces(quantity: Decimal, write: Callable[[Decimal], str]) -> str:
    return str(int(quantity)) if quantity == int(quantity) else write(quantity).rstrip("0")


def _style(lot: random.Random, order: Sequence[int], size: int, lines: int) -> list[Any]:
    pad = lot.choice((2, 3, 5))
    side = lot.choice(("RIGHT", "RIGHT", "LEFT", "CENTER"))
    first = lot.choice((0, 1))
    style: list[Any] = [
        ("FONTSIZE", (0, 0), (-1, -1), size),
        ("VALIGN", (0, 0), (-1, -1), lot.choice(("TOP", "MIDDLE", "BOTTOM"))),
        ("TOPPADDING", (0, 0), (-1, -1), pad),
        ("BOTTOMPADDING", (0, 0), (-1, -1), pad),
        ("ALIGN", (order.index(3), first), (-1, -1), side),
    ]
    if order.index(2) > order.index(1):
        style.append(("ALIGN", (order.index(2), first), (order.index(2), -1), side))
    rules = lot.choice(("none", "none", "grid", "below", "header", "shaded", "uprights"))
    return [*style, *table_rules(rules, lines)]
