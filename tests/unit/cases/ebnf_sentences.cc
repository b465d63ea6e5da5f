// Sentences derived from the grammar at random.
#include "cases/ebnf.h"

#include "syntax/reserved.h"

#include <algorithm>
#include <array>
#include <stdexcept>

namespace groundrule::cases {

namespace {

constexpr int deepest = 22;
constexpr int unreachable = 1000;

using Samples = std::vector<const char *>;

const std::map<std::string, Samples> &samples() {
    static const std::map<std::string, Samples> all = {
        {"NAME", {"rated_voltage", "circuit", "x", "s2", "location", "title", "m"}},
        {"LAYER", {"trial", "nec-2020", "tia-17-2"}},
        {"TEXT", {"\"A text\"", "\"\"", "\"14-50R\"", "\"{no expression, # no comment\""}},
        {"MESSAGE", {"\"It is {x}, not {circuit.s2 + 5 A}.\"", "\"plain\"", "\"{{ a brace\""}},
        {"CITATION", {"210.8(A)(2)", "310.16", "90.1(b)", "\"NEMA WD 6\""}},
        {"LABEL", {"(1)", "(B)(12)", "1", "12"}},
        {"VALUE",
         {"30 A", "3", "0.8", "125 %", "8 AWG", "1/0 AWG", "250 kcmil", "4 ft 6 in", "1 1/4 in",
          "30 °C", "86 F", "33 °C rise", "2021-07-01", "0.5 in²", "35 lbf-in", "9.6 kVA"}},
        {"DATE", {"2021-07-01", "2024-02-29"}},
        {"DIGEST", {"3fa2c1b0", "abcdefab", "01234567"}},
        {"ARTICLE", {"210", "90"}},
        {"MARK", {"@harbor-city-2025", "@trial"}},
        {"WORD", {"garage", "yes", "no", "new", "limit", "\"14-50R\""}}};
    return all;
}

// A word behind a number on the same line would be taken for its unit.
bool needs_line(const std::string &out, const std::string &token) {
    const std::size_t line = out.find_last_of('\n') + 1;
    std::size_t begin = out.find_last_of(" \n");
    begin = begin == std::string::npos ? 0 : begin + 1;
    const bool small = token[0] >= 'a' && token[0] <= 'z' && !syntax::is_reserved(token);
    const bool digit = token[0] >= '0' && token[0] <= '9';
    const bool behind = begin < out.size() && begin >= line &&
                        (digit || (out[begin] >= '0' && out[begin] <= '9') || out.ends_with("°C"));
    return behind && (small || digit);
}

} // namespace

Deriver::Deriver(const Ebnf &grammar, std::uint32_t seed) : grammar_(grammar), random_(seed) {
    least_.assign(grammar.size(), unreachable);
    for (bool changed = true; changed;) {
        changed = false;
        for (std::size_t i = 0; i < grammar.size(); ++i) {
            const Term &t = grammar.term(i);
            int depth = 0;
            if (t.kind == Term::Kind::sequence) {
                for (const std::size_t c : t.children)
                    depth = std::max(depth, least_[c]);
            } else if (t.kind == Term::Kind::choice) {
                depth = unreachable;
                for (const std::size_t c : t.children)
                    depth = std::min(depth, least_[c]);
            } else if (t.kind == Term::Kind::rule) {
                depth = least_[grammar.rule(t.text)] + 1;
            }
            if (depth < least_[i]) {
                least_[i] = depth;
                changed = true;
            }
        }
    }
}

std::string Deriver::sentence(const std::string &rule) {
    out_.clear();
    same_line_ = false;
    derive(grammar_.rule(rule), 0);
    return out_ + "\n";
}

void Deriver::symbol(const std::string &name) {
    if (name == "SAME_LINE") {
        same_line_ = true;
        return;
    }
    if (name == "LINE_END") {
        out_ += below(4) == 0 ? "   # a comment\n  " : "\n  ";
        return;
    }
    const auto found = samples().find(name);
    const std::string token =
        found == samples().end() ? name : found->second[below(found->second.size())];
    if (!out_.empty() && out_.back() != ' ') {
        const bool line = !same_line_ && (needs_line(out_, token) || below(5) == 0);
        out_ += line ? "\n  " : " ";
    }
    same_line_ = false;
    out_ += token;
}

void Deriver::derive(std::size_t index, int depth) {
    const Term &t = grammar_.term(index);
    const auto fits = [&](std::size_t child) { return depth + least_[child] <= deepest; };
    switch (t.kind) {
    case Term::Kind::sequence:
        for (const std::size_t c : t.children)
            derive(c, depth);
        return;
    case Term::Kind::choice: {
        std::vector<std::size_t> open;
        std::copy_if(t.children.begin(), t.children.end(), std::back_inserter(open), fits);
        if (open.empty())
            open.push_back(*std::min_element(
                t.children.begin(), t.children.end(),
                [&](std::size_t a, std::size_t b) { return least_[a] < least_[b]; }));
        derive(open[below(open.size())], depth);
        return;
    }
    case Term::Kind::option:
        if (below(2) == 0 && fits(t.children[0]))
            derive(t.children[0], depth);
        return;
    case Term::Kind::repetition:
        for (std::size_t i = below(depth < 4 ? 4 : 2); i > 0 && fits(t.children[0]); --i)
            derive(t.children[0], depth);
        return;
    case Term::Kind::rule:
        derive(grammar_.rule(t.text), depth + 1);
        return;
    case Term::Kind::word:
    case Term::Kind::sign:
    case Term::Kind::symbol:
        symbol(t.text);
        return;
    }
}

} // namespace groundrule::cases
