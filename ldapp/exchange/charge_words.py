"""What the words of an invoice's line say it is: a charge and its kind, or a sum.

Common practice, no source: words met on loss-and-damage invoices, in English, German,
French and Spanish.
"""

from __future__ import annotations

import re
from typing import Literal, TypeAlias

from babel.numbers import list_currencies

from ldapp.claim.charges import ChargeKind
from ldapp.exchange.column_words import plain_label
from ldapp.exchange.number_text import read_amount


def _joined(words: str) -> str:
    return "".join(line.strip() for line in words.splitlines())


_KIND_WORDS: dict[ChargeKind, str] = {
    "credit": r"""
        credit\w*|refund\w*|gutschrift\w*|erstattung|avoir|abono|deposit applied|less deposit|
        kaution verrechnet|discount|rabatt|remise|descuento|kulanz|rent credit
    """,
    "loss_of_use": r"""
        loss of use|loss of rental|lost rental|continu\w+ rent\w*|extended rental|
        rental during repair|down ?time|nutzungsausfall\w*|mietausfall\w*|ausfallmiete|
        perte d usage|perte d exploitation|perte de location|immobilisation|lucro cesante|
        perdida de uso|perdida de alquiler
    """,
    "interest": r"""
        interest|zinsen|verzugszinsen|interets|intereses|finance charge
    """,
    "tax": r"""
        sales tax|vat|use tax|mwst|ust|umsatzsteuer|mehrwertsteuer|tva|iva|gst|hst
    """,
    "freight": r"""
        freight|shipping(?! (?:note|case|label))|courier|carriage|
        (?<!missing )delivery(?! (?:ticket|note|slip|receipt|day|date))|postage|
        fracht\w*|versand(?!koffer|schein)\w*|transport(?!koffer|kiste|case)\w*|
        porto|envio|(?<!bon de )(?<!date de )livraison|expedition|flete|portes
    """,
    "administration": r"""
        admin\w*|processing|handling|bearbeitung\w*|verwaltung\w*|frais de dossier|
        frais administratifs|gestion|frais de gestion|gastos administrativos|tramitacion
    """,
    "sub_rental": r"""
        sub ?rental|subrental|sub ?hire|cross ?hire|pass through|fremdmiete|sous location|
        subalquiler
    """,
    "repack": r"""
        re ?pack\w*|re ?case\w*|umpack\w*|neu ?verpack\w*|reconditionnement|reembala\w*
    """,
    "cleaning": r"""
        clean\w*|reinigung\w*|saubern|nettoyage\w*|limpieza\w*
    """,
    "repair_labour": r"""
        labou?r|technician\w*|bench time|workshop hours?|shop time|arbeitszeit\w*|arbeitslohn|
        arbeitsstunden?|main d oeuvre|main d œuvre|mano de obra
    """,
    "missing": r"""
        missing|lost|loss|not returned|never returned|unreturned|short|shortage|fehlend\w*|fehlt|
        fehlmenge\w*|verlust\w*|verloren|nicht zuruck\w*|manquant\w*|perdu\w*|perte|non rendu\w*|
        non restitue\w*|faltante\w*|falta|perdid\w*|extraviad\w*|no devuelt\w*
    """,
    "lamp": r"""
        (?:burn ?out|burnt out|blown) \w+|bulbs?|globes?|lamps?(?! heads?| stands?)|leuchtmittel|
        brenner|gluhlampe\w*|ampoules?|bombillas?
    """,
    "repair_parts": r"""
        spare parts?|parts|ersatzteil\w*|pieces detachees|repuestos?|recambios?
    """,
    "repair": r"""
        repair\w*|damage\w*|broken|bent|torn|cracked|dented|reparatur\w*|instandsetzung|
        schaden\w*|beschadig\w*|defekt\w*|reparation\w*|endommag\w*|casse\w*|dommages?|
        reparacion\w*|danad\w*|danos?|rot[oa]s?|averia\w*
    """,
    "replacement": r"""
        replace\w*|replacement\w*|total loss|ersatz\w*|wiederbeschaffung\w*|totalschaden|
        remplace\w*|reemplazo\w*|reposicion\w*|siniestro total
    """,
    "fee": r"""
        fees?|charges?|surcharge|restocking|minimum charge|gebuhr\w*|pauschale|aufschlag|frais|
        forfait|supplement|cargo|recargo|tasa
    """,
}
_KINDS = tuple(
    (kind, re.compile(rf"(?<!\w)(?:{_joined(words)})(?!\w)")) for kind, words in _KIND_WORDS.items()
)


