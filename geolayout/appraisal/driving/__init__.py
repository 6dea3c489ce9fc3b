"""Driving: in which order passes are driven, how far, how long, and what is worked twice."""
