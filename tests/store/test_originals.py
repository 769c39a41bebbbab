"""Originals are kept once, never rewritten, and found out when they change."""

import errno
import hashlib
import os
import shutil
import stat
import time
from concurrent.futures import ThreadPoolExecutor

import pytest

from ldapp.claim.claim import Claim
from ldapp.claim.documents import Document
from ldapp.claim.photo_facts import PhotoFacts
from ldapp.claim.photos import Photo
from ldapp.errors import Cancelled, LdappError, MachineError
from ldapp.store import originals as originals_module
from ldapp.store.claim_library import Library
from tests.store.made_claims import summary_of

CONTENT = b"a picture" * 300_000
NAME = hashlib.sha256(CONTENT).hexdigest()


@pytest.fixture
def picture(tmp_path):
    path = tmp_path / "IMG_1.JPG"
    path.write_bytes(CONTENT)
    return path


def _with_photo(library, sha256=NAME):
    facts = PhotoFacts(file_name="IMG_1.JPG", sha256=sha256, bytes=1)
    claim = Claim(
        id="c", reference="R-1", currency="USD", zone="UTC",
        photos=(Photo(id="p", name="IMG_1.JPG", facts=facts),),
        documents=(Document(id="d", title="Not taken in"),),
    )  # fmt: skip
    library.create(claim, who="", label="", summary=summary_of(claim))


def test_a_file_is_kept_under_its_hash_and_read_only(library, picture):
    stored = library.originals.put_file(picture)
    path = library.originals.path_of(NAME)
    assert stored == (NAME, len(CONTENT))
    assert path == library.folder / "originals" / NAME[:2] / NAME[2:]
    assert path.read_bytes() == CONTENT
    assert stat.S_IMODE(path.stat().st_mode) == 0o444
    with library.originals.open(NAME) as source:
        assert source.read() == CONTENT
    assert library.originals.has(NAME)
    assert library.originals.path(NAME) == path


def test_the_same_file_twice_is_one_original_and_not_written_again(library, picture):
    library.originals.put_file(picture)
    before = library.originals.path_of(NAME).stat()
    assert library.originals.put_bytes(CONTENT).sha256 == NAME
    after = library.originals.path_of(NAME).stat()
    assert (before.st_ino, before.st_mtime_ns) == (after.st_ino, after.st_mtime_ns)
    assert not list((library.originals.folder / ".incoming").iterdir())


def test_an_empty_file_is_an_original_too(library, tmp_path):
    (tmp_path / "empty").touch()
    stored = library.originals.put_file(tmp_path / "empty")
    assert stored == (hashlib.sha256(b"").hexdigest(), 0)
    assert library.originals.path_of(stored.sha256).read_bytes() == b""


def test_many_threads_may_take_in_the_same_files(library, tmp_path):
    for number in range(20):
        (tmp_path / f"{number}.jpg").write_bytes(bytes([number]) * 50_000)
    paths = [tmp_path / f"{number % 20}.jpg" for number in range(100)]
    with ThreadPoolExecutor(8) as pool:
        stored = list(pool.map(library.originals.put_file, paths))
    assert len({one.sha256 for one in stored}) == 20
    assert library.originals.check() == ()
    assert len(list(library.originals.folder.glob("??/*"))) == 20


def test_a_changed_original_is_found_and_named(library, picture):
    library.originals.put_file(picture)
    _with_photo(library)
    assert library.originals.check() == ()
    path = library.originals.path_of(NAME)
    path.chmod(0o644)
    with path.open("r+b") as file:
        file.seek(1_234_567)
        byte = file.read(1)
        file.seek(1_234_567)
        file.write(bytes([byte[0] ^ 1]))
    (found,) = library.originals.check()
    assert "IMG_1.JPG of R-1" in found
    assert "was changed after it was taken in" in found
    with pytest.raises(MachineError, match="was changed on the disk"):
        library.originals.put_file(picture)


def test_a_missing_original_is_found_and_named_and_can_be_taken_in_again(library, picture):
    library.originals.put_file(picture)
    _with_photo(library)
    library.originals.path_of(NAME).unlink()
    (found,) = library.originals.check()
    assert found == f"The original IMG_1.JPG of R-1 ({NAME[:12]}…) is missing."
    with pytest.raises(MachineError, match="is missing"):
        library.originals.path_of(NAME)
    library.originals.put_file(picture)
    assert library.originals.check() == ()


def test_the_original_of_a_removed_claim_is_still_watched(library, picture):
    library.originals.put_file(picture)
    _with_photo(library)
    library.remove("c")
    library.originals.path_of(NAME).unlink()
    (found,) = library.originals.check()
    assert "is missing" in found


