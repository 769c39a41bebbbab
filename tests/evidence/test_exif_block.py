"""The limits of the tag reader, and the odd values it must bear."""

from __future__ import annotations

import struct

import pytest

from ldapp.evidence.exif_block import (
    MOST_DIRECTORIES,
    MOST_ENTRIES,
    Entry,
    decode_text,
    open_block,
)
from ldapp.evidence.read import read_photo
from ldapp.evidence.source import LARGEST_METADATA, Held, Part


@pytest.mark.parametrize("head", [b"", b"II*\0", b"XX*\0\0\0\0\0", b"II\0*\0\0\0\0", b"\xff" * 8])
def test_what_is_no_block(head):
    assert open_block(Held(head)) is None


@pytest.mark.parametrize("head", [b"II*\0\x08\0\0\0", b"MM\0*\0\0\0\x08", b"IIU\0\x08\0\0\0"])
def test_what_is_one(head):
    block = open_block(Held(head))
    assert block is not None
    assert block.first == 8


def test_no_directory_is_read_twice():
    """The next directory of the first is the first: the oldest trap there is."""
    data = b"II*\0\x08\0\0\0" + struct.pack("<HHHII", 1, 0x0112, 3, 1, 6) + b"\x08\0\0\0"
    block = open_block(Held(data))
    assert block is not None
    found, after = block.directory(block.first)
    assert (block.integer(found, 0x0112), after) == (6, 8)
    assert block.directory(after) == ({}, 0)
    assert not block.broken


def test_too_many_directories():
    block = open_block(Held(b"II*\0\x08\0\0\0" + bytes(4000)))
    assert block is not None
    for number in range(MOST_DIRECTORIES):
        block.directory(8 + 6 * number)
    assert not block.broken
    block.directory(3000)
    assert block.broken


@pytest.mark.parametrize(
    "directory",
    [
        struct.pack("<H", MOST_ENTRIES + 1) + bytes(12 * MOST_ENTRIES + 20),
        struct.pack("<HHHII", 3, 0x0112, 3, 1, 6),
        b"\1",
    ],
)
def test_broken_directories(directory):
    block = open_block(Held(b"II*\0\x08\0\0\0" + directory))
    assert block is not None
    block.directory(8)
    assert block.broken


def test_the_first_of_two_entries_counts():
    entries = struct.pack("<HHII", 0x0112, 3, 1, 6) + struct.pack("<HHII", 0x0112, 3, 1, 3)
    block = open_block(Held(b"II*\0\x08\0\0\0" + struct.pack("<H", 2) + entries))
    assert block is not None
    found, after = block.directory(8)
    assert (block.integer(found, 0x0112), after) == (6, 0)


def test_values_outside_the_block_are_none():
    block = open_block(Held(b"II*\0\x08\0\0\0" + bytes(20)))
    assert block is not None
    outside = {
        1: Entry(2, 40, 20), 2: Entry(3, 9, 20), 3: Entry(5, 1, 24), 4: Entry(2, 0xFFFFFFFF, 20),
        5: Entry(3, 0xFFFFFFFF, 20), 6: Entry(12, 1, 0), 7: Entry(5, 0, 8),
    }  # fmt: skip
    assert block.text(outside, 1) is None
    assert block.raw_text(outside, 1) is None
    assert block.integers(outside, 2) == ()
    assert block.rationals(outside, 3) == ()
    assert block.text(outside, 4) is None
    assert block.integer(outside, 5) == 0
    assert block.broken
    assert block.integers(outside, 6) == ()
    assert block.rationals(outside, 6) == ()
    assert block.rationals(outside, 7) == ()
    assert block.rationals(outside, 99) == ()
    assert block.pointed(outside, 99) == {}
    assert block.raw_text(outside, 99) is None


def test_all_values_together_have_a_limit():
    block = open_block(Held(b"II*\0\x08\0\0\0" + bytes(9 << 20)))
    assert block is not None
    entry = Entry(7, 1 << 20, 8)
    for _ in range(LARGEST_METADATA >> 20):
        assert block.bytes_of(entry, 1 << 20)
    assert block.bytes_of(entry, 1 << 20) == b""
    assert block.broken


def test_text():
    assert decode_text(b"Invented  \0rest") == ("Invented", False)
    assert decode_text("Größe".encode()) == ("Größe", False)
    assert decode_text(b"Caf\xe9") == ("Café", True)


def test_parts_keep_to_their_limits():
    whole = Held(b"0123456789")
    part = Part(whole, 2, 4)
    assert part.size == 4
    assert part.read(0, 99) == b"2345"
    assert part.read(3, 2) == b"5"
    assert part.read(4, 2) == part.read(-1, 2) == part.read(0, 0) == b""
    assert whole.read(-1, 2) == whole.read(0, -1) == b""
    assert Part(whole, 8, 99).size == 2
    assert Part(whole, 50, 5).size == 0


def test_a_count_of_gigabytes_costs_nothing(build, save):
    data = build.tiff({0x010F: (2, b"Invented\0")}, {0x9003: build.ascii("2026:02:14 10:15:30")})
    at = data.index(struct.pack("<HHI", 0x010F, 2, 9))
    odd = bytearray(data)
    odd[at + 4 : at + 8] = b"\xff\xff\xff\xff"
    facts = read_photo(save("a.jpg", build.jpeg(bytes(odd))))
    assert facts.taken is not None
