// groundrule ask: an interview at the prompt, or answers from a pipe.
#include "files.h"
#include "rules_option.h"
#include "status.h"
#include "terminal.h"
#include "verbs.h"

#include <CLI/CLI.hpp>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <iostream>
#include <memory>
#include <string>

namespace command {

namespace {

struct Options {
    std::string job;
    std::string book;
    std::string on;
    std::string stage;
    std::vector<std::string> rules;
    std::string out;
    bool outline = false;
    bool list = false;
    std::string format = "text";
};

int refuse(const groundrule::Error &error) {
    complain(error);
    return bad_input;
}

std::string in_brackets(const groundrule::Question &q) {
    std::string out = "  (" + std::string(q.fact) + " of " + std::string(q.item);
    if (q.kind == "list")
        out += "; a number, 2+ if there may be more than 2; 1 existing if its work is another";
    else if (!q.choices.empty()) {
        out += "; one of ";
        for (const char c : q.choices)
            out += c == '\n' ? std::string(", ") : std::string(1, c);
    } else if (!q.unit.empty())
        out += "; in " + std::string(q.unit);
    return out + "; empty leaves it open)\n";
}

// One answer a line; a line with a dot, or the end of the input, ends the interview.
int interview(groundrule::Interview &asking) {
    for (std::size_t number = 1;; ++number) {
        const auto question = asking.question();
        if (!question)
            return refuse(question.error());
        if (!*question) {
            std::cerr << "Nothing is left to ask.\n";
            return clean;
        }
        const groundrule::Question &q = **question;
        std::cerr << number << ". " << q.question << "\n" << in_brackets(q) << std::flush;
        for (bool asked = true; asked;) {
            std::cerr << "> " << std::flush;
            std::string line;
            if (!std::getline(std::cin, line) || line == ".")
                return clean;
            const auto taken = line.empty() ? asking.skip() : asking.answer(line);
            asked = !taken;
            if (!taken)
                complain(taken.error());
        }
    }
}

int finish(groundrule::Interview &asking, const Options &options) {
    const auto job = asking.job();
    if (!job)
        return refuse(job.error());
    return options.out.empty() ? print(*job, clean)
                               : (write_whole(options.out, *job) ? clean : bad_input);
}

int ask(const Options &options) {
    const auto document =
        options.job.empty() ? File{"an empty job", "{}"} : read_file(options.job).value_or(File{});
    if (document.name.empty())
        return bad_input;
    const auto book = open_book(options.book, options.rules, options.on);
    if (!book)
        return bad_input;
    auto asking = groundrule::Interview::of(*book, document.text, document.name,
                                            options.outline && !options.list, options.stage);
    if (!asking)
        return refuse(asking.error());
    if (options.list) {
        const auto text = asking->render(options.format == "json" ? GR_JSON : GR_PLAIN);
        return text ? print(*text, clean) : refuse(text.error());
    }
    const int status = interview(*asking);
    return status == clean ? finish(*asking, options) : status;
}

} // namespace

void add_ask(CLI::App &app, int &status) {
    const auto options = std::make_shared<Options>();
    CLI::App &verb =
        *app.add_subcommand("ask", "Ask for what a job does not tell and a check needs");
    verb.add_option("JOB", options->job, "The job as JSON; left out: an empty one")->type_name("");
    verb.add_option("--book", options->book,
                    "Edition and amendments in order, such as nec-2017+tia-17-2")
        ->type_name("BOOK")
        ->required();
    verb.add_option("--stage", options->stage,
                    "Only what can be seen at design, rough_in, trim_out or acceptance")
        ->type_name("STAGE");
    add_rules_option(verb, options->rules);
    add_on_option(verb, options->on);
    verb.add_flag("--outline", options->outline,
                  "Also ask what is there: how many items each list has");
    verb.add_option("--out", options->out,
                    "Write the completed job here; left out: to standard output")
        ->type_name("FILE");
    verb.add_flag("--list", options->list, "Only list all that could be asked now");
    verb.add_option("--format", options->format, "With --list: text (as is) or json")
        ->type_name("FORMAT")
        ->check(CLI::IsMember({"text", "json"}).description(""));
    verb.footer(
        "Answers are read from standard input, one a line: a value as in a job, yes or no.\n"
        "An empty line leaves a fact open; a dot ends the interview. Questions go to\n"
        "standard error. Ends with 0, or with 2: bad input, and nothing is written.");
    verb.callback([options, &status] { status = ask(*options); });
}

} // namespace command
