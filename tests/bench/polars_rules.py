"""The twenty rules in Polars: its booleans have three-valued logic of their own, and one lazy query shares what rules share."""

import arrays
import inventory
import polars as pl
from polars import col


def table(array):
    return pl.lit(pl.Series(array.ravel()).fill_nan(None))


def check(df):
    size, material, breaker, receptacle = col("size").cast(pl.Int32), col("material").cast(pl.Int32), col("breaker"), col("receptacle")
    to_ground, voltage, phases, load, occupancy = (col(n) for n in ("voltage_to_ground", "voltage", "phases", "load", "occupancy"))
    load = load.cast(pl.Float64)
    gfci, continuous, individual, vehicle = (col(n) for n in ("gfci", "continuous", "individual", "vehicle"))

    def ampacity(rating):
        return table(arrays.ampacity).gather((material * 128 + col(rating).cast(pl.Int32)) * 20 + size)

    at_terminals = ampacity("terminals")
    correction = table(arrays.correction).gather(col("insulation").cast(pl.Int32) * 256 + col("ambient").cast(pl.Int32) + 128)
    derated = ampacity("insulation") * correction * table(arrays.adjustment).gather(col("conductors").cast(pl.Int32))
    continuous_load = load * 1.25
    lower = pl.when(derated <= at_terminals).then(derated).when(derated > at_terminals).then(at_terminals)
    rating = table(arrays.standard).gather(pl.lit(pl.Series(arrays.standard[:-1])).search_sorted(lower.fill_null(1e9)))
    effective = pl.when(continuous).then(continuous_load).when(~continuous).then(load)
    lines = pl.when(phases == 3).then(1.732).when(phases != 3).then(2.0)
    resistivity = pl.when(material == 0).then(12.9).when(material != 0).then(21.2)
    cmils = table(arrays.circular_mils).gather(size)
    drop = 100 * lines * resistivity * load * col("length").cast(pl.Float64) / (cmils * voltage)
    small = pl.when(size <= 2).then(table(arrays.small).gather(material * 20 + size))
    grounding = table(arrays.grounding).gather(material * 1024 + breaker.cast(pl.Int32))
    outlet = receptacle > 0
    low = to_ground <= 150
    dwelling = occupancy == 0

    def entry(array, key):
        return table(array).gather(key.cast(pl.Int32))

    def one_of(expression, choices):
        return expression.is_in(list(choices))

    def verdict(when, requirement):
        otherwise = pl.when(when & ~requirement).then(pl.lit(1, pl.UInt8)).otherwise(pl.lit(3, pl.UInt8))
        return pl.when(~when).then(pl.lit(2, pl.UInt8)).when(requirement).then(pl.lit(0, pl.UInt8)).otherwise(otherwise)

    location = col("location")
    rules = [
        verdict(one_of(location, range(8)) & (voltage >= 110) & (voltage <= 250) & low & outlet, gfci),
        verdict(outlet & (receptacle <= 50) & low & (col("sink") <= 6), gfci),
        verdict(~dwelling & one_of(location, (0, 2, 5, 8, 9)) & low
                & (((phases == 1) & outlet & (receptacle <= 50)) | ((phases == 3) & outlet & (receptacle <= 100))), gfci),
        verdict(continuous, continuous_load <= breaker),
        verdict(~continuous, load <= breaker),
        verdict(load > 0, effective <= at_terminals),
        verdict((breaker > 0) & (breaker <= 800), breaker <= rating),
        verdict((col("conductors") > 3) | (col("ambient") > 30), load <= derated),
        verdict(size <= 2, breaker <= small),
        verdict(outlet & ~individual, (receptacle >= entry(arrays.lowest, breaker)) & (receptacle <= entry(arrays.highest, breaker))),
        verdict(outlet & individual, receptacle >= breaker),
        verdict(outlet, load <= entry(arrays.cord_load, receptacle)),
        verdict((col("length") > 50) & (load > 0), drop <= 3),
        verdict(breaker <= 400, size >= grounding),
        verdict(vehicle, individual & (continuous_load <= breaker)),
        verdict(vehicle & outlet & (one_of(location, (1, 2, 11)) | ~dwelling), gfci),
        verdict(one_of(occupancy, (0, 3)) & outlet, (to_ground <= 125) | ((receptacle > 20) & (voltage <= 250))),
        verdict(breaker <= 100, (col("terminals") <= 60) | ((col("insulation") >= 75) & (col("terminals") <= 75))),
        verdict(dwelling & one_of(location, (0, 5, 6)) & outlet, (breaker >= 20) & ((size >= 2) | ((size >= 1) & (material == 0)))),
        verdict((phases == 3) | (voltage > 250),
                one_of(voltage, (208, 240, 277, 480)) & ((to_ground < voltage) | (voltage == 277)) & ~(dwelling & (voltage > 250))),
    ]
    out = df.lazy().select(rule.alias(f"r{i}") for i, rule in enumerate(rules, 1)).collect()
    return [column.to_numpy() for column in out]


if __name__ == "__main__":
    inventory.run("polars", lambda directory, rows: pl.from_arrow(inventory.arrow(directory, rows)), check)
