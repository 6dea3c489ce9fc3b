"""The page on shelter: its plan is laid, and tells what the page says it tells."""

import re
import shutil
from pathlib import Path

import pytest
from sample_layouts import SAMPLE_FOLDER

from geolayout import jobs
from geolayout.appraisal.trees.outlook import SCENARIOS
from geolayout.appraisal.trees.shelter import shelter_years
from geolayout.handover.words.shelter import shelter_lines

PAGE = Path(__file__).parent.parent / "docs" / "shelter.md"
(PLAN,) = re.findall(r"```toml\n(.*?)```", PAGE.read_text("utf-8"), flags=re.S)


@pytest.fixture(scope="module")
def years(tmp_path_factory):
    folder = Path(shutil.copytree(SAMPLE_FOLDER, tmp_path_factory.mktemp("shelter") / "fields"))
    path = folder / "shelter.toml"
    path.write_text(PLAN, encoding="utf-8")
    return shelter_years(jobs.lay(jobs.read(path)))


def test_shelter_grows_with_the_trees(years):
    assert [one.year for one in years] == [5, 10, 20]
    slow = [one.sheltered_percent[0] for one in years]
    assert slow == sorted(slow)
    assert 0.0 < slow[0] < 100.0
    assert all(one.sheltered_percent[0] <= one.sheltered_percent[1] for one in years)


def test_each_year_and_each_wind_is_told(years):
    told = shelter_lines(years)
    assert [line.split(",")[0] for line in told[:3]] == ["Year 5", "Year 10", "Year 20"]
    assert "from 250 degrees" in told[3]
    assert "from 70 degrees" in told[3]


def test_the_table_of_scenarios_is_what_the_figures_give():
    text = PAGE.read_text("utf-8")
    for one in SCENARIOS:
        row = next(line for line in text.splitlines() if line.startswith(f"| {one.name} |"))
        said = [float(cell.strip(" %")) for cell in row.split("|")[2:5]]
        assert said == [round(100 * one.in_year(year)) for year in (1, 10, 20)]
