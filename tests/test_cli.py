"""The command line as an office calls it: JSON out, one sentence a fault, fixed exit codes."""

from __future__ import annotations

import argparse
import io
import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from ldapp import cli, fault_reports
from ldapp.casework import claim_files
from ldapp.language import speak
from tests.dossier.signing import TestAuthority

EXAMPLES = Path(__file__).parents[1] / "resources" / "examples"


class Call:
    """What one call printed and returned."""

    def __init__(self, code: int, out: str, err: str) -> None:
        self.code, self.out, self.err = code, out, err

    def json(self) -> Any:
        return json.loads(self.out)


@pytest.fixture
def call(capfd: pytest.CaptureFixture[str]) -> Any:
    def run(*arguments: str | Path) -> Call:
        try:
            code = cli.main([str(one) for one in arguments])
        except SystemExit as stop:
            code = int(stop.code or 0)
        out, err = capfd.readouterr()
        assert "Traceback" not in out + err
        return Call(code, out, err)

    return run


def write(path: Path, text: str, encoding: str = "utf-8") -> Path:
    path.write_text(text, encoding=encoding)
    return path


def test_reckon_prints_one_object_whose_parts_add_up(call: Any) -> None:
    from decimal import Decimal

    done = call("reckon", EXAMPLES / "dispute.json", "--json")
    assert done.code == 0
    assert done.err == ""
    report = done.json()
    assert report["currency"] == "USD" or len(report["currency"]) == 3
    assert report["charges"]
    for charge in report["charges"]:
        owed, disputed = Decimal(charge["owed"]), Decimal(charge["disputed"])
        assert owed + disputed == Decimal(charge["billed"])
        assert sum(Decimal(ground["amount"]) for ground in charge["grounds"]) == disputed
    for one in report["occurrences"]:
        parts = ("waiver", "policy", "other_insurance", "held_back", "renter")
        assert sum(Decimal(one[part]) for part in parts) == Decimal(one["loss"])
    assert report["working"][0]["label"]


def test_a_working_is_found_at_the_place_an_object_names(call: Any) -> None:
    report = call("reckon", EXAMPLES / "dispute.json", "--json").json()
    for charge in report["charges"]:
        step = report["working"][charge["working"]]
        assert step["label"]
        assert step["rule"]


def test_an_unknown_key_is_refused_by_name(call: Any, tmp_path: Path) -> None:
    claim = json.loads((EXAMPLES / "minimal.json").read_text(encoding="utf-8"))
    claim["curency"] = "USD"
    path = write(tmp_path / "claim.json", json.dumps(claim))
    done = call("reckon", path, "--json")
    assert done.code == 2
    assert done.out == ""
    assert path.name in done.err
    assert "curency" in done.err
    assert "currency" in done.err.replace("curency", "")


def test_terms_that_cannot_be_are_all_named_with_file_and_place(call: Any, tmp_path: Path) -> None:
    claim = json.loads((EXAMPLES / "dispute.json").read_text(encoding="utf-8"))
    claim["agreements"][0]["terms"]["depreciation"]["life_months"] = 0
    claim["agreements"][0]["terms"]["lessors_discount"] = {"rate": "1.4"}
    path = write(tmp_path / "claim.json", json.dumps(claim))
    done = call("reckon", path, "--json")
    assert done.code == 2
    lines = done.err.strip().splitlines()
    assert len(lines) == 2
    assert all(line.startswith(str(path)) for line in lines)
    assert "life_months" in done.err
    assert "lessors_discount" in done.err


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("empty.json", "", "empty"),
        ("list.json", "[]", "claim file"),
        ("broken.json", '{"format": "ldapp-claim/1",', "JSON"),
        ("newer.json", '{"format": "ldapp-claim/2"}', "newer"),
    ],
)
def test_what_is_no_claim_file_is_one_sentence(
    call: Any, tmp_path: Path, name: str, content: str, says: str
) -> None:
    done = call("reckon", write(tmp_path / name, content), "--json")
    assert done.code == 2
    assert done.out == ""
    assert len(done.err.strip().splitlines()) == 1
    assert name in done.err
    assert says in done.err


