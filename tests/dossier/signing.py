"""A certificate authority, keys and a time-stamp authority, all made up and on this machine."""

from __future__ import annotations

import datetime as dt
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path

from asn1crypto import keys, tsp, x509
from cryptography import x509 as make
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import rsa
from cryptography.hazmat.primitives.serialization import pkcs12
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID
from pyhanko.sign.timestamps.dummy_client import DummyTimeStamper

STAMPED_AT = dt.datetime(2026, 3, 21, 12, 30, 15, tzinfo=dt.UTC)
NOW = dt.datetime.now(dt.UTC)


@dataclass
class Holder:
    """A key with its certificate."""

    key: rsa.RSAPrivateKey
    certificate: make.Certificate

    def as_asn1(self) -> x509.Certificate:
        der = self.certificate.public_bytes(serialization.Encoding.DER)
        return x509.Certificate.load(der)

    def key_as_asn1(self) -> keys.PrivateKeyInfo:
        der = self.key.private_bytes(
            serialization.Encoding.DER,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        )
        return keys.PrivateKeyInfo.load(der)

    def write_key_file(self, path: Path, password: str, issuer: Holder) -> Path:
        path.write_bytes(
            pkcs12.serialize_key_and_certificates(
                b"test",
                self.key,
                self.certificate,
                [issuer.certificate],
                serialization.BestAvailableEncryption(password.encode()),
            )
        )
        return path


def _holder(
    name: str, issuer: Holder | None, *, stamps: bool = False, ended: bool = False
) -> Holder:
    key = rsa.generate_private_key(65537, 2048)
    subject = make.Name([make.NameAttribute(NameOID.COMMON_NAME, name)])
    begins = NOW - dt.timedelta(days=900)
    ends = NOW - dt.timedelta(days=3) if ended else NOW + dt.timedelta(days=30)
    builder = (
        make.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer.certificate.subject if issuer else subject)
        .public_key(key.public_key())
        .serial_number(make.random_serial_number())
        .not_valid_before(begins)
        .not_valid_after(ends)
        .add_extension(make.BasicConstraints(ca=issuer is None, path_length=None), critical=True)
        .add_extension(
            make.KeyUsage(
                digital_signature=issuer is not None,
                content_commitment=issuer is not None and not stamps,
                key_encipherment=False,
                data_encipherment=False,
                key_agreement=False,
                key_cert_sign=issuer is None,
                crl_sign=issuer is None,
                encipher_only=False,
                decipher_only=False,
            ),
            critical=True,
        )
    )
    if stamps:
        builder = builder.add_extension(
            make.ExtendedKeyUsage([ExtendedKeyUsageOID.TIME_STAMPING]), critical=True
        )
    signing = issuer.key if issuer else key
    return Holder(key, builder.sign(signing, hashes.SHA256()))


class TestAuthority:
    """Issues certificates to an invented signer and an invented time-stamp authority."""

    __test__ = False

    def __init__(self) -> None:
        self.root = _holder("Invented Root", None)
        self.signer = _holder("Invented Production Office", self.root)
        self.ended = _holder("Invented Former Office", self.root, ended=True)
        self.stamps = _holder("Invented Time-Stamp Authority", self.root, stamps=True)

    @contextmanager
    def answering(self, *, refuses: bool = False) -> Iterator[tuple[str, list[bytes]]]:
        """Answer time-stamp requests on the loopback; yields the address and what was asked."""
        asked: list[bytes] = []
        stamper = DummyTimeStamper(
            self.stamps.as_asn1(), self.stamps.key_as_asn1(), fixed_dt=STAMPED_AT
        )

        class Handler(BaseHTTPRequestHandler):
            def do_POST(self) -> None:
                data = self.rfile.read(int(self.headers["Content-Length"]))
                asked.append(data)
                if refuses:
                    answer, kind = b"<html>no such page</html>", "text/html"
                else:
                    request = tsp.TimeStampReq.load(data)
                    answer = stamper.request_tsa_response(request).dump()
                    kind = "application/timestamp-reply"
                self.send_response(200)
                self.send_header("Content-Type", kind)
                self.send_header("Content-Length", str(len(answer)))
                self.end_headers()
                self.wfile.write(answer)

            def log_message(self, *args: object) -> None:
                """Be quiet."""

        server = HTTPServer(("127.0.0.1", 0), Handler)
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        try:
            yield f"http://127.0.0.1:{server.server_port}/stamp", asked
        finally:
            server.shutdown()
            thread.join()
            server.server_close()
