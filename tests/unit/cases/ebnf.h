// The grammar of docs/grammar.md: read from the page, used to derive sentences and to recognise
// them. Knows nothing of the reader in the library but its reserved words and its values.
#pragma once

#include <cstdint>
#include <map>
#include <random>
#include <string>
#include <string_view>
#include <vector>

namespace groundrule::cases {

struct Term {
    enum class Kind : std::uint8_t {
        sequence,
        choice,
        option,
        repetition,
        word,
        sign,
        symbol,
        rule
    };
    Kind kind = Kind::sequence;
    std::string text; // of a word, a sign, a symbol or a rule's name
    std::vector<std::size_t> children;
};

class Ebnf {
  public:
    // From all blocks of the page that are marked as grammar. Throws std::runtime_error.
    explicit Ebnf(const std::string &page);

    std::size_t rule(const std::string &name) const { return rules_.at(name); }
    const std::map<std::string, std::size_t> &rules() const { return rules_; }
    const Term &term(std::size_t index) const { return terms_[index]; }
    std::size_t size() const { return terms_.size(); }

  private:
    std::size_t add(Term term);
    std::size_t alternatives();
    std::size_t sequence();
    std::size_t factor();
    void next();

    std::string text_;
    std::size_t at_ = 0;
    std::string token_;
    std::vector<Term> terms_;
    std::map<std::string, std::size_t> rules_;
};

// Random sentences of bounded depth.
class Deriver {
  public:
    Deriver(const Ebnf &grammar, std::uint32_t seed);
    std::string sentence(const std::string &rule);

  private:
    void derive(std::size_t index, int depth);
    void symbol(const std::string &name);
    std::size_t below(std::size_t count) { return random_() % count; }

    const Ebnf &grammar_;
    std::mt19937 random_;
    std::vector<int> least_; // depth that a term needs at least
    std::string out_;
    bool same_line_ = false;
};

// Whether a text is a sentence; every way to read it is tried.
class Recogniser {
  public:
    explicit Recogniser(const Ebnf &grammar) : grammar_(grammar) {}
    bool accepts(const std::string &rule, std::string_view text);

  private:
    using Ends = std::vector<std::size_t>;
    Ends ends(std::size_t index, std::size_t at);
    Ends ends_of_rule(std::size_t index, std::size_t at);
    Ends ends_of_symbol(const std::string &name, std::size_t at) const;
    bool message(std::string_view inside) const;

    const Ebnf &grammar_;
    std::string_view text_;
    std::map<std::pair<std::size_t, std::size_t>, Ends> known_;
};

} // namespace groundrule::cases
