"""A file that can still be opened in thirty years: the rules of PDF/A-3b (ISO 19005-3).

What the PDF library leaves open is done here: colours are tied to a profile, fonts say which
letters they mean.  Then the file is checked against the rules that a dossier could break;
only one that breaks none, and into which no page of a foreign PDF was merged, says of itself
that it is PDF/A-3b.  Clause numbers are those of ISO 19005-3:2012.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

import pikepdf
from pikepdf import Array, Dictionary, Name

from ldapp.dossier.metadata import put_metadata
from ldapp.language import language
from ldapp.resources import resource

_MOST_PAIRS = 100
"""Pairs that one block of a character map may hold."""
_PAIR = re.compile(rb"<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>")
_BLOCK = re.compile(rb"\d+ beginbfchar\s(.*?)endbfchar", re.DOTALL)
_NO_LETTER = frozenset({b"0000", b"FEFF", b"FFFE"})

_HIDDEN_FLAGS = 1 | 2 | 32 | 256
"""Invisible, hidden, not viewed, sometimes not viewed (ISO 32000-1, table 165)."""
_PRINTED_FLAG = 4
_HARMLESS_ACTIONS = frozenset({"/GoTo", "/GoToR", "/URI", "/Named"})
_LONGEST_STRING = 32_767


def make_archival(pdf: pikepdf.Pdf, *, foreign_pages: bool) -> bool:
    """Finish a file by the rules of PDF/A-3b; return whether it says that it keeps to them."""
    _put_output_intent(pdf)
    _mend_character_maps(pdf)
    put_metadata(pdf, language=language(), archival=False)
    keeps = not foreign_pages and not archival_faults(pdf)
    if keeps:
        put_metadata(pdf, language=language(), archival=True)
    return keeps


def _put_output_intent(pdf: pikepdf.Pdf) -> None:
    """Say that colours are those of sRGB, and enclose its profile (6.2.3)."""
    profile = pdf.make_stream(resource("colour", "sRGB.icc").read_bytes(), N=3)
    pdf.Root.OutputIntents = Array(
        [
            pdf.make_indirect(
                Dictionary(
                    Type=Name.OutputIntent,
                    S=Name.GTS_PDFA1,
                    OutputConditionIdentifier="sRGB IEC61966-2.1",
                    Info="sRGB IEC61966-2.1",
                    DestOutputProfile=profile,
                )
            )
        ]
    )


def _mend_character_maps(pdf: pikepdf.Pdf) -> None:
    """Take out of fonts' maps to text what stands for no letter, in blocks of a right size.

    The PDF library fills its map with noughts, in one block that is too long.
    """
    for one in pdf.objects:
        if isinstance(one, Dictionary) and "/ToUnicode" in one:
            found: Any = one.ToUnicode
            before = found.read_bytes()
            after = _BLOCK.sub(_real_letters, before)
            if after != before:
                found.write(after)


def _real_letters(block: re.Match[bytes]) -> bytes:
    pairs = [pair for pair in _PAIR.findall(block[1]) if pair[1].upper() not in _NO_LETTER]
    blocks = []
    for start in range(0, len(pairs), _MOST_PAIRS):
        some = pairs[start : start + _MOST_PAIRS]
        lines = b"".join(b"<%s> <%s>\n" % pair for pair in some)
        blocks.append(b"%d beginbfchar\n%sendbfchar" % (len(some), lines))
    return b"\n".join(blocks)


# --- checks -----------------------------------------------------------------------------


def archival_faults(pdf: pikepdf.Pdf) -> tuple[str, ...]:
    """Return a sentence for each rule of PDF/A-3b that the file breaks, as far as is checked."""
    faults: dict[str, None] = {}
    for check in _CHECKS_OF_THE_WHOLE:
        faults.update(dict.fromkeys(check(pdf)))
    for one in pdf.objects:
        for fault in _faults_of(one):
            faults[fault] = None
    return tuple(faults)


def _whole(pdf: pikepdf.Pdf) -> Iterator[str]:
    root = pdf.Root
    if pdf.is_encrypted:
        yield "The file is locked (6.1.3)."
    names: Any = root.get("/Names", Dictionary())
    if "/JavaScript" in names:
        yield "It holds scripts (6.5.1)."
    if "/AA" in root:
        yield "It acts by itself (6.5.2)."
    if "/OCProperties" in root:
        yield "It has layers that can be switched off (6.9)."
    if "/AcroForm" in root or root.get("/NeedsRendering", False):
        yield "It holds a form to fill in (6.4)."
    if "/Metadata" not in root:
        yield "It has no XMP metadata (6.6.2)."


def _colours(pdf: pikepdf.Pdf) -> Iterator[str]:
    intents: Any = pdf.Root.get("/OutputIntents", Array())
    profiles = [
        bytes(one.DestOutputProfile.read_bytes()[16:20])
        for one in intents
        if one.get("/S") == Name.GTS_PDFA1 and "/DestOutputProfile" in one
    ]
    if profiles != [b"RGB "]:
        yield "Its colours are tied to no RGB profile (6.2.3)."


def _attachments(pdf: pikepdf.Pdf) -> Iterator[str]:
    named: Any = pdf.Root.get("/AF", Array())
    associated = {one.objgen for one in named}
    for name, spec in pdf.attachments.items():
        one: Any = spec.obj
        stream: Any = one.get("/EF", Dictionary()).get("/F")
        whole = (
            stream is not None
            and {"/F", "/UF", "/AFRelationship"} <= set(one.keys())
            and one.objgen in associated
            and "/Subtype" in stream
            and "/ModDate" in stream.get("/Params", Dictionary())
        )
        if not whole:
            yield f"The attachment {name} does not say what it is (6.8)."


_CHECKS_OF_THE_WHOLE: tuple[Callable[[pikepdf.Pdf], Iterator[str]], ...] = (
    _whole,
    _colours,
    _attachments,
)


def _faults_of(one: Any) -> Iterator[str]:
    """Return what is wrong with one object, whatever it is."""
    if isinstance(one, pikepdf.Stream):
        yield from _stream_faults(one)
    elif not isinstance(one, Dictionary):
        return
    kind, subtype = one.get("/Type"), one.get("/Subtype")
    if kind == Name.Font and subtype not in (Name.Type0, Name.Type3):
        descriptor: Any = one.get("/FontDescriptor", Dictionary())
        if not {"/FontFile", "/FontFile2", "/FontFile3"} & set(descriptor.keys()):
            yield f"The font {one.get('/BaseFont', '')} is not embedded (6.2.11.4)."
    elif kind == Name.Annot or (subtype == Name.Link and "/Rect" in one):
        yield from _annotation_faults(one)
    elif kind == Name.Action or "/JS" in one:
        yield from _action_faults(one)
    if kind == Name.Page and ("/AA" in one or "/Group" in one):
        yield "A page acts by itself or is transparent (6.5.2, 6.2.10)."
    if _is_transparent(one):
        yield "Something is transparent (6.2.10)."
    for value in one.values():
        if isinstance(value, pikepdf.String) and len(bytes(value)) > _LONGEST_STRING:
            yield "A text is too long (6.1.13)."


def _stream_faults(one: Any) -> Iterator[str]:
    filters: Any = one.get("/Filter", Array())
    named = [filters] if isinstance(filters, Name) else list(filters)
    if any(str(each) in ("/LZWDecode", "/Crypt") for each in named):
        yield "A stream is coded in a way that is not allowed (6.1.7.2)."
    if {"/F", "/FFilter", "/FDecodeParms"} & set(one.keys()):
        yield "A stream lies outside the file (6.1.7.1)."
    if one.get("/Subtype") == Name.Image:
        if "/Alternates" in one or "/OPI" in one or one.get("/Interpolate", False):
            yield "A picture has another in its place, or is smoothed (6.2.8)."
        if one.get("/ColorSpace") == Name.DeviceCMYK:
            yield "A picture has the colours of ink (6.2.4.3)."
    if one.get("/Subtype") == Name.Form and {"/Ref", "/PS", "/OPI", "/Group"} & set(one.keys()):
        yield "A drawing refers out of the file, or is transparent (6.2.9)."


def _annotation_faults(one: Any) -> Iterator[str]:
    flags = int(one.get("/F", 0))
    if one.get("/Subtype") != Name.Link:
        yield f"It has a note of the kind {one.get('/Subtype', '')} (6.3.1)."
    if not flags & _PRINTED_FLAG or flags & _HIDDEN_FLAGS:
        yield "A link would not be printed (6.3.2)."
    action: Any = one.get("/A")
    if action is not None:
        yield from _action_faults(action)


def _action_faults(one: Any) -> Iterator[str]:
    if str(one.get("/S", "")) not in _HARMLESS_ACTIONS:
        yield "It holds an action that is not allowed (6.5.1)."


def _is_transparent(one: Any) -> bool:
    """Return whether a picture or a state of drawing lets through what lies below."""
    if one.get("/Type") == Name.Font:
        return False
    mask: Any = one.get("/SMask")
    blend: Any = one.get("/BM")
    return (
        (mask is not None and mask != Name("/None"))
        or (blend is not None and blend not in (Name.Normal, Name.Compatible))
        or any(float(one[key]) < 1 for key in ("/ca", "/CA") if key in one)
    )
