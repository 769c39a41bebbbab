"""What a photo's file says and what was concluded from it, as labels and values."""

from __future__ import annotations

from typing import TypeAlias

from ldapp.claim.photo_facts import (
    CredentialsCheck,
    DateState,
    OffsetSource,
    PhotoVerdict,
    RecordedTime,
    Weight,
)
from ldapp.claim.photos import Photo
from ldapp.desktop.pages.said import device_text, moment_text, size_text, taken_text
from ldapp.language import marked, said, said_in, said_of
from ldapp.local_forms import local_number

FactRows: TypeAlias = list[tuple[str, str]]

_OFFSET_FROM: dict[OffsetSource, str] = {
    "tag": marked("tag"),
    "place": marked("place"),
    "satellite": marked("satellite"),
    "given": marked("given"),
    "none": marked("none"),
}
_WRITTEN: dict[DateState, str] = {
    "ok": marked("ok"),
    "blank": marked("blank"),
    "zero": marked("zero"),
    "unusual": marked("unusual"),
    "impossible": marked("impossible"),
    "unreadable": marked("unreadable"),
}


def weight_text(weight: Weight) -> str:
    """Return how strong a reason is, as the beginning of its row."""
    match weight:
        case "excludes":
            return said_in("a reason about a photo", "Excludes")
        case "undermines":
            return said_in("a reason about a photo", "Undermines")
        case "weakens":
            return said_in("a reason about a photo", "Weakens")
        case "supports":
            return said_in("a reason about a photo", "Supports")
        case "note":
            return said_in("a reason about a photo", "Note")


def _credentials_text(check: CredentialsCheck | None) -> str:
    if check is None:
        return said("present, not checked here")
    says = {
        "trusted": said("match the picture; the signer is trusted here"),
        "matching": said("match the picture; the signer is not among those trusted here"),
        "broken": said("do not match the picture"),
        "unclear": said("present; the check could not be carried to its end"),
    }[check.outcome]
    if check.signer:
        says = said("{outcome}; signed by {signer}", outcome=says, signer=check.signer)
    if check.at:
        says = said("{outcome} at {moment}", outcome=says, moment=moment_text(check.at))
    return says


def file_facts(photo: Photo) -> FactRows:
    """Return everything that the file itself says, as label and value."""
    facts = photo.facts
    rows: FactRows = [
        (said("File"), photo.name),
        ("SHA-256", facts.sha256),
        (said("Size"), size_text(facts.bytes)),
        (said("Kind"), facts.kind or said("not recognised")),
        (said("Device"), device_text(facts)),
        (said("Software"), facts.software or ""),
        (said("Editing programs"), ", ".join(facts.editing_programs)),
        (said("Taken"), _time_text(facts.taken)),
        (said("Digitised"), _time_text(facts.digitized)),
        (said("Last change"), _time_text(facts.changed)),
        (said("Changed on disk"), moment_text(photo.file_modified)),
        (said("Taken in"), moment_text(photo.taken_in)),
    ]
    if facts.width and facts.height:
        rows.insert(4, (said("Pixels"), f"{facts.width} × {facts.height}"))
    if facts.satellite is not None:
        fix = facts.satellite
        rows.append(
            (said("Satellite time"), f"{fix.date or fix.date_raw or ''} {fix.time or ''} UTC")
        )
        if fix.latitude is not None and fix.longitude is not None:
            rows.append((said("Position"), f"{fix.latitude:.5f}, {fix.longitude:.5f}"))
    if facts.xmp is not None:
        rows += [
            (said("Taken (XMP)"), facts.xmp.taken or ""),
            (said("Changed (XMP)"), facts.xmp.changed or ""),
            (said("Made with"), facts.xmp.creator_tool or ""),
            (
                said("Edit history"),
                said_of(len(facts.xmp.history), "{count} step", "{count} steps")
                if facts.xmp.history
                else "",
            ),
        ]
    if facts.movie is not None:
        rows.append((said("Recording began"), facts.movie.creation_date or said("not said")))
        if facts.movie.duration_s is not None:
            rows.append((said("Length"), f"{local_number(f'{facts.movie.duration_s:.1f}')} s"))
    if facts.content_credentials:
        rows.append((said("Content credentials"), _credentials_text(facts.credentials)))
    if not facts.complete:
        rows.append((said("Structure"), said("the file breaks off or is damaged")))
    return [(label, value) for label, value in rows if value.strip()]


def verdict_facts(verdict: PhotoVerdict) -> FactRows:
    """Return the conclusion about the time, as label and value."""
    rows: FactRows = [(said("Time"), taken_text(verdict))]
    if verdict.offset_source != "none":
        rows.append((said("Offset from"), said(_OFFSET_FROM[verdict.offset_source])))
    if verdict.zone:
        rows.append((said("Zone"), verdict.zone))
    if verdict.earliest and verdict.latest and verdict.earliest != verdict.latest:
        rows.append(
            (
                said("Between"),
                said(
                    "{earliest} and {latest}",
                    earliest=moment_text(verdict.earliest),
                    latest=moment_text(verdict.latest),
                ),
            )
        )
    if verdict.clock_error_s is not None:
        apart = local_number(f"{abs(verdict.clock_error_s):g}")
        fast = verdict.clock_error_s >= 0
        rows.append(
            (
                said("Camera clock"),
                said("{seconds} s fast", seconds=apart)
                if fast
                else said("{seconds} s slow", seconds=apart),
            )
        )
    if verdict.corrected_utc is not None:
        within = (
            f" ± {local_number(f'{verdict.uncertainty_s:g}')} s"
            if verdict.uncertainty_s is not None
            else ""
        )
        rows.append((said("Corrected"), f"{moment_text(verdict.corrected_utc)}{within}"))
    if verdict.satellite_utc is not None:
        rows.append((said("Satellite"), moment_text(verdict.satellite_utc)))
    if verdict.in_window is not None:
        says = {"yes": said("inside"), "partly": said("partly inside"), "no": said("outside")}
        rows.append(
            (said("Window of the count"), says.get(verdict.in_window, said("cannot be said")))
        )
    return rows


def _time_text(time: RecordedTime | None) -> str:
    if time is None:
        return ""
    digits = f".{time.digits}" if time.digits else ""
    text = f"{(time.local or time.raw).replace('T', ' ')}{digits} {time.offset or ''}".strip()
    return text if time.state == "ok" else f"{text} ({said(_WRITTEN[time.state])})"
