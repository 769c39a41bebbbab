"""Columns proposed by their headings, and matches saved and read."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from ldapp.errors import InputError
from ldapp.exchange.charge_words import kind_in_words, says_included, sum_in_words
from ldapp.exchange.claim_schema import claim_schema
from ldapp.exchange.column_match import (
    ColumnMatch,
    column_match_as_json,
    column_match_from_json,
    read_column_match,
)
from ldapp.exchange.column_words import (
    COLUMN_FIELDS,
    INVOICE_FIELDS,
    KIT_FIELDS,
    ColumnField,
    label_certainty,
    label_fields,
    plain_label,
)
from ldapp.exchange.columns import column_letter, propose_columns
from ldapp.exchange.equipment_words import likely_kind
from ldapp.exchange.tables import table_from_text


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("Qty.", "quantity"),
        ("Quantity Out", "quantity"),
        ("Stück", "quantity"),
        ("Qté", "quantity"),
        ("Cantidad", "quantity"),
        ("Chargeable qty", "quantity"),
        ("Quantty", "quantity"),
        ("S/N", "serials"),
        ("Serial No(s).", "serials"),
        ("Número de serie", "serials"),
        ("Replacement Value (USD)", "replacement_cost"),
        ("Wiederbeschaffungswert €", "replacement_cost"),
        ("Age (months)", "age"),
        ("Désignation", "description"),
        ("P.U. HT", "unit_price"),
        ("Ext. Price", "amount"),
        ("Betrag", "amount"),
        ("Nº", "line"),
        ("#", "line"),
    ],
)
def test_headings_are_known(text: str, field: ColumnField) -> None:
    fits = label_fields(text)
    assert max(fits, key=lambda one: fits[one]) == field


@pytest.mark.parametrize("text", ["", "Qty in", "Artikelnummer", "Colour", "x" * 50, "?!"])
def test_other_headings_mean_no_field(text: str) -> None:
    assert label_fields(text) == {}


def test_a_heading_that_is_left_aside_is_a_heading_all_the_same() -> None:
    assert label_certainty("Qty in") == 1.0
    assert label_certainty("Colour") == 0.0
    assert plain_label("Prix unitaire (EUR)") == "prix unitaire"


def proposed(text: str, fields: tuple[ColumnField, ...] = KIT_FIELDS) -> dict[ColumnField, Any]:
    (table,) = table_from_text(text).tables
    return propose_columns(table, fields).names()


def test_item_is_the_description_where_nothing_else_is() -> None:
    assert proposed("Item\tQty\nStand\t8\n") == {"description": "Item", "quantity": "Qty"}
    assert proposed("Item\tDescription\tQty\n1\tStand\t8\n")["description"] == "Description"


def test_value_is_a_price_on_an_invoice_and_a_value_on_a_list() -> None:
    text = "Item\tQty\tValue\tTotal\nStand\t2\t245.00\t490.00\n"
    assert proposed(text, INVOICE_FIELDS)["unit_price"] == "Value"
    assert proposed(text)["replacement_cost"] == "Value"


def test_headings_on_two_lines_are_joined() -> None:
    found = proposed("Line\t\tQty\tReplacement\nno.\tItem\tout\tvalue\n1\tStand\t8\t245.00\n")
    assert found["replacement_cost"] == "Replacement value"
    assert found["description"] == "Item"


def test_a_row_of_data_is_no_heading() -> None:
    (table,) = table_from_text("Stand\t8\nFlag\t4\n").tables
    assert propose_columns(table, KIT_FIELDS).header == ()


def test_columns_are_lettered_as_a_spreadsheet_does() -> None:
    assert [column_letter(index) for index in (0, 25, 26, 701, 702)] == [
        "A",
        "Z",
        "AA",
        "ZZ",
        "AAA",
    ]


# --- MATCH.json -------------------------------------------------------------------------


def test_a_match_is_saved_and_read_and_fits_the_schema(tmp_path: Path) -> None:
    match = ColumnMatch(
        columns={"description": ("Make", "Model"), "quantity": 2, "serials": "F"},
        sheet="Grip",
        header_row=5,
        numbers="comma",
        dates="day_first",
    )
    data = column_match_as_json(match)
    schema = claim_schema()
    part = {"$ref": "#/$defs/column_match", "$defs": schema["$defs"]}
    Draft202012Validator(part).validate(data)
    path = tmp_path / "MATCH.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    assert read_column_match(path) == match


def test_the_plain_object_of_columns_is_a_match() -> None:
    match = column_match_from_json({"description": "Item", "quantity": "Qty"}, "MATCH.json")
    assert match == ColumnMatch(columns={"description": "Item", "quantity": "Qty"})


@pytest.mark.parametrize(
    ("data", "says"),
    [
        ([], "this is no column match"),
        ({"quantitty": "Qty"}, r'columns\.quantitty: "quantitty" is not known'),
        ({"columns": {"quantity": None}}, r"columns\.quantity"),
        ({"columns": {"quantity": ""}}, r"columns\.quantity"),
        ({"columns": {"quantity": 0}}, r"columns\.quantity"),
        ({"columns": {"quantity": "Qty"}, "numbers": "dot"}, "numbers"),
        ({"columns": {"quantity": "Qty"}, "sheets": "A"}, "sheets"),
        ({"format": "ldapp-match/9", "columns": {}}, "format"),
        ({"format": "ldapp-match/1"}, "columns"),
    ],
)
def test_what_is_no_match_gets_a_sentence(data: Any, says: str) -> None:
    with pytest.raises(InputError, match=says):
        column_match_from_json(data, "MATCH.json")


def test_a_match_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be read"):
        read_column_match(tmp_path / "none.json")
    (tmp_path / "MATCH.json").write_text("{", encoding="utf-8")
    with pytest.raises(InputError, match="this is not JSON"):
        read_column_match(tmp_path / "MATCH.json")


def test_every_field_belongs_to_a_list_or_an_invoice() -> None:
    assert set(COLUMN_FIELDS) == {*KIT_FIELDS, *INVOICE_FIELDS}


# --- words ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("Missing: C-stand 40 in", "missing"),
        ("Fehlmenge Stativ", "missing"),
        ("Repair labour", "repair_labour"),
        ("Main d’œuvre", "repair_labour"),
        ("Ersatzteile", "repair_parts"),
        ("Barn door, repair", "repair"),
        ("Replacement cost, LED panel", "replacement"),
        ("Loss of use, 5 days", "loss_of_use"),
        ("Perte d'usage", "loss_of_use"),
        ("Administration fee on repairs", "administration"),
        ("Cleaning of flags", "cleaning"),
        ("Repacking of case 3", "repack"),
        ("Lamp 1 kW, burnt out", "lamp"),
        ("Freight", "freight"),
        ("Restocking fee", "fee"),
        ("Interest", "interest"),
        ("Sub-rental of a head", "sub_rental"),
        ("Credit for found items", "credit"),
        ("Stand 40 in", None),
    ],
)
def test_words_say_what_a_charge_is(text: str, kind: str | None) -> None:
    assert kind_in_words(text) == kind


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("TOTAL DUE (USD)", "gross"),
        ("Gesamtbetrag", "gross"),
        ("Total TTC", "gross"),
        ("Net", "net"),
        ("Total HT", "net"),
        ("Total excl. VAT", "net"),
        ("Base imponible", "net"),
        ("Sub-total missing items", "sub_total"),
        ("Zwischensumme", "sub_total"),
        ("Sales Tax (8.25%)", "tax"),
        ("zzgl. 19% MwSt.", "tax"),
        ("VAT @ 20% on 617.00", "tax"),
        ("Übertrag", "carried"),
        ("Brought forward", "carried"),
        ("Deposit applied", "payment"),
        ("Balance due", "balance"),
        ("Net 4x4 double", None),
        ("Stand", None),
        ("617.00", None),
    ],
)
def test_words_say_which_sum_a_row_is(text: str, kind: str | None) -> None:
    assert sum_in_words(text) == kind


def test_tax_that_is_included_says_so() -> None:
    assert says_included("darin enthalten 19 % MwSt.")
    assert says_included("dont TVA 20 %")
    assert not says_included("plus 19 % MwSt.")


@pytest.mark.parametrize(
    ("description", "category", "kind"),
    [
        ("C-stand 40 in with arm", "", "grip"),
        ("Safety cable", "Cable", "rigging"),
        ("Cable 50 ft", "", "electrical_distribution"),
        ("LED panel", "", "lighting"),
        ("Head-to-ballast cable", "", "electrical_distribution"),
        ("Model 7", "Lenses", "lens"),
        ("Battery charger", "Camera", "battery"),
        ("Carpet", "", "other"),
    ],
)
def test_words_propose_the_kind_of_equipment(description: str, category: str, kind: str) -> None:
    assert likely_kind(description, category) == kind
