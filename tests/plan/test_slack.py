"""The two tolerances of counting, and no third one in the plan."""

import re
from pathlib import Path

from geolayout.plan import slack


def test_one_centimetre_at_edges_and_five_across():
    assert (slack.EDGE_SLACK, slack.ACROSS_SLACK) == (0.01, 0.05)


def test_no_other_module_of_the_plan_writes_one_of_them_out():
    found = [
        f"{path.name}: {line.strip()}"
        for path in Path(slack.__file__).parent.rglob("*.py")
        if path.name not in ("slack.py", "startertexts.py", "units.py")  # a cm is 0.01 m
        for line in path.read_text("utf-8").splitlines()
        if re.search(r"(?<![\w.])0\.0[15]0*\b", line.split("#")[0])
    ]
    assert found == []
