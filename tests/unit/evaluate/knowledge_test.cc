// Saying less never makes a rule comply that did not, over generated books: learning changes
// undetermined into anything, complies into not applicable, and nothing else.

#include "evaluate/idle.h"
#include "evaluate/knowledge.h"

#include <random>

#include "catch.h"

namespace {

using namespace groundrule;
using knowledge::Json;

// Expressions over crates and their pieces, by type. What is written has brackets throughout.
class Writer {
  public:
    explicit Writer(std::uint32_t seed) : random_(seed) {}

    std::string truth(int depth) {
        const std::string leaves[] = {"sealed",
                                      "approved",
                                      "colour is red",
                                      "colour is not one of (red, blue)",
                                      "wire at least 8 AWG",
                                      "made less than 2021-01-01",
                                      "complete(pieces)"};
        if (depth == 0)
            return pick(leaves);
        const int d = depth - 1;
        switch (below(13)) {
        case 0:
            return "(" + truth(d) + " and " + truth(d) + ")";
        case 1:
            return "(" + truth(d) + " or " + truth(d) + ")";
        case 2:
            return "not (" + truth(d) + ")";
        case 3:
            return "(" + current(d) + " at least " + current(d) + ")";
        case 4:
            return "(" + current(d) + " less than " + current(d) + ")";
        case 5:
            return "(" + current(d) + " = " + current(d) + ")";
        case 6:
            return "(" + current(d) + " from " + current(0) + " to " + current(d) + ")";
        case 7:
            return "(if " + truth(d) + " then " + truth(d) + " otherwise " + truth(d) + ")";
        case 8:
            return "any(p in pieces where " + piece_truth(d) + " : " + piece_truth(d) + ")";
        case 9:
            return "all(p in pieces where " + piece_truth(d) + " : " + piece_truth(d) + ")";
        case 10:
            return "(count(p in pieces where " + piece_truth(d) + ") at most 1)";
        case 11:
            return "(count(p in pieces) more than 1)";
        default:
            return pick(leaves);
        }
    }

    std::string current(int depth) {
        const std::string leaves[] = {"load", "rating", "10 A", "20 A", "0 A"};
        if (depth == 0)
            return pick(leaves);
        const int d = depth - 1;
        switch (below(14)) {
        case 0:
            return "(" + current(d) + " + " + current(d) + ")";
        case 1:
            return "(" + current(d) + " - " + current(d) + ")";
        case 2:
            return "(" + current(d) + " * 125 %)";
        case 3:
            return "(" + current(d) + " * (0 - 1))";
        case 4:
            return "(" + current(d) + " / 2)";
        case 5:
            return "larger_of(" + current(d) + ", " + current(d) + ")";
        case 6:
            return "smaller_of(" + current(d) + ", " + current(d) + ", " + current(d) + ")";
        case 7:
            return "(if " + truth(d) + " then " + current(d) + " otherwise " + current(d) + ")";
        case 8:
            return "sum(p in pieces where " + piece_truth(d) + " : p.draw)";
        case 9:
            return "max(p in pieces : " + piece_current(d) + ")";
        case 10:
            return "min(p in pieces where " + piece_truth(d) + " : " + piece_current(d) + ")";
        case 11:
            return "smallest(s in list \"steps\" where s at least " + current(d) + " or " +
                   truth(0) + ")";
        case 12:
            return "table 310.16 [" + current(d) + "]";
        default:
            return "round_up(" + current(d) + " to 5 A)";
        }
    }

    std::string rule(int number) {
        const std::string n = std::to_string(number);
        std::string out = "rule 1." + n + " \"R\"\n  topic topic_" + n + "\n  for crate\n";
        if (number > 1 && below(3) == 0)
            out += "  where applies(topic_" + std::to_string(1 + below(number - 1)) + ")\n";
        out += "  where " + truth(2) + "\n";
        const int form = below(3);
        if (form == 0)
            out += "  shall " + truth(3) + "\n  says \"x\"\n";
        else
            out += std::string("  says \"x\"\n  ") + (form == 1 ? "path" : "permits") +
                   " (1) \"A\" where " + truth(2) + "\n  " + (form == 1 ? "path" : "permits") +
                   " (2) \"B\" where " + truth(2) + "\n";
        if (below(2) == 0)
            out += "  listed (3) \"L\" where " + truth(1) + "\n";
        if (below(2) == 0)
            out += "  except 1 \"E\" where " + truth(2) + "\n";
        if (below(4) == 0)
            out += "  except 2 not encoded \"N\" where " + truth(1) + "\n";
        return out + "\n";
    }

    Json crate() {
        Json out = Json::object();
        const auto add = [&](const char *field, Json value) {
            if (below(4) != 0)
                out[field] = std::move(value);
        };
        add("load", amps());
        add("rating", amps());
        add("sealed", below(2) == 0);
        add("approved", below(2) == 0);
        add("colour", below(2) == 0 ? "red" : "green");
        add("wire", below(2) == 0 ? "6 AWG" : "10 AWG");
        add("made", below(2) == 0 ? "2020-05-05" : "2022-05-05");
        out["pieces"] = Json::array();
        for (int i = below(3); i > 0; --i) {
            Json piece = Json::object();
            if (below(4) != 0)
                piece["draw"] = amps();
            if (below(4) != 0)
                piece["loose"] = below(2) == 0;
            out["pieces"].push_back(std::move(piece));
        }
        if (below(2) == 0)
            out["complete"] = {"pieces"};
        return out;
    }

