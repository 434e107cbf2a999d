"""Treadleaf builds a clinic's handout site, whose calculators run in the visitor's own browser."""
