"""Damaged files, each from a seed and a number, so that one that failed can be made again."""

from __future__ import annotations

import io
import json
import random
import struct
import zipfile
from collections.abc import Callable, Sequence
from typing import Any

HEAD = 64 << 10
"""Where photo files keep what is read first; most damage is done here."""

HOSTILE: tuple[Any, ...] = (
    None, True, False, 0, -1, 2**63, 1e308, -0.0, "", " ", "\x00", "\ud83d", "a" * 10_000,
    "../../x", "1e9999", "-5", "0.1", "99999999999999999999999999", "NaN", "1/0", "3/7",
    "2026-02-30", "0001-01-01T00:00:00+23:59", "9999-12-31T23:59:59-23:59",
    "2026-03-02T07:41:09-07:00", [], {}, [[[[]]]], {"id": "x"}, ["x"], "USD", "Mars/Base",
    "<b>&amp;</b>", "=1+1", "%s%n{0}", "'; DROP TABLE claim; --", "\u202eabc",
)  # fmt: skip
"""Values that stand where others are expected."""


def chance(seed: int, number: int) -> random.Random:
    """Return the dice of one damaged file."""
    return random.Random(f"{seed}/{number}")


def damaged_bytes(dice: random.Random, whole: Sequence[bytes]) -> bytes:
    """Flip bits, overwrite, cut, repeat, or put the head of one file before the rest of another."""
    data = bytearray(dice.choice(whole))
    for _ in range(dice.choice((1, 1, 1, 2, 3, 5, 20))):
        if not data:
            break
        reach = len(data) if dice.random() < 0.3 else min(len(data), HEAD)
        at = dice.randrange(reach)
        match dice.randrange(8):
            case 0 | 1:
                data[at] ^= 1 << dice.randrange(8)
            case 2:
                word = dice.choice((b"\xff" * 4, bytes(4), b"\x7f\xff\xff\xff", b"\x80\0\0\0"))
                data[at : at + len(word)] = word
            case 3:
                data[at : at + 2] = struct.pack(dice.choice("<>") + "H", dice.randrange(1 << 16))
            case 4:
                del data[at:]
            case 5:
                del data[at : at + dice.randint(1, 400)]
            case 6:
                data[at:at] = data[at : at + dice.randint(1, 4000)]
            case _:
                other = dice.choice(whole)
                data[at:] = other[dice.randrange(min(len(other), HEAD)) :]
    return bytes(data)


def damaged_json(dice: random.Random, whole: Sequence[bytes]) -> bytes:
    """Put a hostile value or an unknown key somewhere into a claim file, or damage its bytes."""
    text = dice.choice(whole)
    if dice.random() < 0.2:
        return damaged_bytes(dice, (text,))
    data = json.loads(text)
    for _ in range(dice.choice((1, 1, 2, 5))):
        holder, key = _somewhere(dice, data)
        match dice.randrange(4):
            case 0 if isinstance(holder, dict):
                holder[f"{key}_"] = holder[key]
            case 1:
                del holder[key]
            case _:
                holder[key] = dice.choice(HOSTILE)
    return json.dumps(data).encode("utf-8", "surrogatepass")


def _somewhere(dice: random.Random, data: Any) -> tuple[Any, Any]:
    """Walk down by chance until a leaf or a wish to stop; return its holder and key."""
    holder: Any = data
    while True:
        keys = list(holder) if isinstance(holder, dict) else list(range(len(holder)))
        if not keys:
            holder = data
            continue
        key = dice.choice(keys)
        inner = holder[key]
        if not isinstance(inner, dict | list) or not inner or dice.random() < 0.15:
            return holder, key
        holder = inner


def damaged_archive(dice: random.Random, whole: Sequence[bytes]) -> bytes:
    """Damage one file inside a ZIP archive and pack it anew, or the archive itself."""
    data = dice.choice(whole)
    if dice.random() < 0.4:
        return damaged_bytes(dice, (data,))
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        parts = [(one, archive.read(one)) for one in archive.infolist()]
    chosen = dice.randrange(len(parts))
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for number, (entry, content) in enumerate(parts):
            if number != chosen:
                archive.writestr(entry.filename, content)
            elif dice.random() < 0.8:
                archive.writestr(entry.filename, _damaged_part(dice, content))
    return made.getvalue()


_XML_DAMAGE: tuple[Callable[[random.Random, bytes], bytes], ...] = (
    lambda dice, text: text.replace(b"1", str(dice.randrange(1 << 40)).encode()),
    lambda dice, text: text.replace(b"</", b"<", dice.randint(1, 3)),
    lambda dice, text: b'<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/hostname">]>' + text,
    lambda dice, text: text.replace(b">", b">&e;", dice.randint(1, 3)),
)


def _damaged_part(dice: random.Random, content: bytes) -> bytes:
    if content.lstrip().startswith(b"<") and dice.random() < 0.5:
        return dice.choice(_XML_DAMAGE)(dice, content)
    return damaged_bytes(dice, (content,))
