// Answers as text, as a page and as JSON tell the same. JSON is what other programs read, and other
// tests hold it to what is so; here the other forms are held to it.

#include "answers/books.h"
#include "answers/explain.h"
#include "answers/next.h"
#include "answers/remedy.h"
#include "report/in_one_line.h"
#include "report/render.h"

#include <nlohmann/json.hpp>

#include "catch.h"

namespace {

using namespace groundrule;
using Json = nlohmann::json;
using trial::in_one_line;
using trial::tells;

const char *const books[] = {"nec-2017+tia-17-2", "nec-2020+harbor-city-2025", "nec-2023"};
const char *const examples[] = {"garage-outlet", "house-service", "new-house"};

std::string example(const std::string &name) {
    return trial::file_text("docs/examples/" + name + ".json");
}

// What may not stand in a page as it is.
std::string escaped(const std::string &text) {
    std::string out;
    for (const char c : text)
        out += c == '&'   ? "&amp;"
               : c == '<' ? "&lt;"
               : c == '>' ? "&gt;"
               : c == '"' ? "&quot;"
                          : std::string(1, c);
    return out;
}

// Each example under each book, with what the usual assumptions add and without.
template <typename Check>
void on_examples(Check check) {
    for (const char *name : books) {
        const trial::Ready &ready = trial::shipped(name);
        const book::Book &b = *ready.compiled.book;
        for (const char *example_name : examples) {
            for (const bool assuming : {false, true}) {
                INFO(name << ", " << example_name << (assuming ? ", usual assumptions" : ""));
                facts::Job job = trial::job_of(b, example(example_name));
                Diagnostics faults;
                if (assuming)
                    facts::apply_assumptions(
                        job, facts::assumptions_from_json(b, example("assume-usual"),
                                                          "assume-usual.json", faults));
                REQUIRE_FALSE(faults.has_errors());
                check(ready, job);
            }
        }
    }
}

} // namespace

TEST_CASE("explanations: text and page tell what JSON tells") {
    on_examples([](const trial::Ready &ready, const facts::Job &job) {
        const trial::Compiled &c = ready.compiled;
        evaluate::Workspace cells;
        evaluate::run(c.program, job, cells);
        REQUIRE(cells.contradictions.empty());
        std::vector<answers::Explanation> all;
        for (std::size_t r = 0; r < c.book->rules.size(); ++r) {
            for (std::size_t row = 0; row < job.rows(c.book->rules[r].item).size(); ++row)
                all.push_back(answers::explain(*c.book, c.program, job, cells, r, row));
        }
        REQUIRE(!all.empty());
        const std::string text = in_one_line(answers::explained_text(all));
        const std::string page = in_one_line(answers::explained_html(*c.book, all));
        const Json json = Json::parse(answers::explained_json(*c.book, all));
        REQUIRE(json["explanations"].size() == all.size());
        std::size_t untold = 0;
        const auto both = [&](const std::string &part) {
            if (!tells(text, part) || !tells(page, escaped(part))) {
                UNSCOPED_INFO(part);
                ++untold;
            }
        };
        for (const Json &e : json["explanations"]) {
            both(e["citation"].get<std::string>());
            both(e["item"].get<std::string>());
            for (const Json &v : e["values"])
                both(v["value"].get<std::string>());
            for (const Json &m : e["missing"])
                both(m["question"].get<std::string>());
            for (const Json &a : e["assumed"])
                both(a.get<std::string>());
        }
        CHECK(untold == 0);
    });
    CHECK(answers::explained_text({}).starts_with("Nothing to explain"));
}

TEST_CASE("what to ask next: text tells what JSON tells") {
    on_examples([](const trial::Ready &ready, const facts::Job &job) {
        const answers::Subject subject = ready.subject(job);
        answers::NextOptions few;
        few.tries = 4;
        few.combinations = 100;
        const answers::Next next = answers::next_questions(subject, few);
        const std::string text = in_one_line(answers::next_text(subject, next));
        const Json json = Json::parse(answers::next_json(subject, next));
        CHECK(tells(text, std::to_string(json["open"].get<std::size_t>()) + " findings are open."));
        std::size_t untold = 0;
        for (const char *list : {"questions", "apart"}) {
            for (const Json &q : json[list]) {
                const std::string fact =
                    q["fact"].get<std::string>() + " at " + q["item"].get<std::string>();
                if (!tells(text, q["question"].get<std::string>()) || !tells(text, fact)) {
                    UNSCOPED_INFO(fact);
                    ++untold;
                }
            }
        }
        for (const Json &r : json["remaining"]) {
            for (const Json &reason : r["reasons"])
                untold += tells(text, reason.get<std::string>()) ? 0 : 1;
        }
        CHECK(untold == 0);
    });
}

TEST_CASE("remedies: text tells what JSON tells") {
    std::size_t told = 0;
    on_examples([&](const trial::Ready &ready, const facts::Job &job) {
        const answers::Subject subject = ready.subject(job);
        answers::RemedyOptions how;
        how.most_changes = 2;
        how.most_tries = 400;
        how.most_told = 4;
        const answers::Remedies found = answers::remedies(subject, how);
        const std::string text = in_one_line(answers::remedies_text(subject, found));
        const Json json = Json::parse(answers::remedies_json(subject, found));
        for (const Json &v : json["violated"])
            CHECK(tells(text, "Violated: " + v["citation"].get<std::string>()));
        for (const Json &r : json["remedies"]) {
            for (const Json &c : r["changes"])
                CHECK(tells(text, c["title"].get<std::string>()));
            for (const Json &o : r["opens"]) {
                CHECK(tells(text, "then to be found out: " + o["citation"].get<std::string>()));
                for (const Json &m : o["missing"])
                    CHECK(tells(text, m["question"].get<std::string>()));
            }
            ++told;
        }
        const auto dearer = found.found - found.remedies.size();
        CHECK(tells(text, "and " + std::to_string(dearer) + " dearer ones") == (dearer != 0));
        CHECK(tells(text, "ended at its bound") == !found.exhausted);
        if (found.violated.empty())
            CHECK(tells(text, "nothing needs a remedy"));
    });
    CHECK(told > 0);
}

TEST_CASE("reports: text tells every finding that counts and every question") {
    on_examples([](const trial::Ready &ready, const facts::Job &job) {
        const trial::Compiled &c = ready.compiled;
        evaluate::Workspace cells;
        evaluate::run(c.program, job, cells);
        const report::Report r = report::findings(*c.book, c.program, job, cells, {});
        const std::string brief = in_one_line(report::to_text(r, {}));
        const std::string text = in_one_line(report::to_text(r, {.all = true}));
        const Json json = Json::parse(report::to_json(r));
        std::size_t untold = 0;
        for (const Json &f : json["findings"]) {
            const bool wrong = f["verdict"] == "violates";
            if (wrong && f["force"] == "shall" && !tells(brief, f["citation"].get<std::string>()))
                ++untold;
            if (wrong || (f["verdict"] == "complies" && f["force"] == "shall"))
                untold += tells(text, f["citation"].get<std::string>()) ? 0 : 1;
        }
        CHECK(untold == 0);
    });
}
