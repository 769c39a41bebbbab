"""The judgement: facts and context in, one verdict out.

The same input gives the same words.  Every reason has a code, a weight and one sentence;
the standing follows from the weights alone.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Final

from ldapp.claim.photo_facts import (
    RULE_CODES,
    InWindow,
    PhotoFacts,
    PhotoVerdict,
    Reason,
    Standing,
    Weight,
)
from ldapp.evidence.case import Case
from ldapp.evidence.clock import Clock
from ldapp.evidence.context import CameraHabits, VerifyContext
from ldapp.evidence.names import NamedTime, time_in_name
from ldapp.evidence.programs import editors_named, is_firmware_or_viewer
from ldapp.evidence.rules_dates import date_rules, factory_setting
from ldapp.evidence.rules_handling import (
    SAVED_AGAIN_S,
    handling_rules,
    saved_after,
    signs_of_handling,
)
from ldapp.evidence.rules_outside import outside_rules
from ldapp.evidence.settle import settle_clock
from ldapp.evidence.times import Taken, choose_taken, offset_text, shifted
from ldapp.evidence.wording import clock_time, duration, utc_offset
from ldapp.evidence.zones import zone_known
from ldapp.language import said

_WEAK: Final = {"S1": "S", "F1": "F", "I2": "I", "N1": "N"}
"""Supports that count only two together, and only from different families."""

_STRONGEST_FIRST: Final[tuple[Weight, ...]] = (
    "excludes",
    "undermines",
    "weakens",
    "supports",
    "note",
)
_CLOCK_AGREES_S: Final = 120
_LATEST: Final = datetime(2100, 1, 1, tzinfo=UTC)


def verify(facts: PhotoFacts, context: VerifyContext | None = None) -> PhotoVerdict:
    """Judge how far the time of a photo can be trusted.

    Rules whose facts the context does not give stay silent.  Never raises for odd facts.
    """
    case = _case(facts, context or VerifyContext())
    clock = case.clock
    found = list(clock.reasons) if clock else []
    found += [*date_rules(case), *handling_rules(case), *outside_rules(case)]
    reasons = _settled(found, case)
    standing = _standing(reasons, clock)
    return PhotoVerdict(
        standing=standing,
        reasons=reasons,
        summary=_summary(standing, reasons, case),
        taken_local=case.taken.text if case.taken else None,
        taken_from=case.taken.source if case.taken else "none",
        offset=offset_text(clock.offset) if clock and clock.offset is not None else None,
        offset_source=clock.source if clock else "none",
        zone=clock.zone if clock else None,
        taken_utc=clock.instant if clock else None,
        earliest=clock.earliest if clock else None,
        latest=clock.latest if clock else _received_by(case.named, case.context),
        clock_error_s=clock.error_s if clock else None,
        corrected_utc=clock.corrected if clock else None,
        uncertainty_s=clock.uncertainty_s if clock else None,
        satellite_utc=clock.satellite if clock else None,
        position=_position(facts),
        in_window=_in_window(clock, case.context),
    )


def wants_pictures(facts: PhotoFacts, context: VerifyContext | None = None) -> bool:
    """Say whether a sign of handling calls for comparing preview and picture (E5, E6)."""
    return facts.preview is not None and signs_of_handling(_case(facts, context or VerifyContext()))


def _case(facts: PhotoFacts, context: VerifyContext) -> Case:
    if context.zone is not None and not zone_known(context.zone):
        context = replace(context, zone=None)
    taken = choose_taken(facts, context.now or context.imported or _LATEST)
    clock = settle_clock(facts, taken, context) if taken else None
    return Case(
        facts=facts,
        context=context,
        taken=taken,
        clock=clock,
        named=time_in_name(facts.file_name),
        editors=_editors(facts, taken, context.habits),
    )


def _editors(
    facts: PhotoFacts, taken: Taken | None, habits: CameraHabits | None
) -> tuple[str, ...]:
    """Return the editing programs, also by what the camera writes into its other photos."""
    editors = editors_named(facts)
    software = (facts.software or "").strip()
    if habits is None or not habits.software or not software:
        return editors
    if software in habits.software:
        # In others too, and nothing was saved later: that is the camera's own firmware.
        saved_later = saved_after(facts, taken) > SAVED_AGAIN_S
        return editors if saved_later else tuple(e for e in editors if e != software)
    if software in editors or is_firmware_or_viewer(software, facts.make, facts.model):
        return editors
    return (software, *editors)


def _position(facts: PhotoFacts) -> tuple[float, float] | None:
    fix = facts.satellite
    if fix is None or fix.latitude is None or fix.longitude is None:
        return None
    return fix.latitude, fix.longitude


def _settled(found: list[Reason], case: Case) -> tuple[Reason, ...]:
    """Add what depends on the other findings, and order all by strength."""
    supported = any(r.weight == "supports" and r.code not in _WEAK for r in found)
    if not supported and (reset := factory_setting(case)) is not None:
        found = [*found, reset]
    if any(reason.weight == "supports" for reason in found):
        found = [replace(r, weight="supports") if r.code == "N1" else r for r in found]
    order = {code: rank for rank, code in enumerate(RULE_CODES)}
    return tuple(sorted(found, key=lambda r: (_STRONGEST_FIRST.index(r.weight), order[r.code])))


def _count(reasons: tuple[Reason, ...], weight: str) -> int:
    return sum(reason.weight == weight for reason in reasons)


def _standing(reasons: tuple[Reason, ...], clock: Clock | None) -> Standing:
    if _count(reasons, "excludes"):
        return "contradicted"
    if clock is None:
        return "none"
    if _count(reasons, "undermines") or _count(reasons, "weakens") > 1:
        return "open"
    if clock.corrected is not None and not _small(clock):
        return "corrected"
    supports = [reason for reason in reasons if reason.weight == "supports"]
    families = {_WEAK[reason.code] for reason in supports if reason.code in _WEAK}
    if any(reason.code not in _WEAK for reason in supports) or len(families) > 1:
        return "backed"
    return "camera_only"


def _small(clock: Clock) -> bool:
    """Say whether the reference merely confirms the clock."""
    return clock.error_s is not None and abs(clock.error_s) <= _CLOCK_AGREES_S


def _received_by(named: NamedTime | None, context: VerifyContext) -> datetime | None:
    """Return the latest moment of a photo without a date: its receipt or its intake."""
    bounds = [context.imported] if context.imported is not None else []
    if named is not None and named.kind == "receipt":
        # The day ends last at UTC-12.
        bounds.append(named.moment.replace(tzinfo=UTC) + timedelta(hours=36))
    return min(bounds, default=None)


def _in_window(clock: Clock | None, context: VerifyContext) -> InWindow | None:
    if context.window is None:
        return None
    if clock is None or clock.earliest is None or clock.latest is None:
        return "unknown"
    start, end = context.window
    if start <= clock.earliest and clock.latest <= end:
        return "yes"
    return "no" if clock.latest < start or clock.earliest > end else "partly"


def _summary(standing: Standing, reasons: tuple[Reason, ...], case: Case) -> str:
    clock, taken = case.clock, case.taken
    if case.facts.error is not None:
        return case.facts.error
    if clock is None or taken is None:
        imported = case.context.imported
        if standing == "contradicted":
            return said("The sources exclude each other: {reason}", reason=reasons[0].says)
        if imported is None:
            return said("The file carries no date.")
        return said(
            "The file carries no date. It existed by {time} (UTC), when it was taken in.",
            time=clock_time(imported.astimezone(UTC)),
        )
    when = clock_time(taken.moment)
    if clock.offset is not None:
        when = f"{when} ({utc_offset(clock.offset)})"
    if standing == "contradicted":
        return said("The sources exclude each other: {reason}", reason=reasons[0].says)
    if standing == "open":
        return said("The date may be wrong: {reason}", reason=reasons[0].says)
    if standing == "corrected":
        return _corrected_summary(clock)
    if standing == "backed":
        return said("Taken {time}. {reason}", time=when, reason=_backing(reasons, case))
    return said("The camera says {time}. Nothing else confirms it.", time=when)


def _corrected_summary(clock: Clock) -> str:
    corrected = clock.corrected or clock.best
    shown, zone = corrected, "UTC"
    if clock.offset is not None:
        shown = shifted(corrected, 60 * clock.offset)
        zone = utc_offset(clock.offset)
    margin = duration(clock.uncertainty_s or 0)
    time = f"{clock_time(shown)} ({zone})"
    if clock.error_s is None:
        return said(
            "Camera clock corrected; corrected time {time} \u00b1 {margin}.",
            time=time,
            margin=margin,
        )
    error = duration(clock.error_s)
    if clock.error_s > 0:
        return said(
            "Camera clock {error} fast; corrected time {time} \u00b1 {margin}.",
            error=error,
            time=time,
            margin=margin,
        )
    return said(
        "Camera clock {error} slow; corrected time {time} \u00b1 {margin}.",
        error=error,
        time=time,
        margin=margin,
    )


def _backing(reasons: tuple[Reason, ...], case: Case) -> str:
    supports = [reason for reason in reasons if reason.weight == "supports"]
    strong = [reason for reason in supports if reason.code not in _WEAK]
    first = (strong or supports)[0]
    if first.code != "G1":
        return first.says
    error = abs(case.clock.error_s or 0) if case.clock else 0
    difference = duration(max(error, 1))
    if case.facts.serial is None:
        # Phones name no body serial; there both times may come from the network.
        return said(
            "The camera's clock and the satellite time agree within {difference}. In a phone both "
            "may come from the network.",
            difference=difference,
        )
    return said(
        "The camera's clock and the satellite time agree within {difference}.",
        difference=difference,
    )
