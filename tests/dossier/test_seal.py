"""A signed dossier: who signed, when, and that one changed byte is noticed."""

from __future__ import annotations

import dataclasses
import sys
from pathlib import Path

import pikepdf
import pytest
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.validation import validate_pdf_signature
from pyhanko.sign.validation.status import PdfSignatureStatus
from pyhanko_certvalidator import ValidationContext

from ldapp.claim.claim import Claim
from ldapp.dossier.seal import SealingKey, is_sealing_installed, seal
from ldapp.errors import LdappError, MachineError
from tests.dossier.conftest import Write
from tests.dossier.independent_checks import failed_rules
from tests.dossier.signing import STAMPED_AT, TestAuthority

PASSWORD = "not kept anywhere"


@pytest.fixture(scope="module")
def authority() -> TestAuthority:
    return TestAuthority()


@pytest.fixture
def key_file(authority: TestAuthority, tmp_path: Path) -> Path:
    return authority.signer.write_key_file(tmp_path / "office.p12", PASSWORD, authority.root)


def status_of(path: Path, authority: TestAuthority) -> PdfSignatureStatus:
    trusted = ValidationContext(
        trust_roots=[authority.root.as_asn1()],
        other_certs=[authority.stamps.as_asn1()],
        allow_fetching=False,
        revocation_mode="soft-fail",
    )
    stamps = ValidationContext(
        trust_roots=[authority.root.as_asn1()],
        allow_fetching=False,
        moment=STAMPED_AT,
        revocation_mode="soft-fail",
    )
    with path.open("rb") as file:
        (signature,) = PdfFileReader(file).embedded_signatures
        return validate_pdf_signature(signature, trusted, ts_validation_context=stamps)


def test_the_signature_covers_the_whole_file_and_names_who_signed(
    write: Write, claim: Claim, authority: TestAuthority, key_file: Path
) -> None:
    result, _ = write(claim, "insurer")
    before = result.path.read_bytes()
    sealed = seal(result.path, SealingKey(key_file=key_file, password=PASSWORD))
    assert sealed.signed_by == "Invented Production Office"
    assert not sealed.time_stamped
    status = status_of(result.path, authority)
    assert status.intact
    assert status.valid
    assert status.trusted
    assert status.coverage.name == "ENTIRE_FILE"
    assert status.timestamp_validity is None
    assert result.path.read_bytes().startswith(before), "what was written stays as it was"
    with pikepdf.open(result.path) as pdf:
        assert len(pdf.pages) == result.pages
        assert not pdf.check_pdf_syntax()
    assert PASSWORD.encode() not in result.path.read_bytes()


def test_a_changed_byte_is_noticed(
    write: Write, claim: Claim, authority: TestAuthority, key_file: Path
) -> None:
    result, _ = write(claim, "photos")
    seal(result.path, SealingKey(key_file=key_file, password=PASSWORD))
    data = bytearray(result.path.read_bytes())
    place = data.index(b"stream\n") + 40
    data[place] ^= 1
    result.path.write_bytes(data)
    assert not status_of(result.path, authority).intact


def test_the_authority_is_asked_once_and_told_a_hash_alone(
    write: Write, claim: Claim, authority: TestAuthority, key_file: Path
) -> None:
    result, _ = write(claim, "dispute")
    with authority.answering() as (address, asked):
        sealed = seal(
            result.path,
            SealingKey(key_file=key_file, password=PASSWORD, time_stamp_address=address),
        )
    assert sealed.time_stamped
    assert len(asked) == 1
    assert len(asked[0]) < 100, "a hash, its kind and a number used once"
    status = status_of(result.path, authority)
    assert status.intact
    assert status.timestamp_validity is not None
    assert status.timestamp_validity.intact
    assert status.timestamp_validity.valid
    assert status.timestamp_validity.timestamp == STAMPED_AT


def test_a_signed_file_is_still_pdf_a(
    write: Write, claim: Claim, authority: TestAuthority, key_file: Path
) -> None:
    result, _ = write(dataclasses.replace(claim, documents=()), "insurer")
    with authority.answering() as (address, _):
        seal(
            result.path,
            SealingKey(key_file=key_file, password=PASSWORD, time_stamp_address=address),
        )
    assert failed_rules(result.path, "3b") == set()


def test_without_an_address_no_connection_is_opened(
    write: Write, claim: Claim, key_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    result, _ = write(claim, "photos")

    def refuse(*_: object, **__: object) -> object:
        raise AssertionError("a connection was opened")

    monkeypatch.setattr("urllib.request.urlopen", refuse)
    monkeypatch.setattr("socket.create_connection", refuse)
    seal(result.path, SealingKey(key_file=key_file, password=PASSWORD))


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"password": "wrong"}, "the password is wrong"),
        ({"key_file": Path("nowhere.p12")}, "nowhere.p12 cannot be read"),
        ({"time_stamp_address": "file:///etc/hosts"}, "is no address of a time-stamp authority"),
        ({"time_stamp_address": "http://127.0.0.1:9/"}, "gave no stamp: it gives no answer"),
    ],
)
def test_what_goes_wrong_is_a_sentence_and_the_file_is_as_it_was(
    write: Write, claim: Claim, key_file: Path, change: dict[str, object], says: str
) -> None:
    result, _ = write(claim, "photos")
    before = result.path.read_bytes()
    settings: dict[str, object] = {"key_file": key_file, "password": PASSWORD, **change}
    with pytest.raises(LdappError, match=says):
        seal(result.path, SealingKey(**settings))  # type: ignore[arg-type]
    assert result.path.read_bytes() == before
    assert not list(result.path.parent.glob(".signing-*"))


def test_what_answers_and_is_no_authority_is_said(
    write: Write, claim: Claim, authority: TestAuthority, key_file: Path
) -> None:
    result, _ = write(claim, "photos")
    with (
        authority.answering(refuses=True) as (address, _),
        pytest.raises(LdappError, match="no time-stamp authority"),
    ):
        seal(
            result.path,
            SealingKey(key_file=key_file, password=PASSWORD, time_stamp_address=address),
        )


def test_a_certificate_that_has_ended_signs_nothing(
    write: Write, claim: Claim, authority: TestAuthority, tmp_path: Path
) -> None:
    result, _ = write(claim, "photos")
    ended = authority.ended.write_key_file(tmp_path / "old.p12", PASSWORD, authority.root)
    with pytest.raises(LdappError, match="not today, so nothing was signed"):
        seal(result.path, SealingKey(key_file=ended, password=PASSWORD))


def test_a_file_that_is_no_key_file_is_said(write: Write, claim: Claim, tmp_path: Path) -> None:
    result, _ = write(claim, "photos")
    wrong = tmp_path / "letter.p12"
    wrong.write_bytes(b"Dear all")
    with pytest.raises(LdappError, match="it is no PKCS#12 file"):
        seal(result.path, SealingKey(key_file=wrong, password=PASSWORD))


def test_the_password_is_not_in_what_is_logged(key_file: Path) -> None:
    assert PASSWORD not in repr(SealingKey(key_file=key_file, password=PASSWORD))


def test_without_the_extra_a_sentence_says_how_to_get_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    assert not is_sealing_installed()
    assert "pyhanko" in sys.modules
    with pytest.raises(MachineError, match=r"pip install 'ldapp\[seal\]'"):
        seal(tmp_path / "any.pdf", SealingKey(key_file=tmp_path / "k", password=""))
