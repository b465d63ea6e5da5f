// groundrule remedy: the least changes with which a job passes, or the smallest values of facts
// that are left open.
#include "job_option.h"
#include "status.h"
#include "terminal.h"
#include "verbs.h"

#include <CLI/CLI.hpp>

#include <memory>

namespace command {

namespace {

struct Options {
    JobOptions job;
    std::size_t changes = 3;
    std::size_t tries = 20000;
    std::size_t told = 10;
    bool settled = false;
    std::vector<std::string> costs;
    std::vector<std::string> open;
    std::string format = "text";
};

// "circuit.breaker=5" or "circuit.breaker=5,0.5"
std::optional<gr_cost> cost_of(const groundrule::Book &book, const std::string &text) {
    const std::size_t equals = text.find('=');
    const auto slot = book.slot(text.substr(0, equals));
    if (!slot) {
        complain(slot.error());
        return std::nullopt;
    }
    gr_cost cost{*slot, 0, 0.01};
    char *end = nullptr;
    const std::string numbers = equals == std::string::npos ? "" : text.substr(equals + 1);
    cost.change = std::strtod(numbers.c_str(), &end);
    const bool more = *end == ',';
    const char *second = more ? end + 1 : end;
    if (more)
        cost.step = std::strtod(second, &end);
    if (numbers.empty() || *end != '\0' || (more && end == second)) {
        complain("--cost '" + text + "' is not written as FACT=COST or FACT=COST,STEP");
        return std::nullopt;
    }
    return cost;
}

// "run.designation" of the only run, or "run.designation@cable"
std::optional<gr_place> place_of(const OpenJob &open, const std::string &text) {
    const std::size_t at = text.find('@');
    const auto slot = open.book.slot(text.substr(0, at));
    if (!slot) {
        complain(slot.error());
        return std::nullopt;
    }
    const auto row = groundrule::find_row(
        open.job, *slot, at == std::string::npos ? "" : std::string_view(text).substr(at + 1));
    if (!row) {
        complain(row.error());
        return std::nullopt;
    }
    return gr_place{*slot, *row};
}

int remedy(const Options &options) {
    const auto open = open_job(options.job);
    if (!open)
        return bad_input;
    groundrule::RemedyOptions how;
    how.stage = options.job.stage;
    how.most_changes = options.changes;
    how.most_tries = options.tries;
    how.most_told = options.told;
    how.settled = options.settled;
    for (const std::string &text : options.costs) {
        const auto cost = cost_of(open->book, text);
        if (!cost)
            return bad_input;
        how.costs.push_back(*cost);
    }
    for (const std::string &text : options.open) {
        const auto place = place_of(*open, text);
        if (!place)
            return bad_input;
        how.open.push_back(*place);
    }
    auto remedies = groundrule::Remedies::of(open->job, how);
    if (!remedies) {
        complain(remedies.error());
        return bad_input;
    }
    const auto text = remedies->render(options.format == "json" ? GR_JSON : GR_PLAIN);
    if (!text) {
        complain(text.error());
        return bad_input;
    }
    return print(*text, remedies->size() == 0 ? violated : clean);
}

} // namespace

void add_remedy(CLI::App &app, int &status) {
    const auto options = std::make_shared<Options>();
    CLI::App &verb =
        *app.add_subcommand("remedy", "Tell the least changes with which a job passes");
    add_job_options(verb, options->job);
    verb.add_option("--changes", options->changes, "At most so many in one remedy")->type_name("N");
    verb.add_option("--tries", options->tries, "Check at most so many jobs")->type_name("N");
    verb.add_option("--most", options->told, "Tell at most so many remedies; 0: all")
        ->type_name("N");
    verb.add_flag("--settled", options->settled, "None that leaves open what complied before");
    verb.add_option("--cost", options->costs,
                    "What changing a fact costs, FACT=COST or FACT=COST,STEP; 1,0.01 if not said")
        ->type_name("FACT=COST")
        ->allow_extra_args(false);
    verb.add_option("--open", options->open,
                    "To size: a fact that the job leaves open, FACT or FACT@ITEM; the smallest\n"
                    "values that comply are chosen, and nothing else is changed; repeatable")
        ->type_name("FACT")
        ->allow_extra_args(false);
    verb.add_option("--format", options->format, "text (as is) or json")
        ->type_name("FORMAT")
        ->check(CLI::IsMember({"text", "json"}).description(""));
    verb.footer("Ends with 0: there are remedies. 1: there is none, or nothing to remedy.\n"
                "2: bad input.");
    verb.callback([options, &status] { status = remedy(*options); });
}

} // namespace command