_HIRE = re.compile(
    r"(?<!\w)(?:rentals?|hire|rental charges|(?:gerate|sach|zusatz|nach|langzeit)?miet\w*|verleih|"
    r"location|alquiler\w*|misc\w*|sundr\w+|other|sonstige\w*|divers\w*|varios|otros)(?!\w)"
)


def _plain(text: str) -> str:
    return plain_label(text.replace("’", " ").replace("'", " "), with_brackets=True)


def kind_in_words(text: str) -> ChargeKind | None:
    """Return the kind of charge that a text speaks of; None where it says nothing."""
    plain = _plain(text)
    for kind, pattern in _KINDS:
        if pattern.search(plain):
            return kind
    return None


_TAKEN_OFF = re.compile(
    r"(?:less|minus|abzgl|abzuglich|moins|menos|deduction)(?!\w).*|"
    r"(?:.* )?(?:discount|rabatt|nachlass|remise|descuento|credit|gutschrift|avoir|abono)(?: .*)?"
)


def is_taken_off(text: str) -> bool:
    """Return whether a label such as ``Less 10 % discount`` means that its figure is taken off."""
    return _TAKEN_OFF.fullmatch(_plain(text)) is not None


def is_plain_hire(text: str) -> bool:
    """Return whether the heading of a section is that of rent, or of what is not named."""
    return bool(_HIRE.search(_plain(text)))


_HOURS = re.compile(r"(?:hours?|hrs?|(?:arbeits)?stunden|std|heures?|horas?)(?: .*)?")


def counts_hours(heading: str) -> bool:
    """Return whether a column of quantities holds hours, as those of labour do."""
    return _HOURS.fullmatch(_plain(heading)) is not None


_REMARK = re.compile(
    r"(?:as|from|with|without|two|three|see|due|per|found|was|were|laut|wie|mit|ohne|aus|siehe|zwei|"
    r"drei|gemass|selon|comme|avec|sans|voir|deux|trois|segun|como|con|sin|ver|dos|tres)(?!\w).*"
)


def is_remark(text: str) -> bool:
    """Return whether a text such as ``as listed on the ticket`` is said of a line above it."""
    return _REMARK.fullmatch(_plain(text)) is not None


_TITLE_NOUNS = re.compile(
    r"items?|equipment|gear|pieces|units|charges|costs|goods|kit|teile?|gerate|positionen|artikel|"
    r"kosten|material|equipos?|articulos|piezas|cargos|gastos|materiel|equipements?|articles|frais|"
    r"grip|electric|camera|lighting|sound|lens(?:es)?|department|licht|kamera|buhne|ton|lumiere|"
    r"machinerie|eclairage|iluminacion|maquinaria|sonido|accessories|zubehor|accessoires|accesorios"
)
_TITLE_WORDS = re.compile(
    r"of|and|the|section|part|und|der|die|den|de|del|des|du|la|le|les|el|los|las|et|y|[a-z]|\d{1,2}"
)
_LONE_TITLES = re.compile(
    r"repairs|damages?|rentals?|hire|losses|lost|missing|labou?r|freight|fees|verlust\w*|fehlmengen|"
    r"fehlteile|fehlende|schaden|reparaturen|miete|geratemiete|gebuhren|manquants|pertes|"
    r"reparations|location|faltantes|perdidas|reparaciones|alquiler|danos|mietpositionen"
)


def is_section_title(text: str) -> bool:
    """Return whether a text is the heading of a section of charges, and no part of a line."""
    words = _plain(text).split()
    while words and re.fullmatch(r"[a-z]|\d{1,2}", words[0]):
        del words[0]  # A. Missing items
    if not words or len(words) > 5:
        return False
    if len(words) == 1:
        return bool(_LONE_TITLES.fullmatch(words[0]))
    named = [word for word in words if kind_in_words(word) is not None or _HIRE.fullmatch(word)]
    return (
        bool(named)
        and not _TITLE_WORDS.fullmatch(words[-1])
        and any(_TITLE_NOUNS.fullmatch(word) or _LONE_TITLES.fullmatch(word) for word in words)
        and all(
            word in named or _TITLE_NOUNS.fullmatch(word) or _TITLE_WORDS.fullmatch(word)
            for word in words
        )
    )


