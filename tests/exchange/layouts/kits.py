"""Kit lists drawn by lot: what they say, and files of four kinds that say it.

python -m tests.exchange.layouts.kits [FIRST] [COUNT] [csv|xlsx|ods|pdf ...]
"""

from __future__ import annotations

import csv
import dataclasses
import io
import random
import sys
from collections import Counter
from collections.abc import Sequence
from decimal import Decimal
from itertools import zip_longest
from pathlib import Path
from tempfile import mkdtemp

import openpyxl
from reportlab.lib import colors
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph, SimpleDocTemplate, Table

from ldapp.errors import LdappError
from ldapp.exchange.kit_list import KitListReading, read_kit_list
from tests.exchange.layouts.words import ITEMS
from tests.exchange.lists import write_ods

HEADINGS: dict[str, dict[str, tuple[str, ...]]] = {
    "en": {
        "line": ("#", "Line", "No.", "Item no."),
        "quantity": ("Qty", "Quantity", "Qty out", "Count", "Pcs", "Out"),
        "description": ("Description", "Item", "Equipment", "Item description", "Gear"),
        "serial": ("Serial no.", "Serial number(s)", "S/N", "Serials"),
        "tag": ("Asset tag", "Barcode", "Asset no."),
        "value": ("Replacement value", "Replacement cost", "Value each", "List price"),
        "day": ("Day rate", "Rate/day", "Daily"),
        "week": ("Week rate", "Weekly rate", "Weekly"),
        "total": ("Total value", "Extended value", "Total"),
        "category": ("Category", "Department"),
        "location": ("Case", "Truck", "Location"),
        "note": ("Notes", "Condition", "Remarks"),
        "in": ("In", "Qty in", "Returned"),
    },
    "de": {
        "line": ("Pos.", "Nr.", "Lfd. Nr."),
        "quantity": ("Menge", "Anzahl", "Stück", "Stk."),
        "description": ("Bezeichnung", "Artikel", "Gerät", "Beschreibung"),
        "serial": ("Seriennummer", "Serien-Nr.", "Seriennr."),
        "tag": ("Inventar-Nr.", "Barcode"),
        "value": ("Neuwert", "Wiederbeschaffungswert", "Neupreis"),
        "day": ("Tagesmiete", "Tagespreis", "Preis/Tag"),
        "week": ("Wochenmiete", "Wochenpreis"),
        "total": ("Gesamtwert", "Gesamt"),
        "category": ("Kategorie", "Abteilung"),
        "location": ("Koffer", "Lagerort", "Wagen"),
        "note": ("Bemerkung", "Zustand"),
        "in": ("Zurück", "Rückgabe"),
    },
    "fr": {
        "line": ("N°", "Ligne"),
        "quantity": ("Qté", "Quantité", "Nombre"),
        "description": ("Désignation", "Matériel", "Article"),
        "serial": ("N° de série", "Numéro de série"),
        "tag": ("Code-barres", "N° inventaire"),
        "value": ("Valeur à neuf", "Valeur de remplacement", "Valeur"),
        "day": ("Tarif jour", "Prix/jour"),
        "week": ("Tarif semaine", "Prix semaine"),
        "total": ("Valeur totale", "Total"),
        "category": ("Catégorie", "Famille"),
        "location": ("Caisse", "Emplacement"),
        "note": ("Remarques", "État"),
        "in": ("Retour",),
    },
    "es": {
        "line": ("N.º", "Línea"),
        "quantity": ("Cantidad", "Cant.", "Uds."),
        "description": ("Descripción", "Equipo", "Artículo"),
        "serial": ("N.º de serie", "Número de serie"),
        "tag": ("Código de barras",),
        "value": ("Valor de reposición", "Valor"),
        "day": ("Tarifa diaria", "Precio/día"),
        "week": ("Tarifa semanal", "Precio semana"),
        "total": ("Valor total", "Total"),
        "category": ("Categoría", "Departamento"),
        "location": ("Caja", "Ubicación"),
        "note": ("Observaciones", "Estado"),
        "in": ("Devuelto",),
    },
}
SECTIONS = {
    "en": ("Camera", "Grip", "Electric", "Lenses", "Power and distribution", "Stands & clamps"),
    "de": ("Kamera", "Licht", "Bühne", "Optik", "Strom und Verteilung"),
    "fr": ("Caméra", "Lumière", "Machinerie", "Optiques"),
    "es": ("Cámara", "Iluminación", "Maquinaria", "Ópticas"),
}
TITLES = {
    "en": ("EQUIPMENT LIST", "Packing list 4471", "Delivery ticket T-1041"),
    "de": ("Geräteliste", "Lieferschein L-1041"),
    "fr": ("Liste de matériel", "Bon de livraison B-1041"),
    "es": ("Lista de equipo", "Albarán A-1041"),
}
PARTS = {
    "en": ("grip head", "arm", "barn doors", "head cable 25 ft", "scrim set", "case"),
    "de": ("Torblende", "Lampenkabel", "Koffer", "Kopf"),
    "fr": ("volets", "câble", "valise"),
    "es": ("viseras", "cable", "maleta"),
}
TOTALS = {"en": "Total", "de": "Summe", "fr": "Total", "es": "Total"}
UNITS = {"en": ("ea", "pcs", "x"), "de": ("Stk.", "x"), "fr": ("pce", "x"), "es": ("uds.", "x")}


