"""The page of worked examples: every figure is what the code tells, every sum comes to it."""

import ast
import operator
import re
from pathlib import Path

import pytest
from sample_layouts import SAMPLE_FOLDER, SAMPLES, sample_layout
from worked_figures import worked_figures

from geolayout.appraisal.quantities.figures import figures
from geolayout.handover.summary import summary_text

TEXT = (Path(__file__).parent.parent / "docs" / "worked-examples.md").read_text("utf-8")
SECTION = re.compile(
    r"^## (?P<title>[^\n]+)\n(?P<said>.*?)<!-- (?P<name>\w+) -->\n(?P<table>(?:\|[^\n]*\n)+)",
    re.M | re.S,
)
SECTIONS = [found.groupdict() for found in SECTION.finditer(TEXT)]
PRICES = {
    one["name"]: "".join(re.findall(r"```toml\n(.*?)```", one["said"], re.S)) for one in SECTIONS
}
ROWS = [
    pytest.param(one["name"], *cells, id=f"{one['name']}: {cells[0]}")
    for one in SECTIONS
    for cells in (
        [cell.strip() for cell in line.strip("|\n").split("|")]
        for line in one["table"].splitlines()[2:]
    )
]
REL, LAST_DIGITS = 0.003, 3.0
"""A sum of rounded figures may differ by this part, or by so many of its last digit."""

ACTS = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}


def reckoned(sum_):
    """Return what a sum of the page comes to."""

    def value(node):
        if isinstance(node, ast.BinOp):
            return ACTS[type(node.op)](value(node.left), value(node.right))
        if isinstance(node, ast.UnaryOp):
            return -value(node.operand)
        return float(node.value)

    plain = sum_.replace(",", "").replace(" x ", " * ").replace("^", "**")
    return value(ast.parse(plain, mode="eval").body)


def told(result):
    """Return the least and the most of a result, its unit, and the size of its last digit."""
    low, high, unit = re.fullmatch(
        r"(-?[\d,.]+)(?: to (-?[\d,.]+))?(?: (\S+))?", result
    ).groups()  # a figure or a range, then perhaps a unit
    digit = 10.0 ** -len(low.partition(".")[2])
    first = float(low.replace(",", ""))
    return first, float((high or low).replace(",", "")), unit or "", digit


@pytest.fixture(scope="module")
def laid(tmp_path_factory):
    """Return the figures of a plan with the prices of its section, laid out once."""
    folder, known = tmp_path_factory.mktemp("worked") / "fields", {}

    def figures_of(name):
        if name not in known:
            known[name] = worked_figures(name, PRICES[name], folder)
        return known[name]

    return figures_of


@pytest.mark.parametrize(("name", "what", "how", "sum_", "result"), ROWS)
def test_a_figure_is_what_the_code_tells(name, what, how, sum_, result, laid):
    low, high, unit, digit = told(result)
    assert how
    if what.startswith("*"):
        assert sum_, "a step on the way has its sum"
        return
    least, most, its_unit = laid(name)[what]
    assert unit == its_unit
    assert (low, high) == pytest.approx((least, most), abs=0.5001 * digit)


@pytest.mark.parametrize(
    ("sum_", "result"), [pytest.param(*row.values[3:], id=row.id) for row in ROWS if row.values[3]]
)
def test_a_sum_comes_to_its_result(sum_, result):
    low, high, _, digit = told(result)
    ends = [reckoned(part) for part in sum_.split(" to ")]
    assert (ends[0], ends[-1]) == pytest.approx((low, high), rel=REL, abs=LAST_DIGITS * digit)


def test_every_sample_and_so_every_practice_has_its_section():
    assert sorted(PRICES) == sorted(SAMPLES)
    rows = re.findall(
        r"\| ([\w-]+) \| `\w+\.toml`", (SAMPLE_FOLDER / "README.md").read_text("utf-8")
    )
    assert len(rows) == len(SECTIONS)


def test_every_price_is_said_to_be_invented():
    assert all("invented" in prices for prices in PRICES.values() if prices)
    assert "are invented like everything in it" in TEXT


def test_a_sum_that_is_wrong_is_found():
    assert reckoned("2 x 3,000 / 1.5 - (1 - 1.0^-2)") == pytest.approx(4000.0)


def test_a_sample_plan_carries_money_and_its_summary_tells_it():
    layout = sample_layout("crooked_hedge")
    text = summary_text("crooked_hedge", layout, figures(layout), ())
    assert "gross margin 5,983 to 8,482" in text
    assert "Trees over 45 years at 3 %" in text
    assert "by 2 published courses: worth -66,241 to 28,756" in re.sub(r"\s+", " ", text)
