"""What a reckoning hands back: amounts with their workings.

Amounts are ``Decimal`` in the claim's currency, rounded to its minor unit.  ``None``
is "cannot be computed yet", never zero; ``lacking`` says what is missing.
"""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from fractions import Fraction
from typing import Literal, NamedTuple

from ldapp.claim.clause import Clause
from ldapp.claim.deadline_rules import Holiday
from ldapp.claim.findings import FindingKind
from ldapp.claim.grounds import GroundCode
from ldapp.claim.record import record

RECKONING_VERSION = 2
"""Raised whenever the same claim may give other figures than before."""


@record
class StepInput:
    """A number, date or choice that went into a step, as it is printed."""

    name: str
    value: str


@record
class Step:
    """One step of a working: what it is called, the rule, what went in and what came out.

    ``amount`` is set where the result is money.  ``not_stated`` says which default stood in
    for a term that the paper does not state.  ``steps`` are those that this one rests on.
    """

    label: str
    rule: str
    inputs: tuple[StepInput, ...] = ()
    result: str
    amount: Decimal | None = None
    clause: Clause | None = None
    not_stated: str = ""
    steps: tuple[Step, ...] = ()


CustodySays = Literal["inside", "before", "after", "open"]


@record
class CountPoint:
    """One count as a point in time; ``at`` is None where it has no time."""

    count: str
    at: dt.datetime | None


@record
class Bracket:
    """Between which counts one missing unit went; ``last_seen`` None: never by a count."""

    serial: str | None
    last_seen: CountPoint | None
    gone: CountPoint
    custody: CustodySays


ReceivedFrom = Literal["pickup_count", "list"]
BackFrom = Literal["both_counts", "return_count", "check_in", "nothing"]


@record
class CountedAt:
    """One count of a line: what was expected at its time, and what was there."""

    count: str
    expected: int
    counted: int


class LineCounts(NamedTuple):
    """One kit line (or one part of it) over time, in units.

    ``back``, ``missing`` and ``over`` are None where no count covers the return.
    """

    line: str
    part: str | None
    listed: int
    received: int
    received_from: ReceivedFrom
    short_at_pickup: int
    returned_early: int
    expected: int
    counted: tuple[CountedAt, ...]
    back: int | None
    back_from: BackFrom
    missing: int | None
    over: int | None
    missing_after_return: int
    strange_serials: tuple[str, ...] = ()
    missing_serials: tuple[str, ...] = ()
    brackets: tuple[Bracket, ...] = ()
    pickup_count: str | None = None
    return_count: str | None = None
    check_in_count: str | None = None
    closing_disagree: bool = False
    """Whether our return count and the company's check-in leave different shortages."""

    @property
    def outside_custody(self) -> int:
        """How many missing units were lost before custody began or after it ended."""
        return sum(bracket.custody in ("before", "after") for bracket in self.brackets)


@record
class DateOfLoss:
    """When a finding came about, and where that is known from."""

    at: dt.datetime | None
    day: dt.date | None
    known_from: Literal["occurrence", "bracket", "last_count", "rental_end", "nothing"]


@record
class FindingResult:
    """What one finding is worth under the agreement, charged or not."""

    finding: str
    line: str
    kind: FindingKind
    quantity: int
    reckoned_quantity: int
    unit_value: Decimal | None
    reckoned: Decimal | None
    """The value of all reckoned units, or the repair."""
    owed: Decimal | None
    """What its charges leave owed, and the reckoned value of units not yet charged."""
    not_yet_charged: Decimal | None
    occurrence: str | None
    date_of_loss: DateOfLoss
    total_loss: bool | None
    title_passes: bool = False
    probably_uninsured: bool = False
    would_help: tuple[str, ...] = ()
    lacking: tuple[str, ...] = ()
    working: Step


@record
class GroundFall:
    """What one ground in force takes off a charge."""

    code: GroundCode
    amount: Decimal
    strong: bool
    rests_on: tuple[str, ...] = ()
    not_stated: str = ""
    against: str = ""
    """What the agreement says against it, which the rental company will raise."""
    against_clause: Clause | None = None


@record
class StrongRun:
    """The same computation with the strong grounds alone."""

    owed: Decimal
    disputed: Decimal


@record
class LossOfUseReading:
    """How one side reads a loss of use: ``amount`` = billed days × rate × units, under the caps.

    ``days`` are those out of service less rent paid, ``billed_days`` those that are charged of
    them; ``rate`` is for one unit and day after discount, ``cap`` the lesser of the caps in
    money.  What is not known is None.
    """

    days: Fraction | None
    billed_days: Fraction | None
    rate: Fraction | None
    cap_days: Fraction | None = None
    cap: Decimal | None = None
    amount: Decimal | None
    lacking: tuple[str, ...] = ()


@record
class LossOfUseReadings:
    """The lessor's reading, as billed, and the renter's, by the terms, from the same facts."""

    lessor: LossOfUseReading
    renter: LossOfUseReading


ChargeAnswer = Literal["not_disputed", "disputed", "open_until_documented"]


@record
class ChargeResult:
    """One charge: billed = owed + disputed, and grounds sum to disputed."""

    invoice: str
    charge: str
    finding: str | None
    billed: Decimal
    owed: Decimal
    disputed: Decimal
    grounds: tuple[GroundFall, ...]
    strong: StrongRun
    answer: ChargeAnswer
    waiver: Decimal
    """The part of ``owed`` that a damage waiver bears."""
    our_reading: Decimal | None = None
    """What facts and terms come to beside the billed reading, whichever grounds are on."""
    loss_of_use: LossOfUseReadings | None = None
    working: Step


