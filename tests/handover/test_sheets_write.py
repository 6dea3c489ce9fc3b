"""Which sheets there are, that they are named like the files, and that they are always equal."""

import pdfplumber
import pytest
from handed_layouts import handed_paper, handed_sample
from sample_layouts import STRIPS

from geolayout.handover.files.prescription import write_guidance
from geolayout.handover.sheets.write import write_sheets

ALWAYS = ["season.pdf", "strip_map.pdf", "strips.pdf"]


def test_every_operation_that_drives_has_a_sheet_named_like_its_lines(tmp_path):
    handed = handed_paper()
    write_sheets(handed, tmp_path)
    (tmp_path / "guidance").mkdir()
    write_guidance(handed.layout, tmp_path / "guidance", ())
    lines = {path.stem for path in (tmp_path / "guidance").glob("*.shp")}
    assert {path.stem.removeprefix("job_") for path in tmp_path.glob("job_*.pdf")} == lines
    with pdfplumber.open(tmp_path / "job_plant.pdf") as file:
        assert "guidance/plant.shp" in file.pages[0].extract_text()


def test_a_plan_without_operations_has_the_other_sheets(tmp_path):
    assert sorted(write_sheets(handed_sample("market_plots"), tmp_path)) == ALWAYS


def test_equal_plans_have_equal_sheets(tmp_path):
    for name in ("one", "other"):
        (tmp_path / name).mkdir()
        files = write_sheets(handed_paper(), tmp_path / name)
    for file in files:
        assert (tmp_path / "one" / file).read_bytes() == (tmp_path / "other" / file).read_bytes()


@pytest.mark.parametrize("name", ["Żółta łąka, Große Wiese", "Поле за рекой", "北の畑 $a$"])
def test_names_of_any_letters_reach_the_title_without_a_warning(tmp_path, name):
    """Warnings are errors here: matplotlib warns of every letter that its type lacks."""
    text = STRIPS.replace('name = "strips"', f'name = "{name}"')
    write_sheets(handed_paper(text), tmp_path)
    with pdfplumber.open(tmp_path / "strip_map.pdf") as file:
        words = file.pages[0].extract_text()
    assert name.replace("北の畑", "□□□") in words
    assert ("stands for a letter" in words) == ("北" in name)