SumKind: TypeAlias = Literal[
    "sub_total", "net", "tax", "gross", "balance", "payment", "carried", "rounding"
]
"""What a row that is no charge adds up: ``carried`` repeats a sum on the next page."""

_SUM_WORDS: dict[SumKind, str] = {
    "carried": r"""
        (?:carried|brought) (?:forward|over)|balance (?:carried|brought) forward|
        page (?:sub ?)?total|continued(?: on (?:next )?page \d*)?|ubertrag|seitensumme|
        ubertrag (?:von|auf|nach|aus)(?: der)?(?: letzten| vorigen| nachsten)? seite|
        a reporter|reports? (?:a nouveau|de (?:la )?page)(?: \d+)?|total page|
        suma y sigue|suma anterior|total pagina
    """,
    "rounding": r"""
        rounding(?: (?:difference|adjustment))?|rundung\w*|arrondi\w*|redondeo|
        ajuste por redondeo
    """,
    "payment": r"""
        (?:less )?(?:amount )?(?:already )?(?:deposit|payments?|prepayment|paid)(?: (?:applied|
        received|held|to date|made))?|
        (?:abzuglich |geleistete )?(?:anzahlung(?:en)?|kaution|zahlung(?:en)?)|
        acomptes?(?: verses?)?|deja regle|anticipos?(?: recibidos?)?|deposito|pagos?(?: a cuenta)?
    """,
    "balance": r"""
        balance(?: (?:due|owing|payable))?|open balance|restbetrag|offener betrag|
        solde(?: a payer| du)?|reste a payer|saldo|(?:saldo )?pendiente(?: de pago)?
    """,
    "gross": r"""
        gutschrift(?:s?betrag|ssumme)|gesamtgutschrift|
        (?:grand |invoice )?totals?(?: amount)?(?: (?:due|payable|to pay|now due))?|amount (?:due|
        payable)|total (?:charges?|invoice|loss and damage|l ?d(?: charges?)?|
        in[ck]l\w*(?: of)?(?: sales)?(?: (?:vat|tax|gst|mwst|ust))?|inc(?: vat| tax)?|gross|ttc|
        credit(?:ed|s| amount| note)?|refund(?: due)?|avoir|abono|con iva|
        iva incluido|a pagar|(?:de la )?factura|general|a payer|including (?:sales )?(?:vat|tax))|
        gross(?: total| amount)?|(?:gesamt|rechnungs|end|brutto|zahl)(?:betrag|
        summe)(?: brutto| inkl mwst| inkl ust)?|gesamt|summe brutto|gesamt brutto|brutto|
        summe inkl mwst|zu zahlen(?:der betrag)?|(?:montant )?(?:total )?ttc|net a payer|
        montant total(?: ttc)?|montant du|importe total|total importe|bruto|summe
    """,
    "net": r"""
        (?:net|netto)(?: (?:total|amount|sum|betrag|summe|gesamt))?|total (?:net|before tax|
        e(?:xcl|xkl)\w*(?: (?:vat|tax|gst|mwst|ust))?|ohne (?:mwst|ust)|ex (?:vat|tax)|ht|
        hors taxes?|sin iva|nett?o)|
        taxable(?: amount)?|amount before tax|netto(?:betrag|summe)|summe netto|gesamt netto|
        (?:montant |sous )?(?:total )?ht|total net ht|base imponible|neto|importe neto|net total
    """,
    "sub_total": r"""
        sub ?totals?(?: .{0,40})?|sub total.{0,40}|zwischensumme.{0,40}|sous totals?.{0,40}|
        total (?:missing|damaged|damages?|repairs?|lost|losses|labou?r|parts|fees|equipment|items|
        section|for|of|de|des|page).{0,40}|suma parcial.{0,40}|summe (?:fehl|repar|scha).{0,40}
    """,
    "tax": r"""
        (?:plus |add |zzgl |zuzuglich |darin enthaltene |darin enthalten |enthaltene |inkl |
        incl(?:uded|udes|uding)? |dont |of which |thereof |davon |includes |
        including )?(?:(?:state |city |county |local |combined )*sales tax|use tax|tax|taxes|vat|
        gst|hst|pst|(?:ges |gesetzl |gesetzliche )?(?:mwst|ust|umsatzsteuer|mehrwertsteuer)|tva|
        iva|impuestos?|steuern?|taxe)(?: (?:amount|total|included|enthalten|betrag|incluido|
        incluse|incluida|at|de|of|due|payable|rate|inclus|(?:on|auf|sur|sobre)(?: .{0,30})?))*
    """,
}
_SUMS = tuple((kind, re.compile(_joined(words))) for kind, words in _SUM_WORDS.items())
_CODES = (
    "|".join(sorted(list_currencies()))
    + r"|[A-Z]{1,3}[$]|Fr\.?|SFr\.?|kr\.?|Rs\.?|zł|Kč|Ft|lei|R[$]?"
)
_FIGURES = re.compile(
    rf"(?<!\w)(?:(?:{_CODES})[\s\u00a0]*)?[$€£¥₹₽₩₺₫฿₪]?[\s\u00a0]?[-–−+(]{{0,2}}[$€£¥₹]?"
    rf"\d[\d.,'’ \u00a0\u202f]*[-–−]?%?\)?"
    rf"(?:[\s\u00a0]*(?:{_CODES}|[$€£¥₹₽₩₺₫฿₪]|CR|Cr)(?!\w))?\)?(?!\w)|%"
)


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


