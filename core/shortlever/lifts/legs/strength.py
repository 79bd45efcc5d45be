"""How strong the joints are, as shares of body weight x stature. Only their ratios matter here.

Anderson 2007, J Biomech 40:3105, Table 3 (read second-hand, in the source of a general dynamics library):
moment = c1 cos(c2 (angle - c3)). Peaks and knee are the mean of men and women of 18 to 25; the hip's shape is
that of men, because a public muscle model gives the same fall.
"""

from __future__ import annotations

import math

Curve = tuple[float, float, float]  # c1 (share), c2, c3 (rad)

HIP_EXTENSION: Curve = (0.171, 0.958, 0.932)
KNEE_EXTENSION: Curve = (0.161, 1.2225, 1.2035)
KNEE_FLEXION: Curve = (0.0835, 0.871, 0.5785)
PLANTARFLEXION: Curve = (0.0995, 1.395, 0.416)
DORSIFLEXION: Curve = (0.030, 1.29, -0.245)
ADDUCTION = 0.60 * HIP_EXTENSION[0]  # (memory)
ROTATION = 0.30 * HIP_EXTENSION[0]  # (memory)
VALGUS = 0.50 * KNEE_EXTENSION[0]  # what the knee bears sideways (assumption)
# Sustained L4/L5 moment 988 N m where the hip had 1047 (Cholewicki 1991); used, so not checked by it.
BACK = 0.235
SHOULDER_EXTENSION = 0.068  # per arm (memory): 0.4 of hip extension
FLOOR = 0.5  # of the peak: net moment at the ends of range, where the fits are not meant to hold (assumption)
FLOOR_SD = 0.1  # (assumption)
SMOOTH = 0.01  # rounds the corner between fit and floor


def share(curve: Curve, angle_rad: float, floor: float = FLOOR) -> float:
    """Strength at a joint angle, share of body weight x stature: the fit, or the floor, smoothly.

    >>> round(share(KNEE_EXTENSION, 1.2035), 3)
    0.162
    """
    fit = math.cos(min(1.5, abs(curve[1] * (angle_rad - curve[2]))))
    gap = fit - floor
    return curve[0] * 0.5 * (fit + floor + math.sqrt(gap * gap + SMOOTH))
