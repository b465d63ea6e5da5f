"""The tables of the twenty rules as arrays that are indexed directly; NaN is no entry."""

import numpy as np
from tables import (ADJUSTMENT, ADJUSTMENT_UP_TO, AMPACITY, CIRCULAR_MILS, CORD_LOAD, CORRECTION, CORRECTION_UP_TO, GROUNDING,
                    GROUNDING_UP_TO, RATINGS, RECEPTACLES, SMALL, STANDARD)


def filled(shape, entries):
    out = np.full(shape, np.nan)
    for key, value in entries:
        if value is not None:
            out[key] = value
    return out


def stepped(bounds, values, low, high):
    """Of each whole number from low to high the value of the first bound that is not under it."""
    at = np.searchsorted(bounds, np.arange(low, high + 1))
    return np.array([*(np.nan if v is None else v for v in values), np.nan])[at]


ampacity = filled((2, 128, 20), (((m, t, i), a) for m in range(2) for k, t in enumerate(RATINGS) for i, a in enumerate(AMPACITY[m][k])))
circular_mils = np.array(CIRCULAR_MILS, float)
correction = np.full((128, 256), np.nan)  # [rating, ambient + 128]
for k, rating in enumerate(RATINGS):
    correction[rating] = stepped(CORRECTION_UP_TO, CORRECTION[k], -128, 127)
adjustment = stepped(ADJUSTMENT_UP_TO, ADJUSTMENT, 0, 255)
standard = np.array([*STANDARD, np.nan])
small = filled((2, 20), (((m, i), a) for m in range(2) for i, a in enumerate(SMALL[m])))
lowest = filled(1024, ((k, v[0]) for k, v in RECEPTACLES.items()))
highest = filled(1024, ((k, v[1]) for k, v in RECEPTACLES.items()))
cord_load = filled(1024, CORD_LOAD.items())
grounding = np.array([stepped(GROUNDING_UP_TO, row, 0, 1023) for row in GROUNDING])
