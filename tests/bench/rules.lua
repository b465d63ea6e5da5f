-- The twenty rules as Lua functions of a circuit; nil is unknown. Called with the tables; returns a list of the functions.
local T = ...

local function both(a, b)
  if a == false or b == false then return false end
  if a == nil or b == nil then return nil end
  return true
end
local function either(a, b)
  if a or b then return true end
  if a == nil or b == nil then return nil end
  return false
end
local function negation(a)
  if a == nil then return nil end
  return not a
end
local function at_most(a, b)
  if a == nil or b == nil then return nil end
  return a <= b
end
local function less(a, b)
  if a == nil or b == nil then return nil end
  return a < b
end
local function at_least(a, b)
  if a == nil or b == nil then return nil end
  return a >= b
end
local function more(a, b)
  if a == nil or b == nil then return nil end
  return a > b
end
local function equal(a, b)
  if a == nil or b == nil then return nil end
  return a == b
end
local function times(a, b)
  if a == nil or b == nil then return nil end
  return a * b
end
local function smaller(a, b)
  if a == nil or b == nil then return nil end
  return a < b and a or b
end
local function set(list)
  local members = {}
  for _, v in ipairs(list) do members[v] = true end
  return members
end
local function one_of(a, members)
  if a == nil then return nil end
  return members[a] == true
end
local function entry(t, key)
  if key == nil then return nil end
  return t[key]
end

local function ampacity(c, rating)
  if c.size == nil or c.material == nil or rating == nil then return nil end
  return T.ampacity[c.material][rating][c.size]
end
-- Each search is a loop of its own: shared by all tables, it is compiled for one and fails for the others.
local function correction(c)
  if c.insulation == nil or c.ambient == nil then return nil end
  for i = 1, 11 do
    if c.ambient <= T.correction_up_to[i] then return T.correction[c.insulation][i] end
  end
  return nil
end
local function adjustment(c)
  if c.conductors == nil then return nil end
  for i = 1, 7 do
    if c.conductors <= T.adjustment_up_to[i] then return T.adjustment[i] end
  end
  return nil
end
local function derated(c)
  return times(times(ampacity(c, c.insulation), correction(c)), adjustment(c))
end
local function next_standard(a)
  if a == nil then return nil end
  for i = 1, #T.standard do
    if T.standard[i] >= a then return T.standard[i] end
  end
  return nil
end
local function small(c)
  if c.size == nil or c.material == nil then return nil end
  return T.small[c.material][c.size]
end
local function grounding(c)
  if c.material == nil or c.breaker == nil then return nil end
  for i = 1, 7 do
    if c.breaker <= T.grounding_up_to[i] then return T.grounding[c.material][i] end
  end
  return nil
end
local function effective(c)
  if c.continuous == nil then return nil end
  return c.continuous and times(c.load, 1.25) or c.load
end
local function voltage_drop(c)
  if c.phases == nil or c.material == nil or c.load == nil or c.length == nil or c.size == nil or c.voltage == nil then return nil end
  return 100 * (c.phases == 3 and 1.732 or 2) * (c.material == 0 and 12.9 or 21.2) * c.load * c.length
    / (T.circular_mils[c.size] * c.voltage)
end

local function verdict(when, requirement)
  if when == false then return 2 end
  if requirement then return 0 end
  if when and requirement == false then return 1 end
  return 3
end

local below_8, wet, charging_places = set{0, 1, 2, 3, 4, 5, 6, 7}, set{0, 2, 5, 8, 9}, set{1, 2, 11}
local living, required, nominal = set{0, 3}, set{0, 5, 6}, set{208, 240, 277, 480}

return {
  function(c) return verdict(both(both(both(one_of(c.location, below_8), at_least(c.voltage, 110)),
    both(at_most(c.voltage, 250), at_most(c.voltage_to_ground, 150))), more(c.receptacle, 0)), c.gfci) end,
  function(c) return verdict(both(both(more(c.receptacle, 0), at_most(c.receptacle, 50)),
    both(at_most(c.voltage_to_ground, 150), at_most(c.sink, 6))), c.gfci) end,
  function(c) return verdict(both(both(negation(equal(c.occupancy, 0)), one_of(c.location, wet)),
    both(at_most(c.voltage_to_ground, 150),
      either(both(both(equal(c.phases, 1), more(c.receptacle, 0)), at_most(c.receptacle, 50)),
        both(both(equal(c.phases, 3), more(c.receptacle, 0)), at_most(c.receptacle, 100))))), c.gfci) end,
  function(c) return verdict(c.continuous, at_most(times(c.load, 1.25), c.breaker)) end,
  function(c) return verdict(negation(c.continuous), at_most(c.load, c.breaker)) end,
  function(c) return verdict(more(c.load, 0), at_most(effective(c), ampacity(c, c.terminals))) end,
  function(c) return verdict(both(more(c.breaker, 0), at_most(c.breaker, 800)),
    at_most(c.breaker, next_standard(smaller(derated(c), ampacity(c, c.terminals))))) end,
  function(c) return verdict(either(more(c.conductors, 3), more(c.ambient, 30)), at_most(c.load, derated(c))) end,
  function(c) return verdict(at_most(c.size, 2), at_most(c.breaker, small(c))) end,
  function(c) return verdict(both(more(c.receptacle, 0), negation(c.individual)),
    both(at_least(c.receptacle, entry(T.receptacle_from, c.breaker)), at_most(c.receptacle, entry(T.receptacle_to, c.breaker)))) end,
  function(c) return verdict(both(more(c.receptacle, 0), c.individual), at_least(c.receptacle, c.breaker)) end,
  function(c) return verdict(more(c.receptacle, 0), at_most(c.load, entry(T.cord_load, c.receptacle))) end,
  function(c) return verdict(both(more(c.length, 50), more(c.load, 0)), at_most(voltage_drop(c), 3)) end,
  function(c) return verdict(at_most(c.breaker, 400), at_least(c.size, grounding(c))) end,
  function(c) return verdict(c.vehicle, both(c.individual, at_most(times(c.load, 1.25), c.breaker))) end,
  function(c) return verdict(both(both(c.vehicle, more(c.receptacle, 0)),
    either(one_of(c.location, charging_places), negation(equal(c.occupancy, 0)))), c.gfci) end,
  function(c) return verdict(both(one_of(c.occupancy, living), more(c.receptacle, 0)),
    either(at_most(c.voltage_to_ground, 125), both(more(c.receptacle, 20), at_most(c.voltage, 250)))) end,
  function(c) return verdict(at_most(c.breaker, 100),
    either(at_most(c.terminals, 60), both(at_least(c.insulation, 75), at_most(c.terminals, 75)))) end,
  function(c) return verdict(both(both(equal(c.occupancy, 0), one_of(c.location, required)), more(c.receptacle, 0)),
    both(at_least(c.breaker, 20), either(at_least(c.size, 2), both(at_least(c.size, 1), equal(c.material, 0))))) end,
  function(c) return verdict(either(equal(c.phases, 3), more(c.voltage, 250)),
    both(both(one_of(c.voltage, nominal), either(less(c.voltage_to_ground, c.voltage), equal(c.voltage, 277))),
      negation(both(equal(c.occupancy, 0), more(c.voltage, 250))))) end,
}
