"""Measuring from photographs on the command line: reading a picture, asking the calculators, showing what they say."""
