"""Demo claim 1: what each count saw."""

from __future__ import annotations

from dataclasses import replace

from ldapp.claim.counts import CountEntry, PartCount


def counted(
    line: str,
    quantity: int | None,
    condition: str = "as_sent_out",
    note: str = "",
    parts: tuple[PartCount, ...] = (),
) -> CountEntry:
    return CountEntry(line=line, quantity=quantity, condition=condition, note=note, parts=parts)


def _corners(number: int) -> tuple[PartCount, ...]:
    return (
        PartCount(part="k27-tube", quantity=8),
        PartCount(part="k27-corner", quantity=number),
        PartCount(part="k27-bag", quantity=1),
    )


PICKUP = {
    "k14": counted("k14", 28, note="2 NR (not received), initialled by both"),
    "k31": counted("k31", 1, "damaged_before", "carpet corner worn through to the wood"),
    "k27": counted("k27", 1, parts=_corners(4)),
}


EXPECTED = {"k46": 14, "k37": 4, "k14": 28}


RETURN = {
    "k14": counted("k14", 28),
    "k10": counted("k10", 8, note="4 short"),
    "k47": counted("k47", 17, note="3 short"),
    "k46": counted("k46", 15, note="1 over"),
    "k27": counted("k27", 1, note="1 corner short", parts=_corners(3)),
    "k21": counted("k21", 12, "damaged", "1 torn"),
    "k38": counted("k38", 4, "damaged", "2K-0117: one door bent"),
    "k02": counted("k02", 10, "damaged", "1 leg bent"),
    "k31": counted("k31", 1, "damaged_before", "as noted at pickup"),
    "k44": counted("k44", 4, note="1 burnt out, dead lamp handed back"),
    "k16": counted("k16", 8, "worn"),
    "k29": counted("k29", 1, "worn"),
}


CHECK_IN = {
    **{key: replace(entry, note="") for key, entry in RETURN.items()},
    "k01": counted("k01", 22, note="2 short"),
    "k31": counted("k31", 1, "damaged", "deck carpet torn"),
}