@dataclasses.dataclass
class TrueKitLine:
    """One line as it is meant."""

    description: str
    quantity: int
    serials: tuple[str, ...] = ()
    tag: str = ""
    value: Decimal | None = None
    day: Decimal | None = None
    category: str = ""
    parts: list[tuple[str, int]] = dataclasses.field(default_factory=list)


class KitDrawing:
    """Draws one kit list: its lines, and the sheets that say them."""

    def __init__(self, seed: int) -> None:
        self.lot = lot = random.Random(seed)
        self.language = lot.choice(("en", "en", "de", "fr", "es"))
        self.comma = self.language != "en"
        columns = ["quantity", "description"]
        if lot.random() < 0.4:
            columns.reverse()
        if lot.random() < 0.5:
            columns.insert(0, "line")
        for name, share in (
            ("serial", 0.5), ("tag", 0.25), ("value", 0.5), ("day", 0.35), ("week", 0.2),
            ("total", 0.2), ("location", 0.2), ("note", 0.25), ("in", 0.15),
        ):  # fmt: skip
            if lot.random() < share and (name != "total" or "value" in columns):
                columns.append(name)
        self.in_sections = lot.random() < 0.4
        if not self.in_sections and lot.random() < 0.2:
            columns.insert(lot.randint(0, len(columns)), "category")
        self.columns = columns
        self.headings = [lot.choice(HEADINGS[self.language][one]) for one in columns]
        self.with_unit = lot.random() < 0.2
        self.part_way = lot.choice(("none", "none", "dash", "indent", "numbered"))
        if self.part_way == "numbered" and "line" not in columns:
            self.part_way = "dash"
        self.sign = lot.choice(("", "", "$", "€", "EUR "))
        self.totals = lot.random() < 0.3 and bool({"value", "day"} & set(columns))
        self.lines: list[TrueKitLine] = []

    def amount(self, value: Decimal) -> str:
        """Write an amount as this house does."""
        text = f"{value:,.2f}"
        if self.comma:
            text = text.replace(",", " ").replace(".", ",").replace(" ", ".")
        return f"{self.sign}{text}"

    def rows(self, count: int, sheet: str = "") -> list[list[str]]:
        """Return the rows of a sheet below its headings; its lines are added to the truth."""
        lot = self.lot
        rows: list[list[str]] = []
        category = sheet
        for number in range(1, count + 1):
            if self.in_sections and (number == 1 or lot.random() < 0.2):
                category = lot.choice(SECTIONS[self.language])
                rows.append(self._text_row(category.upper() if lot.random() < 0.5 else category))
                category = rows[-1][self.columns.index("description")]
            line = self._line(category if self.in_sections else "")
            self.lines.append(line)
            rows.append(self._cells(line, number))
            rows += self._parts(line, number)
        if self.totals:
            row = self._text_row(TOTALS[self.language])
            row[-1] = self.amount(Decimal(lot.randint(10_000, 999_999)) / 100)
            if self.columns[-1] in {"value", "day", "week", "total"}:
                rows.append(row)
        return rows

    def _text_row(self, text: str) -> list[str]:
        row = [""] * len(self.columns)
        row[self.columns.index("description")] = text
        return row

    def _line(self, category: str) -> TrueKitLine:
        lot = self.lot
        quantity = lot.choice((1, 1, 1, 2, 2, 4, 6, 12, 40))
        serials: tuple[str, ...] = ()
        if "serial" in self.columns and quantity <= 2 and lot.random() < 0.7:
            start = lot.randint(1000, 99_000)
            serials = tuple(f"SN{start + 7 * one}" for one in range(quantity))
        return TrueKitLine(
            lot.choice(ITEMS[self.language]),
            quantity,
            serials,
            f"A-{lot.randint(10_000, 99_999)}" if "tag" in self.columns else "",
            Decimal(lot.randint(500, 2_000_000)) / 100 if "value" in self.columns else None,
            Decimal(lot.randint(100, 50_000)) / 100 if "day" in self.columns else None,
            lot.choice(SECTIONS[self.language]) if "category" in self.columns else category,
        )

    def _cells(self, line: TrueKitLine, number: int) -> list[str]:
        lot = self.lot
        unit = f" {lot.choice(UNITS[self.language])}" if self.with_unit else ""
        written = {
            "line": str(number),
            "quantity": f"{line.quantity}{unit}",
            "description": line.description,
            "serial": lot.choice((", ", "; ", " / ")).join(line.serials),
            "tag": line.tag,
            "value": self.amount(line.value) if line.value is not None else "",
            "day": self.amount(line.day) if line.day is not None else "",
            "week": self.amount(Decimal(lot.randint(1000, 90_000)) / 100),
            "total": self.amount((line.value or Decimal(0)) * line.quantity),
            "category": line.category,
            "location": f"{lot.choice('AB')}{lot.randint(1, 9)}",
            "note": lot.choice(("", "", "OK", "scratched")),
            "in": "",
        }
        return [written[name] for name in self.columns]

    def _parts(self, line: TrueKitLine, number: int) -> list[list[str]]:
        lot = self.lot
        if self.part_way == "none" or lot.random() < 0.8:
            return []
        rows: list[list[str]] = []
        for index, part in enumerate(lot.sample(PARTS[self.language], k=lot.randint(1, 3)), 1):
            before = {"dash": "- ", "indent": "    "}.get(self.part_way, "")
            row = self._text_row(f"{before}{part}")
            row[self.columns.index("quantity")] = str(line.quantity)
            if self.part_way == "numbered":
                row[self.columns.index("line")] = f"{number}.{index}"
            line.parts.append((part, 1))
            rows.append(row)
        return rows

    def before(self) -> list[list[str]]:
        """Return the rows of text above the headings."""
        lot = self.lot
        lines = [lot.choice(TITLES[self.language]), "Example House (invented)"]
        lines += lot.sample(("Job: Sample Show", "Date: 2026-03-02", "Tel. 555-0100"), k=2)
        return [[one] for one in lines[: lot.choice((0, 2, 4))]]


