// Putting declarations and changes into a draft, each checked against what stands there.
#pragma once

#include "book/draft.h"

namespace groundrule::book {

// Lines that are for other editions are left out. In a printed book each text has the layer of its
// mark.
DraftRule draft_rule(const ast::RuleDecl &decl, const ast::File &file, const std::string &edition,
                     std::int32_t layer, Span span);
// Parts, conditions and limits behind those of a rule.
void take_parts(DraftRule &rule, const ast::RuleDecl &decl, const ast::File &file,
                const std::string &edition, std::int32_t layer);

void add_rule(Draft &draft, DraftRule rule, Book &book, Diagnostics &diagnostics);
void add_group(Draft &draft, DraftGroup group, Book &book, Diagnostics &diagnostics);
void add_define(Draft &draft, DraftDefine define, Book &book, Diagnostics &diagnostics);
void apply(Draft &draft, const ast::Decl &decl, const ast::File &file, const std::string &edition,
           std::int32_t layer, Book &book, Diagnostics &diagnostics);

// Whether what replaces a text names that text, by its digest, and is put in its place.
struct Replacement {
    std::string what;   // "the group `wet_rooms`"
    ast::Name said;     // the digest that it names; may be empty
    std::string stands; // the text that stands
    Span stands_span;
    std::int32_t stands_layer = 0;
    Span head;
    std::int32_t layer = 0;
};
bool is_put(const Draft &draft, const Replacement &r,
            std::map<std::string, std::vector<Past>> &past, const Book &book,
            Diagnostics &diagnostics);

// The layer of a text: that of its mark, if it has one.
inline std::int32_t marked(ast::Mark mark, std::int32_t layer) {
    return mark == ast::no_mark ? layer : mark;
}

} // namespace groundrule::book
