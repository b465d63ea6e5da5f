// What an amendment adds to rules, and facts that it adds to items.
#include "book/amend.h"
#include "book/amend_steps.h"
#include "book/draft_text.h"
#include "book/typer_words.h"

#include <algorithm>

namespace groundrule::book {

namespace {

bool refused(const Applying &a, DraftRule &rule) {
    const ast::RuleDecl &added = a.change.added;
    for (const ast::Part &p : added.parts) {
        DraftPart *there = find_part(rule, p.label, p.kind == ast::Part::Kind::exception);
        if (there == nullptr || p.label.empty())
            continue;
        Diagnostic &d = a.diagnostics.error(
            "stands-already", p.span,
            name_of(rule) + " has " +
                (p.kind == ast::Part::Kind::exception ? "an exception " : "a part ") + p.label +
                " already");
        d.other = there->part.span;
        d.other_is = "here";
        return true;
    }
    const bool whole = added.force || !added.topic.text.empty() || !added.item.text.empty();
    if (whole)
        a.diagnostics.error("not-an-addition", a.head,
                            "`add to` brings parts, exceptions, conditions, limits and notes; use "
                            "`replace rule` for the rest");
    return whole;
}

void tell(const Applying &a, const DraftRule &rule) {
    const ast::RuleDecl &added = a.change.added;
    const Sources &sources = a.book.sources;
    for (const ast::Part &p : added.parts)
        a.tell(rule, name_of(p), "", text_of(DraftPart{p, &a.file, &a.file, a.layer}, sources));
    for (const ast::Condition &c : added.conditions)
        a.tell(rule, "condition " + c.name.text, "", text_of(a.written(c.expr), sources));
    for (const ast::RuleLimit &l : added.limits)
        a.tell(rule, "limit " + l.name.text, "", text_of(a.written(l.value), sources));
    for (const ast::Message &m : added.notes)
        a.tell("note of " + name_of(rule), "", m.text);
}

void add_to_rules(const Applying &a) {
    const ast::RuleDecl &added = a.change.added;
    for (DraftRule *rule : reached(a)) {
        if (refused(a, *rule))
            return;
        take_parts(*rule, added, a.file, a.edition, a.layer);
        rule->decl.notes.insert(rule->decl.notes.end(), added.notes.begin(), added.notes.end());
        rule->decl.sources.insert(rule->decl.sources.end(), added.sources.begin(),
                                  added.sources.end());
        tell(a, *rule);
    }
}

// The item gets a declaration of the draft's own, with the new facts behind the old ones.
void add_fields(const Applying &a) {
    for (const ast::Decl *&decl : a.draft.vocabulary) {
        const auto *item = std::get_if<ast::ItemDecl>(&decl->body);
        if (item == nullptr || item->name.text != a.change.name.text)
            continue;
        a.draft.remade.push_back(*decl);
        auto &whole = std::get<ast::ItemDecl>(a.draft.remade.back().body);
        for (const ast::FieldDecl &f : a.change.fields) {
            whole.fields.push_back(f);
            a.tell("fact " + f.name.text + " of " + whole.name.text, "", f.question);
        }
        decl = &a.draft.remade.back();
        return;
    }
    std::vector<std::string> known;
    for (const ast::Decl *decl : a.draft.vocabulary) {
        if (const auto *item = std::get_if<ast::ItemDecl>(&decl->body))
            known.push_back(item->name.text);
    }
    if (!a.draft.broken.has(a.change.name.text))
        a.diagnostics
            .error("no-target", a.change.name.span,
                   "no item `" + a.change.name.text + "` stands in the layers below")
            .help = did_you_mean(nearest(a.change.name.text, known));
}

} // namespace

void add_text(const Applying &a) {
    if (a.change.kind == ast::ChangeDecl::Kind::add_fields)
        add_fields(a);
    else
        add_to_rules(a);
}

} // namespace groundrule::book
