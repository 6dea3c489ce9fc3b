"""Thin doors to the job: they parse, call and show."""