def test_a_check_tells_how_far_it_is_and_can_be_cancelled(library, tmp_path):
    for number in range(3):
        library.originals.put_bytes(bytes([number]))
    steps = []
    library.originals.check(lambda done, of: steps.append((done, of)))
    assert steps == [(0, 3), (1, 3), (2, 3), (3, 3)]

    def cancel(_done, _of):
        raise Cancelled

    with pytest.raises(Cancelled):
        library.originals.check(cancel)


@pytest.mark.parametrize("name", ["", "../../etc/passwd", "ABC", "0" * 63, "0" * 63 + "/"])
def test_what_is_no_hash_leads_to_no_file(library, name):
    assert not library.originals.has(name)
    with pytest.raises(LdappError, match="no SHA-256"):
        library.originals.path_of(name)


def test_a_file_that_is_not_there_gets_a_sentence(library, tmp_path):
    with pytest.raises(MachineError, match=r"gone\.jpg cannot be read"):
        library.originals.put_file(tmp_path / "gone.jpg")
    with pytest.raises(MachineError, match="cannot be read"):
        library.originals.put_file(tmp_path)


def test_a_full_disk_gets_a_sentence_and_leaves_nothing_half_written(library, picture, monkeypatch):
    def full(target, block):
        os.write(target.fileno(), block[:100])
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(originals_module, "_write_all", full)
    with pytest.raises(MachineError, match="is full"):
        library.originals.put_file(picture)
    monkeypatch.undo()
    assert not library.originals.has(NAME)
    assert not list(library.originals.folder.rglob("*.part"))
    library.originals.put_file(picture)


def test_originals_that_are_gone_are_not_hidden_by_an_empty_folder(
    library, folder, picture, tmp_path
):
    library.originals.put_file(picture)
    _with_photo(library)
    library.close()
    shutil.move(folder / "originals", tmp_path / "unplugged")
    other = Library.open(folder)
    try:
        assert other.load("c")[0].photos
        for ask in (
            lambda: other.originals.put_file(picture),
            lambda: other.originals.path_of(NAME),
            other.originals.check,
        ):
            with pytest.raises(MachineError, match=r"folder of originals .* is gone"):
                ask()
        shutil.move(tmp_path / "unplugged", folder / "originals")
        assert other.originals.check() == ()
    finally:
        other.close()


def test_what_a_killed_program_left_is_cleared_after_a_day(library, folder):
    incoming = folder / "originals" / ".incoming"
    incoming.mkdir(exist_ok=True)
    (incoming / "old.part").touch()
    os.utime(incoming / "old.part", (time.time() - 100_000,) * 2)
    (incoming / "new.part").touch()
    Library.open(folder).close()
    assert [one.name for one in incoming.iterdir()] == ["new.part"]


def test_photos_with_a_hash_that_is_none_do_not_upset_the_library(library):
    _with_photo(library, sha256="unknown")
    assert library.originals.check() == ()
    photo = library.load("c")[0].photos[0]
    assert photo.facts.sha256 == "unknown"


@pytest.mark.parametrize("most_held", [originals_module.MOST_HELD, 1000])
def test_a_disk_that_gives_other_bytes_back_is_found_out(library, picture, monkeypatch, most_held):
    def alter(target, block):
        os.write(target.fileno(), block[:-5] + bytes([block[-5] ^ 1]) + block[-4:])

    monkeypatch.setattr(originals_module, "MOST_HELD", most_held)
    monkeypatch.setattr(originals_module, "_write_all", alter)
    with pytest.raises(MachineError, match="the disk gives other bytes back"):
        library.originals.put_file(picture)
    monkeypatch.undo()
    assert not library.originals.has(NAME)
    assert not list(library.originals.folder.rglob("*.part"))


def test_a_copy_with_more_or_less_than_was_written_is_found_out(library, picture, monkeypatch):
    for wrong in (lambda block: block[:-1], lambda block: block + b"x"):

        def alter(target, block, wrong=wrong):
            os.write(target.fileno(), wrong(block))

        monkeypatch.setattr(originals_module, "_write_all", alter)
        with pytest.raises(MachineError, match="other bytes back"):
            library.originals.put_file(picture)


def test_a_large_file_is_verified_by_its_hash(library, picture, monkeypatch):
    monkeypatch.setattr(originals_module, "MOST_HELD", 1000)
    assert library.originals.put_file(picture).sha256 == NAME


def test_folders_are_open_to_everybody_to_whom_the_shared_folder_is(tmp_path):
    """Otherwise the second person could take nothing in whose hash begins as the first's."""
    shared = tmp_path / "shared"
    shared.mkdir()
    shared.chmod(0o2775)
    before = os.umask(0o022)
    try:
        originals_module.Originals(shared, tuple).put_bytes(b"a photo")
    finally:
        os.umask(before)
    made = [one for one in shared.iterdir() if one.is_dir()]
    assert len(made) == 2
    assert {stat.S_IMODE(one.stat().st_mode) for one in made} == {0o2775}
