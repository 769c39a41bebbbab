"""What lists and invoices head their columns with, in English, German, French, Spanish.

Common practice, no source: words met on equipment lists and invoices.  Each label stands
without accents, signs and case, as :func:`plain_label` gives it.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache, lru_cache
from typing import Literal, TypeAlias, get_args

from rapidfuzz import fuzz

from ldapp.language import marked, said

ColumnField: TypeAlias = Literal[
    "line",
    "description",
    "make",
    "model",
    "quantity",
    "serials",
    "asset_tags",
    "category",
    "location",
    "owner",
    "day_rate",
    "replacement_cost",
    "scheduled_value",
    "acquired",
    "age",
    "note",
    "unit_price",
    "amount",
    "kind",
    "days",
    "discount",
    "tax_rate",
    "tax",
    "gross",
]
"""What a column of a list holds."""

_FIELD_WORDS: dict[str, str] = {
    "line": marked("line"),
    "description": marked("description"),
    "make": marked("make"),
    "model": marked("model"),
    "quantity": marked("quantity"),
    "serials": marked("serials"),
    "asset_tags": marked("asset tags"),
    "category": marked("category"),
    "location": marked("location"),
    "owner": marked("owner"),
    "day_rate": marked("day rate"),
    "replacement_cost": marked("replacement cost"),
    "scheduled_value": marked("scheduled value"),
    "acquired": marked("acquired"),
    "age": marked("age"),
    "note": marked("note"),
    "unit_price": marked("unit price"),
    "amount": marked("amount"),
    "kind": marked("kind"),
    "days": marked("days"),
    "discount": marked("discount"),
    "tax_rate": marked("tax rate"),
    "tax": marked("tax"),
    "gross": marked("gross"),
}


def field_words(field: str) -> str:
    """Return what a column holds, in words for a person."""
    return said(_FIELD_WORDS[field])


COLUMN_FIELDS: tuple[ColumnField, ...] = get_args(ColumnField)

KIT_FIELDS: tuple[ColumnField, ...] = (
    "line",
    "description",
    "make",
    "model",
    "quantity",
    "serials",
    "asset_tags",
    "category",
    "location",
    "owner",
    "day_rate",
    "replacement_cost",
    "scheduled_value",
    "acquired",
    "age",
    "note",
)
INVOICE_FIELDS: tuple[ColumnField, ...] = (
    "line",
    "description",
    "quantity",
    "serials",
    "asset_tags",
    "unit_price",
    "amount",
    "kind",
    "days",
    "discount",
    "tax_rate",
    "tax",
    "gross",
    "note",
)

_WORDS: dict[ColumnField, str] = {
    "line": """
        line; line no; line number; ln; no; nr; nro; num; number; #; item no; item number; item
        nr; item #; line #; pos; position; posten; pos nr; zeile; lfd nr; laufende nummer;
        ligne; numero; n; n o; no ligne; poste; repere; linea; partida; no linea; row; ref no; seq
    """,
    "description": """
        description; desc; item; item description; equipment; equipment description; article;
        product; name; item name; details; detail; particulars; goods; gear; line item; kit;
        beschreibung; bezeichnung; artikel; artikelbezeichnung; gerat; gegenstand; leistung;
        geratebezeichnung; produkt; text; designation; libelle; intitule; materiel; equipement;
        articulo; descripcion; equipo; concepto; detalle; producto; denominacion; material;
        service; description of loss; description of item; what; charge; charge description;
        details of charge; description of charge
    """,
    "make": """
        make; manufacturer; brand; maker; hersteller; marke; fabricant; marque; fabricante;
        marca
    """,
    "model": """
        model; type; model no; model number; modell; typ; modele; modelo; tipo; variant
    """,
    "quantity": """
        quantity; qty; qnty; qtty; quant; count; pieces; pcs; units; no of units; qty out;
        quantity out; out; qty shipped; shipped; delivered; qty delivered; sent; issued; pulled;
        qty ordered; ordered; requested; booked; qty missing; qty short; qty billed; qty lost;
        qty charged; billed qty; quantity billed;
        quantity missing; quantity short; short; missing; lost; menge; anzahl; stuck; stk;
        stuckzahl; mge; ausgegeben; anz; fehlmenge; quantite; qte; nombre; nb; nbre; quantites;
        cantidad; cant; unidades; uds; ud; piezas; hours; hrs; qty hours; qty hrs
    """,
    "serials": """
        serial; serials; serial no; serial nos; serial number; serial numbers; serial #; s n;
        sn; sno; ser no; serial numbers s; seriennummer; seriennummern; serien nr; seriennr;
        serie nr; fabriknummer; geratenummer; numero de serie; n de serie; no de serie; no
        serie; serie; n serie; numeros de serie; series;
        serial asset; serial or asset no; serial asset no; serial no asset no; serial asset tag
    """,
    "asset_tags": """
        asset; asset tag; asset tags; asset no; asset number; asset id; tag; barcode; bar code;
        barcodes; inventory no; inventory number; inventory id; inventory tag; unit id; unit no;
        unit number; id tag; inventarnummer; inventarnr; inventar nr; inv nr; strichcode;
        etikett; code barres; numero d inventaire; no inventaire; etiquette; codigo de barras;
        codigo de inventario; numero de inventario; etiqueta
    """,
    "category": """
        category; department; dept; section; group; class; equipment type; kategorie; gruppe;
        warengruppe; abteilung; rubrik; categorie; famille; rubrique; departement; groupe;
        categoria; familia; seccion; departamento; grupo
    """,
    "location": """
        location; loc; truck; cart; case; shelf; bin; where; place; stored; case no; packed in;
        lagerort; ort; standort; wagen; koffer; fach; regal; platz; lkw; emplacement; lieu;
        camion; caisse; flight case; etagere; ubicacion; lugar; camion no; carro; caja; estante;
        maleta
    """,
    "owner": """
        owner; owned by; supplier; sub rental; subrental; sub rented from; subhire; source;
        vendor; house; eigentumer; besitzer; lieferant; vermieter; fremdmiete; proprietaire;
        fournisseur; sous location; loueur; propietario; proveedor; subalquiler; dueno
    """,
    "day_rate": """
        day rate; daily rate; rate; daily; rate per day; day; price per day; rental rate; rental
        price; rental; rate day; day price; unit rate; tagesmiete; tagespreis; tagessatz; miete;
        mietpreis; preis tag; preis pro tag; miete tag; tarif journalier; tarif jour; prix jour;
        prix par jour; location jour; tarif; tarifa diaria; tarifa; precio dia; precio por dia;
        alquiler dia; alquiler
    """,
    "replacement_cost": """
        replacement cost; replacement value; replacement; replacement price; replacement cost
        each; unit replacement; rep value; repl value; rv; value; unit value; value each; cost
        new; new price; list price; retail; purchase price new; insured value; insurance value;
        wiederbeschaffungswert; neuwert; neupreis; wert; wiederbeschaffung; versicherungswert;
        anschaffungswert; listenpreis; valeur; valeur a neuf; prix neuf; valeur de remplacement;
        valeur assuree; valeur unitaire; valor; valor de reposicion; valor de reemplazo; precio
        nuevo; valor asegurado; valor unitario
    """,
    "scheduled_value": """
        scheduled value; agreed value; schedule value; schedule; stated value; vereinbarter
        wert; taxwert; valeur agreee; valeur convenue; valor convenido; valor acordado
    """,
    "acquired": """
        acquired; acquisition date; date acquired; purchase date; purchased; bought; date of
        purchase; in service; in service since; in service date; anschaffungsdatum; kaufdatum;
        angeschafft; anschaffung; gekauft; date d achat; date achat; achete; acquisition; mise
        en service; fecha de compra; fecha de adquisicion; comprado; adquirido
    """,
    "age": """
        age months; age in months; months old; alter monate; alter in monaten; alter monaten;
        age mois; age en mois; edad meses; edad en meses
    """,
    "note": """
        note; notes; remark; remarks; comment; comments; condition; memo; bemerkung;
        bemerkungen; notiz; notizen; anmerkung; anmerkungen; hinweis; zustand; kommentar;
        remarque; remarques; observation; observations; commentaire; etat; nota; notas;
        observacion; observaciones; comentario; comentarios; estado; condition remark; reason
    """,
    "unit_price": """
        unit price; price; unit cost; price each; each; cost; cost each; unit; rate; price
        unit; unit rate; per unit; ea; unit charge; replacement cost; replacement value;
        replacement price; repl cost; value; unit value; value each; list price; retail;
        retail price; new price; price per unit; replacement each; replacement unit; each
        replacement; price each item; day rate; daily rate; rate per day; price per day;
        rate day; price day; hourly rate; rate per hour; rate hour; price hour; tagessatz;
        tagespreis; preis tag; preis pro tag; stundensatz; preis stunde; preis std;
        wiederbeschaffungswert; neuwert; neupreis; prix jour; prix par jour; tarif; tarif
        jour; tarif journalier; taux horaire; prix heure; valeur; valeur unitaire; valeur a
        neuf; valeur de remplacement; tarifa; precio dia; precio por dia; tarifa diaria;
        precio hora; valor; valor de reposicion; einzelpreis; preis pro stuck; preis je
        stuck; stuckpreis netto; stuckpreis; preis; e preis; ep; epreis; einzel; preis
        stuck; netto einzelpreis; einzelpreis netto; prix unitaire; prix; pu; p u; pu ht;
        prix unit; p u ht; prix unitaire ht; precio unitario; precio; p unit; p unitario;
        precio ud; valor unitario
    """,
    "amount": """
        amount; total; line total; extension; extended; ext; ext price; extended price;
        extended amount; extended cost; net; net amount; total price; total cost; sum;
        charge amount; subtotal; line amount; amount due; charge; charges; betrag; gesamt;
        gesamtpreis; summe; netto; nettobetrag; gesamtbetrag; g preis; gp; gesamt netto;
        positionsbetrag; wert; total ht; montant; montant ht; total net; somme; prix total;
        total ligne; importe; total linea; value; line value; total value; loss; valor
        total; valeur totale; gesamtwert; loss amount; credit; credit amount; eur; usd; gbp;
        chf; cad; aud; euro; euros; monto; importe neto; total neto; precio total; suma;
        total excl vat; net total
    """,
    "kind": """
        charge class; class; charge type; type of charge; kind; type; code; reason; reason code;
        charge code; status; art; grund; schadensart; nature; motif; type de frais; motivo;
        clase; tipo de cargo
    """,
    "days": """
        days; no of days; weeks; day count; tage; anzahl tage; jours; nb jours; nombre de jours;
        dias; numero de dias
    """,
    "discount": """
        discount; disc; disc %; discount %; rabatt; nachlass; remise; rabais; descuento; dto
    """,
    "tax_rate": """
        tax rate; vat rate; tax %; vat %; mwst %; ust %; mwst satz; ust satz; steuersatz; steuer
        %; taux tva; tva %; iva %; tipo iva; tipo de iva; gst %
    """,
    "tax": """
        tax; vat; sales tax; tax amount; vat amount; mwst; ust; steuer; umsatzsteuer;
        mehrwertsteuer; tva; montant tva; iva; cuota iva; impuesto; gst; hst; taxable
    """,
    "gross": """
        gross; gross amount; total incl vat; total incl tax; incl vat; amount incl tax; amount
        incl vat; brutto; bruttobetrag; gesamt brutto; ttc; total ttc; montant ttc; total con
        iva; bruto; importe total; total inc vat; inc vat; inc tax; incl tax; inc gst; incl gst;
        inkl mwst; inkl ust; con iva; iva incluido; iva incl; tva incluse; tva comprise;
        importe con iva; betrag inkl mwst; amount inc vat; price inc vat
    """,
}  # fmt: skip

_IGNORED_WORDS = """
    qty in; quantity in; in; returned; qty returned; back; expected; quantity expected; zuruck;
    retour; devuelto; sku; item code; code; product no; product number; part no; part number;
    part nr; ref; reference; referencia; article code; article no; article number; code article;
    codigo; codigo articulo; cod; artikelnr; artnr; bestellnr; uom; u m; um; unit of measure; me;
    einheit; einh; mengeneinheit; unidad; unidades de medida; unite; u; unites; rueckgabe; ruckgabe;
    date of return; check in date; return date; date de retour; fecha devolucion; reported;
    currency; curr; wahrung; devise; moneda; divisa;
    item code; product code; artikelnummer; art nr; artikel nr; weight;
    gewicht; poids; peso; date; datum; fecha; checked; ok; initials; weight kg; page; seite
