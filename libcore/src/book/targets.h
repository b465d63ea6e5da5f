// Finding what a change is about.
#pragma once

#include "book/draft.h"
#include "book/draft_text.h"

#include <string>
#include <vector>

namespace groundrule::book {

// One change on its way into a draft.
struct Applying {
    Draft &draft;
    Book &book;
    const ast::ChangeDecl &change;
    const ast::File &file;
    const std::string &edition;
    std::int32_t layer = 0;
    Span head;
    Diagnostics &diagnostics;

    Written written(ast::ExprId expr) const { return {&file, expr, layer}; }
    // `topics`: of the rules whose demands it changes.
    void tell(std::string what, std::string from, std::string to,
              std::vector<std::string> topics = {}) const {
        book.changes.push_back(
            {layer, std::move(what), std::move(from), std::move(to), head, std::move(topics), {}});
    }
    // A change below a rule that stays.
    void tell(const DraftRule &rule, const std::string &what, std::string from,
              std::string to) const {
        tell(what + " of " + name_of(rule), std::move(from), std::move(to), {rule.decl.topic.text});
    }
};

struct Found {
    DraftRule *rule = nullptr;
    std::string rest; // label of a listed part, if the citation goes below the rule
};

// The rule with this citation, or the rule above it whose part it names; told if there is none.
Found find_target(const Applying &a);
DraftPart *find_part(DraftRule &rule, const std::string &label, bool exception);
// The same, told if there is none.
DraftPart *need_part(const Applying &a, DraftRule &rule, bool exception);
DraftCondition *need_condition(const Applying &a, DraftRule &rule);

// All rules that the target reaches; told if there are none. Of a part: its rule alone.
std::vector<DraftRule *> reached(const Applying &a);

// "210.8(A)(2)" lies in "210.8", and in the article "210".
bool lies_in(const std::string &citation, const ast::Target &target);

// How a text is called in `past` and `gone`.
std::string key_of(const DraftRule &rule, const std::string &what);

// What a layer deleted, told as the other place of a fault.
void tell_gone(const Draft &draft, const Book &book, const std::string &key, Diagnostic &d);

} // namespace groundrule::book
