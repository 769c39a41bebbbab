"""Headings of sections of a kit list: departments and kinds of equipment.

Common practice, no source: words met on lists in English, German, French and Spanish.
"""

from __future__ import annotations

from ldapp.exchange.column_words import plain_label

_WORDS = """
    camera cameras grip electric electrical electrics lighting lights lenses optics sound audio
    video power distribution accessories expendables stands flags cable cables cabling misc
    miscellaneous clamps hardware rags frames boxes monitors batteries media filters support
    rigging dollies textiles communication walkies hmi tungsten led fixtures
    kamera licht beleuchtung buhne ton optik optiken objektive zubehor strom verteilung stative
    klemmen kabel verbrauchsmaterial funk monitore akkus filter stoffe
    lumiere eclairage machinerie optiques son accessoires electricite pieds cablage consommables
    filtres moniteurs batteries distribution
    camara camaras iluminacion maquinaria opticas sonido accesorios electricidad soportes cables
    consumibles filtros monitores baterias distribucion energia
"""
_KINDS = frozenset(_WORDS.split())
_BESIDE = frozenset(
    ["department", "dept", "equipment", "package", "gear", "abteilung", "equipo", "materiel"]
)
_JOINING = frozenset(["and", "und", "et", "y", "e"])


def is_department(text: str) -> bool:
    """Return whether a text is nothing but the name of a department or kind of equipment."""
    words = [word for word in plain_label(text).split() if word not in _JOINING]
    return (
        0 < len(words) <= 4
        and words[0] in _KINDS
        and all(word in _KINDS or word in _BESIDE for word in words)
    )
