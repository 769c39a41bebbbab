"""A claim that is as unpleasant as claims get, in any size.

``python -m tests.dossier.monster_claim FOLDER`` writes its dossiers in full size: 300
findings, 500 photos, 40 exhibits, with the time that each took; to be looked at.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import io
import random
import sys
import time
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path

from PIL import Image

from ldapp.claim.agreement import Policy
from ldapp.claim.charges import Charge, GroundChoice, Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, CountEntry, Movement
from ldapp.claim.documents import Document
from ldapp.claim.findings import Finding, Occurrence
from ldapp.claim.kit import KitLine
from ldapp.claim.parties import Party
from ldapp.claim.photo_facts import PhotoFacts, PhotoVerdict, Reason
from ldapp.claim.photos import Marking, Pairing, Photo
from ldapp.claim.policy import Deductible, PolicyLimit
from ldapp.dossier.request import CompletenessLine, DossierRequest, JournalLine, WeakPoint
from ldapp.dossier.write import write_dossier
from ldapp.reckoning.engine import reckon
from tests.dossier.small_claim import FolderOfOriginals, at, paper_bytes, small_claim

DAY = dt.date(2026, 3, 20)

NAMES = (
    "حامل ثلاثي القوائم 40 بوصة، مع رأس (2 × 1.5 m)",
    "प्रकाश स्टैंड, क्रोम, ४० इंच",
    "灯架与旗板、四十英寸，带抓头",
    "Βάση φωτιστικού με βραχίονα",
    "Å̂rm mit Gëlenk, Stativ für Zöe\u0301 N\u0303uñez",
    "מעמד תאורה 40 אינץ׳ (שחור)",
    "Стойка осветительная, хром",
    "ขาตั้งไฟ ๔๐ นิ้ว",
    '<b>Flag</b> & "cutter" <a href="file:///etc/passwd">24×36</a>',
    "=SUM(A1:A9) %s {0} ${HOME} \\\\share\\x ../../etc",
    "Stand\x00with\x07controls\u202eesrever\u202c and\u200bzero width",
    "조명 스탠드 40인치",
    "Stinger-" + "0123456789" * 12,
    "Fresnel head 1 kW, with barn doors, scrims and stand",
)
"""What kit is called: scripts of all kinds, and text that would like to be something else."""

_SENTENCE = (
    "The unit stood on the left of the stage behind the cyclorama, was seen there by two people "
    "at wrap, and was not on the cart when the truck was loaded the next morning. "
)
ODD_SIZES = ((595, 842), (842, 595), (1224, 792), (200, 900), (900, 200), (420, 595), (2384, 3370))
"""Page sizes of exhibits in points: A4 both ways, ledger, slips, A5, A0."""


def long_words(number: int, characters: int) -> str:
    """Return a description of so many characters that differs for each number."""
    text = f"Remark {number}: " + _SENTENCE * (characters // len(_SENTENCE) + 1)
    return text[:characters]


def monster_claim(
    originals: FolderOfOriginals,
    *,
    findings: int = 300,
    photos: int = 500,
    exhibits: int = 40,
    characters: int = 2000,
    currency: str = "USD",
) -> Claim:
    """Return the claim; its photos and papers are put into ``originals``."""
    small = small_claim(originals)
    whole = currency == "JPY"
    kit = tuple(_line(number, whole=whole) for number in range(1, findings + 1))
    documents = (*small.documents, *(_paper(originals, number) for number in range(exhibits - 4)))
    return dataclasses.replace(
        small,
        id="monster",
        currency=currency,
        title="Ο Ήσυχος Λιμένας · الميناء الهادئ · 静かな港 · शांत बंदरगाह",
        parties=tuple(_renamed(one) for one in small.parties),
        policy=_insured(small.policy),
        kit=kit,
        counts=tuple(_counted(one, kit) for one in small.counts),
        movements=tuple(
            Movement(
                id=f"m{number}",
                kind="added",
                line=line.id,
                quantity=0,
                at=at(5, 11, number),
                ticket=f"Ticket {NAMES[number]}"[:60],
            )
            for number, line in enumerate(kit[:8])
        ),
        occurrences=(
            small.occurrences[0],
            *(
                Occurrence(
                    id=f"o{number}",
                    title=f"{NAMES[number % len(NAMES)]}, event {number}",
                    cause="theft_from_vehicle" if number % 2 else "drop_or_impact",
                    at=at(3 + number, 4, 10),
                    place=NAMES[(number + 3) % len(NAMES)],
                    narrative=long_words(number, characters),
                    police_report=f"PR-{number}",
                )
                for number in range(2, 6)
            ),
        ),
        findings=tuple(
            Finding(
                id=f"f{number}",
                line=line.id,
                kind="missing",
                quantity=1 + number % 3,
                occurrence=None if number % 4 == 0 else f"o{1 + number % 5}",
                narrative=long_words(number, characters if number % 6 == 0 else 160),
            )
            for number, line in enumerate(kit, 1)
        ),
        invoices=_invoices(small.invoices[0], kit, characters, whole=whole),
        photos=_photos(originals, photos, kit),
        documents=documents,
    )


def _insured(policy: Policy | None) -> Policy:
    assert policy is not None
    terms = dataclasses.replace(
        policy.terms,
        limit=PolicyLimit(amount=Decimal(99_999_999)),
        deductibles=(Deductible(form="flat", amount=Decimal(2500)),),
    )
    return dataclasses.replace(policy, terms=terms)


def _renamed(party: Party) -> Party:
    names = {
        "we": "Παραγωγή Φάρος & Υἱοί / إنتاج الفنار",
        "house": "北方器材租赁 · North Yard Rentals · उत्तर यार्ड",
        "insurer": "Harbour Mutual — Gegenseitigkeit e\u0301t Cie",
    }
    return dataclasses.replace(party, name=names.get(party.id, party.name))


def _line(number: int, *, whole: bool) -> KitLine:
    price = Decimal("99999999.99") if number == 7 else Decimal(number * 137) + Decimal("0.45")
    return KitLine(
        id=f"l{number}",
        number=str(number * 10),
        agreement="a1",
        description=NAMES[number % len(NAMES)],
        quantity=6 + number % 9,
        serials=tuple(f"S{number}-{one}" for one in range(number % 4)),
        kind="grip",
        location=NAMES[(number // 20) % len(NAMES)],
        replacement_cost=price.to_integral_value() if whole else price,
        acquired=dt.date(2020 + number % 6, 1 + number % 12, 3),
        day_rate=Decimal(number % 40),
    )


def _counted(count: Count, kit: Sequence[KitLine]) -> Count:
    lost = count.stage in ("return", "check_in")
    return dataclasses.replace(
        count,
        place=NAMES[0] if count.stage == "pickup" else count.place,
        entries=tuple(
            CountEntry(
                line=line.id,
                quantity=line.quantity - (1 + number % 3 if lost else 0),
                condition="as_sent_out",
                note=NAMES[number % len(NAMES)] if number % 5 == 0 else "",
            )
            for number, line in enumerate(kit, 1)
        ),
    )


def _invoices(
    like: Invoice, kit: Sequence[KitLine], characters: int, *, whole: bool
) -> tuple[Invoice, ...]:
    charges = []
    for number, line in enumerate(kit, 1):
        price = line.replacement_cost or Decimal(0)
        units = 1 + number % 3
        charges.append(
            Charge(
                id=f"g{number}",
                number=str(number),
                description=f"{line.description}, missing"
                if number % 9
                else long_words(number, characters),
                kind="missing",
                quantity=Decimal(units),
                unit_price=price,
                amount=price * units,
                line=line.id,
                finding=f"f{number}",
                grounds=(
                    GroundChoice(code="quantity", counts=("c3",), words=NAMES[number % len(NAMES)]),
                    GroundChoice(code="depreciation", clause="7.2"),
                ),
            )
        )
    total = sum((one.amount for one in charges), Decimal(0))
    return (
        dataclasses.replace(
            like,
            net=total,
            tax=Decimal(0) if whole else Decimal("0.00"),
            gross=total,
            charges=tuple(charges),
        ),
    )


def _photos(originals: FolderOfOriginals, number: int, kit: Sequence[KitLine]) -> tuple[Photo, ...]:
    made = []
    for one in range(1, number + 1):
        data = grainy_picture(one)
        line = kit[(one * 7) % len(kit)] if one % 5 else None
        count = "c1" if one % 2 else "c3"
        name = f"IMG {one} {NAMES[one % len(NAMES)][:24]}.JPG"
        made.append(
            Photo(
                id=f"photo-{one}",
                name=name,
                facts=PhotoFacts(
                    file_name=name,
                    sha256=originals.put(data),
                    bytes=len(data),
                    kind="image/jpeg",
                    width=1600,
                    height=1200,
                    orientation=(1, 6, 3, 8)[one % 4],
                    make="Invented",
                    model="Pocket 9",
                ),
                taken_in=at(13, 9),
                count=count,
                pairings=(Pairing(line=line.id, count=count),) if line is not None else (),
                markings=(
                    Marking(kind="ring", points=((0.3, 0.1), (0.62, 0.32)), text=NAMES[one % 8]),
                )
                if one % 11 == 0
                else (),
            )
        )
    return tuple(made)


_WIDE, _HIGH = 1600, 1200


def grainy_picture(number: int) -> bytes:
    """Return a photo-like JPEG of some 350 kB; no two are alike."""
    rnd = random.Random(number)
    grain = _grain()
    image = grain.crop((left := rnd.randrange(400), 0, left + _WIDE, _HIGH))
    tint = Image.new("RGB", image.size, (rnd.randrange(256), rnd.randrange(256), 90))
    out = io.BytesIO()
    Image.blend(image, tint, 0.45).save(out, "JPEG", quality=82)
    return out.getvalue()


def _grain() -> Image.Image:
    if not _GRAIN:
        noise = Image.effect_noise((_WIDE + 400, _HIGH), 60)
        shade = Image.linear_gradient("L").resize(noise.size)
        _GRAIN.append(Image.merge("RGB", (noise, Image.blend(noise, shade, 0.5), shade)))
    return _GRAIN[0]


_GRAIN: list[Image.Image] = []


def _paper(originals: FolderOfOriginals, number: int) -> Document:
    width, height = ODD_SIZES[number % len(ODD_SIZES)]
    data = paper_bytes(f"Paper {number}", 1 + number % 4, size=(width, height))
    return Document(
        id=f"paper-{number}",
        title=f"{NAMES[number % len(NAMES)]} – paper {number}",
        kind="message",
        name=f"paper {number}.pdf",
        sha256=originals.put(data),
        bytes=len(data),
        media_type="application/pdf",
        dated=dt.date(2026, 3, 2),
    )


def monster_verdicts(claim: Claim) -> dict[str, PhotoVerdict]:
    """Return a judgement on every photo."""
    found = {}
    for number, photo in enumerate(claim.photos):
        taken = at(2 if photo.count == "c1" else 12, 7 + number % 12, number % 60)
        found[photo.id] = PhotoVerdict(
            standing=("backed", "camera_only", "corrected")[number % 3],
            reasons=(
                Reason(code="G1", weight="supports", says="Satellite time agrees in 2 seconds."),
            ),
            summary="A second source agrees.",
            taken_local=taken.replace(tzinfo=None).isoformat(),
            taken_from="original",
            offset="-07:00",
            offset_source="tag",
            taken_utc=taken,
        )
    return found


def monster_request(
    claim: Claim, originals: FolderOfOriginals, version: str, **more: object
) -> DossierRequest:
    """Return a request for one version of it, everything filled in."""
    values: dict[str, object] = {
        "claim": claim,
        "reckoning": reckon(claim),
        "version": version,
        "date": DAY,
        "originals": originals,
        "verdicts": monster_verdicts(claim),
        "weak_points": tuple(
            WeakPoint(about=NAMES[one % len(NAMES)], says=long_words(one, 300)) for one in range(30)
        ),
        "completeness": tuple(
            CompletenessLine(
                asks_for=f"{NAMES[one]} (paper {one})",
                present=("present", "missing", "partly")[one % 3],
                says=long_words(one, 120),
            )
            for one in range(len(NAMES))
        ),
        "journal": tuple(
            JournalLine(
                number=one, at=at(1, 9), who=NAMES[one % 8], label=NAMES[(one + 5) % 13],
                hash=f"{one:064x}",
            )
            for one in range(1, 200)
        ),
        "journal_head": "cd" * 32,
        **more,
    }  # fmt: skip
    return DossierRequest(**values)


def main() -> None:
    """Write the dossiers of the claim in full size and say what came out."""
    folder = Path(sys.argv[1])
    small = "--small" in sys.argv
    size = {"findings": 40, "photos": 60, "exhibits": 12} if small else {}
    originals = FolderOfOriginals(folder / "originals")
    claim = monster_claim(originals, **size, currency="JPY" if "--yen" in sys.argv else "USD")
    for version in ("insurer", "dispute", "photos", "counts"):
        began = time.perf_counter()
        result = write_dossier(
            monster_request(claim, originals, version), folder / f"{version}.pdf"
        )
        took = time.perf_counter() - began
        print(version, f"{took:.1f} s", result.pages, "pages", result.photo_resolution)
        for path in result.paths:
            print("  ", path.name, path.stat().st_size)
        for says in result.fell_short:
            print("  ", says)


if __name__ == "__main__":
    main()