@record
class InvoiceResult:
    """One invoice added up and compared with its printed total."""

    invoice: str
    agreement: str
    billed: Decimal
    credits: Decimal
    """Negative lines, as a positive amount."""
    printed: Decimal | None
    difference: Decimal | None
    """Printed total less the lines as added."""
    tax_without_charge: Decimal | None = None
    """Tax that the invoice prints and no charge carries: neither owed nor disputed here."""
    owed: Decimal
    disputed: Decimal
    strong: StrongRun
    replaced_by: str | None = None
    working: Step


CoverSays = Literal["covered", "not_covered", "cannot_be_said", "no_policy"]


@record
class Bearer:
    """A party and what it bears; ``party`` None is the renter as a whole."""

    party: str | None
    amount: Decimal


@record
class OccurrenceResult:
    """One event: ``loss = waiver + policy + other_insurance + held_back + renter``.

    ``occurrence`` None is the group of what no event explains.
    """

    occurrence: str | None
    findings: tuple[str, ...]
    charges: tuple[str, ...]
    loss: Decimal
    waiver: Decimal
    policy: Decimal
    other_insurance: Decimal
    held_back: Decimal
    renter: Decimal
    deductible: Decimal
    policy_by_line: tuple[tuple[str, Decimal], ...] = ()
    other_by_insurer: tuple[tuple[str, Decimal], ...] = ()
    cover: CoverSays
    reasons: tuple[str, ...] = ()
    probably_uninsured: bool = False
    aggregate_used: Decimal = Decimal(0)
    borne_by: tuple[Bearer, ...] = ()
    hints: tuple[str, ...] = ()
    lacking: tuple[str, ...] = ()
    working: Step


@record
class Totals:
    """The three totals, apart: A owed, B paid by others, C borne; and what is disputed."""

    billed: Decimal
    owed: Decimal
    disputed: Decimal
    strong_owed: Decimal
    strong_disputed: Decimal
    not_yet_charged: Decimal
    loss: Decimal
    """A: owed for charges and the reckoned value of what is not yet charged."""
    waiver: Decimal
    policy: Decimal
    other_insurance: Decimal
    held_back: Decimal
    paid_by_others: Decimal
    """B: waiver, policy and other insurance."""
    renter: Decimal
    """C: A less B less what is held back."""
    offsets: Decimal
    """Credits of invoices, deposits and rent that counts: off what is to be paid, not off
    what is owed."""
    to_pay_to_lessors: Decimal
    borne_by: tuple[Bearer, ...]
    complete: bool
    """False where some amount cannot be computed yet, or printed tax is no charge yet."""


@record
class Deadline:
    """One period as it runs in this claim."""

    code: str
    title: str
    binds: Literal["us", "lessor", "insurer"]
    started_by: str
    started: dt.datetime | None
    starts_on: dt.date | None
    raw_end: dt.date | None
    due: dt.date | None
    due_at: dt.datetime | None
    needs: str
    source: str
    from_memory: bool
    clause: Clause | None = None
    paper: str = ""
    """The id of the agreement or the policy that the period is recorded in."""
    left_out: tuple[Holiday, ...] = ()
    """Holidays that the period passes over, earliest first; weekends are not listed."""
    working: Step | None = None


ObservationCode = Literal[
    "not_stated",
    "finding_above_counts",
    "custody_open",
    "cannot_compute",
    "sister_line",
    "unchecked_repair",
    "printed_total_differs",
    "ground_takes_nothing",
    "one_sided_check_in",
    "tax_without_charge",
    "facts_differ",
    "fault_presumed",
    "noted_at_pickup",
    "clause_against",
]


@record
class Observation:
    """A thing of the reckoning that somebody should look at; ``place`` is a record's id."""

    code: ObservationCode
    kind: str
    place: str
    says: str


@record
class Unstated:
    """A term that a paper (by its id) does not state, and what is taken in its place.

    ``blocks`` is set where there is no default: amounts cannot be computed without it.
    """

    paper: str
    term: str
    taken: str
    blocks: bool = False


@record
class MixUp:
    """A shortage beside a surplus in a line that may have been confused with it."""

    short_line: str
    over_line: str
    units: int


@record
class Reckoning:
    """Everything that follows from a claim's facts, in the claim's currency."""

    version: int = RECKONING_VERSION
    currency: str
    as_of: dt.date | None = None
    """The day on which time limits were looked at; None: none has run out."""
    findings: tuple[FindingResult, ...]
    occurrences: tuple[OccurrenceResult, ...]
    charges: tuple[ChargeResult, ...]
    invoices: tuple[InvoiceResult, ...]
    totals: Totals
    counts: tuple[LineCounts, ...]
    mix_ups: tuple[MixUp, ...] = ()
    deadlines: tuple[Deadline, ...] = ()
    not_stated: tuple[Unstated, ...] = ()
    observations: tuple[Observation, ...] = ()

    @property
    def unexplained(self) -> OccurrenceResult | None:
        """The group of findings that no occurrence explains, if there are any."""
        return next((group for group in self.occurrences if group.occurrence is None), None)
