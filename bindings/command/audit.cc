// groundrule audit: tables are read by the Python package, which brings the command
// groundrule-audit. It is looked for beside this one, then on the path, and takes this one's place.
#include "status.h"
#include "terminal.h"
#include "verbs.h"

#include <CLI/CLI.hpp>

#include <unistd.h>

#include <filesystem>
#include <string>
#include <system_error>
#include <vector>

namespace command {

namespace {

constexpr const char *program = "groundrule-audit";

int hand_over(std::vector<std::string> words) {
    words.insert(words.begin(), program);
    std::vector<char *> arguments;
    arguments.reserve(words.size() + 1);
    for (std::string &word : words)
        arguments.push_back(word.data());
    arguments.push_back(nullptr);
    std::error_code none;
    const auto self = std::filesystem::read_symlink("/proc/self/exe", none);
    if (!none)
        execv((self.parent_path() / program).c_str(), arguments.data());
    execvp(program, arguments.data());
    complain("audits come with the Python package: pip install 'groundrule[audit]'");
    return bad_input;
}

} // namespace

void add_audit(CLI::App &app, int &status) {
    CLI::App *verb = app.add_subcommand("audit", "Check a table of many rows");
    verb->prefix_command();
    verb->set_help_flag();
    verb->callback([verb, &status] { status = hand_over(verb->remaining()); });
}

} // namespace command