def test_time_limits_are_looked_at_on_the_day_that_is_given(call: Any) -> None:
    undated = call("reckon", EXAMPLES / "insurer.json", "--json").json()
    dated = call("reckon", EXAMPLES / "insurer.json", "--json", "--date", "2026-04-01").json()
    assert (undated["as_of"], dated["as_of"]) == (None, "2026-04-01")


def test_a_claim_file_that_is_not_there(call: Any, tmp_path: Path) -> None:
    done = call("dossier", tmp_path / "gone.json", "--version", "dispute", "--out", "x.pdf")
    assert done.code == 2
    assert "gone.json" in done.err


KIT = "Line;Qty;Description\n1;12;C-stand 40 in\n2;2;LED panel\n"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "latin-1", "utf-16"])
def test_a_kit_list_is_read_in_any_usual_encoding(call: Any, tmp_path: Path, encoding: str) -> None:
    path = write(tmp_path / "kit.csv", KIT.replace("panel", "Flügel"), encoding)
    report = call("kit", path, "--json").json()
    assert [line["quantity"] for line in report["lines"]] == [12, 2]
    assert report["lines"][1]["description"] == "LED Flügel"
    assert report["faults"] == []


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ("Line;Description\n1;C-stand\n", "quantity"),
        ("", "empty"),
    ],
)
def test_a_file_that_is_no_kit_list_is_refused(
    call: Any, tmp_path: Path, content: str, says: str
) -> None:
    done = call("kit", write(tmp_path / "kit.csv", content), "--json")
    text = (done.err + done.out).lower()
    assert done.code in (1, 2)
    assert says in text


@pytest.mark.parametrize(
    ("row", "says"),
    [("3;many;Flag 24x36", "many"), ("2;4;Flag 24x36", "2"), ("3;-1;Flag", "-1")],
)
def test_a_wrong_row_is_named_and_the_others_are_read(
    call: Any, tmp_path: Path, row: str, says: str
) -> None:
    done = call("kit", write(tmp_path / "kit.csv", KIT + row + "\n"), "--json")
    assert done.code == 1
    report = done.json()
    assert len(report["lines"]) >= 2
    (fault,) = report["faults"]
    assert "4" in fault["place"]
    assert says in fault["says"]


def test_what_is_wrong_in_many_places_is_printed_once(call: Any, tmp_path: Path) -> None:
    rows = "Qty,Description,Amount\n1,C-stand,-\n2,Flag,-\n1,Net,30.00\n4,Sandbag,-\n"
    printed = call("invoice", write(tmp_path / "invoice.csv", rows)).out.splitlines()
    missing = [line for line in printed if "the amount is missing" in line]
    assert missing == [
        "row 2 and 2 more places: the amount is missing. Expected: an amount such as 1250.00."
    ]


def test_a_photo_that_is_no_photo_says_so_and_the_run_goes_on(call: Any, tmp_path: Path) -> None:
    write(tmp_path / "a-note.jpg", "this is text")
    Image.new("RGB", (64, 48), "grey").save(tmp_path / "b-picture.jpg")
    done = call("photos", tmp_path, "--json")
    assert done.code == 0
    first, second = done.json()
    assert first["file"] == "a-note.jpg"
    assert first["error"]
    assert second["error"] is None
    assert second["standing"] == "none"


def test_an_unknown_zone_and_a_missing_path_are_refused(call: Any, tmp_path: Path) -> None:
    assert call("photos", tmp_path / "gone", "--json").code == 2
    done = call("photos", tmp_path, "--zone", "Mars/Olympus", "--json")
    assert (done.code, done.out) == (2, "")


def test_photos_without_any_is_an_empty_array(call: Any, tmp_path: Path) -> None:
    assert call("photos", tmp_path, "--json").json() == []


def test_every_command_explains_itself(call: Any) -> None:
    for command in ("photos", "kit", "invoice", "reckon", "dossier", "bundle", "verify", "demos"):
        done = call(command, "--help")
        assert done.code == 0
        assert command in done.out


def test_a_wrong_call_is_one_line(call: Any) -> None:
    done = call("dossier", "claim.json", "--version", "poem", "--out", "x.pdf")
    assert done.code == 2
    assert len(done.err.strip().splitlines()) == 1


