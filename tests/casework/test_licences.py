from __future__ import annotations

from importlib import metadata

from ldapp.casework.licences import licences


def test_every_direct_requirement_is_named_with_its_version_and_licence() -> None:
    found = {one.name.lower().replace("_", "-"): one for one in licences()}
    for name in ("pyside6-essentials", "reportlab", "pillow", "sqlalchemy", "pikepdf", "pydantic"):
        assert found[name].version == metadata.version(name)
        assert found[name].licence
    assert "greenlet" in found or "typing-extensions" in found


def test_what_only_the_tests_need_is_not_named() -> None:
    names = {one.name.lower() for one in licences()}
    assert "pytest" not in names
    assert "hypothesis" not in names


def test_own_licence_and_fonts_come_with_their_text() -> None:
    found = {one.name: one for one in licences()}
    assert next(iter(found)) == "ldapp"
    assert "Apache License" in found["ldapp"].text
    assert "SIL OPEN FONT LICENSE" in found["Noto Sans fonts"].text.upper()
    assert found["Python"].version.startswith("3.")
