"""How invented rental companies of several countries word and write their invoices."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from decimal import Decimal

HEADINGS: dict[str, dict[str, tuple[str, ...]]] = {
    "en": {
        "line": ("No.", "Line", "#", "Ln"),
        "code": ("Item code", "SKU", "Product code", "Part no.", "Code"),
        "description": ("Description", "Item", "Item description", "Equipment", "Particulars",
                        "Details of charge"),
        "serial": ("Serial no.", "Serial number", "S/N", "Asset tag", "Barcode"),
        "date": ("Date", "Date of return", "Check-in date"),
        "quantity": ("Qty", "Quantity", "Units", "Pcs", "Qty missing", "Qty billed"),
        "unit": ("Unit", "UOM", "U/M"),
        "days": ("Days", "No. of days"),
        "price": ("Unit price", "Price", "Rate", "Price each", "Unit cost", "Each", "Cost each",
                  "Replacement cost", "Unit value", "List price"),
        "discount": ("Disc. %", "Discount"),
        "tax_rate": ("VAT %", "Tax rate", "Tax %"),
        "tax": ("VAT", "Tax amount"),
        "amount": ("Amount", "Total", "Line total", "Extended", "Extension", "Net amount",
                   "Ext. price", "Charge"),
        "gross": ("Gross", "Total incl. VAT"),
        "kind": ("Charge class", "Type", "Reason"),
    },
    "de": {
        "line": ("Pos.", "Nr.", "Pos", "Lfd. Nr."),
        "code": ("Artikelnr.", "Art.-Nr.", "Artikelnummer"),
        "description": ("Bezeichnung", "Beschreibung", "Artikel", "Leistung", "Gegenstand"),
        "serial": ("Seriennummer", "Serien-Nr.", "Inventar-Nr."),
        "date": ("Datum", "Rückgabe"),
        "quantity": ("Menge", "Anzahl", "Stück", "Stk.", "Fehlmenge"),
        "unit": ("Einheit", "ME", "Einh."),
        "days": ("Tage", "Anzahl Tage"),
        "price": ("Einzelpreis", "Preis", "E-Preis", "Stückpreis", "Preis/Stk.", "EP"),
        "discount": ("Rabatt %", "Rabatt"),
        "tax_rate": ("MwSt. %", "USt. %", "Steuersatz"),
        "tax": ("MwSt.", "USt."),
        "amount": ("Betrag", "Gesamt", "Gesamtpreis", "G-Preis", "Summe", "Nettobetrag"),
        "gross": ("Brutto", "Bruttobetrag"),
        "kind": ("Art", "Schadensart"),
    },
    "fr": {
        "line": ("N°", "Ligne", "Pos."),
        "code": ("Réf.", "Référence", "Code article"),
        "description": ("Désignation", "Description", "Article", "Libellé", "Matériel"),
        "serial": ("N° de série", "Numéro de série", "Code-barres"),
        "date": ("Date", "Date de retour"),
        "quantity": ("Qté", "Quantité", "Nombre", "Qté."),
        "unit": ("Unité", "U."),
        "days": ("Jours", "Nb jours"),
        "price": ("Prix unitaire", "P.U. HT", "PU", "Prix unit. HT", "Prix"),
        "discount": ("Remise %", "Remise"),
        "tax_rate": ("TVA %", "Taux TVA"),
        "tax": ("TVA", "Montant TVA"),
        "amount": ("Montant HT", "Total HT", "Montant", "Prix total", "Total"),
        "gross": ("Total TTC", "Montant TTC"),
        "kind": ("Motif", "Nature"),
    },
    "es": {
        "line": ("N.º", "Línea", "Pos."),
        "code": ("Ref.", "Referencia", "Código"),
        "description": ("Descripción", "Concepto", "Artículo", "Equipo", "Detalle"),
        "serial": ("N.º de serie", "Número de serie", "Código de barras"),
        "date": ("Fecha", "Fecha devolución"),
        "quantity": ("Cantidad", "Cant.", "Uds.", "Unidades"),
        "unit": ("Unidad", "U.M."),
        "days": ("Días", "Número de días"),
        "price": ("Precio unitario", "Precio", "P. unitario", "Precio ud."),
        "discount": ("Dto. %", "Descuento"),
        "tax_rate": ("IVA %", "Tipo IVA"),
        "tax": ("IVA", "Cuota IVA"),
        "amount": ("Importe", "Total", "Precio total", "Importe neto", "Subtotal"),
        "gross": ("Total con IVA", "Importe total"),
        "kind": ("Motivo", "Tipo"),
    },
}  # fmt: skip

ITEMS: dict[str, tuple[str, ...]] = {
    "en": (
        "C-stand 40 in", "LED panel 2x1", "Stinger 50 ft 12/3", "Flag 24x36 solid", "Sandbag 25 lb",
        "Barn door set 8 in", "Apple box, half", "Combo stand, steel", "Fresnel head 1 kW",
        "Camera battery 98 Wh", "Prime 35 mm T1.5", "Scrim set 7 1/4 in", "Ballast 1.2 kW",
        "Head-to-ballast cable 25 ft", "Scissor clamp 2 in", "Frame 8x8 with corners",
        "Walkie with headset", "Follow focus", "Matte box 4x5.65", "Monitor 7 in",
        "Distro box 100 A",
        "End-jaw clamp", "Grip head 2 1/2 in", "Dolly track 8 ft straight",
    ),
    "de": (
        "Stativ 40 Zoll", "LED-Panel 2x1", "Verlängerung 15 m", "Flagge 60x90", "Sandsack 12 kg",
        "Torblende 20 cm", "Holzkiste halb", "Kurbelstativ Stahl", "Stufenlinse 1 kW",
        "Kameraakku 98 Wh", "Objektiv 35 mm T1,5", "Vorschaltgerät 1,2 kW", "Lampenkabel 7,5 m",
        "Rahmen 2,4x2,4 m mit Ecken", "Funkgerät mit Hörer", "Schärfezieheinrichtung",
        "Monitor 7 Zoll",
        "Stromverteiler 63 A", "Schiene 2,4 m gerade",
    ),
    "fr": (
        "Pied 40 pouces", "Panneau LED 2x1", "Rallonge 15 m", "Drapeau 60x90", "Sac de sable 12 kg",
        "Volets 20 cm", "Cube demi", "Pied à crémaillère acier", "Projecteur Fresnel 1 kW",
        "Batterie caméra 98 Wh", "Objectif 35 mm T1,5", "Alimentation 1,2 kW", "Cadre 2,4x2,4 m",
        "Talkie avec oreillette", "Moniteur 7 pouces", "Armoire électrique 63 A",
        "Rail droit 2,4 m",
    ),
    "es": (
        "Trípode 40 pulgadas", "Panel LED 2x1", "Alargador 15 m", "Bandera 60x90",
        "Saco de arena 12 kg", "Viseras 20 cm", "Cajón medio", "Pie de manivela acero",
        "Fresnel 1 kW", "Batería de cámara 98 Wh", "Óptica 35 mm T1,5", "Balasto 1,2 kW",
        "Marco 2,4x2,4 m", "Radio con auricular", "Monitor 7 pulgadas", "Cuadro eléctrico 63 A",
    ),
}  # fmt: skip

MORE: dict[str, tuple[str, ...]] = {
    "en": (
        "with head and arm", "as listed on delivery ticket T-1041", "complete with case and foam",
        "two of the eight that went out on the first day", "from the second truck",
        "as agreed with the best boy on the telephone", "see photographs and condition report",
    ),
    "de": (
        "mit Kopf und Arm", "laut Lieferschein L-1041", "komplett mit Koffer und Einlage",
        "zwei von acht, die am ersten Tag ausgegeben wurden", "aus dem zweiten Wagen",
        "wie am Telefon besprochen", "siehe Fotos und Zustandsbericht",
    ),
    "fr": (
        "avec tête et bras", "selon bon de livraison B-1041", "complet avec valise et mousse",
        "deux des huit sortis le premier jour", "du deuxième camion",
        "comme convenu au téléphone", "voir photos et constat",
    ),
    "es": (
        "con cabeza y brazo", "según albarán A-1041", "completo con maleta y espuma",
        "dos de los ocho que salieron el primer día", "del segundo camión",
        "según lo hablado por teléfono", "véanse fotos e informe",
    ),
}  # fmt: skip

KINDS: dict[str, dict[str, tuple[str, ...]]] = {
    "en": {
        "missing": ("Missing: {}", "{} - not returned", "Lost {}"),
        "replacement": ("Replacement {}", "Replacement of {}"),
        "repair": ("Repair {}: bent yoke", "{}, damaged, repair"),
        "repair_labour": ("Repair labour {}", "Technician time for {}"),
        "cleaning": ("Cleaning {}", "Cleaning of {}"),
        "loss_of_use": ("Loss of use {}", "Loss of use: {}"),
        "freight": ("Freight for {}", "Courier, {}"),
        "administration": ("Administration fee", "Processing fee"),
        "credit": ("Credit: {} found", "Discount on {}"),
        "other": ("Rental {}", "{}, extra rental"),
    },
    "de": {
        "missing": ("Fehlt: {}", "{} - nicht zurückgegeben", "Verlust {}"),
        "replacement": ("Ersatz {}", "Ersatz für {}"),
        "repair": ("Reparatur {}: Bügel verbogen", "{}, beschädigt"),
        "repair_labour": ("Arbeitszeit {}", "Arbeitslohn für {}"),
        "cleaning": ("Reinigung {}", "Reinigung von {}"),
        "loss_of_use": ("Nutzungsausfall {}", "Mietausfall: {}"),
        "freight": ("Fracht für {}", "Versand {}"),
        "administration": ("Bearbeitungsgebühr", "Verwaltungspauschale"),
        "credit": ("Gutschrift: {} gefunden", "Rabatt auf {}"),
        "other": ("Miete {}", "{}, Zusatzmiete"),
    },
    "fr": {
        "missing": ("Manquant : {}", "{} - non rendu", "Perte {}"),
        "replacement": ("Remplacement {}", "Remplacement de {}"),
        "repair": ("Réparation {} : étrier tordu", "{}, endommagé"),
        "repair_labour": ("Main d'œuvre {}", "Main d'œuvre pour {}"),
        "cleaning": ("Nettoyage {}", "Nettoyage de {}"),
        "loss_of_use": ("Perte d'exploitation {}", "Immobilisation {}"),
        "freight": ("Livraison {}", "Expédition de {}"),
        "administration": ("Frais de dossier", "Frais administratifs"),
        "credit": ("Avoir : {} retrouvé", "Remise sur {}"),
        "other": ("Location {}", "{}, location supplémentaire"),
    },
    "es": {
        "missing": ("Falta: {}", "{} - no devuelto", "Pérdida {}"),
        "replacement": ("Reposición {}", "Reemplazo de {}"),
        "repair": ("Reparación {}: horquilla doblada", "{}, dañado"),
        "repair_labour": ("Mano de obra {}", "Mano de obra para {}"),
        "cleaning": ("Limpieza {}", "Limpieza de {}"),
        "loss_of_use": ("Lucro cesante {}", "Pérdida de uso {}"),
        "freight": ("Envío {}", "Portes {}"),
        "administration": ("Gastos administrativos", "Gastos de gestión"),
        "credit": ("Abono: {} encontrado", "Descuento en {}"),
        "other": ("Alquiler {}", "{}, alquiler extra"),
    },
}

SECTIONS: dict[str, dict[str, tuple[str, ...]]] = {
    "en": {
        "missing": ("Missing items", "LOST EQUIPMENT", "Missing:", "A. Missing equipment"),
        "repair": ("Damaged items", "REPAIRS", "Damaged equipment"),
        "other": ("Rental", "EQUIPMENT RENTAL", "1 Rental charges"),
    },
    "de": {
        "missing": ("Fehlende Teile", "VERLUST", "Fehlmengen"),
        "repair": ("Schäden", "REPARATUREN", "Beschädigte Geräte"),
        "other": ("Miete", "GERÄTEMIETE"),
    },
    "fr": {
        "missing": ("Manquants", "MATÉRIEL MANQUANT", "Matériel perdu"),
        "repair": ("Réparations", "MATÉRIEL ENDOMMAGÉ"),
        "other": ("Location", "LOCATION DE MATÉRIEL"),
    },
    "es": {
        "missing": ("Faltantes", "MATERIAL EXTRAVIADO", "Equipo perdido"),
        "repair": ("Reparaciones", "MATERIAL DAÑADO"),
        "other": ("Alquiler", "ALQUILER DE EQUIPO"),
    },
}

SUMS: dict[str, dict[str, tuple[str, ...]]] = {
    "en": {
        "sub_total": ("Subtotal {}", "Sub-total", "Total {}"),
        "net": ("Subtotal", "Net total", "Net amount", "Total before tax", "Taxable amount"),
        "tax": ("Sales tax {}%", "VAT {}%", "Tax ({}%)", "VAT @ {}%", "Tax at {} %", "GST {}%"),
        "tax2": ("County tax {}%", "PST {}%"),
        "gross": ("Total", "Total due", "TOTAL DUE", "Amount due", "Grand total", "Invoice total",
                  "Total incl. tax", "Balance due"),
        "included": ("Includes VAT {}%", "of which VAT {}%", "VAT included ({}%)"),
        "carried": ("Carried forward", "Balance carried forward"),
        "brought": ("Brought forward", "Balance brought forward"),
    },
    "de": {
        "sub_total": ("Zwischensumme {}", "Zwischensumme", "Summe {}"),
        "net": ("Nettobetrag", "Summe netto", "Gesamt netto", "Zwischensumme", "Netto"),
        "tax": ("MwSt. {} %", "zzgl. {} % MwSt.", "Umsatzsteuer {} %", "USt. {} %",
                "+ {} % gesetzl. MwSt."),
        "tax2": ("zzgl. {} % USt. ermäßigt",),
        "gross": ("Gesamtbetrag", "Rechnungsbetrag", "Bruttobetrag", "Endbetrag", "Gesamtsumme",
                  "Zu zahlender Betrag", "Summe brutto"),
        "included": ("darin enthalten {} % MwSt.", "inkl. {} % MwSt.", "enthaltene MwSt. {} %"),
        "carried": ("Übertrag", "Übertrag auf Seite 2"),
        "brought": ("Übertrag", "Übertrag von Seite 1"),
    },
    "fr": {
        "sub_total": ("Sous-total {}", "Sous-total"),
        "net": ("Total HT", "Montant HT", "Sous-total HT", "Total hors taxes"),
        "tax": ("TVA {} %", "TVA ({} %)", "TVA à {} %", "T.V.A. {} %"),
        "tax2": ("TVA {} %",),
        "gross": ("Total TTC", "Montant TTC", "Net à payer", "TOTAL TTC", "Total à payer",
                  "Montant dû"),
        "included": ("dont TVA {} %", "dont T.V.A. {} %"),
        "carried": ("À reporter", "Report à nouveau"),
        "brought": ("Report",),
    },
    "es": {
        "sub_total": ("Subtotal {}", "Suma parcial"),
        "net": ("Base imponible", "Subtotal", "Importe neto", "Total sin IVA"),
        "tax": ("IVA {} %", "I.V.A. {} %", "IVA ({} %)", "IVA al {} %"),
        "tax2": ("IVA {} %",),
        "gross": ("Total", "TOTAL FACTURA", "Importe total", "Total a pagar", "Total con IVA"),
        "included": ("IVA incluido {} %",),
        "carried": ("Suma y sigue",),
        "brought": ("Suma anterior",),
    },
}  # fmt: skip

BEFORE: dict[str, dict[str, tuple[str, ...]]] = {
    "en": {
        "title": ("INVOICE", "Loss and damage invoice", "Invoice"),
        "number": ("Invoice no. {}", "Invoice number: {}", "Invoice # {}", "INVOICE NO: {}"),
        "date": ("Invoice date: {}", "Date: {}", "Dated {}"),
        "due": ("Due date: {}", "Payment due {}"),
        "currency": ("All amounts in {}", "Currency: {}", "Prices in {}"),
    },
    "de": {
        "title": ("RECHNUNG", "Schadensrechnung", "Rechnung"),
        "number": ("Rechnung Nr. {}", "Rechnungsnummer: {}", "Rechnungs-Nr.: {}"),
        "date": ("Rechnungsdatum: {}", "Datum: {}"),
        "due": ("Zahlbar bis {}", "Fällig am {}"),
        "currency": ("Alle Beträge in {}", "Währung: {}"),
    },
    "fr": {
        "title": ("FACTURE", "Facture de dommages"),
        "number": ("Facture n° {}", "Numéro de facture : {}", "FACTURE N° {}"),
        "date": ("Date de facture : {}", "Date : {}"),
        "due": ("Échéance : {}",),
        "currency": ("Montants en {}", "Devise : {}"),
    },
    "es": {
        "title": ("FACTURA", "Factura de daños"),
        "number": ("Factura n.º {}", "Número de factura: {}", "FACTURA N.º {}"),
        "date": ("Fecha de factura: {}", "Fecha: {}"),
        "due": ("Vencimiento: {}",),
        "currency": ("Importes en {}", "Moneda: {}"),
    },
}

AFTER: dict[str, tuple[str, ...]] = {
    "en": (
        "Please pay within 30 days to account 12345678 at Example Bank, sort code 00-00-00.",
        "Interest of 1.5 % a month is charged on overdue amounts. Minimum charge 25.00.",
        "Questions: telephone 555 0100, Monday to Friday 8:00 to 18:00.",
    ),
    "de": (
        "Zahlbar innerhalb von 10 Tagen ohne Abzug auf Konto DE00 0000 0000 0000 0000 00.",
        "Gerichtsstand ist Beispielstadt. USt-IdNr. DE000000000, Steuernummer 12/345/67890.",
        "Rückfragen: Telefon 0555 0100, Montag bis Freitag 8 bis 18 Uhr.",
    ),
    "fr": (
        "Paiement à 30 jours sur le compte FR00 0000 0000 0000 0000 0000 000.",
        "Indemnité forfaitaire pour frais de recouvrement : 40,00 €.",
        "Exemple SARL au capital de 10 000 €, SIRET 000 000 000 00000.",
    ),
    "es": (
        "Pago a 30 días en la cuenta ES00 0000 0000 0000 0000 0000.",
        "Ejemplo S.L., NIF B00000000, inscrita en el registro, tomo 100, folio 20.",
        "Consultas: teléfono 555 0100, de lunes a viernes de 8 a 18 h.",
    ),
}


def _grouped(amount: Decimal, places: int, group: str, sign: str) -> str:
    text = f"{amount:,.{places}f}"
    return text.replace(",", "\0").replace(".", sign).replace("\0", group)


def _lakh(amount: Decimal, places: int) -> str:
    whole, _, decimals = f"{amount:.{places}f}".partition(".")
    head, tail = whole[:-3], whole[-3:]
    groups: list[str] = []
    while len(head) > 2:
        groups.insert(0, head[-2:])
        head = head[:-2]
    if head:
        groups.insert(0, head)
    text = ",".join([*groups, tail])
    return f"{text}.{decimals}" if decimals else text


@dataclasses.dataclass(frozen=True)
class Money:
    """How amounts are written where a house sits."""

    currency: str
    places: int
    language: str
    write: Callable[[Decimal, int], str]
    before: tuple[str, ...] = ("",)
    after: tuple[str, ...] = ("",)
    rates: tuple[str, ...] = ("8.25",)
    comma: bool = False


MONIES = (
    Money("USD", 2, "en", lambda a, p: _grouped(a, p, ",", "."), ("", "$", "$ ", "USD "),
          rates=("8.25", "6", "9.5")),
    Money("USD", 2, "en", lambda a, p: f"{a:.{p}f}", ("", "$"), rates=("7",)),
    Money("GBP", 2, "en", lambda a, p: _grouped(a, p, ",", "."), ("", "£"), rates=("20",)),
    Money("CAD", 2, "en", lambda a, p: _grouped(a, p, ",", "."), ("", "$", "CA$"),
          rates=("5", "13")),
    Money("INR", 2, "en", _lakh, ("", "₹", "INR "), rates=("18",)),
    Money("JPY", 0, "en", lambda a, p: _grouped(a, p, ",", "."), ("", "¥"), rates=("10",)),
    Money("KWD", 3, "en", lambda a, p: _grouped(a, p, ",", "."), ("", "KWD "), rates=("5",)),
    Money("EUR", 2, "de", lambda a, p: _grouped(a, p, ".", ","), after=("", " €", " EUR"),
          rates=("19",), comma=True),
    Money("EUR", 2, "de", lambda a, p: _grouped(a, p, "", ","), after=("", " €"),
          rates=("20",), comma=True),
    Money("CHF", 2, "de", lambda a, p: _grouped(a, p, "'", "."), ("", "CHF "), rates=("8.1",)),
    Money("CHF", 2, "de", lambda a, p: _grouped(a, p, "’", "."), ("", "Fr. "), rates=("8.1",)),
    Money("EUR", 2, "fr", lambda a, p: _grouped(a, p, "\u00a0", ","), after=("", " €"),
          rates=("20", "5.5"), comma=True),
    Money("EUR", 2, "fr", lambda a, p: _grouped(a, p, "\u202f", ","), after=("", "\u00a0€"),
          rates=("20",), comma=True),
    Money("EUR", 2, "es", lambda a, p: _grouped(a, p, ".", ","), after=("", " €", "€"),
          rates=("21",), comma=True),
    Money("MXN", 2, "es", lambda a, p: _grouped(a, p, ",", "."), ("", "$"), rates=("16",)),
)  # fmt: skip