def test_a_fault_of_the_program_itself_is_one_sentence_and_a_report(
    call: Any, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def fail(path: Path, as_of: object) -> dict[str, Any]:
        raise KeyError(path)

    monkeypatch.setattr(claim_files, "reckon_claim_file", fail)
    monkeypatch.setattr(fault_reports, "report_folder", lambda: tmp_path)
    done = call("reckon", EXAMPLES / "minimal.json")
    assert done.code == 3
    assert len(done.err.strip().splitlines()) == 1
    [report] = tmp_path.glob("fault-*.txt")
    assert str(report) in done.err
    assert "KeyError" in report.read_text(encoding="utf-8")


def test_a_bundle_is_verified_and_a_changed_byte_is_named(call: Any, tmp_path: Path) -> None:
    bundle = tmp_path / "claim.zip"
    assert call("bundle", EXAMPLES / "insurer.json", "--out", bundle).code == 0
    assert call("verify", bundle).code == 0
    data = bytearray(bundle.read_bytes())
    place = data.find(b'"reference"')
    if place < 0:
        place = len(data) // 3
    data[place + 3] ^= 1
    bundle.write_bytes(data)
    done = call("verify", bundle)
    assert done.code == 1
    assert "claim.json" in done.out


def run_program(*arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
    kept = {key: value for key, value in os.environ.items() if key not in environment}
    return subprocess.run(
        [sys.executable, "-m", "ldapp", *arguments],
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
        env={**kept, **{key: value for key, value in environment.items() if value}},
    )


def test_without_a_display_the_window_says_what_to_run_instead() -> None:
    done = run_program("--demo", DISPLAY="", WAYLAND_DISPLAY="", QT_QPA_PLATFORM="")
    assert done.returncode == 3
    assert done.stdout == ""
    (sentence,) = done.stderr.strip().splitlines()
    assert "no display" in sentence
    assert "dossier --demo" in sentence


def test_the_real_program_keeps_to_its_streams() -> None:
    done = run_program("reckon", str(EXAMPLES / "minimal.json"), "--json")
    assert done.returncode == 0
    assert done.stderr == ""
    json.loads(done.stdout)


def test_a_shared_bundle_is_written_for_whom_it_is_meant(call: Any, tmp_path: Path) -> None:
    bundle = tmp_path / "shared.zip"
    claim = EXAMPLES / "dispute.json"
    done = call("bundle", claim, "--out", bundle, "--profile", "shared", "--version", "dispute")
    assert done.code == 0
    assert call("verify", bundle).code == 0
    done = call("bundle", claim, "--out", bundle, "--profile", "shared", "--version", "photos")
    assert done.code == 2
    assert "goes to somebody" in done.err


def test_a_dossier_is_signed_with_the_password_of_standard_input(
    call: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    authority = TestAuthority()
    key = authority.signer.write_key_file(tmp_path / "office.p12", "secret word", authority.root)
    target = tmp_path / "signed.pdf"
    wanted = ("dossier", EXAMPLES / "dispute.json", "--version", "dispute", "--out", target)
    monkeypatch.setattr("sys.stdin", io.StringIO("secret word\n"))
    done = call(*wanted, "--seal", key)
    assert done.code == 0
    assert "Signed by Invented Production Office. The certificate ends on " in done.out
    assert b"/ByteRange" in target.read_bytes()
    signed = target.read_bytes()
    monkeypatch.setattr("sys.stdin", io.StringIO("another\n"))
    done = call(*wanted, "--seal", key)
    assert (done.code, done.out) == (2, "")
    assert "the password is wrong" in done.err
    monkeypatch.setattr("sys.stdin", io.StringIO("secret word\n"))
    done = call(*wanted, "--seal", key, "--time-stamp", "nowhere")
    assert done.code == 2
    assert "no address of a time-stamp authority" in done.err
    assert target.read_bytes() == signed  # an unsigned file never takes its place
    done = call(*wanted, "--time-stamp", "http://127.0.0.1/")
    assert done.code == 2
    assert "give --seal as well" in done.err


def test_every_volume_of_a_dossier_is_named(call: Any, tmp_path: Path) -> None:
    claim = Path(__file__).parents[1] / "demo_claims" / "harbour_lights" / "claim.json"
    target = tmp_path / "H.pdf"
    wanted = ("dossier", claim, "--version", "insurer", "--date", "2026-11-25", "--out", target)
    done = call(*wanted, "--largest-file", "1")
    assert done.code == 0
    assert done.out.splitlines()[:2] == [str(target), str(tmp_path / "H volume 2.pdf")]
    assert all(path.stat().st_size <= 1_000_000 for path in tmp_path.iterdir())
    done = call(*wanted, "--largest-file", "none")
    assert done.code == 2
    assert "none is no number of megabytes like 20" in done.err


# --- languages --------------------------------------------------------------------------


@pytest.fixture
def speaks(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[str], None]]:
    """Name a language as a person does; English is spoken again afterwards."""
    yield lambda named: monkeypatch.setenv("LDAPP_LANGUAGE", named)
    speak("en")


def test_the_command_line_speaks_german(call: Any, speaks: Any, tmp_path: Path) -> None:
    speaks("de")
    kit = call("kit", write(tmp_path / "kit.csv", KIT + "3;many;Sandbag\n"))
    assert kit.code == cli.DOES_NOT_HOLD
    assert "ist keine Zahl. Erwartet: eine ganze Stückzahl." in kit.out
    help_text = call("--help").out
    assert "Aufruf: ldapp" in help_text
    assert "eine Falldatei durchrechnen" in help_text
    assert "diese Hilfe zeigen und beenden" in help_text
    assert "usage" not in help_text
    assert "options" not in help_text
    totals = call("reckon", EXAMPLES / "dispute.json").out
    assert "bestritten: 460,20 USD" in totals
    missing = call("open", "nowhere.json")
    assert missing.code == cli.INPUT_WRONG
    assert "Diese Datei gibt es nicht." in missing.err


def test_argparse_speaks_german_too_and_english_again_afterwards(call: Any, speaks: Any) -> None:
    speaks("de")
    assert "diese Argumente fehlen" in call("dossier").err
    assert "ist kein Datum wie 2026-03-02" in call("reckon", "--date", "gestern", "x").err
    assert "ein Wert fehlt" in call("reckon", "--date").err
    assert argparse.ArgumentParser().format_usage().startswith("usage: ")
    speaks("")
    assert "the following arguments are required" in call("dossier").err


def test_german_photo_verdicts_are_german_from_every_thread(
    call: Any, speaks: Any, tmp_path: Path
) -> None:
    for number in range(20):
        Image.new("RGB", (8, 8)).save(tmp_path / f"{number}.png")
    speaks("de")
    out = call("photos", tmp_path).out
    assert out.count("Die Datei enthält kein eigenes Datum.") == 20
    assert "The file" not in out


def test_json_is_the_same_bytes_in_every_language(call: Any, speaks: Any, tmp_path: Path) -> None:
    Image.new("RGB", (8, 8)).save(tmp_path / "plain.png")
    (tmp_path / "empty.jpg").touch()
    kit = write(tmp_path / "kit.csv", KIT + "3;many;Sandbag\n")
    calls: list[tuple[str | Path, ...]] = [
        ("photos", tmp_path / "plain.png", tmp_path / "empty.jpg", "--json"),
        ("kit", kit, "--json"),
        ("reckon", EXAMPLES / "dispute.json", "--json", "--date", "2026-06-01"),
        ("reckon", EXAMPLES / "insurer.json", "--js"),
        ("reckon", "--demo", "--json"),
        ("reckon", "nowhere.json", "--json"),
        ("reckon", "--json", "--date", "tomorrow", "x.json"),
        ("invoice", kit, "--json"),
    ]
    for arguments in calls:
        speaks("en")
        english = call(*arguments)
        speaks("de")
        german = call(*arguments)
        assert (german.code, german.out, german.err) == (english.code, english.out, english.err)
        assert english.out or english.err


def test_a_language_that_nobody_speaks_is_english(call: Any, speaks: Any) -> None:
    speaks("xx-YY")
    done = call("reckon", EXAMPLES / "dispute.json")
    assert done.code == 0
    assert "disputed: 460.20 USD" in done.out
