"""Sheets out of the files people bring: one module a format, none of them guesses."""
