"""Writing the steps of a working: one call per step, the same text for the same input."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from ldapp.claim.clause import Clause
from ldapp.language import marked, said, said_in
from ldapp.reckoning.figures import number_text
from ldapp.reckoning.result import Step, StepInput

RESTS_ON = marked("rests on")
"""Input: what a ground rests on; it stays on the desk."""
AGAINST_IT = marked("against it")
"""Input: what the agreement says against a ground."""
UNROUNDED = marked("unrounded")
"""Input: the exact value before rounding."""
COMPARED_WITH = marked("compared with")
"""Input: which of the printed totals an invoice is compared with."""
TAX_NO_LINE_CARRIES = marked("tax that no line carries")
"""Input: printed tax that is no charge yet."""
LEFT_OUT = marked("left out")
"""Input: a holiday that a period passes over.

Whoever looks for one of these inputs compares its name with the constant as it is said.
"""


def charge_input(charge: str) -> str:
    """Return the name of the input that is what a charge (by its id) leaves owed."""
    return said("charge {id}", id=charge)


def charge_of_input(name: str) -> str | None:
    """Return the id of the charge that an input is named after, None where it is another."""
    before, _, after = charge_input("\0").partition("\0")
    if not (name.startswith(before) and name.endswith(after)):
        return None
    return name[len(before) : len(name) - len(after)]


def is_reference(given: StepInput) -> bool:
    """Say whether an input names a place in a paper: clause 9.2 and line 1.10 are no numbers."""
    names = (said_in("working", "clause"), said_in("working", "line"), said_in("working", "source"))
    return given.name in names


def money_text(amount: Decimal | None) -> str:
    """Write a rounded amount with its decimals, or that it cannot be computed yet."""
    return said("cannot be computed yet") if amount is None else f"{amount:f}"


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
    """Write an input: money with its decimals, exact numbers exactly, days in ISO 8601.

    Numbers and days that stand alone have one form in all languages; who shows them gives them
    their local one.  Within a sentence they are local already.
    """
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
