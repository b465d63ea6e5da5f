// The command line: takes the arguments apart and hands over to a verb.
#include "nearest_word.h"
#include "status.h"
#include "terminal.h"
#include "verbs.h"

#include <CLI/CLI.hpp>

#include <exception>
#include <string>

namespace {

std::vector<std::string> names_of(const CLI::App &app, bool options) {
    std::vector<std::string> names;
    if (options) {
        for (const CLI::Option *option : app.get_options()) {
            for (const std::string &name : option->get_lnames())
                names.push_back("--" + name);
        }
    } else {
        for (const CLI::App *verb : app.get_subcommands({}))
            names.push_back(verb->get_name());
    }
    return names;
}

// The verb that was named, or the command itself.
const CLI::App &chosen(const CLI::App &app) {
    const auto verbs = app.get_subcommands();
    return verbs.empty() ? app : *verbs.front();
}

std::string unexpected(const CLI::App &app, const std::string &word) {
    const CLI::App &at = chosen(app);
    const bool option = word.starts_with("-");
    const bool verb = &at == &app && !option;
    const std::vector<std::string> known = names_of(at, option);
    std::string message = verb     ? "there is no verb '" + word + "'"
                          : option ? "there is no option '" + word + "' here"
                                   : "'" + word + "' was not expected here";
    const std::string near = verb || option ? command::nearest_word(word, known) : std::string();
    if (!near.empty())
        return message + "; did you mean '" + near + "'?";
    for (std::size_t i = 0; verb && i < known.size(); ++i)
        message += (i == 0 ? "; the verbs are " : ", ") + known[i];
    return message;
}

// The command's own words for what the parser found.
int refuse(const CLI::App &app, const CLI::ParseError &error, int count, char **arguments) {
    const CLI::App &at = chosen(app);
    std::string message = error.what();
    const auto left = app.remaining(true);
    if (!left.empty())
        message = unexpected(app, left.front());
    else if (&at == &app && count > 1)
        message = unexpected(app, arguments[1]);
    else if (&at == &app)
        message = "a verb is missing";
    const std::string verb = &at == &app ? "" : " " + at.get_name();
    command::complain(message);
    command::complain("'groundrule" + verb + " --help' tells how it is used");
    return command::bad_input;
}

int run(int count, char **arguments) {
    CLI::App app("Checks electrical installations against a code edition and its amendments.",
                 "groundrule");
    int status = command::clean;
    app.require_subcommand(1);
    app.get_formatter()->label("SUBCOMMAND", "VERB");
    app.get_formatter()->label("OPTIONS", "OPTION...");
    app.get_formatter()->label("REQUIRED", "");
    app.set_version_flag("--version", "groundrule " GROUNDRULE_VERSION);
    app.footer("Findings inform licensed work and never replace it: the locally adopted code and\n"
               "the authority having jurisdiction decide.");
    command::add_check(app, status);
    command::add_explain(app, status);
    command::add_ask(app, status);
    command::add_remedy(app, status);
    command::add_largest(app, status);
    command::add_test(app, status);
    command::add_lint(app, status);
    command::add_format(app, status);
    command::add_books(app, status);
    command::add_describe(app, status);
    command::add_show(app, status);
    command::add_adoption(app, status);
    command::add_compare(app, status);
    command::add_audit(app, status);
    command::add_mutate(app, status);
    command::add_schema(app, status);
    for (CLI::App *verb : app.get_subcommands({}))
        verb->group("Verbs");
    try {
        app.parse(count, arguments);
    } catch (const CLI::Success &asked) {
        return app.exit(asked);
    } catch (const CLI::ParseError &error) {
        return refuse(app, error, count, arguments);
    }
    return status;
}

} // namespace

int main(int count, char **arguments) {
    try {
        return run(count, arguments);
    } catch (const std::exception &e) {
        command::complain(e.what());
    } catch (...) {
        command::complain("an unknown fault");
    }
    return command::bad_input;
}
