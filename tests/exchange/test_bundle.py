"""Bundles: the claim comes back, every changed byte is found, traps are refused by name."""

from __future__ import annotations

import dataclasses
import hashlib
import io
import stat
import zipfile
from pathlib import Path

import bagit
import pytest

from ldapp.claim.claim import Claim
from ldapp.claim.documents import Document
from ldapp.claim.photo_facts import PhotoFacts
from ldapp.claim.photos import Photo
from ldapp.errors import InputError, LdappError, MachineError
from ldapp.exchange.bundle import open_bundle, verify_bundle
from ldapp.exchange.bundle_writing import write_complete_bundle
from tests.rich_claim import rich_claim


@dataclasses.dataclass
class Folder:
    """Originals by hash in a folder."""

    path: Path

    def put(self, data: bytes) -> str:
        sha256 = hashlib.sha256(data).hexdigest()
        (self.path / sha256).write_bytes(data)
        return sha256

    def path_of(self, sha256: str) -> Path:
        if not (self.path / sha256).exists():
            raise LdappError(f"The original {sha256} is missing.")
        return self.path / sha256


@pytest.fixture
def originals(tmp_path: Path) -> Folder:
    folder = Folder(tmp_path / "originals")
    folder.path.mkdir()
    return folder


@pytest.fixture
def claim(originals: Folder) -> Claim:
    photo = originals.put(b"\xff\xd8 a photo " * 20)
    paper = originals.put(b"%PDF-1.7 a paper")
    return dataclasses.replace(
        rich_claim(),
        photos=(
            Photo(
                id="photo-1",
                name="../../IMG 0412.JPG",
                facts=PhotoFacts(file_name="IMG 0412.JPG", sha256=photo, bytes=220),
            ),
        ),
        documents=(
            Document(id="document-1", title="Agreement", name="a.pdf", sha256=paper, bytes=16),
            Document(id="document-2", title="Not taken in"),
        ),
    )


@pytest.fixture
def bundle(tmp_path: Path, claim: Claim, originals: Folder) -> Path:
    dossier = tmp_path / "dossier.pdf"
    dossier.write_bytes(b"%PDF-1.7 the dossier")
    return write_complete_bundle(claim, originals, tmp_path / "bundle.zip", [dossier])