  private:
    int below(int n) { return static_cast<int>(random_() % static_cast<std::uint32_t>(n)); }
    std::string amps() { return std::to_string(5 * below(6)) + " A"; }

    template <std::size_t n>
    std::string pick(const std::string (&words)[n]) {
        return words[below(static_cast<int>(n))];
    }

    std::string piece_truth(int depth) {
        if (depth == 0 || below(3) == 0)
            return "p.loose";
        return below(2) == 0 ? "(p.draw at least " + current(0) + ")"
                             : "(p.loose or " + truth(0) + ")";
    }

    std::string piece_current(int depth) {
        return depth == 0 || below(2) == 0 ? "p.draw" : "(p.draw - " + current(0) + ")";
    }

    std::mt19937 random_;
};

const std::string figures = "list \"steps\" \"Steps\" of current\n  = 5 A, 10 A, 20 A\n\n"
                            "table 310.16 \"T\"\n  gives current\n  by a : current at most\n"
                            "  5 A | 10 A\n  15 A | --\n  20 A | 25 A\n\n";

// A word that implies others.
const std::string implying = trial::vocabulary +
                             "\nimply crate \"What a colour says\"\n"
                             "  sealed = if colour is red then yes otherwise unknown\n"
                             "  wire   = if colour is green then 6 AWG otherwise unknown\n";

// Two sources of one fact: over an open list the first tells the least, the second the most.
const std::string facing = trial::vocabulary +
                           "\nimply crate \"It carries its strongest piece\"\n"
                           "  rating = max(p in pieces : p.draw)\n"
                           "\nimply crate \"And is not far above its weakest\"\n"
                           "  rating = min(p in pieces : p.draw) + 15 A\n";

using Changes = std::map<std::pair<Verdict, Verdict>, std::size_t>;

// Generated books over a vocabulary, and jobs that lack one thing. What verdicts became of which.
Changes changes_over(const std::string &words, std::size_t &compared) {
    Changes changes;
    for (std::uint32_t seed = 1; seed <= 12; ++seed) {
        Writer writer(seed);
        std::string rules = figures;
        for (int i = 1; i <= 30; ++i)
            rules += writer.rule(i);
        const trial::Compiled c = trial::compiled(trial::open(rules, {}, words));
        for (int round = 0; round < 40; ++round) {
            Json whole = {{"work", "new"}, {"crates", Json::array({writer.crate()})}};
            knowledge::name_items(whole, "job");
            const auto more = knowledge::verdicts(c, whole);
            if (!more)
                continue;
            const auto visit = [&](const Json &part, const std::string &without) {
                const auto less = knowledge::verdicts(c, part);
                REQUIRE(less);
                for (const auto &[key, before] : *less) {
                    ++compared;
                    if (more->count(key) != 0)
                        ++changes[{before, more->at(key)}];
                }
                const std::string fault = knowledge::unlawful(*less, *more);
                if (!fault.empty())
                    FAIL("seed " << seed << ", without " << without << ": " << fault << "\n"
                                 << whole.dump(1) << "\n"
                                 << rules);
            };
            knowledge::each_removal(whole, Json::json_pointer(), visit);
        }
    }
    return changes;
}

} // namespace

TEST_CASE("in generated books a rule of which it is said that it can never apply, never does") {
    std::size_t told = 0;
    for (std::uint32_t seed = 1; seed <= 8; ++seed) {
        Writer writer(seed);
        std::string rules = figures;
        for (int i = 1; i <= 60; ++i)
            rules += writer.rule(i);
        const trial::Compiled c = trial::compiled(trial::open(rules, {}, implying));
        Diagnostics warnings;
        evaluate::find_idle(*c.book, c.program, warnings);
        std::vector<std::size_t> idle;
        for (const Diagnostic &d : warnings.list()) {
            for (std::size_t r = 0; r < c.book->rules.size(); ++r) {
                const bool about = d.message.find("(" + c.book->rules[r].topic +
                                                  ") can never "
                                                  "apply") != std::string::npos;
                if (about)
                    idle.push_back(r);
            }
        }
        told += idle.size();
        for (int round = 0; round < 60; ++round) {
            const Json job = {{"work", "new"}, {"crates", Json::array({writer.crate()})}};
            evaluate::Workspace workspace;
            evaluate::run(c.program, trial::job_of(*c.book, job.dump()), workspace);
            for (const std::size_t r : idle) {
                INFO("seed " << seed << ", " << c.book->rules[r].topic << "\n" << rules);
                REQUIRE(truth_in(workspace.cell(c.program.rules[r].applies, 0)) != Truth::yes);
            }
        }
    }
    CHECK(told > 5);
}

TEST_CASE("in generated books no rule complies for want of a fact, a mark or an item (`work` is "
          "inherited and left out)") {
    std::size_t compared = 0;
    Changes changes = changes_over(implying, compared);
    CHECK(compared > 10000);
    // The books are not so dull that nothing ever changes.
    CHECK(changes[{Verdict::undetermined, Verdict::complies}] > 0);
    CHECK(changes[{Verdict::undetermined, Verdict::violates}] > 0);
    CHECK(changes[{Verdict::undetermined, Verdict::not_applicable}] > 0);
    CHECK(changes[{Verdict::complies, Verdict::not_applicable}] > 0);
}

TEST_CASE("in generated books facts that are bounded from both sides settle verdicts only") {
    std::size_t compared = 0;
    Changes changes = changes_over(facing, compared);
    CHECK(compared > 10000);
    CHECK(changes[{Verdict::undetermined, Verdict::complies}] > 0);
    CHECK(changes[{Verdict::undetermined, Verdict::violates}] > 0);
}
