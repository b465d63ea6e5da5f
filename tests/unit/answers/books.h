// Shipped books and example jobs, opened once, for the tests of answers.

#pragma once

#include "answers/trial.h"
#include "evaluate/dense.h"
#include "generated.h"
#include "report/random_jobs.h"
#include "trial.h"

#include <fstream>
#include <iterator>
#include <map>
#include <memory>

namespace trial {

struct Ready {
    Compiled compiled;
    std::unique_ptr<evaluate::Dense> dense;

    explicit Ready(Compiled c)
        : compiled(std::move(c)), dense(std::make_unique<evaluate::Dense>(compiled.program)) {}
    // The subject refers to the job.
    answers::Subject subject(const facts::Job &job) const {
        return {*compiled.book, compiled.program, *dense, job, {}, false};
    }
};

inline const Ready &shipped(const std::string &name) {
    static std::map<std::string, std::unique_ptr<Ready>> books;
    auto &ready = books[name];
    if (ready == nullptr) {
        ready = std::make_unique<Ready>(compiled(book::open_book(name)));
        ready->dense = std::make_unique<evaluate::Dense>(ready->compiled.program);
    }
    return *ready;
}

inline std::string file_text(const std::string &path) {
    std::ifstream file(std::string(GROUNDRULE_SOURCE_DIR) + "/" + path);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

inline nlohmann::json garage() {
    return nlohmann::json::parse(file_text("docs/examples/garage-outlet.json"));
}

// Whole books of generated rules over crates and pieces.
inline Ready generated_book(std::uint32_t seed, int rules, const std::string &more = {},
                            const std::string &words = generated::implying) {
    generated::Writer writer(seed);
    std::string text = generated::figures;
    for (int i = 1; i <= rules; ++i)
        text += writer.rule(i);
    return Ready(compiled(open(text + more, {}, words)));
}

inline std::vector<Verdict> verdicts_of(const Ready &ready, const facts::Job &job, bool &sound) {
    evaluate::Workspace cells;
    evaluate::run(ready.compiled.program, job, cells);
    sound = cells.contradictions.empty();
    std::vector<Verdict> out;
    for (const program::RuleCode &rule : ready.compiled.program.rules) {
        for (std::size_t row = 0; row < job.rows(rule.space).size(); ++row)
            out.push_back(evaluate::verdict(rule, row, cells));
    }
    return out;
}

} // namespace trial
