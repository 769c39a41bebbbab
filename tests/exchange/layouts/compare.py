"""What a reading gets wrong of an invoice whose truth is known."""

from __future__ import annotations

from itertools import zip_longest

from ldapp.exchange.invoice_file import InvoiceReading
from tests.exchange.layouts.truth import TrueInvoice


def differences(truth: TrueInvoice, reading: InvoiceReading) -> list[str]:
    """Return a sentence for everything that was read otherwise than it was meant."""
    wrong: list[str] = []
    before = ""

    def expect(name: str, read: object, meant: object) -> None:
        if read != meant:
            wrong.append(f"{name}: read {read!r}, meant {meant!r}")

    for number, (line, meant) in enumerate(zip_longest(reading.lines, truth.lines), 1):
        if line is None or meant is None:
            wrong.append(f"line {number}: read {line!r}, meant {meant!r}")
            continue
        allowed = {f"{meant.description} {meant.note}", f"{before} {meant.description}"}
        if line.description not in allowed:
            expect(f"line {number} description", line.description, meant.description)
        before = meant.note
        for name, read, known in (
            ("quantity", line.quantity, meant.quantity),
            ("unit price", line.unit_price, meant.price),
            ("amount", line.amount, meant.amount),
            ("days", line.days, meant.days),
            ("kind", line.kind, meant.kind),
            ("serial", line.serials, meant.serial),
        ):
            expect(f"line {number} {name}", read, known)
    expect("net", reading.net, truth.net)
    expect("tax", reading.tax, truth.tax)
    expect("gross", reading.gross, truth.gross)
    expect("currency", reading.currency, truth.currency)
    expect("number", reading.number, truth.number)
    expect("dated", reading.dated, truth.dated)
    wrong += [f"fault: {fault}" for fault in (*reading.faults, *reading.wrong_sums)]
    return wrong
