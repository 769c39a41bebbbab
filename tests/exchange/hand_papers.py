"""Invoices set by hand in the manner of papers that are met: letterheads, boxes, receipts.

Each holds what a reader has to find.  All names are invented.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

from reportlab.lib.pagesizes import A4, LETTER
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

FONTS = Path(__file__).parents[2] / "resources" / "fonts"


@dataclasses.dataclass
class Meant:
    """What a paper says: lines of description, quantity, price, amount and kind; sums."""

    lines: list[tuple[str, str, str | None, str, str]]
    net: str | None
    tax: str | None
    gross: str | None
    days: dict[int, str] = dataclasses.field(default_factory=dict)
    """Days of the lines that have some, by their index."""


class Pen:
    """Sets text on pages from the top; ``>`` before a text sets it flush right."""

    def __init__(
        self, path: Path, page: tuple[float, float] = LETTER, font: str = "Helvetica"
    ) -> None:
        if font == "Noto" and font not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(TTFont("Noto", FONTS / "NotoSans-Regular.ttf"))
        self.canvas = Canvas(str(path), pagesize=page)
        self.width, self.height = page
        self.font = font
        self.size = 9.0
        self.y = self.height - 50
        self.columns: tuple[float, ...] = ()
        self._set()

    def _set(self) -> None:
        self.canvas.setFont(self.font, self.size)

    def row(self, *texts: str, at: tuple[float, ...] = (), step: float = 14) -> None:
        """Set one text in each column: at its left edge, or at its right one after ``>``."""
        for x, text in zip(at or self.columns, texts, strict=True):
            if text.startswith(">"):
                self.canvas.drawRightString(x, self.y, text[1:])
            elif text:
                self.canvas.drawString(x, self.y, text)
        self.y -= step

    def text(self, *texts: str, x: float = 50, step: float = 12) -> None:
        """Set lines of text."""
        for text in texts:
            self.row(text, at=(x,), step=step)

    def rule(self, left: float = 50, right: float = 560) -> None:
        """Draw a line across, above the text that follows."""
        self.canvas.line(left, self.y + 10, right, self.y + 10)

    def box(self, left: float, right: float, rows: int, step: float = 14) -> None:
        """Draw a box around the rows that follow."""
        self.canvas.rect(left, self.y - step * rows + 8, right - left, step * rows + 3)

    def turn(self) -> None:
        """Begin a new page."""
        self.canvas.showPage()
        self._set()
        self.y = self.height - 50

    def save(self) -> None:
        """Write the file."""
        self.canvas.save()


Paper = Callable[[Path], Meant]


def letterhead(path: Path) -> Meant:
    """Two columns of addresses, totals in a box at the bottom right."""
    pen = Pen(path)
    pen.row("EXAMPLE GRIP HOUSE (invented)", ">INVOICE", at=(50, 560), step=20)
    for left, right in (
        ("12 Invented Avenue", ">Invoice #: LD-20418"),
        ("Exampleton, CA 90000", ">Invoice date: 04/18/2026"),
        ("Tel 555-0100", ">Terms: Net 30"),
    ):
        pen.row(left, right, at=(50, 560))
    pen.y -= 10
    for left, right in (
        ("BILL TO", "JOB"),
        ("Sample Pictures LLC (invented)", '"Invented Title"'),
        ("400 Sample Blvd, Suite 210", "Contract 88123   Order 4471"),
        ("Sampletown, CA 90001", "Out 03/02/2026   In 04/10/2026"),
    ):
        pen.row(left, right, at=(50, 320))
    pen.y -= 14
    pen.columns = (60, 110, 410, 485, 560)
    pen.rule()
    pen.row("QTY", "ITEM", ">UNIT PRICE", ">TAX", ">AMOUNT")
    pen.rule()
    pen.row(">3", 'C-Stand 40" w/ arm & head - lost', ">$185.00", ">T", ">$555.00")
    pen.row(">1", "Combo stand - bent riser, repair", ">$90.00", ">N", ">$90.00")
    pen.row(">12", "Sandbag 25 lb - not returned", ">$32.00", ">T", ">$384.00")
    pen.row(">1", "Cleaning, 12x12 silk", ">$75.00", ">N", ">$75.00")
    pen.y -= 20
    pen.text("Thank you for your business.")
    pen.y += 12
    pen.box(390, 565, 4)
    pen.row("Subtotal", ">$1,104.00", at=(400, 560))
    pen.row("Sales Tax (9.5%)", ">$89.21", at=(400, 560))
    pen.row("Shipping & Handling", ">$0.00", at=(400, 560))
    pen.row("TOTAL DUE", ">$1,193.21", at=(400, 560))
    pen.save()
    return Meant(
        [
            ("C-Stand 40\" w/ arm & head - lost", "3", "185.00", "555.00", "missing"),
            ("Combo stand - bent riser, repair", "1", "90.00", "90.00", "repair"),
            ("Sandbag 25 lb - not returned", "12", "32.00", "384.00", "missing"),
            ("Cleaning, 12x12 silk", "1", "75.00", "75.00", "cleaning"),
            ("Shipping & Handling", "1", None, "0.00", "freight"),
        ],
        "1104.00", "89.21", "1193.21",
    )  # fmt: skip


def count_sheet(path: Path) -> Meant:
    """Out, in and missing, with the value of each."""
    pen = Pen(path)
    pen.text("LOSS & DAMAGE REPORT / INVOICE", "Example House (invented)",
             "Invoice No. 7731    Date: March 9, 2026", "Production: Sample Show")  # fmt: skip
    pen.y -= 10
    pen.columns = (50, 300, 345, 400, 480, 555)
    pen.row("Equipment", ">Out", ">In", ">Missing", ">Replacement each", ">Total")
    pen.rule()
    pen.row("Apple box, full", ">10", ">8", ">2", ">48.00", ">96.00")
    pen.row("Stinger 50 ft", ">40", ">35", ">5", ">85.00", ">425.00")
    pen.row("Flag 24x36 solid", ">12", ">11", ">1", ">110.00", ">110.00")
    pen.row("C-stand", ">30", ">29", ">1", ">210.00", ">210.00")
    pen.y -= 8
    pen.row("TOTAL L&D", ">USD 841.00", at=(400, 555))
    pen.save()
    return Meant(
        [
            ("Apple box, full", "2", "48.00", "96.00", "missing"),
            ("Stinger 50 ft", "5", "85.00", "425.00", "missing"),
            ("Flag 24x36 solid", "1", "110.00", "110.00", "missing"),
            ("C-stand", "1", "210.00", "210.00", "missing"),
        ],
        None, None, "841.00",
    )  # fmt: skip


def repair_bill(path: Path) -> Meant:
    """Labour and parts in sections, hours times rate, sub-totals, serial numbers."""
    pen = Pen(path, A4, "Times-Roman")
    pen.text("Example Camera Service (invented)", "REPAIR INVOICE 2026/0193", "Date 12 May 2026",
             "Unit: Prime 35 mm, serial 40-2219")  # fmt: skip
    pen.y -= 10
    pen.columns = (50, 370, 450, 540)
    pen.text("LABOUR", step=14)
    pen.row("Description", ">Hours", ">Rate", ">Amount")
    pen.rule(50, 540)
    pen.row("Strip, inspect and clean mount", ">1.50", ">£68.00", ">£102.00")
    pen.row("Replace focus ring and re-collimate", ">2.25", ">£68.00", ">£153.00")
    pen.row("Labour total", "", "", ">£255.00")
    pen.y -= 10
    pen.text("PARTS", step=14)
    pen.row("Description", ">Qty", ">Unit", ">Amount")
    pen.rule(50, 540)
    pen.row("Focus ring 35 mm", ">1", ">£212.40", ">£212.40")
    pen.row("Screw M1.6, set of 4", ">2", ">£3.75", ">£7.50")
    pen.row("Parts total", "", "", ">£219.90")
    pen.y -= 10
    pen.row("Net", ">£474.90", at=(420, 540))
    pen.row("VAT @ 20%", ">£94.98", at=(420, 540))
    pen.row("Total", ">£569.88", at=(420, 540))
    pen.save()
    return Meant(
        [
            ("Strip, inspect and clean mount", "1.50", "68.00", "102.00", "repair_labour"),
            ("Replace focus ring and re-collimate", "2.25", "68.00", "153.00", "repair_labour"),
            ("Focus ring 35 mm", "1", "212.40", "212.40", "repair_parts"),
            ("Screw M1.6, set of 4", "2", "3.75", "7.50", "repair_parts"),
        ],
        "474.90", "94.98", "569.88",
    )  # fmt: skip


def credit_note(path: Path) -> Meant:
    """A credit note with figures in brackets."""
    pen = Pen(path, A4)
    pen.text("CREDIT NOTE", "Example House Ltd (invented)", "Credit note no: CN-3391",
             "Invoice LD-3305", "Date: 02/06/2026", "VAT reg. no. GB 000 0000 00")  # fmt: skip
    pen.y -= 12
    pen.columns = (50, 330, 430, 540)
    pen.row("Details", ">Quantity", ">Price", ">Value (GBP)")
    pen.row("Walkie, found in truck 2", ">2", ">(120.00)", ">(240.00)")
    pen.row("Loss of use not due", ">1", ">(95.50)", ">(95.50)")
    pen.row("Total net", ">(335.50)", at=(430, 540))
    pen.row("VAT 20%", ">(67.10)", at=(430, 540))
    pen.row("Total credit", ">(402.60)", at=(430, 540))
    pen.save()
    return Meant(
        [
            ("Walkie, found in truck 2", "2", "-120.00", "-240.00", "credit"),
            ("Loss of use not due", "1", "-95.50", "-95.50", "credit"),
        ],
        "-335.50", "-67.10", "-402.60",
    )  # fmt: skip


def receipt(path: Path) -> Meant:
    """A till receipt: quantity at a price below the name, tax included."""
    pen = Pen(path, (260, 500), "Courier")
    pen.size = 8
    pen._set()
    pen.text("Example Rental Counter", "(invented)", "Receipt / invoice no 5512", "19.05.2026",
             x=20)  # fmt: skip
    pen.columns = (20, 240)
    pen.row("Item", ">EUR")
    pen.row("2 x Sandbag 12 kg @ 24.50", ">49.00")
    pen.row("Gaffer tape kit lost", ">31.90")
    pen.row("3 x Clamp, bent @ 12.00", ">36.00")
    pen.row("Total incl. VAT", ">116.90")
    pen.row("of which VAT 19%", ">18.66")
    pen.save()
    return Meant(
        [
            ("2 x Sandbag 12 kg @ 24.50", "2", "24.50", "49.00", "other"),
            ("Gaffer tape kit lost", "1", None, "31.90", "missing"),
            ("3 x Clamp, bent @ 12.00", "3", "12.00", "36.00", "repair"),
        ],
        None, "18.66", "116.90",
    )  # fmt: skip


def description_last(path: Path) -> Meant:
    """Figures first, the description in the last column."""
    pen = Pen(path, LETTER)
    pen.text("Example Lighting Co. (invented)", "INVOICE 90817", "Invoice Date 2026-02-11")
    pen.y -= 10
    pen.columns = (55, 110, 190, 270, 300)
    pen.row("Line", ">Qty", ">Price", ">Ext. price", "Description")
    pen.rule()
    pen.row("1", ">4", ">45.00", ">180.00", "Barn door, 8 in, missing")
    pen.row("2", ">1", ">1,250.00", ">1,250.00", "Ballast 1.2 kW, replacement, water inside")
    pen.row("3", ">2", ">18.75", ">37.50", "Lamp 650 W, burnt out")
    pen.row("", "", "", ">1,467.50", "Subtotal")
    pen.row("", "", "", ">121.07", "Sales tax 8.25%")
    pen.row("", "", "", ">1,588.57", "Total USD")
    pen.save()
    return Meant(
        [
            ("Barn door, 8 in, missing", "4", "45.00", "180.00", "missing"),
            ("Ballast 1.2 kW, replacement, water inside", "1", "1250.00", "1250.00", "replacement"),
            ("Lamp 650 W, burnt out", "2", "18.75", "37.50", "lamp"),
        ],
        "1467.50", "121.07", "1588.57",
    )  # fmt: skip


def marked_gear(path: Path) -> Meant:
    """Serial numbers and asset tags in columns of their own, dates on every line."""
    pen = Pen(path, LETTER)
    pen.size = 8
    pen._set()
    pen.text("Example Camera Rental (invented)", "Invoice: RC-1182", "Date: June 3, 2026")
    pen.y -= 10
    pen.columns = (40, 95, 245, 315, 400, 480, 572)
    pen.row("Returned", "Description", "Serial #", "Asset tag", ">Qty", ">Each", ">Charge")
    pen.rule(40, 572)
    pen.row("05/28/26", "Wireless video transmitter, lost", "WX0098812", "A-10443", ">1",
            ">$2,890.00", ">$2,890.00")  # fmt: skip
    pen.row("05/28/26", "Follow focus hand unit, cracked", "77120", "A-10871", ">1",
            ">$415.00", ">$415.00")  # fmt: skip
    pen.row("05/30/26", "Battery 98 Wh, not returned", "", "A-20118", ">1", ">$390.00", ">$390.00")
    pen.row("", "Battery 98 Wh, not returned", "", "A-20119", ">1", ">$390.00", ">$390.00")
    pen.y -= 10
    pen.row("Sub-total", ">$4,085.00", at=(420, 572))
    pen.row("Less 10% production discount", ">-$408.50", at=(420, 572))
    pen.row("Tax", ">$0.00", at=(420, 572))
    pen.row("Amount due", ">$3,676.50", at=(420, 572))
    pen.save()
    return Meant(
        [
            ("Wireless video transmitter, lost", "1", "2890.00", "2890.00", "missing"),
            ("Follow focus hand unit, cracked", "1", "415.00", "415.00", "repair"),
            ("Battery 98 Wh, not returned", "1", "390.00", "390.00", "missing"),
            ("Battery 98 Wh, not returned", "1", "390.00", "390.00", "missing"),
            ("Less 10% production discount", "1", None, "-408.50", "credit"),
        ],
        "3676.50", "0.00", "3676.50",
    )  # fmt: skip


def rent_and_losses(path: Path) -> Meant:
    """Rent by days and losses in one table, in sections."""
    pen = Pen(path, A4)
    pen.text(
        "Beispiel Verleih GmbH (erfunden)", "Rechnung Nr. 2026-0441", "Rechnungsdatum: 14.04.2026"
    )
    pen.y -= 10
    pen.columns = (50, 85, 345, 390, 460, 545)
    pen.row("Pos", "Bezeichnung", ">Anzahl", ">Tage", ">Preis/Tag", ">Betrag EUR")
    pen.rule(50, 545)
    pen.text("Miete", x=85, step=14)
    pen.row("1", "LED-Panel 2x1", ">4", ">5", ">60,00", ">1.200,00")
    pen.row("2", "Stativ 40 Zoll", ">10", ">5", ">4,50", ">225,00")
    pen.text("Verluste und Schäden", x=85, step=14)
    pen.row("3", "Sandsack 12 kg, nicht zurückgegeben", ">3", "", ">28,00", ">84,00")
    pen.row("4", "LED-Panel 2x1, Reparatur Netzteil", ">1", "", ">240,00", ">240,00")
    pen.row("5", "Nutzungsausfall LED-Panel 2x1", ">1", ">6", ">60,00", ">360,00")
    pen.y -= 6
    pen.row("Summe netto", ">2.109,00", at=(400, 545))
    pen.row("zzgl. 19 % MwSt.", ">400,71", at=(400, 545))
    pen.row("Rechnungsbetrag", ">2.509,71", at=(400, 545))
    pen.save()
    return Meant(
        [
            ("LED-Panel 2x1", "4", "60.00", "1200.00", "other"),
            ("Stativ 40 Zoll", "10", "4.50", "225.00", "other"),
            ("Sandsack 12 kg, nicht zurückgegeben", "3", "28.00", "84.00", "missing"),
            ("LED-Panel 2x1, Reparatur Netzteil", "1", "240.00", "240.00", "repair"),
            ("Nutzungsausfall LED-Panel 2x1", "1", "60.00", "360.00", "loss_of_use"),
        ],
        "2109.00", "400.71", "2509.71", days={0: "5", 1: "5", 4: "6"},
    )  # fmt: skip


def sums_overleaf(path: Path) -> Meant:
    """Many lines; the sums stand alone on the second page."""
    pen = Pen(path, A4)
    pen.text("Example House (invented)", "Invoice no: 5001", "Invoice date: 1 Mar 2026")
    pen.y -= 10
    pen.columns = (50, 80, 400, 470, 545)
    pen.row("#", "Description", ">Qty", ">Unit price", ">Total (GBP)")
    lines: list[tuple[str, str, str | None, str, str]] = []
    total = Decimal(0)
    for index in range(1, 46):
        quantity, price = index % 4 + 1, Decimal(1000 + 37 * index) / 100
        amount = quantity * price
        total += amount
        pen.row(
            f"{index}", f"Clamp no. {index}, missing", f">{quantity}", f">{price}", f">{amount}"
        )
        lines.append(
            (f"Clamp no. {index}, missing", f"{quantity}", f"{price}", f"{amount}", "missing")
        )
    pen.turn()
    pen.text("Invoice 5001, page 2 of 2")
    pen.y -= 20
    tax = (total / 5).quantize(Decimal("0.01"))
    pen.row("Sub total", f">{total:,}", at=(420, 545))
    pen.row("VAT at 20%", f">{tax:,}", at=(420, 545))
    pen.row("Total payable", f">{total + tax:,}", at=(420, 545))
    pen.text("Please pay within 30 days to account 00000000.")
    pen.save()
    return Meant(lines, f"{total}", f"{tax}", f"{total + tax}")


def thin_spaces(path: Path) -> Meant:
    """French: thin spaces for thousands, the sign in every cell."""
    pen = Pen(path, A4, "Noto")
    pen.text(
        "Location Exemple SARL (inventée)", "FACTURE N° F-2026-118", "Date de facture : 07/05/2026"
    )
    pen.y -= 10
    pen.columns = (50, 330, 430, 545)
    pen.row("Désignation", ">Qté", ">P.U. HT", ">Montant HT")
    pen.rule(50, 545)
    pen.row("Optique 35 mm T1,5, perdue", ">1", ">14\u202f250,00\u00a0€", ">14\u202f250,00\u00a0€")
    pen.row("Nettoyage du cadre 2,4x2,4 m", ">2", ">65,00\u00a0€", ">130,00\u00a0€")
    pen.row("Perte d'exploitation, 7 jours à 210,00 €", "", "", ">1\u202f470,00\u00a0€")
    pen.y -= 6
    pen.row("Total HT", ">15\u202f850,00\u00a0€", at=(400, 545))
    pen.row("TVA 20 %", ">3\u202f170,00\u00a0€", at=(400, 545))
    pen.row("Total TTC", ">19\u202f020,00\u00a0€", at=(400, 545))
    pen.save()
    return Meant(
        [
            ("Optique 35 mm T1,5, perdue", "1", "14250.00", "14250.00", "missing"),
            ("Nettoyage du cadre 2,4x2,4 m", "2", "65.00", "130.00", "cleaning"),
            ("Perte d'exploitation, 7 jours à 210,00 €", "1", "210.00", "1470.00", "loss_of_use"),
        ],
        "15850.00", "3170.00", "19020.00", days={2: "7"},
    )  # fmt: skip


def currency_cells(path: Path) -> Meant:
    """The code of the currency in each cell, rules around all cells."""
    pen = Pen(path, A4)
    pen.text("Beispiel AG (erfunden)", "Rechnung 10455", "Datum: 3. März 2026")
    pen.y -= 10
    pen.columns = (55, 345, 445, 550)
    rows = [
        ("Gegenstand", ">Menge", ">Stückpreis", ">Gesamtpreis"),
        ("Funkgerät mit Hörer, verloren", ">2", ">CHF 480.00", ">CHF 960.00"),
        ("Reinigung Holzkiste", ">5", ">CHF 12.50", ">CHF 62.50"),
        ("Kurbelstativ Stahl, Totalschaden", ">1", ">CHF 1'325.00", ">CHF 1'325.00"),
        ("Transportkosten", ">1", ">CHF 85.00", ">CHF 85.00"),
    ]
    top = pen.y + 10
    for row in rows:
        pen.rule(50, 555)
        pen.row(*row)
    pen.rule(50, 555)
    for x in (50, 290, 350, 450, 555):
        pen.canvas.line(x, top, x, pen.y + 10)
    pen.y -= 10
    pen.row("Total exkl. MWST", ">CHF 2'432.50", at=(400, 550))
    pen.row("MWST 8.1%", ">CHF 197.03", at=(400, 550))
    pen.row("Rundung", ">CHF -0.03", at=(400, 550))
    pen.row("Total inkl. MWST", ">CHF 2'629.50", at=(400, 550))
    pen.save()
    return Meant(
        [
            ("Funkgerät mit Hörer, verloren", "2", "480.00", "960.00", "missing"),
            ("Reinigung Holzkiste", "5", "12.50", "62.50", "cleaning"),
            ("Kurbelstativ Stahl, Totalschaden", "1", "1325.00", "1325.00", "replacement"),
            ("Transportkosten", "1", "85.00", "85.00", "freight"),
        ],
        "2432.50", "197.03", "2629.50",
    )  # fmt: skip


def days_in_words(path: Path) -> Meant:
    """No column for pieces: quantities and days stand in the text."""
    pen = Pen(path, LETTER)
    pen.text("Example Grip (invented)", "Invoice 3310", "Invoice date: July 2, 2026")
    pen.y -= 10
    pen.columns = (50, 560)
    pen.row("Description", ">Amount")
    pen.rule()
    pen.row("2 x C-stand missing @ $245.00", ">$490.00")
    pen.row("Loss of use, dolly track, 14 days @ $40.00", ">$560.00")
    pen.row("Repair of monitor 7 in, 3.5 hours @ $90.00/hr", ">$315.00")
    pen.row("Restocking fee", ">$25.00")
    pen.rule(450)
    pen.row("Total", ">$1,390.00", at=(450, 560))
    pen.save()
    return Meant(
        [
            ("2 x C-stand missing @ $245.00", "2", "245.00", "490.00", "missing"),
            ("Loss of use, dolly track, 14 days @ $40.00", "1", "40.00", "560.00", "loss_of_use"),
            ("Repair of monitor 7 in, 3.5 hours @ $90.00/hr", "3.5", "90.00", "315.00", "repair"),
            ("Restocking fee", "1", None, "25.00", "fee"),
        ],
        None, None, "1390.00", days={1: "14"},
    )  # fmt: skip


def wrapped_credit(path: Path) -> Meant:
    """Narrow columns: CR below its figure, the label of the tax around its figure."""
    pen = Pen(path, LETTER)
    pen.text("Example House (invented)", "Invoice 4420", "Date: 2026-08-14", "Currency: USD")
    pen.y -= 10
    pen.columns = (50, 330, 420, 500)
    pen.row("Description", ">Qty", ">Price", ">Amount")
    pen.rule()
    pen.row("Frame 8x8, missing", ">1", ">640.00", ">640.00", step=18)
    pen.row("Rent credit for the third week", ">1", ">160.00", ">160.00", step=10)
    pen.row("", "", ">CR", ">CR", step=18)
    pen.row("Stinger 50 ft, missing", ">2", ">55.00", ">110.00", step=24)
    pen.row("Net", ">590.00", at=(420, 500), step=18)
    pen.row("Sales tax on", at=(380,), step=5)
    pen.row(">48.68", at=(500,), step=5)
    pen.row("590.00, 8.25 %", at=(380,), step=18)
    pen.row("Total", ">638.68", at=(420, 500))
    pen.save()
    return Meant(
        [
            ("Frame 8x8, missing", "1", "640.00", "640.00", "missing"),
            ("Rent credit for the third week", "1", "-160.00", "-160.00", "credit"),
            ("Stinger 50 ft, missing", "2", "55.00", "110.00", "missing"),
        ],
        "590.00", "48.68", "638.68",
    )  # fmt: skip


def freight_between(path: Path) -> Meant:
    """Freight and a discount stand between the sub-total and the tax."""
    pen = Pen(path, LETTER)
    pen.text("Example House (invented)", "Invoice 4999", "Date: 2026-08-20", "All amounts in USD")
    pen.y -= 10
    pen.columns = (50, 330, 420, 500)
    pen.row("Description", ">Qty", ">Price", ">Amount")
    pen.rule()
    pen.row("Frame 8x8, missing", ">1", ">640.00", ">640.00")
    pen.row("Stinger 50 ft, missing", ">2", ">55.00", ">110.00")
    pen.row("Subtotal", ">750.00", at=(400, 500))
    pen.row("Discount 10%", ">75.00", at=(400, 500))
    pen.row("Freight", ">40.00", at=(400, 500))
    pen.row("Tax 8%", ">57.20", at=(400, 500))
    pen.row("Total", ">772.20", at=(400, 500))
    pen.save()
    return Meant(
        [
            ("Frame 8x8, missing", "1", "640.00", "640.00", "missing"),
            ("Stinger 50 ft, missing", "2", "55.00", "110.00", "missing"),
            ("Discount 10%", "1", None, "-75.00", "credit"),
            ("Freight", "1", None, "40.00", "freight"),
        ],
        "715.00", "57.20", "772.20",
    )  # fmt: skip


def spanish(path: Path) -> Meant:
    """A Spanish paper with two tax rates and the base of each."""
    pen = Pen(path, A4)
    pen.text("Alquiler Ejemplo S.L. (inventada)", "Factura n.º 2026/77", "Fecha: 21/07/2026")
    pen.y -= 10
    pen.columns = (50, 310, 380, 440, 545)
    pen.row("Concepto", ">Cant.", ">Precio", ">IVA %", ">Importe")
    pen.rule(50, 545)
    pen.row("Batería de cámara 98 Wh, extraviada", ">2", ">345,50 €", ">21 %", ">691,00 €")
    pen.row("Limpieza de bandera 60x90", ">4", ">9,00 €", ">21 %", ">36,00 €")
    pen.row("Gastos de envío", ">1", ">18,00 €", ">10 %", ">18,00 €")
    pen.y -= 6
    pen.row("Base imponible", ">745,00 €", at=(380, 545))
    pen.row("IVA 21 % sobre 727,00 €", ">152,67 €", at=(380, 545))
    pen.row("IVA 10 % sobre 18,00 €", ">1,80 €", at=(380, 545))
    pen.row("Total factura", ">899,47 €", at=(380, 545))
    pen.save()
    return Meant(
        [
            ("Batería de cámara 98 Wh, extraviada", "2", "345.50", "691.00", "missing"),
            ("Limpieza de bandera 60x90", "4", "9.00", "36.00", "cleaning"),
            ("Gastos de envío", "1", "18.00", "18.00", "freight"),
        ],
        "745.00", "154.47", "899.47",
    )  # fmt: skip


PAPERS: tuple[Paper, ...] = (
    letterhead, count_sheet, repair_bill, credit_note, receipt, description_last, marked_gear,
    rent_and_losses, sums_overleaf, thin_spaces, currency_cells, days_in_words, wrapped_credit,
    freight_between, spanish,
)  # fmt: skip
