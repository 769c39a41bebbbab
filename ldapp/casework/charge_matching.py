"""Which kit line a charge is for: by serial number, else by the words of both.

A rental company words its invoice otherwise than its list.  Words are compared without
what says only what happened (``Missing:``), with sizes set apart: a stand of 40 in is no
stand of 20 in, however alike the rest is.  What two lines fit equally well is left open.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections import Counter
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from rapidfuzz import fuzz

from ldapp.claim.charges import Charge, ChargeKind
from ldapp.claim.claim import Claim
from ldapp.claim.findings import Finding
from ldapp.claim.kit import KitLine
from ldapp.language import said


class Match(NamedTuple):
    """A proposed link from a charge to what it charges for, and why."""

    charge: str
    line: str
    finding: str | None
    reason: str
    likeness: int
    """0 to 100."""


_WITHOUT_LINE = frozenset(
    {"tax", "fee", "administration", "freight", "credit", "interest", "difference_in_addition"}
)
_LIKE_ENOUGH = 60
"""Below this likeness of words a match would be a guess."""
_TOO_CLOSE = 4
"""Lines that are alike within this many points are not told apart by words."""
_SHORTEST_SERIAL = 4
_ALIKE = 84
"""From this likeness on two words are one, misspelled or in another number."""

_WORDS_OF_ACTS = """
    missing lost loss not returned unreturned short shortage damaged damage broken bent torn
    cracked repair repairs repaired replacement replace cleaning clean labour labor technician
    time use rental charge for of the a an and with in to by from per as on x ea pcs each unit
    units qty item items see no fehlt fehlend verlust nicht zuruckgegeben beschadigt reparatur
    ersatz reinigung arbeitszeit nutzungsausfall mietausfall mit und von fur der die das
    manquant manquante perte perdu non rendu endommage reparation remplacement nettoyage de la le
    les du des et avec pour d l falta perdido perdida devuelto danado reparacion reposicion
    limpieza del el los las y con para por
    """
_ACTS = frozenset(_WORDS_OF_ACTS.split())
_SAME = {
    "inch": "in", "inches": "in", "zoll": "in", "pouce": "in", "pouces": "in", "pulgadas": "in",
    "feet": "ft", "foot": "ft", "pfund": "lb", "lbs": "lb", "pound": "lb", "pounds": "lb",
    "watt": "w", "watts": "w", "century": "c", "barndoor": "barndoor", "barndoors": "barndoor",
    "sandbags": "sandbag", "extension": "stinger", "cord": "stinger", "cords": "stinger",
    "head": "head", "fixture": "head", "radio": "walkie", "panneau": "panel", "batt": "battery",
}  # fmt: skip
"""Words that mean the same on lists and invoices.  Common practice, no source."""
_JOINED = (("barn door", "barndoor"), ("sand bag", "sandbag"), ("apple box", "applebox"),
           ("c stand", "cstand"), ("century stand", "cstand"), ("follow focus", "followfocus"),
           ("matte box", "mattebox"))  # fmt: skip
_MEASURES = frozenset({"in", "ft", "lb", "kw", "w", "mm", "m", "cm", "kg", "wh", "t"})
_SIZE = re.compile(r"\d+(?:[.,/×]\d+)*")


def _in_kilowatts(found: re.Match[str]) -> str:
    """Write 1200 W as 1.2 kW, as lists do."""
    return f"{int(found[1]) / 10:g} kw" if int(found[1]) >= 10 else found[0]


@lru_cache(maxsize=50_000)
def _words(text: str) -> tuple[str, ...]:
    """Return the words that say what a thing is, without accents, endings and acts."""
    plain = unicodedata.normalize("NFKD", text.casefold().replace("ß", "ss"))
    plain = "".join(one for one in plain if not unicodedata.combining(one))
    plain = re.sub(r"(?<=\d)\s*[\"”″]", " in ", plain)
    plain = re.sub(r"(?<=\d)\s*['’′]", " ft ", plain)
    plain = re.sub(r"(?<=\d)\s*[x×]\s*(?=\d)", "×", plain)
    plain = re.sub(r"(?<=\d)(?=[a-z])|(?<=[a-z])(?=\d)", " ", plain)
    plain = re.sub(r"\b(\d+)00 w(?:atts?)?\b", _in_kilowatts, plain)
    plain = re.sub(r"(?<=\d) k\b", " kw", plain)
    plain = " ".join(re.findall(rf"{_SIZE.pattern}|[^\W\d_]+", plain))
    for apart, joined in _JOINED:
        plain = re.sub(rf"\b{apart}s?\b", joined, plain)
    words = []
    for word in plain.split():
        known = _SAME.get(word, word)
        if known not in _ACTS:
            words.append(known.removesuffix("s") if len(known) > 3 else known)
    return tuple(words)


class _Likeness:
    """Compares words, those that few lines of the list have counting more."""

    def __init__(self, lines: Sequence[KitLine]) -> None:
        seen = Counter(word for line in lines for word in set(_words(line.description)))
        self._many = len(lines)
        self._seen = seen

    def _weight(self, word: str) -> float:
        weight = 1.0 + math.log((1 + self._many) / (1 + self._seen.get(word, 0)))
        return weight * (0.8 if len(word) == 1 else 1.0)

    def of(self, charged: str, listed: str) -> float:
        """Return how alike two descriptions are, 0 to 100."""
        theirs, ours = _words(charged), _words(listed)
        if not theirs or not ours:
            return 0.0
        listed_sizes = {word for word in ours if _SIZE.fullmatch(word)}
        charged_sizes = {word for word in theirs if _SIZE.fullmatch(word)}
        unsaid = 1.0
        if listed_sizes and not charged_sizes:
            # The size is not said: the rest may tell, where no other line has the same words.
            rest = tuple(word for word in ours if word not in listed_sizes | _MEASURES)
            ours, unsaid = rest or ours, 0.85
        ours_held = unsaid * self._held(ours, theirs)
        theirs_held = self._held(theirs, ours)
        likeness = 75 * ours_held + 25 * theirs_held
        if listed_sizes and charged_sizes and not listed_sizes & charged_sizes:
            likeness *= 0.6  # another size is another thing
        elif listed_sizes - charged_sizes and charged_sizes - listed_sizes:
            likeness *= 0.85
        return likeness

    def _held(self, words: Sequence[str], among: Sequence[str]) -> float:
        total = sum(map(self._weight, words))
        held = sum(self._weight(word) for word in words if _is_among(word, among))
        return held / total


def _is_among(word: str, words: Sequence[str]) -> bool:
    if word in words:
        return True
    if _SIZE.fullmatch(word) or len(word) < 4:
        return False
    return any(
        len(other) >= 4 and (fuzz.ratio(word, other) >= _ALIKE or (len(word) > 5 and word in other))
        for other in words
    )


def kind_for(charge: Charge, finding: Finding | None) -> ChargeKind:
    """Return the kind of a charge once it is known what it charges for.

    What an invoice does not call by a word for loss is a charge for missing units where the
    finding says that they are missing; a kind that is known stays.
    """
    lost = finding is not None and finding.kind in ("missing", "short_at_pickup")
    return "missing" if charge.kind == "other" and lost else charge.kind


def propose_matches(claim: Claim) -> tuple[Match, ...]:
    """Propose a kit line and a finding for each charge that has none, with the reason."""
    findings: dict[str, list[Finding]] = {}
    for finding in claim.findings:
        findings.setdefault(finding.line, []).append(finding)
    matches = []
    for invoice in claim.invoices:
        lines = [line for line in claim.kit if line.agreement == invoice.agreement]
        compare = _Likeness(lines)
        for charge in invoice.charges:
            if charge.line is None and charge.kind not in _WITHOUT_LINE:
                match = _by_serial(charge, lines, findings) or _by_words(
                    charge, lines, findings, compare
                )
                if match is not None:
                    matches.append(match)
    return tuple(matches)


def _by_serial(
    charge: Charge, lines: Sequence[KitLine], findings: dict[str, list[Finding]]
) -> Match | None:
    text = f"{charge.description} {charge.note}".casefold()
    for line in lines:
        for serial in (*line.serials, *line.asset_tags):
            if len(serial) < _SHORTEST_SERIAL or serial.casefold() not in text:
                continue
            if re.search(rf"(?<!\w){re.escape(serial.casefold())}(?!\w)", text):
                return Match(
                    charge.id,
                    line.id,
                    _finding_for(charge, findings.get(line.id, [])),
                    said(
                        "names {serial}, a number of line {number}",
                        serial=serial,
                        number=line.number,
                    ),
                    100,
                )
    return None


def _by_words(
    charge: Charge,
    lines: Sequence[KitLine],
    findings: dict[str, list[Finding]],
    compare: _Likeness,
) -> Match | None:
    scored = sorted(
        ((compare.of(charge.description, line.description), line) for line in lines),
        key=lambda one: -one[0],
    )
    if not scored or scored[0][0] < _LIKE_ENOUGH:
        return None
    close = [(likeness, line) for likeness, line in scored if likeness > scored[0][0] - _TOO_CLOSE]
    likeness, line = close[0]
    why = None
    if len(close) > 1:
        chosen = _told_apart(charge, [line for _, line in close], findings)
        if chosen is None:
            return None
        line, why = chosen
        likeness = next(score for score, one in close if one is line)
    return Match(
        charge.id,
        line.id,
        _finding_for(charge, findings.get(line.id, [])),
        said(
            "worded like line {number} “{description}” ({likeness} % alike)",
            number=line.number,
            description=line.description,
            likeness=f"{likeness:.0f}",
        )
        + (f"; {why}" if why else ""),
        round(likeness),
    )


def _told_apart(
    charge: Charge, lines: Sequence[KitLine], findings: dict[str, list[Finding]]
) -> tuple[KitLine, str] | None:
    """Choose among lines that are worded alike by what else is known; None where nothing is."""
    found = [line for line in lines if _finding_for(charge, findings.get(line.id, []))]
    if len(found) == 1:
        return found[0], said("of the lines worded alike only this one has a finding")
    among = found or lines
    priced = [
        line
        for line in among
        if charge.unit_price is not None
        and charge.unit_price in {line.replacement_cost, line.scheduled_value, line.day_rate}
    ]
    if len(priced) == 1:
        return priced[0], said("of the lines worded alike only this one has its price")
    same = {line.description.casefold() for line in lines}
    if len(same) == 1 and not found:
        return lines[0], said("{number} lines have these words", number=len(lines))
    return None


def _finding_for(charge: Charge, findings: list[Finding]) -> str | None:
    repair = charge.kind in ("repair", "repair_labour", "repair_parts", "cleaning")
    wanted = ("damaged",) if repair else ("missing", "short_at_pickup", "exchanged", "damaged")
    for kind in wanted:
        for finding in findings:
            if finding.kind == kind:
                return finding.id
    return None
