"""The page on what fits: its table is what the command prints, its plan does what it says."""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from sample_layouts import SAMPLE_FOLDER
from section_profiles import strips, work

from geolayout.appraisal.fit.tramlines import tramlines_of
from geolayout.apps.cli import cli

PAGE = Path(__file__).parent.parent / "docs" / "fit.md"
TEXT = PAGE.read_text("utf-8")
(TABLE,) = re.findall(r"```text\n(.*?)```", TEXT, flags=re.S)
(KEYS,) = re.findall(r"```toml\n(.*?)```", TEXT, flags=re.S)


@pytest.fixture(scope="module")
def printed():
    result = CliRunner().invoke(cli, ["section", str(SAMPLE_FOLDER / "pond_piece.toml")])
    assert result.exit_code == 0, result.output
    return {re.sub(r"\s+", " ", line).strip() for line in result.stdout.splitlines()}


@pytest.mark.parametrize("line", TABLE.splitlines())
def test_each_line_of_its_table_is_printed(line, printed):
    assert re.sub(r"\s+", " ", line).strip() in printed


def test_its_start_and_offset_put_tramlines_in_the_middle_of_strips():
    start = float(re.search(r"start = ([\d.]+)", KEYS)[1])
    offset = re.search(r"offset = ([-\d.]+)", KEYS)[1]
    spray = work("spray", "working_width = 24.0", "block", f"offset = {offset}")
    (found,) = tramlines_of(strips(spray, span=(-start, 72.0 - start)))
    assert (found.places + start).tolist() == pytest.approx([12.0, 36.0, 60.0])
    assert found.room.tolist() == pytest.approx([3.0, 3.0, 3.0])
