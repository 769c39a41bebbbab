"""What all claims come to, and the files it is written into."""

from __future__ import annotations

import csv
import dataclasses
import datetime as dt
import io
import subprocess
from decimal import Decimal
from pathlib import Path

import pytest

from ldapp.casework.register import Register, fresh_summary
from ldapp.casework.report_drawing import WIDTH, Bar, Words, draw_report
from ldapp.casework.report_export import write_report_csv, write_report_pdf
from ldapp.casework.reports import report_of
from ldapp.claim.documents import Correspondence, Split
from ldapp.claim.figures import LossFigure, ShareFigure
from ldapp.errors import MachineError
from tests.casework.school_claims import keep, school_claim
from tests.reckoning.claims import event, line
from tests.store.many_claims import many_summaries

MARCH, APRIL, MAY = dt.date(2026, 3, 1), dt.date(2026, 4, 1), dt.date(2026, 5, 1)


def letter(key: str, day: int, step: str) -> Correspondence:
    return Correspondence(
        id=key, at=dt.datetime(2026, 6, day, 12, tzinfo=dt.UTC), direction="sent",
        channel="email", subject=step, step=step,  # type: ignore[arg-type]
    )  # fmt: skip


def test_the_figures_of_real_claims_are_those_of_their_reckonings(register: Register) -> None:
    grip = dataclasses.replace(line("k1", "500"), kind="grip")
    keep(
        register,
        school_claim(
            1, "600", MAY, stage="settled",
            correspondence=(letter("a", 1, "statement_of_loss"), letter("b", 21, "settlement")),
        ),
        school_claim(2, "500", MARCH, kit=(grip,), occurrences=(event(day=MARCH, cause="fire"),)),
        school_claim(3, "300", APRIL, correspondence=(letter("a", 1, "statement_of_loss"),)),
    )  # fmt: skip
    report = report_of(register.rows_with_figures(), None, None)
    assert (report.claims, report.losses, report.amount) == (3, 3, Decimal(1400))
    assert [(part.label, part.claims, part.amount) for part in report.by_cause] == [
        ("theft", 2, Decimal(900)),
        ("fire", 1, Decimal(500)),
    ]
    assert [(part.label, part.amount) for part in report.by_kind] == [
        ("other", Decimal(900)),
        ("grip", Decimal(500)),
    ]
    assert [(part.label, part.claims) for part in report.by_stage] == [
        ("preparing", 2),
        ("settled", 1),
    ]
    assert [part.label for part in report.by_production] == [
        "Student film 1", "Student film 2", "Student film 3",
    ]  # fmt: skip
    (policy,) = report.policies
    assert (policy.limit, policy.deductible) == (Decimal(1000), Decimal(300))
    assert (report.median_days, report.waiting) == (20, 1)
    assert [part.claims for part in report.settling] == [1, 0, 0, 0, 0]


def test_a_claim_that_was_paid_without_a_settlement_is_not_waited_for(register: Register) -> None:
    sent, paid = letter("a", 1, "statement_of_loss"), letter("b", 9, "payment")
    keep(
        register,
        school_claim(1, "600", MAY, stage="paid", correspondence=(sent, paid)),
        school_claim(2, "500", MAY, stage="answered", correspondence=(sent,)),
    )
    report = report_of(register.rows_with_figures(), None, None)
    assert (report.median_days, report.waiting) == (None, 1)


def test_a_period_holds_the_claims_whose_loss_lies_in_it(register: Register) -> None:
    keep(register, school_claim(1, "600", MAY), school_claim(2, "500", MARCH))
    rows = register.rows_with_figures()
    assert report_of(rows, MARCH, APRIL).claims == 1
    assert report_of(rows, MARCH, MAY).claims == 2
    assert report_of(rows, APRIL, None).amount == Decimal(600)
    assert report_of(rows, dt.date(2027, 1, 1), None).claims == 0


def test_currencies_are_never_added() -> None:
    rows = many_summaries(30)
    mixed = [
        dataclasses.replace(row, currency="EUR") if number % 3 == 0 else row
        for number, row in enumerate(rows)
    ]
    report = report_of(mixed, None, None)
    assert (report.currency, report.currencies, report.claims) == ("USD", ("USD", "EUR"), 20)
    assert report_of(mixed, None, None, "EUR").claims == 10


