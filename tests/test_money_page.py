"""The page on money: its plan prints its figures, its words keep land and money apart."""

import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner
from sample_layouts import SAMPLE_FOLDER

from geolayout.apps.cli import cli

PAGE = Path(__file__).parent.parent / "docs" / "money.md"
TEXT = PAGE.read_text("utf-8")
(MONEY,) = re.findall(r"```toml\n(.*?)```", TEXT, flags=re.S)
(PRINTED,) = re.findall(r"```text\n(.*?)```", TEXT, flags=re.S)


@pytest.fixture(scope="module")
def printed(tmp_path_factory):
    folder = tmp_path_factory.mktemp("page") / "fields"
    shutil.copytree(SAMPLE_FOLDER, folder)
    plan = folder / "pond_piece.toml"
    plan.write_text(plan.read_text("utf-8") + "\n" + MONEY, "utf-8")
    result = CliRunner().invoke(cli, ["money", str(plan)])
    assert result.exit_code == 0, result.output
    return {re.sub(r"\s+", " ", line).strip() for line in result.stdout.splitlines()}


@pytest.mark.parametrize("line", list(dict.fromkeys(filter(None, PRINTED.splitlines()))))
def test_each_line_of_the_example_is_printed(line, printed):
    assert re.sub(r"\s+", " ", line).strip() in printed


def test_land_is_never_called_profit():
    for page in (PAGE, PAGE.with_name("compare.md")):
        assert "profit" not in page.read_text("utf-8").lower()
