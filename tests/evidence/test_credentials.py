"""Content credentials made here, whole and spoilt, by signers that are trusted and not."""

from __future__ import annotations

import datetime as dt
import io
import json
import sys
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

import c2pa
import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from ldapp.evidence import credentials
from ldapp.evidence.closely import read_closely
from ldapp.evidence.credentials import with_credentials
from ldapp.evidence.read import read_photo
from ldapp.evidence.verify import verify
from tests.evidence.saying import weights


class Signer(NamedTuple):
    """An invented authority and a signer that it vouches for, in PEM."""

    authority: str
    chain: bytes
    key: bytes


def _name(text: str) -> x509.Name:
    return x509.Name(
        [
            x509.NameAttribute(NameOID.COUNTRY_NAME, "XX"),
            x509.NameAttribute(NameOID.ORGANIZATION_NAME, "Invented Optics"),
            x509.NameAttribute(NameOID.COMMON_NAME, text),
        ]
    )


@pytest.fixture(scope="module")
def signer() -> Signer:
    return made_signer()


def made_signer() -> Signer:
    now = dt.datetime.now(dt.UTC)
    top, own = ec.generate_private_key(ec.SECP256R1()), ec.generate_private_key(ec.SECP256R1())

    def begun(subject: str, issuer: str, key: ec.EllipticCurvePublicKey) -> x509.CertificateBuilder:
        return (
            x509.CertificateBuilder()
            .subject_name(_name(subject))
            .issuer_name(_name(issuer))
            .public_key(key)
            .serial_number(x509.random_serial_number())
            .not_valid_before(now - dt.timedelta(days=2))
            .not_valid_after(now + dt.timedelta(days=30))
            .add_extension(x509.SubjectKeyIdentifier.from_public_key(key), critical=False)
            .add_extension(
                x509.AuthorityKeyIdentifier.from_issuer_public_key(top.public_key()),
                critical=False,
            )
        )

    def usage(**given: bool) -> x509.KeyUsage:
        none = dict.fromkeys(
            (
                "digital_signature", "content_commitment", "key_encipherment",
                "data_encipherment", "key_agreement", "key_cert_sign", "crl_sign",
                "encipher_only", "decipher_only",
            ),
            False,
        )  # fmt: skip
        return x509.KeyUsage(**(none | given))

    authority = (
        begun("Invented Authority", "Invented Authority", top.public_key())
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .add_extension(usage(key_cert_sign=True, crl_sign=True), critical=True)
        .sign(top, hashes.SHA256())
    )
    camera = (
        begun("Invented Camera 7", "Invented Authority", own.public_key())
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(usage(digital_signature=True), critical=True)
        .add_extension(
            x509.ExtendedKeyUsage([ExtendedKeyUsageOID.EMAIL_PROTECTION]), critical=False
        )
        .sign(top, hashes.SHA256())
    )
    pem = serialization.Encoding.PEM
    top_pem = authority.public_bytes(pem)
    key = own.private_bytes(pem, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    return Signer(top_pem.decode(), camera.public_bytes(pem) + top_pem, key)


def signed(picture: bytes, by: Signer) -> bytes:
    manifest = {
        "claim_generator_info": [{"name": "invented camera", "version": "1"}],
        "assertions": [
            {
                "label": "c2pa.actions",
                "data": {
                    "actions": [
                        {
                            "action": "c2pa.created",
                            "digitalSourceType": "http://cv.iptc.org/newscodes/"
                            "digitalsourcetype/digitalCapture",
                        }
                    ]
                },
            }
        ],
    }
    info = c2pa.C2paSignerInfo(alg=b"es256", sign_cert=by.chain, private_key=by.key, ta_url=None)
    out = io.BytesIO()
    with c2pa.Signer.from_info(info) as key, c2pa.Builder(json.dumps(manifest)) as builder:
        builder.sign(key, "image/jpeg", io.BytesIO(picture), out)
    return out.getvalue()


@pytest.fixture(autouse=True)
def nobody_is_trusted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The person's own list does not count in tests."""
    place = tmp_path / "config" / "trusted_signers.pem"
    monkeypatch.setattr(credentials, "trusted_signers_file", lambda: place)
    return place


def test_what_matches_is_said_to_match_and_the_signer_to_be_unknown(build, save, signer):
    path = save("a.jpg", signed(build.drawn_jpeg(320, 240), signer))
    facts = read_closely(path)
    assert facts.credentials is not None
    assert (facts.credentials.outcome, facts.credentials.at) == ("matching", None)
    assert facts.credentials.signer == "Invented Camera 7"
    verdict = verify(facts)
    assert weights(verdict)["C3"] == "note"
    (says,) = (one.says for one in verdict.reasons if one.code == "C3")
    assert "Invented Camera 7 is not among the signers trusted here" in says


def test_a_signer_is_trusted_by_the_list_of_the_desk_only(build, save, signer, nobody_is_trusted):
    path = save("a.jpg", signed(build.drawn_jpeg(320, 240), signer))
    facts = read_photo(path)
    trusted = with_credentials(path, facts, signer.authority)
    assert trusted.credentials is not None
    assert trusted.credentials.outcome == "trusted"
    # Without a time-stamp the signature says nothing about when.
    assert weights(verify(trusted))["C3"] == "note"
    other = made_signer()
    assert with_credentials(path, facts, other.authority).credentials.outcome == "matching"
    nobody_is_trusted.parent.mkdir()
    nobody_is_trusted.write_text(signer.authority, encoding="ascii")
    assert with_credentials(path, facts).credentials.outcome == "trusted"
    nobody_is_trusted.write_bytes(b"\xff\xfe")
    assert with_credentials(path, facts).credentials.outcome == "matching"


def test_one_changed_pixel_breaks_them(build, save, signer):
    data = bytearray(signed(build.drawn_jpeg(320, 240), signer))
    at = data.rindex(b"\xff\xda") + 200
    data[at] ^= 1
    facts = read_closely(save("a.jpg", bytes(data)))
    assert facts.credentials is not None
    assert facts.credentials.outcome == "broken"
    assert weights(verify(facts))["C2"] == "undermines"


def test_a_changed_signature_and_a_changed_claim_break_them(build, save, signer):
    whole = signed(build.drawn_jpeg(320, 240), signer)
    for what in (b"invented camera", b"c2pa.created"):
        spoilt = whole.replace(what, what[:-1] + b"X", 1)
        assert spoilt != whole
        facts = read_closely(save("a.jpg", spoilt))
        assert facts.credentials is not None
        assert facts.credentials.outcome in ("broken", "unclear")


def test_credentials_that_cannot_be_read_stay_open(build, save):
    piece = build.segment(0xEB, b"JP\0\1\0\0\0\1" + b"\0\0\0\x20jumb" + b"c2pa" * 3)
    picture = build.drawn_jpeg(320, 240)
    facts = read_closely(save("a.jpg", picture[:2] + piece + picture[2:]))
    assert facts.content_credentials
    assert facts.credentials is not None
    assert facts.credentials.outcome == "unclear"
    verdict = verify(facts)
    assert weights(verdict)["C3"] == "note"


def test_files_without_credentials_and_a_missing_library_check_nothing(
    build, save, signer, monkeypatch
):
    plain = save("a.jpg", build.drawn_jpeg(320, 240))
    assert read_closely(plain).credentials is None
    path = save("b.jpg", signed(build.drawn_jpeg(320, 240), signer))
    facts = read_photo(path)
    assert with_credentials(path, replace(facts, bytes=1 << 40)).credentials is None
    monkeypatch.setitem(sys.modules, "c2pa", None)
    unchecked = with_credentials(path, facts)
    assert unchecked == facts
    (says,) = (one.says for one in verify(unchecked).reasons if one.code == "C3")
    assert says == "Carries content credentials; not checked here."


class _Reading:
    """What the library says, put in its mouth."""

    def __init__(self, state: str, codes: tuple[str, ...], time: str | None) -> None:
        signature = {"issuer": "Invented Optics", "time": time}
        self._store = {"active_manifest": "m", "manifests": {"m": {"signature_info": signature}}}
        self._state, self._codes = state, codes

    def json(self) -> str:
        return json.dumps(self._store)

    def get_validation_results(self) -> dict[str, object]:
        failed = self._state == "Invalid"
        found = [{"code": code} for code in self._codes]
        return {"activeManifest": {"failure" if failed else "success": found}}

    def get_validation_state(self) -> str:
        return self._state


@pytest.mark.parametrize(
    ("state", "codes", "time", "outcome", "dated"),
    [
        ("Trusted", ("timeStamp.validated",), "2026-02-14T09:15:30+00:00", "trusted", True),
        ("Trusted", ("timeStamp.validated",), "2026-02-14T09:15:30", "trusted", True),
        ("Trusted", ("timeStamp.validated",), "soon", "trusted", False),
        ("Trusted", (), "2026-02-14T09:15:30+00:00", "trusted", False),
        ("Invalid", ("signingCredential.expired",), None, "unclear", False),
        ("Invalid", ("assertion.dataHash.mismatch",), None, "broken", False),
    ],
)
def test_what_the_library_says_becomes_one_of_four_outcomes(state, codes, time, outcome, dated):
    check = credentials._outcome(_Reading(state, codes, time))
    assert (check.outcome, check.at is not None) == (outcome, dated)
    assert check.signer == "Invented Optics"


def test_the_list_of_trusted_signers_lies_with_the_persons_settings(monkeypatch):
    monkeypatch.undo()
    assert credentials.trusted_signers_file().name == "trusted_signers.pem"
    assert "ldapp" in credentials.trusted_signers_file().parts
