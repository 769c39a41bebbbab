"""XMP packets (ISO 16684-1): the few properties that speak of time and handling."""

from __future__ import annotations

from typing import Final
from xml.etree import ElementTree

from ldapp.claim.photo_facts import HistoryStep, XmpFacts

_LARGEST: Final = 2 << 20
_RDF: Final = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}"
_EXIF: Final = "{http://ns.adobe.com/exif/1.0/}"
_XMP: Final = "{http://ns.adobe.com/xap/1.0/}"
_PHOTOSHOP: Final = "{http://ns.adobe.com/photoshop/1.0/}"
_MEDIA: Final = "{http://ns.adobe.com/xap/1.0/mm/}"
_EVENT: Final = "{http://ns.adobe.com/xap/1.0/sType/ResourceEvent#}"


def read_xmp(packet: bytes) -> XmpFacts | None:
    """Read a packet; None where it is no well-formed XML or says nothing of use.

    A packet that declares entities is refused: XMP has none, and they can be made to
    grow without end.
    """
    packet = packet[:_LARGEST].strip(b"\0 \t\r\n")
    if not packet or b"<!" in packet.replace(b"<!--", b""):
        return None
    try:
        tree = ElementTree.fromstring(packet)
    except (ElementTree.ParseError, ValueError, LookupError):
        return None
    simple: dict[str, str] = {}
    history: list[HistoryStep] = []
    for description in tree.iter(f"{_RDF}Description"):
        for name, value in description.attrib.items():
            simple.setdefault(name, value.strip())
        for element in description:
            if element.tag == f"{_MEDIA}History":
                history.extend(_steps(element))
            elif element.text and element.text.strip():
                simple.setdefault(element.tag, element.text.strip())
    facts = XmpFacts(
        taken=simple.get(f"{_EXIF}DateTimeOriginal") or simple.get(f"{_PHOTOSHOP}DateCreated"),
        digitized=simple.get(f"{_XMP}CreateDate"),
        changed=simple.get(f"{_XMP}ModifyDate"),
        metadata_changed=simple.get(f"{_XMP}MetadataDate"),
        creator_tool=simple.get(f"{_XMP}CreatorTool"),
        history=tuple(history[:200]),
    )
    return None if facts == XmpFacts() else facts


def _steps(history: ElementTree.Element) -> list[HistoryStep]:
    steps = []
    for item in history.iter(f"{_RDF}li"):
        values = dict(item.attrib)
        for element in item.iter():
            values.update(element.attrib)
            if element.text and element.text.strip():
                values.setdefault(element.tag, element.text.strip())
        action = values.get(f"{_EVENT}action")
        if action:
            steps.append(
                HistoryStep(
                    action=action,
                    when=values.get(f"{_EVENT}when"),
                    program=values.get(f"{_EVENT}softwareAgent"),
                )
            )
    return steps
