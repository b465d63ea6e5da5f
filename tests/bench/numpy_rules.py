"""The twenty rules in NumPy: truths are -1 no, 0 unknown, 1 yes, in bytes; an unknown number is NaN."""

from functools import reduce

import arrays
import inventory
import numpy as np


def check(prepared):
    values, known = prepared

    def number(name):
        return np.where(known[name], values[name], np.nan)

    def truth(holds, is_known):
        return np.where(is_known, np.where(holds, np.int8(1), np.int8(-1)), np.int8(0))

    def is_set(name):
        return truth(values[name] != 0, known[name])

    def every(*truths):
        return reduce(np.minimum, truths)

    def some(*truths):
        return reduce(np.maximum, truths)

    def equal(name, x):
        return truth(values[name] == x, known[name])

    def at_most(name, x):
        return truth(values[name] <= x, known[name])

    def at_least(name, x):
        return truth(values[name] >= x, known[name])

    def more(name, x):
        return truth(values[name] > x, known[name])

    def one_of(name, choices):
        members = np.zeros(256, bool)
        members[list(choices)] = True
        return truth(members[values[name]], known[name])

    def not_over(a, b):
        return truth(a <= b, ~(np.isnan(a) | np.isnan(b)))

    def entry(table, *names):
        keys = tuple(values[n] for n in names)
        return np.where(np.logical_and.reduce([known[n] for n in names]), table[keys], np.nan)

    load, breaker, receptacle = number("load"), number("breaker"), number("receptacle")
    continuous, individual, gfci, vehicle = (is_set(n) for n in ("continuous", "individual", "gfci", "vehicle"))
    at_terminals = entry(arrays.ampacity, "material", "terminals", "size")
    has_correction = known["insulation"] & known["ambient"]
    correction = np.where(has_correction, arrays.correction[values["insulation"], values["ambient"].astype("i2") + 128], np.nan)
    derated = entry(arrays.ampacity, "material", "insulation", "size") * correction * entry(arrays.adjustment, "conductors")
    continuous_load = load * 1.25
    lower = np.minimum(derated, at_terminals)
    rating = np.where(np.isnan(lower), np.nan, arrays.standard[np.searchsorted(arrays.standard[:-1], lower)])
    effective = np.where(continuous == 1, continuous_load, np.where(continuous == -1, load, np.nan))
    lowest, highest = entry(arrays.lowest, "breaker"), entry(arrays.highest, "breaker")
    with np.errstate(all="ignore"):
        lines = np.where(values["phases"] == 3, 1.732, 2)
        resistivity = np.where(values["material"] == 0, 12.9, 21.2)
        cmils = arrays.circular_mils[values["size"]]
        drop = 100 * lines * resistivity * values["load"] * values["length"] / (cmils * values["voltage"])
    has_drop = np.logical_and.reduce([known[n] for n in ("phases", "material", "load", "length", "size", "voltage")])
    outlet = more("receptacle", 0)
    outlet_in_50 = at_most("receptacle", 50)
    low = at_most("voltage_to_ground", 150)
    in_250 = at_most("voltage", 250)
    dwelling = equal("occupancy", 0)
    three_phase = equal("phases", 3)
    loaded = more("load", 0)
    continuous_in_breaker = not_over(continuous_load, breaker)

    def verdict(when, requirement):
        violated = np.where((when == 1) & (requirement == -1), np.uint8(1), np.uint8(3))
        return np.where(when == -1, np.uint8(2), np.where(requirement == 1, np.uint8(0), violated))

    return [
        verdict(every(one_of("location", range(8)), at_least("voltage", 110), in_250, low, outlet), gfci),
        verdict(every(outlet, outlet_in_50, low, at_most("sink", 6)), gfci),
        verdict(every(-dwelling, one_of("location", (0, 2, 5, 8, 9)), low,
                      some(every(equal("phases", 1), outlet, outlet_in_50),
                           every(three_phase, outlet, at_most("receptacle", 100)))), gfci),
        verdict(continuous, continuous_in_breaker),
        verdict(-continuous, not_over(load, breaker)),
        verdict(loaded, not_over(effective, at_terminals)),
        verdict(every(more("breaker", 0), at_most("breaker", 800)), not_over(breaker, rating)),
        verdict(some(more("conductors", 3), more("ambient", 30)), not_over(load, derated)),
        verdict(at_most("size", 2), not_over(breaker, entry(arrays.small, "material", "size"))),
        verdict(every(outlet, -individual), every(not_over(lowest, receptacle), not_over(receptacle, highest))),
        verdict(every(outlet, individual), not_over(breaker, receptacle)),
        verdict(outlet, not_over(load, entry(arrays.cord_load, "receptacle"))),
        verdict(every(more("length", 50), loaded), truth(drop <= 3, has_drop)),
        verdict(at_most("breaker", 400), not_over(entry(arrays.grounding, "material", "breaker"), number("size"))),
        verdict(vehicle, every(individual, continuous_in_breaker)),
        verdict(every(vehicle, outlet, some(one_of("location", (1, 2, 11)), -dwelling)), gfci),
        verdict(every(one_of("occupancy", (0, 3)), outlet),
                some(at_most("voltage_to_ground", 125), every(more("receptacle", 20), in_250))),
        verdict(at_most("breaker", 100),
                some(at_most("terminals", 60), every(at_least("insulation", 75), at_most("terminals", 75)))),
        verdict(every(dwelling, one_of("location", (0, 5, 6)), outlet),
                every(at_least("breaker", 20), some(at_least("size", 2), every(at_least("size", 1), equal("material", 0))))),
        verdict(some(three_phase, -in_250),
                every(some(*(equal("voltage", v) for v in (208, 240, 277, 480))),
                      some(truth(values["voltage_to_ground"] < values["voltage"], known["voltage_to_ground"] & known["voltage"]),
                           equal("voltage", 277)),
                      -every(dwelling, -in_250))),
    ]


if __name__ == "__main__":
    inventory.run("numpy", inventory.read, check)
