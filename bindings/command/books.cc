// groundrule books: what ships.
#include "status.h"
#include "terminal.h"
#include "verbs.h"

#include <groundrule/groundrule.hpp>

#include <CLI/CLI.hpp>

#include <string>

namespace command {

namespace {

// The kind stands on each line, so that a line can be found and cut by other tools.
int books() {
    std::string out;
    for (const std::string_view name : groundrule::shipped_editions())
        out += "edition    " + std::string(name) + "\n";
    for (const std::string_view name : groundrule::shipped_amendments())
        out += "amendment  " + std::string(name) + "\n";
    for (const std::string_view name : groundrule::shipped_adoptions())
        out += "adoption   " + std::string(name) + "\n";
    return print(out, clean);
}

} // namespace

void add_books(CLI::App &app, int &status) {
    CLI::App &verb =
        *app.add_subcommand("books", "List the editions, amendments and adoptions that ship");
    verb.footer("A book is an edition with its amendments in order: nec-2017+tia-17-2");
    verb.callback([&status] { status = books(); });
}

} // namespace command
