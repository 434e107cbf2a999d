"""Treadleaf's calculators: plain numbers in, plain numbers and keys out, never sentences.

Everything goes through `calculators.api.call`. Standard library only, no clock, no files beyond the package's own data,
so the same code gives the same answer on a desk and in a browser.
"""
