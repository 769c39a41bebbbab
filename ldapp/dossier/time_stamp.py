"""Asks a time-stamp authority when a signature was there (RFC 3161, over HTTP as in its 3.4).

This is the one place of the program that opens a connection: to the address that the person
gave, at the moment of signing, and nothing but the hash of the signature is told.
"""

from __future__ import annotations

import asyncio
import urllib.error
import urllib.request
from urllib.parse import urlsplit

from asn1crypto import tsp
from pyhanko.sign.timestamps import TimeStamper
from pyhanko.sign.timestamps.common_utils import TimestampRequestError

from ldapp.language import said

_TIMEOUT_SECONDS = 20
_LARGEST_ANSWER = 1_000_000
"""Bytes; a token with its certificates has some thousand."""


class AddressedTimeStamper(TimeStamper):
    """Asks the authority at an http or https address, once for each signature."""

    def __init__(self, address: str) -> None:
        super().__init__()  # type: ignore[no-untyped-call]  # missing in its types
        self._address = address

    async def async_request_tsa_response(self, req: tsp.TimeStampReq) -> tsp.TimeStampResp:
        """Send the request and return the authority's answer.

        Raises:
            TimestampRequestError: there is no answer, or it is none to this question.
        """
        return await asyncio.to_thread(self._ask, req.dump())

    def _ask(self, question: bytes) -> tsp.TimeStampResp:
        request = urllib.request.Request(
            self._address,
            data=question,
            headers={
                "Content-Type": "application/timestamp-query",
                "Accept": "application/timestamp-reply",
            },
        )
        try:
            with urllib.request.urlopen(request, timeout=_TIMEOUT_SECONDS) as answer:
                kind = answer.headers.get_content_type()
                data = answer.read(_LARGEST_ANSWER + 1)
        except (OSError, ValueError) as error:
            reason = getattr(error, "reason", None) or error
            raise TimestampRequestError(
                said("it gives no answer ({reason})", reason=reason)
            ) from error
        if kind != "application/timestamp-reply" or len(data) > _LARGEST_ANSWER:
            raise TimestampRequestError(said("what answers there is no time-stamp authority"))
        return tsp.TimeStampResp.load(data)


def is_address(text: str) -> bool:
    """Return whether a text is an http or https address with a host."""
    try:
        parts = urlsplit(text)
        return parts.scheme in ("http", "https") and bool(parts.hostname)
    except ValueError:
        return False
