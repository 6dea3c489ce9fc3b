"""The page on boundaries names every finding of the modules it is about, and their figures."""

import re
from pathlib import Path

import pytest

from geolayout.land import field, readers
from geolayout.land.boundary import inner, outline, repair, thin
from geolayout.land.boundary.inner import THE_SAME, WITHIN
from geolayout.land.boundary.outline import CLOSING_GAP
from geolayout.land.boundary.thin import LADDER, MOST_CORNERS
from geolayout.land.frames import lonlat
from geolayout.land.frames.datum import COARSE

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "boundary.md").read_text("utf-8")
MODULES = [field, inner, lonlat, outline, readers, repair, thin]
KINDS = sorted(
    {
        kind
        for module in MODULES
        for kind in re.findall(r'Finding\(\s*"([a-z ]+)"', Path(module.__file__).read_text("utf-8"))
    }
)


def test_there_are_kinds_to_look_for():
    assert len(KINDS) > 15


@pytest.mark.parametrize("kind", KINDS)
def test_every_finding_has_its_row(kind):
    assert f"\n| `{kind}` |" in PAGE


def test_the_figures_of_the_page_are_those_of_the_code():
    ladder = [f"{step:g}" for step in LADDER]
    said = [
        f"at most {CLOSING_GAP:g} m apart",
        f"{MOST_CORNERS:,} corners",
        f"{', '.join(ladder[:-1])} or {ladder[-1]} m",
        f"more than {COARSE:g} m",
        f"{THE_SAME:.1%} of it".replace("%", " %"),
        f"({WITHIN:.0%} of it)".replace("%", " %"),
    ]
    assert [words for words in said if words not in " ".join(PAGE.split())] == []
