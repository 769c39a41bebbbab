"""What a dossier's file says of itself, once for old readers and once as XMP (ISO 16684-1).

Both say the same: a reader that keeps only one of them loses nothing (ISO 19005-3, 6.6.3).
"""

from __future__ import annotations

import re
from xml.sax.saxutils import escape

import pikepdf
from pikepdf import Name

_NOT_IN_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""Signs that XML 1.0 cannot hold."""
_PDF_DAY = re.compile(r"D:(\d{4})(\d{2})(\d{2})000000Z")

_PACKET = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
 <rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
  <rdf:Description rdf:about=""
    xmlns:dc="http://purl.org/dc/elements/1.1/"
    xmlns:xmp="http://ns.adobe.com/xap/1.0/"
    xmlns:pdf="http://ns.adobe.com/pdf/1.3/"
    xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/">
{properties}
  </rdf:Description>
 </rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>"""

_CLAIMED = """   <pdfaid:part>3</pdfaid:part>
   <pdfaid:conformance>B</pdfaid:conformance>"""


def put_metadata(pdf: pikepdf.Pdf, *, language: str, archival: bool) -> None:
    """Write the XMP metadata from the document's information, and put that in order.

    With ``archival`` the file is said to keep to PDF/A-3b (ISO 19005-3, 6.6.4).
    """
    said = _tidied(pdf)
    rows = [f"   <dc:format>application/pdf</dc:format>\n   {_bag('dc:language', language)}"]
    if "/Title" in said:
        rows.append(f"   {_by_default('dc:title', said['/Title'])}")
    if "/Author" in said:
        rows.append(f"   {_list('dc:creator', said['/Author'])}")
    if "/Subject" in said:
        rows.append(f"   {_by_default('dc:description', said['/Subject'])}")
    for key, name in (
        ("/Creator", "xmp:CreatorTool"),
        ("/CreationDate", "xmp:CreateDate"),
        ("/ModDate", "xmp:ModifyDate"),
        ("/Producer", "pdf:Producer"),
    ):
        if key in said:
            rows.append(f"   <{name}>{escape(xmp_value(key, said[key]))}</{name}>")
    if archival:
        rows.append(_CLAIMED)
    packet = _PACKET.format(properties="\n".join(rows))
    pdf.Root.Metadata = pdf.make_stream(
        packet.encode("utf-8"), Type=Name.Metadata, Subtype=Name.XML
    )


def xmp_value(key: str, text: str) -> str:
    """Return what the XMP says for an entry of the document's information."""
    day = _PDF_DAY.fullmatch(text) if key.endswith("Date") else None
    return text if day is None else "{}-{}-{}T00:00:00Z".format(*day.groups())


def _tidied(pdf: pikepdf.Pdf) -> dict[str, str]:
    """Take out empty entries and signs that XML cannot hold; return what is left."""
    said: dict[str, str] = {}
    for key in list(pdf.docinfo.keys()):
        if key == "/Trapped":
            del pdf.docinfo[key]
            continue
        text = _NOT_IN_XML.sub("\ufffd", str(pdf.docinfo[key]))
        if text.strip():
            pdf.docinfo[key] = said[key] = text
        else:
            del pdf.docinfo[key]
    return said


def _by_default(name: str, text: str) -> str:
    return (
        f'<{name}><rdf:Alt><rdf:li xml:lang="x-default">{escape(text)}</rdf:li></rdf:Alt></{name}>'
    )


def _list(name: str, text: str) -> str:
    return f"<{name}><rdf:Seq><rdf:li>{escape(text)}</rdf:li></rdf:Seq></{name}>"


def _bag(name: str, text: str) -> str:
    return f"<{name}><rdf:Bag><rdf:li>{escape(text)}</rdf:li></rdf:Bag></{name}>"
