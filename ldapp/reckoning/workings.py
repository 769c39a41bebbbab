"""Writing the steps of a working: one call per step, the same text for the same input."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from ldapp.claim.clause import Clause
from ldapp.reckoning.figures import number_text
from ldapp.reckoning.result import Step, StepInput


def money_text(amount: Decimal | None) -> str:
    """Write a rounded amount with its decimals, or that it cannot be computed yet."""
    return "cannot be computed yet" if amount is None else f"{amount:f}"


def inputs(*pairs: tuple[str, object]) -> tuple[StepInput, ...]:
    """Return named inputs; exact numbers are written exactly, ``None`` is left out."""
    return tuple(
        [
            StepInput(name=name, value=value if type(value) is str else value_text(value))
            for name, value in pairs
            if value is not None
        ]
    )


def value_text(value: object) -> str:
    """Write an input: money with its decimals, exact numbers exactly, the rest as it is."""
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, Fraction):
        return number_text(value)
    return str(value)


def money_step(
    label: str,
    rule: str,
    amount: Decimal | None,
    given: tuple[StepInput, ...] = (),
    *,
    clause: Clause | None = None,
    not_stated: str = "",
    steps: Iterable[Step] = (),
) -> Step:
    """Return a step whose result is money, or that cannot be computed yet."""
    return Step(
        label=label,
        rule=rule,
        inputs=given,
        result=money_text(amount),
        amount=amount,
        clause=clause,
        not_stated=not_stated,
        steps=tuple(steps),
    )


def plain_step(
    label: str,
    rule: str,
    result: str,
    given: tuple[StepInput, ...] = (),
    *,
    clause: Clause | None = None,
    not_stated: str = "",
    steps: Iterable[Step] = (),
) -> Step:
    """Return a step whose result is no money: a rate, a number of units, an answer."""
    return Step(
        label=label,
        rule=rule,
        inputs=given,
        result=result,
        clause=clause,
        not_stated=not_stated,
        steps=tuple(steps),
    )


def defaults_taken(step: Step) -> tuple[str, ...]:
    """Return every "not stated" of a working, outermost first, each once."""
    found: dict[str, None] = {}
    waiting = [step]
    while waiting:
        one = waiting.pop()
        if one.not_stated:
            found[one.not_stated] = None
        waiting += reversed(one.steps)
    return tuple(found)
