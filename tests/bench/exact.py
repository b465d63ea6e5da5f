"""The verdicts with exact boundaries: every comparison of a computed number is done again in whole numbers.

Usage: exact.py DIRECTORY ROWS prints the checksum, and where raw doubles differ. Loads are quarters of an ampere, lengths halves of a
foot, factors hundredths and thousandths, so that all products are whole numbers far below 2**63.
"""

import sys

import inventory
import numpy as np
import numpy_rules
from tables import (ADJUSTMENT, ADJUSTMENT_UP_TO, AMPACITY, CIRCULAR_MILS, CORRECTION, CORRECTION_UP_TO, RATINGS, STANDARD)

NONE = -1


def whole(value, scale):
    """A written decimal as a whole number of its last places."""
    return NONE if value is None else round(value * scale)


def derated(v, known):
    """Ampacity × correction × adjustment in ten-thousandths of an ampere, and where there is one."""
    index = np.full(256, 3)
    index[RATINGS] = range(3)
    ampacity = np.array([[[whole(a, 1) for a in row] for row in [*of, [None] * 20]] for of in AMPACITY], np.int64)
    correction = np.array([[*(whole(f, 100) for f in row), NONE] for row in [*CORRECTION, [None] * 11]], np.int64)
    adjustment = np.array([whole(f, 100) for f in ADJUSTMENT], np.int64)
    a = ampacity[v["material"], index[v["insulation"]], v["size"]]
    c = correction[index[v["insulation"]], np.searchsorted(CORRECTION_UP_TO, v["ambient"])]
    j = adjustment[np.searchsorted(ADJUSTMENT_UP_TO, v["conductors"])]
    has = np.logical_and.reduce([known[n] for n in ("size", "material", "insulation", "ambient", "conductors")])
    at = ampacity[v["material"], index[v["terminals"]], v["size"]]
    has_at = known["size"] & known["material"] & known["terminals"] & (at != NONE)
    return a * c * j, has & (a != NONE) & (c != NONE), at, has_at


def exact(prepared):
    v, known = prepared
    out = numpy_rules.check(prepared)
    load = np.round(v["load"] * 4).astype(np.int64)
    length = np.round(v["length"] * 2).astype(np.int64)
    assert np.all(load == v["load"] * 4.0) and np.all(length == v["length"] * 2.0)
    breaker = v["breaker"].astype(np.int64)
    der, has_der, at, has_at = derated(v, known)

    def replace(rule, holds, is_known, when):
        requirement = np.where(is_known, np.where(holds, 1, -1), 0)
        violated = np.where((when == 1) & (requirement == -1), 1, 3)
        out[rule - 1] = np.where(when == -1, 2, np.where(requirement == 1, 0, violated)).astype(np.uint8)

    def truth(holds, is_known):
        return np.where(is_known, np.where(holds, 1, -1), 0)

    continuous = truth(v["continuous"] != 0, known["continuous"])
    individual = truth(v["individual"] != 0, known["individual"])
    loaded = truth(load > 0, known["load"])
    has_both = known["load"] & known["breaker"]
    in_breaker = 125 * load <= 400 * breaker
    replace(4, in_breaker, has_both, continuous)
    replace(5, load <= 4 * breaker, has_both, -continuous)
    effective = np.where(continuous == 1, 125 * load, 100 * load)
    replace(6, effective <= 400 * at, (continuous != 0) & known["load"] & has_at, loaded)
    lower = np.minimum(der, at * 10000)
    rating = np.array([*STANDARD, NONE])[np.searchsorted(np.array(STANDARD) * 10000, lower)]
    replace(7, breaker <= rating, known["breaker"] & has_der & has_at & (rating != NONE),
            truth((breaker > 0) & (breaker <= 800), known["breaker"]))
    crowded = np.maximum(truth(v["conductors"] > 3, known["conductors"]), truth(v["ambient"] > 30, known["ambient"]))
    replace(8, load * 2500 <= der, known["load"] & has_der, crowded)
    lines = np.where(v["phases"] == 3, 1732, 2000)
    resistivity = np.where(v["material"] == 0, 129, 212)
    # 100 · lines/1000 · resistivity/10 · load/4 · length/2 ≤ 3 · cmil · V
    drop = 100 * lines * resistivity * load * length
    bound = 3 * np.array(CIRCULAR_MILS, np.int64)[v["size"]] * v["voltage"].astype(np.int64) * 80000
    has = np.logical_and.reduce([known[n] for n in ("phases", "material", "load", "length", "size", "voltage")])
    replace(13, drop <= bound, has, np.minimum(truth(length > 100, known["length"]), loaded))
    required = np.minimum(individual, truth(in_breaker, has_both))
    replace(15, required == 1, required != 0, truth(v["vehicle"] != 0, known["vehicle"]))
    return out


if __name__ == "__main__":
    read = inventory.read(sys.argv[1], int(sys.argv[2]))
    verdicts, raw = exact(read), numpy_rules.check(read)
    for rule, (a, b) in enumerate(zip(verdicts, raw), 1):
        for row in np.flatnonzero(a != b):
            print(f"rule {rule}, row {row}: exact {a[row]}, raw doubles {b[row]}")
    print("exact", inventory.checksum(verdicts), "raw", inventory.checksum(raw))