def write(drawing: KitDrawing, ending: str, path: Path) -> None:
    """Put a drawn list into a file of one kind."""
    lot = drawing.lot
    count = lot.choice((3, 8, 20, 60))
    sheets: dict[str, list[list[str]]] = {}
    names = ["Camera", "Grip"] if ending in {"xlsx", "ods"} and lot.random() < 0.2 else ["List"]
    for name in names:
        rows = drawing.before()
        rows += [[""]] * lot.choice((0, 1))
        rows.append(list(drawing.headings))
        rows += drawing.rows(count)
        sheets[name] = rows
    if ending == "csv":
        _write_csv(sheets["List"], path, lot)
    elif ending == "ods":
        write_ods(path, {name: [[one or None for one in row] for row in rows]
                         for name, rows in sheets.items()})  # fmt: skip
    elif ending == "xlsx":
        _write_workbook(drawing, sheets, path)
    else:
        _write_pdf(drawing, sheets["List"], path, lot)


def _write_csv(rows: Sequence[Sequence[str]], path: Path, lot: random.Random) -> None:
    held = io.StringIO()
    csv.writer(held, delimiter=lot.choice(",;\t|")).writerows(rows)
    for encoding in lot.sample(("utf-8", "utf-8-sig", "utf-16", "cp1252", "mac_roman"), k=5):
        try:
            path.write_bytes(held.getvalue().encode(encoding))
        except UnicodeEncodeError:
            continue
        return


def _write_workbook(drawing: KitDrawing, sheets: dict[str, list[list[str]]], path: Path) -> None:
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in sheets.items():
        page = book.create_sheet(name)
        for row in rows:
            page.append(
                [int(one) if one.isdigit() and len(row) > 1 else one or None for one in row]
            )
        if drawing.in_sections and len(drawing.columns) > 1:
            described = drawing.columns.index("description")
            for index, row in enumerate(rows, 1):
                if len(row) > 1 and sum(map(bool, row)) == 1 and described == 0:
                    page.merge_cells(
                        start_row=index, end_row=index, start_column=1, end_column=len(row)
                    )
    book.save(path)