def test_parts_sum_to_the_whole_and_what_has_no_amount_is_said() -> None:
    rows = many_summaries(400)
    figures = rows[0].figures
    assert figures is not None
    unknown = LossFigure(cause="theft", kind="grip", units=1, amount=None)
    first = dataclasses.replace(
        rows[0], figures=dataclasses.replace(figures, losses=(*figures.losses, unknown))
    )
    report = report_of([first, *rows[1:], dataclasses.replace(rows[5], figures=None)], None, None)
    for parts in (report.by_cause, report.by_kind, report.by_found, report.by_stage,
                  report.by_production):  # fmt: skip
        assert sum(part.amount for part in parts) == report.amount
    assert len(report.by_production) == 16
    assert report.by_production[-1].label.endswith("other productions")
    assert (report.without_amount, report.not_reckoned) == (1, 1)
    says = draw_report(report)[0].says
    assert "1 loss counted whose amount cannot be computed yet" in says
    assert "1 claim not reckoned yet" in says


def test_nothing_of_the_drawing_lies_outside_and_bars_are_as_long_as_their_amounts() -> None:
    report = report_of(many_summaries(500), None, None)
    sections = draw_report(report)
    for section in sections:
        for item in section.items:
            assert item.x >= 0
            assert item.x + item.width <= WIDTH + 0.01
            assert 0 <= item.y <= section.height
    causes = sections[1]
    bars = [item for item in causes.items if isinstance(item, Bar)]
    for bar, part in zip(bars, report.by_cause, strict=True):
        share = float(part.amount / report.by_cause[0].amount)
        assert bar.width == pytest.approx(bars[0].width * share)
    words = [item.text for item in causes.items if isinstance(item, Words)]
    assert f"{report.by_cause[0].amount:,.2f}" in words


def test_the_pdf_holds_the_same_words_on_numbered_pages(tmp_path: Path) -> None:
    report = report_of(many_summaries(500), None, None)
    made = [
        write_report_pdf(report, tmp_path / name, who="Ada", today=MAY, paper=paper).read_bytes()
        for name, paper in (("a.pdf", "a4"), ("b.pdf", "a4"), ("c.pdf", "letter"))
    ]
    assert made[0] == made[1] != made[2]
    text = subprocess.run(
        ["pdftotext", "-layout", str(tmp_path / "a.pdf"), "-"], capture_output=True, check=True,
        text=True,
    ).stdout  # fmt: skip
    for section in draw_report(report):
        for item in section.items:
            if isinstance(item, Words) and item.align == "right":
                assert " ".join(item.text.split()) in " ".join(text.split())
    assert "page 1 of" in text
    assert "made on 2026-05-01 by Ada" in text
    subprocess.run(["qpdf", "--check", str(tmp_path / "a.pdf")], capture_output=True, check=True)


def test_names_that_try_to_be_formulas_are_text_in_the_csv(tmp_path: Path) -> None:
    rows = [
        dataclasses.replace(row, title=title)
        for row, title in zip(
            many_summaries(3), ("=HYPERLINK(1)", "@SUM(A1)", "A, \"quoted\" title"), strict=True
        )
    ]  # fmt: skip
    path = write_report_csv(report_of(rows, None, None), tmp_path / "r.csv")
    lines = list(csv.reader(io.StringIO(path.read_text("utf-8-sig"))))
    names = {line[1] for line in lines if line[0] == "By production"}
    assert names == {"'=HYPERLINK(1)", "'@SUM(A1)", 'A, "quoted" title'}
    assert all(len(line) == 6 for line in lines)
    assert not any(cell[:1] in "=+@" for line in lines for cell in line if cell)


def test_a_name_that_is_markup_prints_as_itself(tmp_path: Path) -> None:
    rows = [dataclasses.replace(many_summaries(1)[0], title="<b>&amp; %s {0}</b>")]
    path = write_report_pdf(report_of(rows, None, None), tmp_path / "r.pdf", who="Ada", today=MAY)
    text = subprocess.run(
        ["pdftotext", str(path), "-"], capture_output=True, check=True, text=True
    ).stdout
    assert "<b>&amp; %s {0}</b>" in text