def entries(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def rewritten(path: Path, files: dict[str, bytes]) -> Path:
    with zipfile.ZipFile(path, "w") as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return path


def refusal(path: Path) -> str:
    with pytest.raises(InputError) as caught:
        verify_bundle(path)
    return str(caught.value)


def test_a_bundle_verifies_and_gives_the_claim_back(
    bundle: Path, claim: Claim, originals: Folder, tmp_path: Path
) -> None:
    assert verify_bundle(bundle) == ()
    opened = open_bundle(bundle, tmp_path / "laid out")
    photo, document = opened.claim.photos[0], opened.claim.documents[0]
    assert (opened.folder / photo.path).read_bytes() == originals.path_of(
        photo.facts.sha256
    ).read_bytes()
    assert (opened.folder / document.path).read_bytes() == b"%PDF-1.7 a paper"
    without_paths = dataclasses.replace(
        opened.claim,
        photos=(dataclasses.replace(photo, path=""),),
        documents=(dataclasses.replace(document, path=""), opened.claim.documents[1]),
    )
    assert without_paths == claim
    assert (opened.folder / "dossier.pdf").read_bytes() == b"%PDF-1.7 the dossier"


def test_other_tools_can_verify_it(bundle: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(bundle) as archive:
        assert archive.testzip() is None
        archive.extractall(tmp_path / "out")
    (root,) = (tmp_path / "out").iterdir()
    bag = bagit.Bag(str(root))
    assert bag.version_info == (1, 0)
    assert bag.is_valid()
    for line in (root / "manifest-sha256.txt").read_text().splitlines():
        sha256, path = line.split("  ")
        assert hashlib.sha256((root / path).read_bytes()).hexdigest() == sha256


def test_the_same_claim_gives_the_same_bytes(
    bundle: Path, claim: Claim, originals: Folder, tmp_path: Path
) -> None:
    (tmp_path / "elsewhere").mkdir()
    again = write_complete_bundle(
        claim, originals, tmp_path / "elsewhere" / "other.zip", [tmp_path / "dossier.pdf"]
    )
    assert again.read_bytes() == bundle.read_bytes()


def test_any_changed_byte_is_found_and_named(bundle: Path) -> None:
    whole = bundle.read_bytes()
    with zipfile.ZipFile(bundle) as archive:
        photo = next(one for one in archive.infolist() if one.filename.endswith(".JPG"))
    for position in range(0, len(whole), max(1, len(whole) // 120)):
        changed = bytearray(whole)
        changed[position] ^= 0x21
        bundle.write_bytes(changed)
        try:
            found = verify_bundle(bundle)
        except InputError:
            continue
        assert found, f"byte {position} was changed and nothing was said"
    changed = bytearray(whole)
    changed[photo.header_offset + 200] ^= 1
    bundle.write_bytes(changed)
    (sentence,) = verify_bundle(bundle)
    assert sentence.startswith("data/originals/")
    assert ".JPG: its bytes were changed" in sentence


def test_a_changed_file_with_a_right_archive_is_named(bundle: Path, tmp_path: Path) -> None:
    files = entries(bundle)
    name = next(name for name in files if name.endswith(".JPG"))
    files[name] += b"!"
    del files[next(name for name in files if name.endswith(".pdf") and "originals" in name)]
    files[f"{name.split('/')[0]}/data/new.txt"] = b"added"
    sentences = verify_bundle(rewritten(bundle, files))
    assert sorted(sentence.split(": ")[1] for sentence in sentences) == [
        "it is missing.",
        "it was added.",
        "its content is not what was written.",
    ]
    with pytest.raises(InputError, match=r"new\.txt: it was added"):
        open_bundle(bundle, tmp_path / "laid out")


def test_a_changed_list_of_hashes_is_named_itself(bundle: Path, tmp_path: Path) -> None:
    files = entries(bundle)
    name = next(one for one in files if one.endswith("/manifest-sha256.txt"))
    text = bytearray(files[name])
    text[text.index(b"/originals/") + 12] ^= 1
    files[name] = bytes(text)
    found = verify_bundle(rewritten(tmp_path / "changed.zip", files))
    assert "manifest-sha256.txt: its content is not what was written." in found


def test_an_archive_packed_anew_is_told_apart_from_changed_files(bundle: Path) -> None:
    (sentence,) = verify_bundle(rewritten(bundle, entries(bundle)))
    assert "the files in it are unchanged" in sentence


@pytest.mark.parametrize(
    "name",
    [
        "../outside.txt",
        "/etc/passwd",
        "bag/../../x",
        "bag\\..\\x",
        "C:/x",
        "bag//x",
        "bag/./x",
        "bag/a\u202eb",
    ],
)
def test_paths_outside_are_refused_by_name(bundle: Path, name: str) -> None:
    files = entries(bundle)
    said = refusal(rewritten(bundle, files | {name: b"x"}))
    assert "leads outside" in said


def test_links_duplicates_locks_and_overlaps_are_refused(bundle: Path) -> None:
    files = entries(bundle)
    root = next(iter(files)).split("/")[0]
    rewritten(bundle, files)
    with zipfile.ZipFile(bundle, "a") as archive:
        link = zipfile.ZipInfo(f"{root}/data/link")
        link.create_system = 3
        link.external_attr = (stat.S_IFLNK | 0o777) << 16
        archive.writestr(link, "/etc/passwd")
    assert "link: it is a link" in refusal(bundle)
    rewritten(bundle, files | {f"{root}/data/CLAIM.json": b"x"})
    assert "CLAIM.json: the name stands twice" in refusal(bundle)
    rewritten(bundle, files)
    with pytest.warns(UserWarning, match="Duplicate"), zipfile.ZipFile(bundle, "a") as archive:
        archive.writestr(f"{root}/bagit.txt", "x")
    assert "bagit.txt: the name stands twice" in refusal(bundle)


def test_a_bomb_is_refused(bundle: Path) -> None:
    files = entries(bundle)
    root = next(iter(files)).split("/")[0]
    rewritten(bundle, files)
    with zipfile.ZipFile(bundle, "a", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(f"{root}/data/big.txt", b"0" * 40_000_000)
    assert "big.txt: it unpacks to far more" in refusal(bundle)


def test_an_entry_that_lies_over_another_is_refused(bundle: Path) -> None:
    with zipfile.ZipFile(bundle) as archive:
        first, second = archive.infolist()[:2]
        directory = archive.start_dir
    data = bytearray(bundle.read_bytes())
    at = data.index(b"PK\x01\x02", data.index(b"PK\x01\x02", directory) + 4)
    assert int.from_bytes(data[at + 42 : at + 46], "little") == second.header_offset
    data[at + 42 : at + 46] = first.header_offset.to_bytes(4, "little")
    bundle.write_bytes(data)
    assert "lies over another" in refusal(bundle)


def test_what_is_no_bundle_gets_a_sentence(tmp_path: Path, bundle: Path) -> None:
    path = tmp_path / "other.zip"
    path.write_bytes(b"no archive")
    assert "this is no bundle" in refusal(path)
    assert "this is a ZIP file, but no bundle" in refusal(rewritten(path, {"a/b.txt": b"x"}))
    assert "there is no such file" in refusal(tmp_path / "none.zip")
    assert "this is a folder" in refusal(tmp_path)
    whole = bundle.read_bytes()
    for cut in range(0, len(whole), len(whole) // 30):
        path.write_bytes(whole[:cut])
        assert "no bundle" in refusal(path)


def test_a_missing_or_changed_original_leaves_nothing_half_written(
    claim: Claim, originals: Folder, tmp_path: Path
) -> None:
    target = tmp_path / "out" / "bundle.zip"
    target.parent.mkdir()
    photo = originals.path_of(claim.photos[0].facts.sha256)
    photo.write_bytes(b"something else")
    with pytest.raises(LdappError, match="is no longer the file that was taken in"):
        write_complete_bundle(claim, originals, target)
    photo.unlink()
    with pytest.raises(LdappError, match="is missing"):
        write_complete_bundle(claim, originals, target)
    assert list(target.parent.iterdir()) == []
    with pytest.raises(MachineError, match=r"bundle\.zip cannot be written"):
        write_complete_bundle(claim, originals, tmp_path / "none" / "bundle.zip")


def test_progress_is_told_and_can_stop_the_work(
    claim: Claim, originals: Folder, tmp_path: Path
) -> None:
    told: list[tuple[int, int]] = []
    write_complete_bundle(
        claim,
        originals,
        tmp_path / "a.zip",
        progress=lambda done, total, name: told.append((done, total)),
    )
    assert told == [(0, 3), (1, 3), (2, 3), (3, 3)]


def test_entry_of_an_unknown_compression_is_no_bundle(bundle: Path) -> None:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_LZMA) as archive:
        for name, data in entries(bundle).items():
            archive.writestr(name, data)
    data = bytearray(held.getvalue())
    at = data.index(b"PK\x01\x02")
    data[at + 10 : at + 12] = (99).to_bytes(2, "little")
    bundle.write_bytes(data)
    assert any("changed in the archive" in sentence for sentence in verify_bundle(bundle))
