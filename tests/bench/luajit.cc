// The twenty rules as Lua functions that a C host calls: luajit DIRECTORY ROWS RUNS TABLES.lua
// RULES.lua. A table with 20 fields is filled again for each circuit, then each rule is a protected
// call: one function that calls all twenty is compiled worse. The trace limits are raised: with
// those that LuaJIT starts with it is a hundred times slower on this work.
#include "inventory.h"

#include <lua.hpp>

using namespace bench;

namespace {

void must(lua_State *lua, int status) {
    if (status == 0)
        return;
    std::fprintf(stderr, "luajit: %s\n", lua_tostring(lua, -1));
    std::exit(2);
}

bool is_truth(Column c) {
    return c == continuous || c == gfci || c == individual || c == vehicle;
}

struct Circuit {
    double value[column_count];
    bool known[column_count];
};

void fill(lua_State *lua, const Circuit &circuit) {
    for (std::size_t k = 0; k < column_count; ++k) {
        if (!circuit.known[k])
            lua_pushnil(lua);
        else if (is_truth(static_cast<Column>(k)))
            lua_pushboolean(lua, circuit.value[k] != 0);
        else
            lua_pushnumber(lua, circuit.value[k]);
        lua_setfield(lua, -2, described[k].name);
    }
}

} // namespace

int main(int count, char **words) {
    if (count < 6) {
        std::fprintf(stderr, "usage: %s DIRECTORY ROWS RUNS TABLES.lua RULES.lua\n", words[0]);
        return 2;
    }
    const Call call = call_of(count, words);
    const Inventory inventory = read(call.directory, call.rows);
    std::vector<Circuit> circuits(call.rows);
    for (std::size_t row = 0; row < call.rows; ++row) {
        for (std::size_t k = 0; k < column_count; ++k) {
            circuits[row].value[k] = inventory.value(static_cast<Column>(k), row);
            circuits[row].known[k] = inventory.known(static_cast<Column>(k), row);
        }
    }
    lua_State *lua = luaL_newstate();
    luaL_openlibs(lua);
    must(lua,
         luaL_dostring(lua, "jit.opt.start('maxtrace=65000', 'maxmcode=65536', 'sizemcode=4096')"));
    must(lua, luaL_loadfile(lua, words[5]));
    must(lua, luaL_dofile(lua, words[4]));
    must(lua, lua_pcall(lua, 1, 1, 0));
    for (int rule = 1; rule <= static_cast<int>(rule_count); ++rule)
        lua_rawgeti(lua, 1, rule); // at 1 + rule
    lua_createtable(lua, 0, column_count);
    std::vector<std::uint8_t> verdicts(call.rows * rule_count);
    const double time = seconds(call.runs, [&] {
        for (std::size_t row = 0; row < call.rows; ++row) {
            fill(lua, circuits[row]);
            for (std::size_t rule = 0; rule < rule_count; ++rule) {
                lua_pushvalue(lua, 2 + static_cast<int>(rule));
                lua_pushvalue(lua, -2);
                must(lua, lua_pcall(lua, 1, 1, 0));
                verdicts[row * rule_count + rule] =
                    static_cast<std::uint8_t>(lua_tointeger(lua, -1));
                lua_pop(lua, 1);
            }
        }
    });
    tell("luajit", call.rows, time, checksum(by_rule(verdicts)));
    lua_close(lua);
}
