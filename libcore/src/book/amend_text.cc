// Changes of one text of a rule, each checked against the text that it says it replaces.
#include "book/amend_steps.h"
#include "book/draft_text.h"
#include "book/typer_words.h"
#include "syntax/print.h"

#include <algorithm>

namespace groundrule::book {

namespace {

using ast::ChangeDecl;

// Old and new text of one thing, and whether the new one is put in its place.
class OneChange {
  public:
    OneChange(const Applying &a, const DraftRule &rule, std::string what)
        : a_(a), rule_(rule), what_(std::move(what)), key_(key_of(rule, what_)) {}

    // By value.
    bool replaces(const std::string &stands, Span where, std::int32_t layer,
                  const std::string &said, Span said_span, bool digests = false) {
        Claim claim;
        claim.what = called() + " of " + name_of(rule_);
        claim.stands = stands;
        claim.stands_layer = layer;
        claim.stands_span = where;
        claim.said = said;
        claim.said_span = said_span;
        claim.past = &a_.draft.past[key_];
        claim.layer = a_.layer;
        claim.change = a_.head;
        claim.digests = digests;
        claim.stands_as = stands_as_;
        const Outcome outcome = settle(*a_.draft.disputes, claim, a_.book, a_.diagnostics);
        if (outcome == Outcome::keep)
            tell("the text below", "the text below, which is the stricter one");
        if (outcome != Outcome::put)
            return false;
        a_.draft.past[key_].push_back({stands, layer, where});
        return true;
    }

    // By digest.
    bool replaces(const std::string &stands, Span where, std::int32_t layer) {
        return replaces(short_digest(stands), where, layer, a_.change.old_text.text,
                        a_.change.old_text.span, true);
    }

    // What no line of the rule may say.
    void stands_as(std::string text) { stands_as_ = std::move(text); }

    void tell(std::string from, std::string to) const {
        a_.tell(rule_, what_, std::move(from), std::move(to));
    }

  private:
    // "limit spacing" is `spacing`.
    std::string called() const {
        if (what_ == "binds")
            return "`binds`";
        const std::size_t blank = what_.find(' ');
        const bool limit = what_.starts_with("limit ");
        return limit ? "`" + what_.substr(blank + 1) + "`" : "the " + what_;
    }