def test_a_file_that_cannot_be_written_gets_a_sentence(tmp_path: Path) -> None:
    report = report_of(many_summaries(3), None, None)
    with pytest.raises(MachineError, match="cannot be written"):
        write_report_csv(report, tmp_path / "no" / "r.csv")


def test_what_was_never_received_is_no_loss() -> None:
    claim = school_claim(1, "600", MAY)
    short = dataclasses.replace(claim.findings[0], id="f2", kind="short_at_pickup")
    figures = fresh_summary(dataclasses.replace(claim, findings=(*claim.findings, short))).figures
    assert figures is not None
    assert [(one.cause, one.units) for one in figures.losses] == [("theft", 1)]


def test_what_students_bear_is_summed_over_claims_with_what_is_paid_and_open(
    register: Register, tmp_path: Path
) -> None:
    whole = Split(id="x", party="st", share_percent=Decimal(100))
    paid = Correspondence(
        id="p", at=dt.datetime(2026, 6, 1, 12, tzinfo=dt.UTC), direction="received",
        channel="hand", party="st", step="payment", subject="Payment", paid=Decimal(40),
    )  # fmt: skip
    keep(
        register,
        school_claim(1, "600", MAY, splits=(whole,), correspondence=(paid,)),
        school_claim(2, "500", MARCH, student="student  a", splits=(whole,)),
        school_claim(3, "300", APRIL, student="Student B", splits=(whole,)),
    )
    report = report_of(register.rows_with_figures(), None, None)
    assert [tuple(one) for one in report.by_bearer] == [
        ("Student A", 2, Decimal(200), Decimal(40)),
        ("Student B", 1, Decimal(100), Decimal(0)),
    ] or [tuple(one) for one in report.by_bearer] == [
        ("student  a", 2, Decimal(200), Decimal(40)),
        ("Student B", 1, Decimal(100), Decimal(0)),
    ]
    assert [one.open for one in report.by_bearer] == [Decimal(160), Decimal(100)]
    (section,) = [one for one in draw_report(report) if one.title == "Parts of students and others"]
    words = [item.text for item in section.items if isinstance(item, Words)]
    assert {"200.00", "40.00", "160.00", "Student B"} <= set(words)
    pale, accent = [item.width for item in section.items if isinstance(item, Bar)][:2]
    assert accent == pytest.approx(pale * 0.2)
    path = write_report_csv(report, tmp_path / "r.csv")
    lines = list(csv.reader(io.StringIO(path.read_text("utf-8-sig"))))
    assert ["Part: open", "Student B", "1", "", "100.00", "USD"] in lines


def test_two_students_of_one_name_are_told_apart_by_their_numbers() -> None:
    rows = many_summaries(2)
    figures = [row.figures for row in rows]
    share = ShareFigure(name="Invented Student", amount=Decimal(10), paid=Decimal(0))
    given = [
        dataclasses.replace(
            row,
            figures=dataclasses.replace(
                one, shares=(dataclasses.replace(share, reference=number),)
            ),
        )
        for row, one, number in zip(rows, figures, ("S-1", "S-2"), strict=True)
        if one is not None
    ]
    report = report_of(given, None, None)
    assert [one.label for one in report.by_bearer] == [
        "Invented Student (S-1)",
        "Invented Student (S-2)",
    ]


def test_thousands_of_students_are_twenty_lines_and_a_rest_that_sum_to_the_whole() -> None:
    report = report_of(many_summaries(3000), None, None)
    assert len(report.by_bearer) > 300
    (section,) = [one for one in draw_report(report) if one.title == "Parts of students and others"]
    assert len(section.says.split("; ")) == 21
    rest = report.by_bearer[20:]
    to_bear = sum((one.amount for one in rest), Decimal(0))
    assert f"{len(rest):,} others" in section.says
    assert f"{to_bear:,.2f} USD to bear" in section.says


def test_every_cause_is_named_whole_in_print(tmp_path: Path) -> None:
    report = report_of(many_summaries(500), None, None)
    path = write_report_pdf(report, tmp_path / "r.pdf", who="Ada", today=MAY)
    text = subprocess.run(
        ["pdftotext", "-layout", str(path), "-"], capture_output=True, check=True, text=True
    ).stdout
    assert [part.label for part in report.by_cause if part.label not in text] == []
