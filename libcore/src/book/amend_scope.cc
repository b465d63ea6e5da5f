// What an amendment does to the scope of rules: narrower, wider, later, no longer, another code's.
#include "book/amend_steps.h"
#include "book/draft_text.h"
#include "book/made_expressions.h"

namespace groundrule::book {

namespace {

using ast::ChangeDecl;
using ast::ExprKind;
using Kind = ChangeDecl::Kind;

class ScopeChange {
  public:
    explicit ScopeChange(const Applying &a) : a_(a), widens_(a.change.kind == Kind::widen) {
        const bool scoped = a.change.kind == Kind::narrow || widens_;
        if (scoped) {
            test_ = a.written(a.change.to);
            return;
        }
        const std::string field = a.change.by.text.empty() ? "permit_date" : a.change.by.text;
        const bool delays = a.change.kind == Kind::delay;
        test_ = dated(field, delays ? "at least" : "less than", a.change.date,
                      a.change.by.text.empty() ? a.head : a.change.by.span, a.layer, *a.draft.made);
        name_ = delays ? "delayed" : "sunset";
    }

    void on_rule(DraftRule &rule) {
        if (!widens_) {
            rule.conditions.push_back({{name_, a_.head}, test_, a_.head});
            a_.tell(rule, "scope", "", text());
            return;
        }
        if (rule.conditions.empty() && rule.decl.within.text.empty()) {
            a_.diagnostics.error("nothing-to-widen", a_.head,
                                 name_of(rule) + " has no conditions, so its scope is as wide as "
                                                 "it can be");
            return;
        }
        for (DraftCondition &c : rule.conditions)
            on_condition(c);
        rule.widened.push_back(test_);
        a_.tell(rule, "scope", "", "or " + text());
    }

    void on_part(DraftRule &rule, DraftPart &part) {
        const std::string before = text_of(part, a_.book.sources);
        if (part.part.where == ast::no_expr) {
            if (!widens_) {
                part.file = test_.file;
                part.part.where = test_.expr;
            }
        } else {
            const Written made = join({part.file, part.part.where, part.layer});
            part.file = made.file;
            part.part.where = made.expr;
        }
        part.layer = a_.layer;
        a_.tell(rule, name_of(part.part), before, text_of(part, a_.book.sources));
    }

    void on_named_condition(DraftRule &rule, DraftCondition &c) {
        const std::string before = text_of(c.written, a_.book.sources);
        on_condition(c);
        a_.tell(rule, "condition " + c.name.text, before, text_of(c.written, a_.book.sources));
    }

  private:
    void on_condition(DraftCondition &c) { c.written = join(c.written); }

    Written join(const Written &stands) const {
        return joined(widens_ ? ExprKind::logical_or : ExprKind::logical_and, stands, test_,
                      a_.layer, *a_.draft.made, a_.diagnostics);
    }

    std::string text() const { return text_of(test_, a_.book.sources); }

    const Applying &a_;
    bool widens_;
    Written test_;
    std::string name_;
};

// Work that another code governs is excused by an exception without a number.
void hand_over(const Applying &a) {
    std::vector<std::string> topics;
    for (DraftRule *rule : reached(a)) {
        topics.push_back(rule->decl.topic.text);
        ast::Part part;
        part.kind = ast::Part::Kind::exception;
        part.title = a.change.code.text;
        part.where = a.change.to;
        part.span = a.change.code.span;
        rule->parts.push_back({std::move(part), &a.file, &a.file, a.layer});
    }
    static constexpr const char *whats[] = {"rule ", "section ", "article ", "all rules"};
    const auto reach = static_cast<std::size_t>(a.change.target.reach);
    a.tell(whats[reach] + a.change.target.citation.text, "",
           "handed over to " + a.change.code.text + " where " +
               text_of(a.written(a.change.to), a.book.sources),
           std::move(topics));
}

} // namespace

void change_scope(const Applying &a) {
    if (a.change.kind == Kind::hand_over) {
        hand_over(a);
        return;
    }
    ScopeChange change(a);
    const bool below = a.change.exception || !a.change.name.text.empty();
    if (!below && a.change.target.reach != ast::Target::Reach::rule) {
        for (DraftRule *rule : reached(a))
            change.on_rule(*rule);
        return;
    }
    const Found found = find_target(a);
    if (found.rule == nullptr)
        return;
    DraftRule &rule = *found.rule;
    if (a.change.exception) {
        if (DraftPart *part = need_part(a, rule, true))
            change.on_part(rule, *part);
    } else if (!a.change.name.text.empty()) {
        if (DraftCondition *c = need_condition(a, rule))
            change.on_named_condition(rule, *c);
    } else if (!found.rest.empty()) {
        change.on_part(rule, *find_part(rule, found.rest, false));
    } else {
        change.on_rule(rule);
    }
}

} // namespace groundrule::book
