"""The twenty rules in pandas, with its nullable types: their `boolean` has three-valued logic of its own."""

import arrays
import inventory
import numpy as np
import pandas as pd


def frame(directory, rows):
    values, known = inventory.read(directory, rows)
    columns = {}
    for name, v in values.items():
        if name in inventory.TRUTHS:
            columns[name] = pd.arrays.BooleanArray(v != 0, ~known[name])
        elif v.dtype.kind == "f":
            columns[name] = pd.arrays.FloatingArray(v.astype("f8"), ~known[name])
        else:
            columns[name] = pd.arrays.IntegerArray(v.astype("i4"), ~known[name])
    return pd.DataFrame(columns)


def check(df):
    def nullable(numbers, missing):
        missing = missing | np.isnan(numbers)
        return pd.Series(pd.arrays.FloatingArray(np.where(missing, 0.0, numbers), missing))

    def entry(table, *names, shift=0):
        keys = [df[n].to_numpy("i8", na_value=0) for n in names]
        keys[-1] = keys[-1] + shift
        return nullable(table[tuple(keys)], np.logical_or.reduce([df[n].isna().to_numpy() for n in names]))

    def one_of(name, choices):
        return df[name].isin(list(choices)).astype("boolean").mask(df[name].isna())

    voltage, to_ground, phases, breaker, receptacle = (df[n] for n in ("voltage", "voltage_to_ground", "phases", "breaker", "receptacle"))
    size, material, insulation, terminals, load = (df[n] for n in ("size", "material", "insulation", "terminals", "load"))
    continuous, occupancy, gfci, individual, vehicle = (df[n] for n in ("continuous", "occupancy", "gfci", "individual", "vehicle"))
    at_terminals = entry(arrays.ampacity, "material", "terminals", "size")
    correction = entry(arrays.correction, "insulation", "ambient", shift=128)
    derated = entry(arrays.ampacity, "material", "insulation", "size") * correction * entry(arrays.adjustment, "conductors")
    continuous_load = load * 1.25
    lower = derated.where(derated <= at_terminals, at_terminals).mask(derated.isna() | at_terminals.isna())
    lower = lower.to_numpy("f8", na_value=np.nan)
    rating = nullable(arrays.standard[np.searchsorted(arrays.standard[:-1], lower)], np.isnan(lower))
    effective = continuous_load.where(continuous.fillna(False), load).mask(continuous.isna())
    lines = nullable(np.where(phases.to_numpy("i8", na_value=0) == 3, 1.732, 2), phases.isna().to_numpy())
    resistivity = nullable(np.where(material.to_numpy("i8", na_value=0) == 0, 12.9, 21.2), material.isna().to_numpy())
    drop = 100 * lines * resistivity * load * df["length"] / (entry(arrays.circular_mils, "size") * voltage)
    dwelling = occupancy == 0

    def verdict(when, requirement):
        w = when.to_numpy("i1", na_value=-1)
        r = requirement.to_numpy("i1", na_value=-1)
        return np.select([w == 0, r == 1, (w == 1) & (r == 0)], [2, 0, 1], 3).astype(np.uint8)

    return [
        verdict(one_of("location", range(8)) & (voltage >= 110) & (voltage <= 250) & (to_ground <= 150) & (receptacle > 0), gfci),
        verdict((receptacle > 0) & (receptacle <= 50) & (to_ground <= 150) & (df["sink"] <= 6), gfci),
        verdict(~dwelling & one_of("location", (0, 2, 5, 8, 9)) & (to_ground <= 150)
                & (((phases == 1) & (receptacle > 0) & (receptacle <= 50)) | ((phases == 3) & (receptacle > 0) & (receptacle <= 100))),
                gfci),
        verdict(continuous, continuous_load <= breaker),
        verdict(~continuous, load <= breaker),
        verdict(load > 0, effective <= at_terminals),
        verdict((breaker > 0) & (breaker <= 800), breaker <= rating),
        verdict((df["conductors"] > 3) | (df["ambient"] > 30), load <= derated),
        verdict(size <= 2, breaker <= entry(arrays.small, "material", "size")),
        verdict((receptacle > 0) & ~individual,
                (receptacle >= entry(arrays.lowest, "breaker")) & (receptacle <= entry(arrays.highest, "breaker"))),
        verdict((receptacle > 0) & individual, receptacle >= breaker),
        verdict(receptacle > 0, load <= entry(arrays.cord_load, "receptacle")),
        verdict((df["length"] > 50) & (load > 0), drop <= 3),
        verdict(breaker <= 400, size >= entry(arrays.grounding, "material", "breaker")),
        verdict(vehicle, individual & (continuous_load <= breaker)),
        verdict(vehicle & (receptacle > 0) & (one_of("location", (1, 2, 11)) | ~dwelling), gfci),
        verdict(one_of("occupancy", (0, 3)) & (receptacle > 0), (to_ground <= 125) | ((receptacle > 20) & (voltage <= 250))),
        verdict(breaker <= 100, (terminals <= 60) | ((insulation >= 75) & (terminals <= 75))),
        verdict(dwelling & one_of("location", (0, 5, 6)) & (receptacle > 0),
                (breaker >= 20) & ((size >= 2) | ((size >= 1) & (material == 0)))),
        verdict((phases == 3) | (voltage > 250),
                one_of("voltage", (208, 240, 277, 480)) & ((to_ground < voltage) | (voltage == 277)) & ~(dwelling & (voltage > 250))),
    ]


if __name__ == "__main__":
    inventory.run("pandas", frame, check)
