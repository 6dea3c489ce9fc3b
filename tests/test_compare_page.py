"""The page on comparing: its example is what the command prints."""

import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner
from sample_layouts import SAMPLE_FOLDER

from geolayout.appraisal.comparing import PARTS
from geolayout.apps.cli import cli

TEXT = (Path(__file__).parent.parent / "docs" / "compare.md").read_text("utf-8")
(EXAMPLE,) = re.findall(r"```text\n(.*?)```", TEXT, flags=re.S)


@pytest.fixture(scope="module")
def printed(tmp_path_factory):
    folder = tmp_path_factory.mktemp("page") / "fields"
    shutil.copytree(SAMPLE_FOLDER, folder)
    first = folder / "crooked_hedge.toml"
    text = first.read_text("utf-8")
    assert "in_row_spacing = 8.0" in text
    second = folder / "closer.toml"
    second.write_text(text.replace("in_row_spacing = 8.0", "in_row_spacing = 6.0"), "utf-8")
    result = CliRunner().invoke(cli, ["compare", str(first), str(second)])
    assert result.exit_code == 0, result.output
    return {re.sub(r"\s+", " ", line).strip() for line in result.stdout.splitlines()}


@pytest.mark.parametrize("line", EXAMPLE.splitlines())
def test_each_line_of_the_example_is_printed(line, printed):
    assert re.sub(r"\s+", " ", line).strip() in printed


def test_the_page_names_every_part():
    assert re.findall(r"^\| (\w+) \|", TEXT, flags=re.M)[1:] == list(PARTS)
