"""What each rule is set off by, and what not: the traces of handling."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from ldapp.claim.photo_facts import (
    CredentialsCheck,
    HistoryStep,
    MovieFacts,
    XmpFacts,
)
from ldapp.evidence.context import (
    CameraHabits,
    VerifyContext,
)
from ldapp.evidence.verify import verify, wants_pictures
from tests.evidence.saying import TAKEN, says, weights

NOON = datetime(2026, 2, 14, 12, 0, tzinfo=UTC)


class TestHandling:
    def test_e1_saved_again(self, photo):
        verdict = verify(photo(TAKEN, offset="+01:00", changed="2026:02:21 10:02:44"))
        assert weights(verdict) == {"E1": "note"}
        assert verdict.standing == "camera_only"
        edge = photo(TAKEN, offset="+01:00", changed="2026:02:14 10:15:36")
        assert weights(verify(edge)) == {"E1": "note"}
        hdr = photo(TAKEN, offset="+01:00", changed="2026:02:14 10:15:35")
        assert weights(verify(hdr)) == {}

    def test_e1_for_viewers_and_card_copiers(self, photo):
        for name in ("Invented Viewer 4.1", "Invented Transfer", "Invented Image Capture"):
            turned = photo(TAKEN, offset="+01:00", changed="2026:02:21 10:02:44", software=name)
            assert weights(verify(turned)) == {"E1": "note"}

    @pytest.mark.parametrize(
        "others",
        [
            {"software": "Invented Photo Editor 2"},
            {"xmp": XmpFacts(creator_tool="Invented Image Studio")},
            {"editing_programs": ("Bildwerk",)},
        ],
    )
    def test_e2_editor(self, photo, others):
        edited = photo(TAKEN, offset="+01:00", changed="2026:02:21 10:02:44", **others)
        verdict = verify(edited)
        assert weights(verdict) == {"E2": "weakens"}
        assert "on 21 Feb 2026, 10:02:44" in says(verdict, "E2")
        undated = verify(photo(TAKEN, offset="+01:00", **others))
        assert " on " not in says(undated, "E2")

    @pytest.mark.parametrize(
        "name",
        [
            "Luminar 4", "VSCO", "Canva", "DxO Optics Pro 9", "ACDSee Pro 5", "Krita 5.1",
            "PicsArt", "Pixlr", "Camera Raw 15", "SILKYPIX(R) 8", "Capture NX 2.4.7 M",
            "UFRaw 0.22", "Instagram", "Camera Photo Editor 3",
        ],
    )  # fmt: skip
    def test_e2_for_what_common_programs_write(self, photo, name):
        edited = photo(TAKEN, offset="+01:00", changed="2026:02:21 10:02:44", software=name)
        assert weights(verify(edited)) == {"E2": "weakens"}

    @pytest.mark.parametrize(
        "name",
        [
            "14.3", "Ver.1.01", "G975FXXU7CTF1", "HDR+ 1.0.199571065z", "Version 1.0",
            "IO-1 Photo v1.00", "fw 05.15 prm 07.53", "1.00(B0563)", "some-user 5.1.1 release-keys",
            "Invented Photo Ver 2", "unknown words", "", "Invented Imaging firmware 1.02",
            "Fotocamera 2.1", "Open Camera 1.50", "photon 3.0",
        ],
    )  # fmt: skip
    def test_e2_not_for_firmware(self, photo, name):
        assert weights(verify(photo(TAKEN, offset="+01:00", software=name))) == {}

    def test_e2_not_for_what_the_camera_writes_everywhere(self, photo):
        odd = photo(TAKEN, offset="+01:00", software="Photo Edit Engine")
        habits = CameraHabits(photos=5, with_maker_note=0, software=("Photo Edit Engine",))
        assert weights(verify(odd, VerifyContext(habits=habits))) == {}
        saved = photo(
            TAKEN, offset="+01:00", software="Photo Edit Engine", changed="2026:02:15 10:00:00"
        )
        assert weights(verify(saved, VerifyContext(habits=habits))) == {"E2": "weakens"}

    def test_e2_for_what_only_this_photo_of_the_camera_carries(self, photo):
        habits = CameraHabits(photos=5, with_maker_note=0, software=("Engine 7",))
        context = VerifyContext(habits=habits)
        odd = photo(TAKEN, offset="+01:00", software="Zwielicht")
        assert weights(verify(odd)) == {}
        assert weights(verify(odd, context)) == {"E2": "weakens"}
        for plain in ("Ver.1.02", "Invented Viewer", None):
            firmware = replace(odd, software=plain)
            assert weights(verify(firmware, context)) == {}
        named = replace(odd, software="Invented Photo Editor")
        assert "Invented Photo Editor" in says(verify(named, context), "E2")

    def test_e3_changed_before_taken(self, photo):
        old = photo(TAKEN, offset="+01:00", changed="2026:02:13 08:00:00")
        assert weights(verify(old))["E3"] == "undermines"
        zone = photo(TAKEN, offset="+01:00", changed="2026:02:13 09:00:00")
        assert "E3" not in weights(verify(zone))
        assert "E3" not in weights(verify(photo(TAKEN, changed="2026:02:14 07:00:00")))
        edge = photo(TAKEN, offset="+01:00", changed="2026:02:13 08:15:30")
        assert "E3" not in weights(verify(edge))
        same = photo(TAKEN, offset="+01:00", changed="2026:02:14 10:15:27", changed_offset="+01:00")
        assert weights(verify(same))["E3"] == "undermines"

    def test_e4_history(self, photo):
        steps = (
            HistoryStep(action="saved", when="2026-02-15T10:00:00+01:00"),
            HistoryStep(action="converted", when="2026-02-16T10:00:00"),
            HistoryStep(action="published"),
        )
        edited = photo(TAKEN, offset="+01:00", xmp=XmpFacts(history=steps))
        verdict = verify(edited)
        assert weights(verdict) == {"E4": "weakens"}
        assert says(verdict, "E4") == (
            "The edit history lists 2 steps, last on 16 Feb 2026, 10:00:00."
        )
        named = replace(edited, software="Invented Photo Editor")
        assert weights(verify(named)) == {"E2": "weakens"}
        harmless = photo(TAKEN, offset="+01:00", xmp=XmpFacts(history=steps[2:]))
        assert weights(verify(harmless)) == {}
        undated = XmpFacts(history=(HistoryStep(action="saved"),))
        assert says(verify(photo(xmp=undated)), "E4") == "The edit history lists 1 step."

    def test_e5_and_e6_preview(self, photo):
        plain = photo(TAKEN, offset="+01:00")
        differs = replace(plain, preview_match="differs")
        assert weights(verify(differs)) == {"E5": "weakens"}
        assert weights(verify(replace(plain, preview_match="turned"))) == {"E6": "note"}
        for nothing in ("same", "unknown", None):
            assert weights(verify(replace(plain, preview_match=nothing))) == {}
        edited = replace(differs, software="Invented Photo Editor")
        assert weights(verify(edited))["E5"] == "undermines"

    def test_e7_private_data_missing(self, photo):
        habits = VerifyContext(habits=CameraHabits(photos=3, with_maker_note=3))
        assert weights(verify(photo(offset="+01:00"), habits)) == {"E7": "note"}
        kept = photo(offset="+01:00", has_maker_note=True)
        assert weights(verify(kept, habits)) == {}
        assert weights(verify(photo(offset="+01:00", make=None), habits)) == {}

    def test_e8_size(self, photo):
        whole = photo(offset="+01:00", pixel_width=4000, pixel_height=3000)
        assert weights(verify(whole)) == {}
        turned = replace(whole, pixel_width=3000, pixel_height=4000)
        assert weights(verify(turned)) == {}
        small = replace(whole, width=400, height=300)
        assert weights(verify(small)) == {"E8": "note"}
        both = verify(replace(small, preview_match="differs"))
        assert weights(both) == {"E5": "weakens", "E8": "weakens"}
        assert weights(verify(replace(small, kind="image/x-adobe-dng"))) == {}

    def test_e9_built_differently(self, photo):
        habits = CameraHabits(
            photos=4, with_maker_note=0, first_segments=("APP1:Exif",), quantisations=("aa",)
        )
        usual = photo(offset="+01:00", quantisation="aa")
        assert weights(verify(usual, VerifyContext(habits=habits))) == {}
        for odd in (replace(usual, first_segment="APP0:JFIF"), replace(usual, quantisation="bb")):
            assert weights(verify(odd, VerifyContext(habits=habits))) == {"E9": "note"}

    def test_e10_messenger_copy(self, photo):
        copy = photo(None, digitized=None, make=None, model=None, has_jfif=True)
        assert weights(verify(copy)) == {"E10": "note", "T1": "note"}
        assert "E10" not in weights(verify(photo(None, digitized=None, has_jfif=True)))

    def test_e14_made_for_passing_on(self, photo):
        original = "ab" * 32
        passed_on = verify(photo(offset="+01:00", derivative_of=original))
        assert weights(passed_on) == {"E14": "weakens"}
        assert original[:12] in says(passed_on, "E14")
        assert weights(verify(photo(offset="+01:00"))) == {}

    @pytest.mark.parametrize(
        "others",
        [
            {"user_comment": "Screenshot"},
            {"file_name": "Screenshot 2026-02-06 at 11.11.11.png"},
            {"file_name": "Bildschirmfoto 3.png"},
            {"file_name": "a.png", "kind": "image/png", "width": 2532, "height": 1170},
        ],
    )
    def test_e11_screenshot(self, photo, others):
        screen = photo("2026:02:06 11:11:11", make=None, model=None, offset="+01:00", **others)
        verdict = verify(screen)
        assert weights(verdict)["E11"] == "undermines"
        assert verdict.standing == "open"

    def test_e11_not_for_a_camera(self, photo):
        named = photo(offset="+01:00", file_name="Screenshot.jpg")
        assert weights(verify(named)) == {}
        drawing = photo(None, digitized=None, make=None, kind="image/png", width=713, height=444)
        assert "E11" not in weights(verify(drawing))

    def test_e12_saved_again_movie(self, photo):
        start = "2026-02-10T08:30:00+01:00"
        base = 3853553400
        for late, found in ((17, False), (150, False), (151, True), (5 * 365 * 86400, True)):
            movie = MovieFacts(creation_date=start, header_seconds=base + late, duration_s=30.0)
            verdict = verify(photo(None, digitized=None, movie=movie))
            assert ("E12" in weights(verdict)) is found

    @pytest.mark.parametrize("seconds", [0, 1770708600, 1 << 60])
    def test_e13_header_never_set(self, photo, seconds):
        movie = photo(None, digitized=None, movie=MovieFacts(header_seconds=seconds))
        verdict = verify(movie, VerifyContext(now=NOON))
        assert weights(verdict)["E13"] == "note"
        assert verdict.standing == "none"

    def test_c_credentials(self, photo):
        signed = photo(offset="+01:00", content_credentials=True)
        assert weights(verify(signed)) == {"C3": "note"}

        def checked(outcome, **more):
            return replace(signed, credentials=CredentialsCheck(outcome=outcome, **more))

        good = checked("trusted", signer="A", at=NOON)
        assert weights(verify(good)) == {"C1": "supports"}
        assert says(verify(good), "C1") == "Signed by A at 14 Feb 2026, 12:00:00 (UTC)."
        assert verify(good).standing == "backed"
        for undecided in ("matching", "unclear"):
            assert weights(verify(checked(undecided, at=NOON))) == {"C3": "note"}
        undated = checked("trusted", signer="A")
        assert weights(verify(undated)) == {"C3": "note"}
        assert weights(verify(checked("broken"))) == {"C2": "undermines"}
        assert weights(verify(replace(good, content_credentials=False))) == {}

    def test_pictures_are_wanted_after_signs_of_handling(self, photo):
        from ldapp.claim.photo_facts import EmbeddedPreview

        small = EmbeddedPreview(offset=10, length=10)
        edited = photo(changed="2026:02:21 10:02:44", preview=small)
        assert wants_pictures(edited)
        assert not wants_pictures(replace(edited, preview=None))
        assert not wants_pictures(photo(preview=small))
        assert wants_pictures(photo(preview=small, complete=False))
        assert wants_pictures(photo(preview=small, pixel_width=8, pixel_height=8))