def _write_pdf(drawing: KitDrawing, rows: list[list[str]], path: Path, lot: random.Random) -> None:
    start = next(index for index, row in enumerate(rows) if row == drawing.headings)
    size = 8 if len(drawing.columns) < 8 else 7
    style = ParagraphStyle("cell", fontName="Helvetica", fontSize=size, leading=size * 1.2)
    wide = {
        "category": 95.0,
        "description": 150.0,
        "serial": 90.0,
        "value": 70.0,
        "total": 65.0,
        "week": 60.0,
    }
    widths = [
        max(wide.get(name, 45.0), 5.2 * len(heading) + 8)
        for name, heading in zip(drawing.columns, drawing.headings, strict=True)
    ]
    scale = min(1.0, 535 / sum(widths))
    described = drawing.columns.index("description")
    figures = {"quantity", "value", "day", "week", "total"}
    look: list[tuple[object, ...]] = [
        ("FONT", (0, 0), (-1, -1), "Helvetica", size),
        ("TOPPADDING", (0, 0), (-1, -1), 1.5), ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5),
        ("LEFTPADDING", (0, 0), (-1, -1), 3), ("RIGHTPADDING", (0, 0), (-1, -1), 3),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ]  # fmt: skip
    for column, name in enumerate(drawing.columns):
        if name in figures:
            look.append(("ALIGN", (column, 0), (column, -1), "RIGHT"))
    rules = lot.choice(("none", "grid", "below"))
    if rules == "grid":
        look.append(("GRID", (0, 0), (-1, -1), 0.4, colors.black))
    elif rules == "below":
        look.append(("LINEBELOW", (0, 0), (-1, -1), 0.4, colors.grey))
    body: list[list[object]] = [list(drawing.headings)]
    for row in rows[start + 1 :]:
        cells: list[object] = list(row)
        if not row[described].startswith("    "):
            cells[described] = Paragraph(row[described].replace("&", "&amp;"), style)
        body.append(cells)
    above = [Paragraph(row[0], style) for row in rows[:start] if row[0]]
    table = Table(body, [one * scale for one in widths], repeatRows=lot.choice((0, 1)), style=look)
    SimpleDocTemplate(str(path), pagesize=lot.choice((A4, LETTER)), leftMargin=30,
                      rightMargin=30).build([*above, table])  # fmt: skip


def differences(meant: Sequence[TrueKitLine], reading: KitListReading) -> list[str]:
    """Return a sentence for everything that was read otherwise than it was meant."""
    wrong: list[str] = []
    for number, (row, line) in enumerate(zip_longest(reading.rows, meant), 1):
        if row is None or line is None:
            wrong.append(f"line {number}: read {row and row.line!r}, meant {line!r}")
            continue
        read = row.line
        for name, found, known in (
            ("description", read.description, line.description),
            ("quantity", read.quantity, line.quantity),
            ("serials", read.serials, line.serials),
            ("tags", read.asset_tags, (line.tag,) if line.tag else ()),
            ("value", read.replacement_cost, line.value),
            ("day rate", read.day_rate, line.day),
            ("category", read.category, line.category),
            ("parts", [(one.description, one.per_unit) for one in read.parts], line.parts),
        ):
            if found != known:
                wrong.append(f"line {number} {name}: read {found!r}, meant {known!r}")
    return wrong + [f"fault: {fault}" for fault in reading.faults]


KINDS = ("csv", "xlsx", "ods", "pdf")


def main() -> None:
    """Draw lists and print what is read otherwise."""
    arguments = sys.argv[1:]
    first = int(arguments[0]) if arguments else 0
    count = int(arguments[1]) if len(arguments) > 1 else 40
    folder = Path(mkdtemp(prefix="kits"))
    right: Counter[str] = Counter()
    for ending in arguments[2:] or KINDS:
        for seed in range(first, first + count):
            drawing = KitDrawing(seed)
            path = folder / f"{seed}.{ending}"
            write(drawing, ending, path)
            try:
                wrong = differences(drawing.lines, read_kit_list(path))
            except LdappError as error:
                wrong = [str(error)]
            right[ending] += not wrong
            if wrong:
                print(f"== {path} {len(wrong)} differences; {drawing.headings}")
                for one in wrong[:4]:
                    print("   ", one[:240])
        print(f"{ending}: {right[ending]} of {count} right")


if __name__ == "__main__":
    main()
