"""Content credentials (C2PA): do hashes and signature match, and who signed?

The check is that of the standard's own library, an optional part; nothing is fetched from
a network.  Whom to trust is the desk's to say: certificates of authorities in PEM, in the
file that :func:`trusted_signers_file` names.  Without them nobody is trusted, and what
matches is said to match and no more.
"""

from __future__ import annotations

import importlib
import json
import logging
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final

import platformdirs

from ldapp.claim.photo_facts import CredentialsCheck, PhotoFacts

_log = logging.getLogger(__name__)

_LIBRARY: Final = "c2pa"
_BROKEN: Final = (".mismatch", ".missing", ".inaccessible")
"""Ends of the standard's failure codes that say that something does not belong together."""
_LARGEST: Final = 512 << 20
_MOST_ANCHORS: Final = 1 << 20


def trusted_signers_file() -> Path:
    """Return the place of the certificates of those whom the desk trusts to sign pictures."""
    return Path(platformdirs.user_config_dir("ldapp", appauthor=False)) / "trusted_signers.pem"


def with_credentials(path: Path, facts: PhotoFacts, anchors: str | None = None) -> PhotoFacts:
    """Return the facts with the check of the content credentials, where the file has some.

    ``anchors`` are certificates in PEM; without them those of :func:`trusted_signers_file`
    count.  Where the library is not installed the credentials stay unchecked.  Never
    raises for a bad file.
    """
    if not facts.content_credentials or facts.kind is None or facts.bytes > _LARGEST:
        return facts
    try:
        library: Any = importlib.import_module(_LIBRARY)
    except ImportError:
        return facts
    trusted = _kept_anchors() if anchors is None else anchors
    return replace(facts, credentials=_check(library, path, facts.kind, trusted))


def _kept_anchors() -> str:
    try:
        with trusted_signers_file().open(encoding="ascii") as file:
            return file.read(_MOST_ANCHORS)
    except (OSError, ValueError):
        return ""


def _check(library: Any, path: Path, kind: str, anchors: str) -> CredentialsCheck:
    settings = {
        "verify": {"remote_manifest_fetch": False, "ocsp_fetch": False, "verify_trust": True},
        "trust": {"user_anchors": anchors} if anchors.strip() else {},
    }
    try:
        context = library.Context(library.Settings.from_dict(settings))
        with path.open("rb") as file, library.Reader(kind, file, context=context) as reader:
            return _outcome(reader)
    except (library.C2paError, OSError, ValueError) as error:
        _log.info("The content credentials of %s could not be checked: %s", path, error)
        return CredentialsCheck(outcome="unclear")


def _outcome(reader: Any) -> CredentialsCheck:
    store = json.loads(reader.json())
    active = store["manifests"][store["active_manifest"]]
    signature = active.get("signature_info") or {}
    signer = str(signature.get("common_name") or signature.get("issuer") or "")
    results = (reader.get_validation_results() or {}).get("activeManifest") or {}
    failures = [str(one.get("code", "")) for one in results.get("failure") or ()]
    verified = {str(one.get("code", "")) for one in results.get("success") or ()}
    state = reader.get_validation_state()
    if any(code.endswith(_BROKEN) for code in failures):
        return CredentialsCheck(outcome="broken", signer=signer)
    if state not in ("Valid", "Trusted"):
        return CredentialsCheck(outcome="unclear", signer=signer)
    at = _moment(signature.get("time")) if "timeStamp.validated" in verified else None
    return CredentialsCheck(
        outcome="trusted" if state == "Trusted" else "matching", signer=signer, at=at
    )


def _moment(text: object) -> datetime | None:
    try:
        moment = datetime.fromisoformat(str(text))
    except ValueError:
        return None
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)