    const Applying &a_;
    const DraftRule &rule_;
    std::string what_;
    std::string key_;
    std::string stands_as_;
};

void change_limit(const Applying &a, DraftRule &rule) {
    const Sources &sources = a.book.sources;
    const std::string &name = a.change.name.text;
    for (DraftLimit &l : rule.limits) {
        if (l.limit.name.text != name)
            continue;
        const Written stands{l.file, l.limit.value, l.layer};
        const Written said = a.written(a.change.from);
        OneChange change(a, rule, "limit " + name);
        if (!change.replaces(constant_text(stands), l.file->exprs[l.limit.value].span, l.layer,
                             constant_text(said), a.file.exprs[a.change.from].span))
            return;
        change.tell(text_of(stands, sources), text_of(a.written(a.change.to), sources));
        l.limit.value = a.change.to;
        l.file = &a.file;
        l.layer = a.layer;
        return;
    }
    Diagnostic &d = a.diagnostics.error("no-target", a.change.name.span,
                                        name_of(rule) + " has no limit or reading `" + name + "`");
    for (const DraftLimit &l : rule.limits)
        d.help += (d.help.empty() ? "it has: " : ", ") + l.limit.name.text;
}

void change_condition(const Applying &a, DraftRule &rule) {
    DraftCondition *c = need_condition(a, rule);
    if (c == nullptr)
        return;
    const std::string stands = text_of(c->written, a.book.sources);
    OneChange change(a, rule, "condition " + c->name.text);
    if (!change.replaces(stands, c->span, c->written.layer))
        return;
    c->written = a.written(a.change.to);
    c->span = a.head;
    change.tell(stands, text_of(c->written, a.book.sources));
}

void change_requirement(const Applying &a, DraftRule &rule) {
    if (rule.requirement.expr == ast::no_expr) {
        a.diagnostics.error("no-target", a.head,
                            name_of(rule) + " has no requirement in one text; it has parts");
        return;
    }
    const std::string stands = text_of(rule.requirement, a.book.sources);
    OneChange change(a, rule, "requirement");
    if (!change.replaces(stands, rule.decl.requirement_span, rule.requirement.layer))
        return;
    rule.requirement = a.written(a.change.to);
    rule.decl.requirement_span = a.head;
    if (!a.change.added.says.lines.empty()) {
        rule.decl.says = a.change.added.says;
        rule.file = &a.file;
    }
    change.tell(stands, text_of(rule.requirement, a.book.sources));
}

void change_part(const Applying &a, DraftRule &rule, bool exception) {
    DraftPart *part = need_part(a, rule, exception);
    if (part == nullptr)
        return;
    const std::string stands = text_of(*part, a.book.sources);
    OneChange change(a, rule, name_of(part->part));
    if (!change.replaces(stands, part->part.span, part->layer))
        return;
    ast::Part text = a.change.added.parts.front();
    text.kind = part->part.kind;
    text.label = part->part.label;
    text.span = a.head;
    *part = {std::move(text), &a.file, &a.file, a.layer};
    change.tell(stands, text_of(*part, a.book.sources));
}

void change_force(const Applying &a, DraftRule &rule) {
    const ast::Force stands = rule.decl.force.value_or(ast::Force::shall);
    OneChange change(a, rule, "force");
    change.stands_as(syntax::printed(stands));
    if (!change.replaces(syntax::printed(stands), rule.span, rule.requirement.layer,
                         syntax::printed(a.change.old_force), a.head))
        return;
    rule.decl.force = a.change.new_force;
    rule.requirement.layer = a.layer;
    change.tell(syntax::printed(stands), syntax::printed(a.change.new_force));
}

std::string sorted_names(const std::vector<ast::Name> &names) {
    std::vector<std::string> words;
    words.reserve(names.size());
    for (const ast::Name &n : names)
        words.push_back(n.text);
    std::sort(words.begin(), words.end());
    std::string out;
    for (const std::string &w : words)
        out += (out.empty() ? "" : ", ") + w;
    return out;
}

void change_binds(const Applying &a, DraftRule &rule) {
    std::vector<ast::Name> stands = rule.decl.binds;
    if (stands.empty())
        stands = {{"new", rule.span}, {"altered", rule.span}};
    OneChange change(a, rule, "binds");
    change.stands_as(syntax::printed_names(stands));
    if (!change.replaces(sorted_names(stands), stands.front().span, rule.binds_layer,
                         sorted_names(a.change.old_binds), a.change.old_binds.front().span))
        return;
    change.tell(syntax::printed_names(stands), syntax::printed_names(a.change.new_binds));
    rule.decl.binds = a.change.new_binds;
    rule.binds_layer = a.layer;
}

void no_entry(const Applying &a, const ast::Cell &entry, const DraftGroup &group) {
    Diagnostic &d = a.diagnostics.error("no-target", entry.span,
                                        "the group `" + group.decl.name.text + "` has no entry " +
                                            syntax::printed(entry, a.book.sources));
    d.help = "it has: " + syntax::printed_names(group.decl.choices);
    d.other = group.span;
    d.other_is = "the group stands here";
}

auto entry_of(DraftGroup &group, const std::string &word) {
    return std::find_if(group.decl.choices.begin(), group.decl.choices.end(),
                        [&](const ast::Name &n) { return n.text == word; });
}

void add_entry(const Applying &a, DraftGroup &group, const ast::Cell &entry) {
    if (entry_of(group, entry.word) == group.decl.choices.end()) {
        group.decl.choices.push_back({entry.word, entry.span});
        return;
    }
    Diagnostic &d = a.diagnostics.error("stands-already", entry.span,
                                        "the group `" + group.decl.name.text + "` has the entry " +
                                            entry.word + " already");
    d.other = group.span;
    d.other_is = "the group stands here";
}

} // namespace

void change_group(const Applying &a) {
    const auto group =
        std::find_if(a.draft.groups.begin(), a.draft.groups.end(),
                     [&](const DraftGroup &g) { return g.decl.name.text == a.change.name.text; });
    if (group == a.draft.groups.end()) {
        std::vector<std::string> known;
        for (const DraftGroup &g : a.draft.groups)
            known.push_back(g.decl.name.text);
        a.diagnostics
            .error("no-target", a.change.name.span,
                   "no group `" + a.change.name.text + "` stands in the layers below")
            .help = did_you_mean(nearest(a.change.name.text, known));
        return;
    }
    const std::string before = text_of(*group);
    if (a.change.kind == ChangeDecl::Kind::change_entry) {
        const auto entry = entry_of(*group, a.change.old_cell.word);
        if (entry == group->decl.choices.end())
            no_entry(a, a.change.old_cell, *group);
        else
            *entry = {a.change.new_cell.word, a.change.new_cell.span};
    }
    for (const ast::Cell &key : a.change.keys) {
        if (a.change.kind == ChangeDecl::Kind::add_entries) {
            add_entry(a, *group, key);
            continue;
        }
        const auto entry = entry_of(*group, key.word);
        if (entry == group->decl.choices.end())
            no_entry(a, key, *group);
        else
            group->decl.choices.erase(entry);
    }
    if (group->decl.choices.empty()) {
        a.diagnostics.error("wrong-count", a.head,
                            "this leaves nothing of the group `" + group->decl.name.text + "`");
        group->decl.choices.push_back({a.change.keys.front().word, a.head});
        return;
    }
    group->layer = a.layer;
    const std::string what = "group " + group->decl.name.text;
    a.book.changes.push_back({a.layer, what, before, text_of(*group), a.head, {}, what});
}

void change_text(const Applying &a) {
    const Found found = find_target(a);
    if (found.rule == nullptr)
        return;
    DraftRule &rule = *found.rule;
    switch (a.change.kind) {
    case ChangeDecl::Kind::change_limit:
        change_limit(a, rule);
        break;
    case ChangeDecl::Kind::change_condition:
        change_condition(a, rule);
        break;
    case ChangeDecl::Kind::change_requirement:
        change_requirement(a, rule);
        break;
    case ChangeDecl::Kind::change_part:
        change_part(a, rule, false);
        break;
    case ChangeDecl::Kind::change_exception:
        change_part(a, rule, true);
        break;
    case ChangeDecl::Kind::change_force:
        change_force(a, rule);
        break;
    default:
        change_binds(a, rule);
        break;
    }
}

} // namespace groundrule::book