"""
"""Headings that mean none of the fields, however much they look like one."""

_BRACKETS = re.compile(r"\([^)]*\)|\[[^\]]*\]")
_NOT_LABEL = re.compile(r"[^\w#%]+")
_CURRENCY_WORDS = re.compile(
    r"(?:^| )(?:in )?"
    r"(?:usd|eur|gbp|chf|cad|aud|nzd|sek|nok|dkk|pln|czk|mxn|us|euro|euros|dollars)(?= |$)"
)
_CURRENCY_SIGNS = frozenset("€$£")
_LONGER = re.compile(
    r"(?:^|(?<= ))(?:week\w*|month\w*|woche\w*|monat\w*|semaine\w*|hebdo\w*|mois|mensu\w*|seman\w*|"
    r"mes)(?= |$)"
)
_NUMERO = re.compile(r"\bn o\b")
"""What is left of ``N.º`` and ``n.°``."""
_BESIDE_LABEL = re.compile(
    r"(?: (?:%|stk|st|stuck|ea|each|unit|per unit|ud|u|pce|piece|ht|netto|net|nett|exkl mwst|"
    r"excl (?:vat|tax)|ex (?:vat|tax)|sin iva|hors taxes?))+$"
)
"""Words behind a label that say in which measure it is."""
_LONGEST_LABEL = 40


def plain_label(text: str, *, with_brackets: bool = False) -> str:
    """Return a heading in lower case without accents, signs, brackets and currencies."""
    text = unicodedata.normalize("NFKD", text.casefold().replace("ß", "ss"))
    text = "".join(one for one in text if not unicodedata.combining(one))
    if not with_brackets:
        text = _BRACKETS.sub(" ", text)
    text = re.sub(r"[€$£]", " ", text).replace("_", " ")
    text = " ".join(_NOT_LABEL.sub(" ", text).split())
    text = _NUMERO.sub("no", text)
    without = _CURRENCY_WORDS.sub("", text).strip()
    return without or text


def _split(words: str) -> list[str]:
    return " ".join(words.split()).split("; ")


@cache
def _ignored() -> frozenset[str]:
    return frozenset(_split(_IGNORED_WORDS))


@cache
def _labels() -> dict[str, tuple[tuple[ColumnField, int], ...]]:
    found: dict[str, list[tuple[ColumnField, int]]] = {}
    for field, words in _WORDS.items():
        for place, label in enumerate(_split(words)):
            found.setdefault(label, []).append((field, place))
    return {label: tuple(fields) for label, fields in found.items()}


@lru_cache(maxsize=4096)
def label_fields(text: str) -> dict[ColumnField, float]:
    """Return the fields that a heading can mean, each with how well it fits (0 to 1)."""
    if not text.strip() or len(text) > _LONGEST_LABEL:
        return {}
    if text.strip() in _CURRENCY_SIGNS:
        return {"amount": 0.9}
    found = _fields_of_label(text)
    if "day_rate" in found and _LONGER.search(plain_label(text)):
        del found["day_rate"]  # rent for a week is none for a day
    return found


def _fields_of_label(text: str) -> dict[ColumnField, float]:
    label = plain_label(text)
    labels = _labels()
    if not label or label in _ignored():
        return {}
    found: dict[ColumnField, float] = {}

    def note(field: ColumnField, fit: float) -> None:
        found[field] = max(found.get(field, 0.0), fit)

    whole = plain_label(text, with_brackets=True)
    for field, place in labels.get(whole, labels.get(label, ())):
        # Words that stand first mean the field for certain, later ones only in their context.
        note(field, 1.0 - min(place, 80) * 0.001)
    if found:
        return found
    plainer = _BESIDE_LABEL.sub("", label).strip()
    for field, place in labels.get(plainer, ()) if plainer != label else ():
        note(field, 0.95 - min(place, 80) * 0.0005)
    if found:
        return found
    words = label.split()
    for known, fields in labels.items():
        parts = known.split()
        if len(words) > len(parts) and len(known) > 2:
            inside = (
                words[: len(parts)] == parts
                or words[-len(parts) :] == parts
                or (len(parts) > 1 and f" {known} " in f" {label} ")
            )
            if inside and len(words) - len(parts) <= 3:
                for field, _ in fields:
                    note(field, 0.7 + 0.05 * len(parts) - 0.04 * (len(words) - len(parts)))
        elif len(known) >= 5 and fuzz.ratio(known, label) >= 88:
            for field, _ in fields:
                note(field, 0.7)
    return found


def label_certainty(text: str) -> float:
    """Return how surely a text is a heading at all, one that means no field included."""
    if text.strip() and plain_label(text) in _ignored():
        return 1.0
    return max(label_fields(text).values(), default=0.0)
