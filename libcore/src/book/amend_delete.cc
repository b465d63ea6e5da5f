// What an amendment takes out.
#include "book/amend_steps.h"
#include "book/draft_text.h"

#include <algorithm>

namespace groundrule::book {

namespace {

using ast::ChangeDecl;
using ast::Target;

std::string title_of(const DraftRule &rule) {
    return rule.decl.title.empty() ? rule.decl.topic.text : rule.decl.title;
}

void delete_rule(const Applying &a, DraftRule &rule) {
    rule.deleted = true;
    rule.deleted_span = a.head;
    a.tell(name_of(rule), title_of(rule), "");
}

void delete_parts(const Applying &a, DraftRule &rule, auto goes) {
    for (const DraftPart &p : rule.parts) {
        if (!goes(p.part))
            continue;
        const std::string name = name_of(p.part);
        a.tell(rule, name, text_of(p, a.book.sources), "");
        a.draft.gone[key_of(rule, name)] = {{}, a.layer, a.head};
    }
    std::erase_if(rule.parts, [&](const DraftPart &p) { return goes(p.part); });
}

bool is_listed(const ast::Part &part, const std::string &label) {
    return part.label == label && part.kind != ast::Part::Kind::exception;
}

// What is not written out goes with the article that it stands in.
bool delete_gaps(const Applying &a) {
    const std::size_t before = a.draft.gaps.size();
    std::erase_if(a.draft.gaps, [&](const DraftGap &g) {
        const bool goes = !g.administrative && lies_in(g.gap.citation, a.change.target);
        if (goes)
            a.tell(g.gap.citation + " (not written out)", g.gap.text, "");
        return goes;
    });
    return a.draft.gaps.size() != before;
}

bool holds_rules(const Applying &a) {
    return std::any_of(a.draft.rules.begin(), a.draft.rules.end(), [&](const DraftRule &r) {
        return !r.deleted && !r.decl.clause && lies_in(r.decl.citation.text, a.change.target);
    });
}

// The parts of one rule, or the rules, from one number to another.
void delete_range(const Applying &a) {
    const std::string &first = a.change.target.citation.text;
    const std::string &last = a.change.last.text;
    const Found from = find_target(a);
    ChangeDecl end = a.change;
    end.target.citation = a.change.last;
    const Applying at_end{a.draft, a.book, end, a.file, a.edition, a.layer, a.head, a.diagnostics};
    const Found to = find_target(at_end);
    if (from.rule == nullptr || to.rule == nullptr)
        return;
    const auto inside = [&](const std::string &citation) {
        return !citation_less(citation, first) && !citation_less(last, citation);
    };
    const bool parts = !from.rest.empty() && from.rule == to.rule;
    if (citation_less(last, first) || (!parts && (!from.rest.empty() || !to.rest.empty()))) {
        a.diagnostics.error("bad-range", a.change.last.span,
                            "a range goes upward, from one part of a rule to another, or from "
                            "one rule to another");
        return;
    }
    if (parts) {
        const std::string above = from.rule->decl.citation.text;
        delete_parts(a, *from.rule, [&](const ast::Part &p) {
            return p.kind != ast::Part::Kind::exception && inside(above + p.label);
        });
        return;
    }
    for (DraftRule &rule : a.draft.rules) {
        if (!rule.deleted && !rule.decl.clause && inside(rule.decl.citation.text))
            delete_rule(a, rule);
    }
}

void delete_condition(const Applying &a, DraftRule &rule) {
    const DraftCondition *c = need_condition(a, rule);
    if (c == nullptr)
        return;
    a.tell(rule, "condition " + c->name.text, text_of(c->written, a.book.sources), "");
    a.draft.gone[key_of(rule, "condition " + c->name.text)] = {{}, a.layer, a.head};
    rule.conditions.erase(rule.conditions.begin() + (c - rule.conditions.data()));
}

} // namespace

void delete_text(const Applying &a) {
    if (a.change.target.reach == Target::Reach::rule) {
        const Found found = find_target(a);
        if (found.rule == nullptr)
            return;
        if (found.rest.empty())
            delete_rule(a, *found.rule);
        else
            delete_parts(a, *found.rule,
                         [&](const ast::Part &p) { return is_listed(p, found.rest); });
        return;
    }
    const bool gaps = delete_gaps(a);
    if (gaps && !holds_rules(a))
        return;
    for (DraftRule *rule : reached(a))
        delete_rule(a, *rule);
}

void delete_below(const Applying &a) {
    if (a.change.kind == ChangeDecl::Kind::delete_range) {
        delete_range(a);
        return;
    }
    const Found found = find_target(a);
    if (found.rule == nullptr)
        return;
    DraftRule &rule = *found.rule;
    const auto exception = [](const ast::Part &p) { return p.kind == ast::Part::Kind::exception; };
    switch (a.change.kind) {
    case ChangeDecl::Kind::delete_exception:
        if (need_part(a, rule, true) != nullptr)
            delete_parts(a, rule, [&](const ast::Part &p) {
                return exception(p) && p.label == a.change.label;
            });
        break;
    case ChangeDecl::Kind::delete_exceptions:
        if (std::none_of(rule.parts.begin(), rule.parts.end(),
                         [&](const DraftPart &p) { return exception(p.part); }))
            a.diagnostics.error("no-target", a.head, name_of(rule) + " has no exceptions");
        delete_parts(a, rule, exception);
        break;
    case ChangeDecl::Kind::delete_condition:
        delete_condition(a, rule);
        break;
    default: // notes
        if (rule.decl.notes.empty())
            a.diagnostics.error("no-target", a.head, name_of(rule) + " has no notes");
        for (const ast::Message &m : rule.decl.notes)
            a.tell("note of " + name_of(rule), m.text, "");
        rule.decl.notes.clear();
        break;
    }
}

} // namespace groundrule::book
