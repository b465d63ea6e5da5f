// Texts of a draft as the rule language writes them: what `show` prints, what a change tells as old
// and new, and what the digest of an old text is taken of.
#pragma once

#include "book/draft.h"

#include <string>

namespace groundrule::book {

// The first eight digits of the SHA-256 of a text.
std::string short_digest(const std::string &text);

std::string text_of(const Written &written, const Sources &sources);
// Of a constant, by its value: "54 in" and "4 ft 6 in" are one.
std::string constant_text(const Written &written);
// A part or exception without its first word and number.
std::string text_of(const DraftPart &draft, const Sources &sources);
std::string text_of(const DraftDefine &define, const Sources &sources);
std::string text_of(const DraftGroup &group);
// A rule or clause whole, one line a text.
std::string text_of(const DraftRule &rule, const Sources &sources);

// "rule 334.30 (nm_cable_supports)"
std::string name_of(const DraftRule &rule);
// "exception 1", "part (2)"
std::string name_of(const ast::Part &part);

// How each line of a printed book ends: its mark, and the digest by which a layer names it.
class Endings {
  public:
    Endings() = default;
    explicit Endings(const std::vector<Layer> &layers) : layers_(&layers) {}

    std::string mark(std::int32_t layer) const;
    std::string digest(const std::string &text) const;

  private:
    const std::vector<Layer> *layers_ = nullptr; // null: nothing is put behind a line
};

std::string rule_lines(const DraftRule &rule, const Sources &sources, const Endings &endings);

} // namespace groundrule::book
