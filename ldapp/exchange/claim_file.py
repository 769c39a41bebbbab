"""The claim file ``ldapp-claim/1``: one claim as plain JSON, read and written.

Everything in a claim can be written as one file and read back without loss.  The same
claim gives the same bytes: keys in the order of the classes, entries that have their
default left out, amounts with the decimals of the currency, a newline at the end.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
import os
import re
import tempfile
from collections import Counter
from decimal import Decimal
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

from babel.numbers import get_currency_precision
from pydantic import TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from ldapp.claim.claim import CLAIM_FORMAT, Claim
from ldapp.errors import Fault, InputError, MachineError
from ldapp.exchange.claim_references import NUMBERS_NOT_MONEY
from ldapp.exchange.claim_survey import (
    Place,
    Survey,
    bare_type,
    expected_words,
    fields_of,
    member_type,
    nearest,
    place_text,
    shown,
    survey_claim,
)
from ldapp.language import said

LARGEST_FILE = 256 * 1024 * 1024
"""Bytes; 20,000 kit lines with 5,000 photos are about a tenth of it."""

_FORMAT = re.compile(r"ldapp-claim/([0-9]{1,9})")


@cache
def claim_adapter() -> TypeAdapter[Claim]:
    """Return the reader that pydantic derives from the classes; made once."""
    return TypeAdapter(Claim)


# --- reading ----------------------------------------------------------------------------


def read_claim_file(path: Path) -> Claim:
    """Read the claim file at ``path``.

    Raises:
        InputError: it is missing, is no claim file, or something in it is wrong; every
            fault is listed.
    """
    if path.is_dir():
        raise _refusal(path.name, said("this is a folder"), _a_claim_file())
    try:
        if path.stat().st_size > LARGEST_FILE:
            raise _refusal(
                path.name, said("the file is too large for a claim"), said("at most 256 MB")
            )
        data = path.read_bytes()
    except FileNotFoundError:
        raise _refusal(path.name, said("there is no such file"), _a_claim_file()) from None
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise _refusal(
            path.name,
            said("the file cannot be read ({reason})", reason=reason),
            said("a file that may be read"),
        ) from error
    return claim_from_json(data, path.name)


def claim_from_json(text: bytes | str, file_name: str) -> Claim:
    """Return the claim that ``text`` holds; ``file_name`` is what faults call it.

    Raises:
        InputError: something in it is wrong; every fault is listed.
    """
    if isinstance(text, bytes):
        try:
            text = text.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            raise _refusal(
                file_name,
                said("byte {start} is not UTF-8", start=error.start + 1),
                said("{what} in UTF-8", what=_a_claim_file()),
            ) from None
    raw, repeated = _raw_data(text, file_name)
    _refuse_other_format(raw, file_name)
    survey = survey_claim(raw, file_name)
    for key, owner in repeated:
        survey.add(
            (),
            said('the key "{key}" stands twice in {owner}', key=key, owner=owner),
            said("each key once"),
        )
    try:
        claim = claim_adapter().validate_json(text, strict=True)
    except ValidationError as error:
        _add_refused_values(survey, raw, error)
    if survey.faults:
        raise InputError(tuple(survey.faults))
    return claim


def faults_of(claim: Claim) -> tuple[Fault, ...]:
    """Return what a reader would refuse in ``claim``: repeated ids, references to nothing."""
    return tuple(survey_claim(_plain_claim(claim), claim.reference).faults)


def _a_claim_file() -> str:
    return said('a claim file of this program ("format": "{format}")', format=CLAIM_FORMAT)


def _refusal(file: str, wrong: str, expected: str, place: str = "") -> InputError:
    return InputError((Fault(file=file, place=place, wrong=wrong, expected=expected),))


def _raw_data(text: str, file_name: str) -> tuple[dict[str, Any], list[tuple[str, str]]]:
    if not text.strip():
        raise _refusal(file_name, said("the file is empty"), _a_claim_file())
    repeated: list[tuple[str, str]] = []

    def without_repeats(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        one = dict(pairs)
        if len(one) < len(pairs):
            times = Counter(name for name, _ in pairs)
            owner = (
                said("the object with the id {shown}", shown=shown(one["id"]))
                if "id" in one
                else said("one object")
            )
            repeated.extend((name, owner) for name in one if times[name] > 1)
        return one

    def refuse_constant(word: str) -> float:
        raise _refusal(
            file_name, said("{word} is no number", word=word), said("numbers with digits")
        )

    try:
        raw = json.loads(text, object_pairs_hook=without_repeats, parse_constant=refuse_constant)
    except json.JSONDecodeError as error:
        raise _refusal(
            file_name,
            said("this is not JSON ({why})", why=error.msg[0].lower() + error.msg[1:]),
            _a_claim_file(),
            place=said("line {lineno}, column {colno}", lineno=error.lineno, colno=error.colno),
        ) from None
    except (RecursionError, ValueError):
        raise _refusal(
            file_name, said("it is nested too deeply or holds an endless number"), _a_claim_file()
        ) from None
    if not isinstance(raw, dict):
        raise _refusal(file_name, said("this is JSON, but no claim"), _a_claim_file())
    return raw, repeated


def _refuse_other_format(raw: dict[str, Any], file_name: str) -> None:
    form = raw.get("format", CLAIM_FORMAT if "reference" in raw else None)
    if form == CLAIM_FORMAT:
        return
    number = _FORMAT.fullmatch(form) if isinstance(form, str) else None
    if number is not None and int(number[1]) > int(CLAIM_FORMAT.rpartition("/")[2]):
        raise _refusal(
            file_name,
            said(
                'it is in the newer format "{form}", written by a later version of this program',
                form=form,
            ),
            said(
                '"{claim_format}", or a newer version of this program to read it with',
                claim_format=CLAIM_FORMAT,
            ),
            place="format",
        )
    if form is None:
        raise _refusal(file_name, said("this is JSON, but no claim"), _a_claim_file())
    raise _refusal(
        file_name,
        said("the format {shown} is not known", shown=shown(form)),
        _a_claim_file(),
        "format",
    )


def _add_refused_values(survey: Survey, raw: dict[str, Any], error: ValidationError) -> None:
    """Say in the words of the trade what pydantic refused and the survey has not named."""
    for one in error.errors(include_url=False, include_context=False):
        found = _follow(one["loc"], raw)
        if found is None or one["type"] == "unexpected_keyword_argument":
            continue
        place, hint, owner, field = found
        if place in survey.faulty_places:
            continue
        survey.add(place, _refused(one, hint), expected_words(hint, owner, field))
    if not survey.faults:
        for one in error.errors(include_url=False, include_context=False):
            survey.add(one["loc"], said("this is not what belongs here"), _a_claim_file())


def _refused(one: ErrorDetails, hint: Any) -> str:
    value = one["input"]
    words = getattr(bare_type(member_type(hint, value)), "__args__", ())
    if not isinstance(value, str) or not words or not all(isinstance(w, str) for w in words):
        return said("{shown} is not what belongs here", shown=shown(value))
    guess = nearest(value, words)
    hinted = said(' (perhaps "{guess}" is meant)', guess=guess) if guess else ""
    return said("{shown} is not one of the words for it{hinted}", shown=shown(value), hinted=hinted)


def _follow(loc: tuple[int | str, ...], raw: Any) -> tuple[Place, Any, str, str] | None:
    """Return the place of a pydantic error with the type that belongs there.

    ``None`` where the error speaks of a member of a union that the data does not mean.
    """
    place: Place = ()
    hint: Any = Claim
    owner, field = "", ""
    for step in loc:
        kind = member_type(hint, raw)
        if dataclasses.is_dataclass(kind) and isinstance(kind, type):
            fields = fields_of(kind)
            if step not in fields:
                if step == kind.__name__:
                    continue
                return None
            owner, field = kind.__name__, str(step)
            hint = fields[field]
            raw = raw.get(step) if isinstance(raw, dict) else None
        else:
            members = getattr(kind, "__args__", ())
            if not members or (isinstance(raw, list) and int(step) >= len(raw)):
                break  # a list that is too short
            hint = members[0 if members[-1] is ... else min(int(step), len(members) - 1)]
            raw = raw[int(step)] if isinstance(raw, list) else None
        place = (*place, step)
    return place, hint, owner, field


# --- writing ----------------------------------------------------------------------------


def claim_as_json(claim: Claim) -> bytes:
    """Return the claim file of ``claim`` as UTF-8; equal claims give equal bytes."""
    text = json.dumps(_plain_claim(claim), ensure_ascii=False, indent=1, allow_nan=False)
    # A file name may hold bytes that are no text; they must not stop the writing.
    return text.encode("utf-8", "replace") + b"\n"


def write_claim_file(claim: Claim, path: Path) -> None:
    """Write the claim file at ``path``, whole or not at all.

    Raises:
        MachineError: the folder cannot be written to.
    """
    write_whole(claim_as_json(claim), path)


def write_whole(data: bytes, path: Path) -> None:
    """Put ``data`` at ``path`` at once: a temporary file beside it, then a rename.

    Raises:
        MachineError: the folder cannot be written to, or the disk is full.
    """
    temporary: str | None = None
    try:
        handle, temporary = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(temporary).replace(path)
    except OSError as error:
        if temporary is not None:
            Path(temporary).unlink(missing_ok=True)
        reason = error.strerror or type(error).__name__
        raise MachineError(
            said(
                "{name} cannot be written in {parent} ({reason}). Choose another folder, "
                "or make room on the disk.",
                name=path.name,
                parent=path.parent,
                reason=reason,
            )
        ) from error


def _plain_claim(claim: Claim) -> dict[str, Any]:
    try:
        decimals = get_currency_precision(claim.currency)
    except LookupError:
        decimals = 2
    plain = _plain(claim, "", decimals)
    assert isinstance(plain, dict)
    return {"format": claim.format, **plain}


_ALWAYS_WRITTEN = frozenset({"method"})
"""Entries that tell one form of a term from another."""


@cache
def _field_defaults(record: Any) -> tuple[tuple[str, Any], ...]:
    return tuple((field.name, field.default) for field in dataclasses.fields(record))


def _plain(value: Any, field: str, decimals: int) -> Any:
    if value is None or isinstance(value, str | bool | int | float):
        return value
    if isinstance(value, tuple | list):
        return [_plain(one, field, decimals) for one in value]
    if isinstance(value, Decimal):
        return _decimal_text(value, 0 if field in NUMBERS_NOT_MONEY else decimals)
    if isinstance(value, Fraction):
        return str(value)
    if isinstance(value, dt.datetime):
        text = value.isoformat()
        return text[:-6] + "Z" if text.endswith("+00:00") else text
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, dict):
        return value
    return {
        name: _plain(one, name, decimals)
        for name, default in _field_defaults(value.__class__)
        if (one := getattr(value, name)) != default or name in _ALWAYS_WRITTEN
    }


def _decimal_text(value: Decimal, decimals: int) -> str:
    """Return ``value`` in digits, with at least ``decimals`` places and no more than it needs."""
    if value.is_zero():
        return f"{Decimal(0):.{decimals}f}"
    text = f"{value:f}"
    whole, _, places = text.partition(".")
    places = places.rstrip("0").ljust(decimals, "0")
    return f"{whole}.{places}" if places else whole


__all__ = [
    "CLAIM_FORMAT",
    "claim_adapter",
    "claim_as_json",
    "claim_from_json",
    "faults_of",
    "place_text",
    "read_claim_file",
    "write_claim_file",
    "write_whole",
]
