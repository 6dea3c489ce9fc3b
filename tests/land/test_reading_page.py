"""The page on what is read names every kind."""

from pathlib import Path

import pytest

from geolayout.land.files.formats import READERS
from geolayout.land.files.taskdata import FEATURES, FIELDS

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "reading.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("word", [*sorted(set(READERS) - {".xml"}), ".kmz", FIELDS, FEATURES])
def test_the_page_names_it(word):
    assert f"`{word}`" in PAGE
