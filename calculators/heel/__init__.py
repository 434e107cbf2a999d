"""The angle of the heel against the lower leg, seen from behind."""
