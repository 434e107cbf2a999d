"""Lengths of the body's segments as shares of a person's stature.

Source: Drillis and Contini 1966, Body segment parameters, technical report 1166.03, New York University, as reproduced
in Winter, Biomechanics and motor control of human movement (doi 10.1002/9780470549148), figure 4.1. Neither was read
here: what is marked secondary was seen where somebody else lists the figure's values, what is marked from memory was
not seen at all. The shares describe one group of adults and measure nobody; they only keep the figures plausible.
"""

# secondary: heights above the floor of somebody who stands
ANKLE_HEIGHT = 0.039
KNEE_HEIGHT = 0.285
HIP_HEIGHT = 0.530
SHOULDER_HEIGHT = 0.818

# secondary: lengths
THIGH = 0.245
SHANK = 0.246
UPPER_ARM = 0.186
FOREARM = 0.146
TRUNK = 0.288

# from memory
HAND = 0.108
FOOT_LENGTH = 0.152
