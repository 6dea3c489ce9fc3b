"""
The two tolerances of counting.

Rounding of lon/lat, or turning a field, moves a vertex by up to about a centimetre. Counts of
bands, rows, trees and passes must not change with it, so every test that decides a count gives
way by these two lengths, and no other tolerance decides a count anywhere.
"""

EDGE_SLACK = 0.01
"""Slack of rows and trees, square to the edge of the land, not along the row. [m]"""

ACROSS_SLACK = 0.05
"""Slack of bands and passes, across the guide. [m]"""
