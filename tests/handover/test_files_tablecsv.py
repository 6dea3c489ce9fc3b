"""No table that is written runs anything in a spreadsheet."""

import ast
import csv
import io
from pathlib import Path

import pytest
from click.testing import CliRunner
from hazard_plans import home
from hypothesis import example, given
from hypothesis import strategies as st

import geolayout
from geolayout.apps.cli import cli
from geolayout.handover.files.tablecsv import FORMULA, plain_cell, table_csv, told_cell

EVIL = ['=HYPERLINK("x")', "+1+cmd|' /C calc'!A0", "-1+1", "@SUM(A1)", "\t=1", " =1", "＝1"]


@pytest.mark.parametrize("text", EVIL)
def test_what_looks_like_a_formula_becomes_text(text):
    assert plain_cell(text) == f"'{text}"
    assert told_cell(f"'{text}") == text


@pytest.mark.parametrize("value", ["-2.50", "+3", "", "oats", "a = b", "'s Hof", -2.5, 7, None])
def test_figures_and_names_stay(value):
    assert plain_cell(value) == value


def test_a_cell_stays_in_its_line():
    assert table_csv(["a"], [["one\r\ntwo"], ["\r=1"]]) == "a\none two\n' =1\n"


WORDS = st.text(st.characters(codec="utf-8", exclude_characters="'\r\n"))


@given(st.lists(st.lists(WORDS, min_size=2, max_size=2)))
@example([["=a,b", '"x"']])
def test_every_cell_comes_back(rows):
    text = table_csv(["a", "b"], rows)
    back = list(csv.reader(io.StringIO(text, newline="")))[1:]
    assert [[told_cell(cell) for cell in row] for row in back] == rows
    assert not [c for row in back for c in row if c.lstrip().startswith(FORMULA) and not _figure(c)]


def _figure(text):
    try:
        float(text)
    except ValueError:
        return False
    return True


def _calls(tree):
    return [ast.unparse(node.func) for node in ast.walk(tree) if isinstance(node, ast.Call)]


def test_tables_are_written_in_one_place():
    """Any other writer of tables would have to guard its cells itself."""
    package = Path(geolayout.__file__).parent
    told = [
        path.relative_to(package).as_posix()
        for path in sorted(package.rglob("*.py"))
        for call in _calls(ast.parse(path.read_text("utf-8")))
        if call in {"csv.writer", "csv.DictWriter"} or call.endswith(".to_csv")
    ]
    assert told == ["handover/files/tablecsv.py"]


NAMES = {
    '"mixture"': '"=1+1"',
    '"strips"': '"@strips"',
    '"A"': '"+A"',
    '"T"': '"-T"',
    '"sow"': '"\\t=sow"',
    '"drill"': '"=drill"',
}


def evil_plan(folder):
    """Write a plan in which every name of the user's own is a formula."""
    plan = home(folder, "slope", signed=False)
    text = plan.read_text()
    for name, evil in NAMES.items():
        text = text.replace(name, evil)
    plan.write_text(text.replace("trees = {", 'trees = { species = "=cmd()",'))
    return plan


def formulas_in(path):
    with path.open(encoding="utf-8", newline="") as file:
        cells = [cell for row in csv.reader(file) for cell in row]
    return [cell for cell in cells if cell.lstrip().startswith(FORMULA) and not _figure(cell)]


def test_every_table_of_a_plan_full_of_formulas_is_plain(tmp_path):
    plan = evil_plan(tmp_path)
    orders = (
        ["lay", str(plan), "--out", str(tmp_path / "out")],
        ["pegs", str(plan), "--out", str(tmp_path / "pegs")],
        ["compare", str(plan), str(plan), "--csv", str(tmp_path / "compared.csv")],
    )
    for words in orders:
        result = CliRunner().invoke(cli, words)
        assert result.exit_code == 0, result.output
    tables = sorted(tmp_path.rglob("*.csv"))
    assert len(tables) >= 3
    assert {path.name: formulas_in(path) for path in tables if formulas_in(path)} == {}
