"""Plans with prices, for the tests of money. Every price and yield is invented."""

from sample_layouts import STRIPS

MONEY = """
[money]
coin = "crown"
date = 2027-01-15
product = [
  { crop = "maize", yield = 8.0, price = { amount = 180.0, per = "t" } },
  { crop = "field beans", yield = 4.0, price = { amount = 0.24, per = "kg", date = 2027-02-01 } },
  { crop = "grass", yield = 0.0 },
]
seed = [
  { crop = "maize", price = { amount = 0.0, per = "kg" } },
  { crop = "field beans", price = { amount = 0.0, per = "kg" } },
  { crop = "grass", price = { amount = 0.0, per = "kg" } },
]
cost = [
  { name = "all but work", price = { amount = 400.0, per = "ha" }, crop = "maize" },
  { name = "all but work", price = { amount = 100.0, per = "ha" }, stand = "beans", times = 2.0 },
]
work = [
  { operation = "plant", price = { amount = 50.0, per = "ha" } },
  { operation = "drill", price = { amount = 4.0, per = "pass" } },
]
sole = [
  { crop = "maize", yield = 7.5, costs = { amount = 500.0, per = "ha" } },
  { crop = "field beans", yield = 3.5, costs = { amount = 250.0, per = "ha" } },
]
"""

PRICED = STRIPS + MONEY
"""
Ten bands of 6 m x 100 m, five of maize, five of beans: 0.3 ha each; 0.12 ha of grass headland.

Maize: 2.4 t x 180 = 432; 0.3 ha x 400 = 120. Beans: 1.2 t x 240 = 288; 0.3 ha x 100 x 2 = 60.
Work: 5 passes x 100 m x 6 m = 0.3 ha x 50 = 15; 10 passes x 4 = 40.
"""


def with_money(extra="", **changed):
    """Return the plan with lists of its money taken away or written otherwise."""
    text = MONEY
    for key, value in changed.items():
        start = text.index(f"\n{key} = [") + 1
        end = text.index("\n]\n", start) + 3
        text = text[:start] + (f"{key} = {value}\n" if value else "") + text[end:]
    return STRIPS + text + extra