_TAX_WORDS = _words(
    """
    tax taxes vat gst hst pst qst mwst ust umsatzsteuer mehrwertsteuer steuer steuern tva iva taxe
    impuesto impuestos igic moms btw
    """
)
_BESIDE_TAX = _words(
    """
    sales use state city county local combined plus add zzgl zuzuglich gesetzl gesetzliche
    gesetzlich ges der die das darin enthalten enthaltene enthaltener inkl incl included includes
    including inclusive dont of which thereof davon amount total totals betrag summe montant
    cuota importe at de la le du a al en on auf von the due payable rate satz tipo taux incluido
    incluida incluse inclus reduced ermassigt ermassigter reduite reduit reducido normal standard
    general und et y and no nr id reverse charge federal provincial in usd eur gbp chf
    """
)
_INCLUDED = re.compile(
    r"(?<!\w)(?:incl\w*|inkl\w*|darin|enthalten\w*|dont|of which|thereof|davon|incluid\w*|"
    r"inclus\w*|includes?)(?!\w)"
)
_SPELLED = re.compile(r"(?<!\w)(?:\w ){1,4}\w(?!\w)")


def _sum_label(text: str) -> str:
    label = plain_label(_FIGURES.sub(" ", text), with_brackets=True).replace("%", " ")
    label = " ".join(label.split())
    # I.V.A. and T.V.A. are words spelled out.
    return _SPELLED.sub(lambda found: found[0].replace(" ", ""), label)


def sum_in_words(text: str) -> SumKind | None:
    """Return which sum a row is by its words; None where it is none."""
    label = _sum_label(text)
    if not label:
        return None
    if text.strip().startswith("Report") and label == "report":
        return "carried"  # French; in lower case it is the end of an English line
    for kind, pattern in _SUMS:
        if pattern.fullmatch(label):
            return kind
    words = label.split()
    if any(word in _TAX_WORDS for word in words) and all(
        word in _TAX_WORDS or word in _BESIDE_TAX for word in words
    ):
        return "tax"
    return None


def label_and_figure(text: str) -> tuple[str, str] | None:
    """Return the label and the figure of a text such as ``Total: 617.00 EUR``; None without."""
    for cut in re.finditer(r"\s+", text):
        label, figure = text[: cut.start()], text[cut.end() :]
        if read_amount(figure) is not None and sum_in_words(label) is not None:
            return label, figure
    return None


def says_included(text: str) -> bool:
    """Return whether a tax row says that the prices already hold the tax."""
    return bool(_INCLUDED.search(plain_label(text, with_brackets=True)))


_TOTAL_OF = re.compile(
    r"(?:sub-?\s?totals?|totals?|summe|zwischensumme|sous-total|somme|suma)(?!\w)"
    r"(?!\s+(?:loss|damage)\b)[^,;]{0,50}$",
    re.IGNORECASE,
)
"""A label such as ``Total missing equipment``, which no list of words has in full."""
_SUM_OF = re.compile(r"[^,;\d]{1,40}\s(?:sub-?\s?total|total|summe|gesamt)\s*:?", re.IGNORECASE)
"""A label such as ``Labour total``."""


def is_total_of_section(label: str) -> bool:
    """Return whether a label is that of a section's sum, in words of its own."""
    return bool(_TOTAL_OF.match(label) or _SUM_OF.fullmatch(label))
