"""Measures of a footprint."""
