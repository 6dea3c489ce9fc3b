"""The page of the rotation: its plan gives its lines, its table is the one that counts."""

import re
from pathlib import Path

from sample_layouts import paper_layout

from geolayout.appraisal.rotation.cautions import rotation_cautions
from geolayout.appraisal.rotation.nitrogen import CREDITS
from geolayout.handover.words.rotation import rotation_lines

TEXT = (Path(__file__).parent.parent / "docs" / "rotation.md").read_text("utf-8")
(PLAN,) = re.findall(r"```toml\n(.*?)```", TEXT, flags=re.S)
(TOLD,) = re.findall(r"```text\n(.*?)```", TEXT, flags=re.S)


def test_its_plan_gives_its_lines():
    assert rotation_lines(paper_layout(PLAN)) == TOLD.splitlines()


def test_its_plan_warns_of_soya_after_soya_and_of_its_nitrogen():
    cautions = rotation_cautions(paper_layout(PLAN))
    assert {caution.key for caution in cautions} >= {"same-crop-again", "nitrogen-credit"}


def test_its_table_is_the_one_that_counts():
    rows = [
        " | ".join((one.crop, str(one.years), f"{one.low:.0f} to {one.high:.0f}", one.basis))
        for one in CREDITS
    ]
    found = re.findall(r"^\| (\w[\w ]+ \| \d \| .*) \| (.*) \|$", TEXT, flags=re.M)
    assert found == list(zip(rows, [one.source for one in CREDITS], strict=True))
