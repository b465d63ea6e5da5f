// Declarations and changes of a layer on their way into the draft.
#include "book/amend.h"

#include "book/amend_steps.h"
#include "book/draft_text.h"

#include <algorithm>

namespace groundrule::book {

namespace {

using ast::ChangeDecl;
using Kind = ChangeDecl::Kind;

bool for_edition(const std::vector<ast::Name> &editions, const std::string &edition) {
    return editions.empty() || std::any_of(editions.begin(), editions.end(),
                                           [&](const ast::Name &n) { return n.text == edition; });
}

void tell(Book &book, const DraftRule &rule, std::string from) {
    if (rule.layer > 0)
        book.changes.push_back({rule.layer,
                                name_of(rule),
                                std::move(from),
                                text_of(rule, book.sources),
                                rule.span,
                                {rule.decl.topic.text},
                                {}});
}

// What rules may rest on.
void tell(Book &book, std::int32_t layer, const std::string &shared, std::string from,
          std::string to, Span span) {
    if (layer > 0)
        book.changes.push_back({layer, shared, std::move(from), std::move(to), span, {}, shared});
}

// What a layer meant that states again what stands below it.
std::string in_its_place(const std::string &what, const std::string &stands) {
    return "to put this text in its place: replace " + what + " … from " + short_digest(stands);
}

std::string called(const ast::DefineDecl &define) {
    return "definition " + (define.item.text.empty() ? "" : define.item.text + ".") +
           define.name.text;
}

void replace_rule(Draft &draft, DraftRule &there, DraftRule rule, Book &book,
                  Diagnostics &diagnostics) {
    const std::string stands = text_of(there, book.sources);
    if (!is_put(draft,
                {name_of(there), rule.decl.old_text, stands, there.span, there.layer, rule.span,
                 rule.layer},
                draft.past, book, diagnostics))
        return;
    rule.decl.replaces = false;
    tell(book, rule, stands);
    there = std::move(rule);
}

} // namespace

void take_parts(DraftRule &rule, const ast::RuleDecl &decl, const ast::File &file,
                const std::string &edition, std::int32_t layer) {
    for (const ast::Part &p : decl.parts) {
        if (for_edition(p.editions, edition))
            rule.parts.push_back({p, &file, &file, marked(p.mark, layer)});
    }
    for (const ast::Condition &c : decl.conditions) {
        if (for_edition(c.editions, edition))
            rule.conditions.push_back({c.name, {&file, c.expr, marked(c.mark, layer)}, c.span});
    }
    for (const ast::RuleLimit &l : decl.limits) {
        if (for_edition(l.editions, edition))
            rule.limits.push_back({l, &file, marked(l.mark, layer)});
    }
}

DraftRule draft_rule(const ast::RuleDecl &decl, const ast::File &file, const std::string &edition,
                     std::int32_t layer, Span span) {
    DraftRule rule;
    rule.decl = decl;
    rule.file = &file;
    rule.layer = marked(decl.mark, layer);
    rule.span = span;
    rule.binds_layer = rule.layer;
    rule.requirement = {&file, decl.requirement, marked(decl.requirement_mark, layer)};
    take_parts(rule, decl, file, edition, layer);
    rule.decl.parts.clear();
    rule.decl.conditions.clear();
    rule.decl.limits.clear();
    return rule;
}

bool is_put(const Draft &draft, const Replacement &r,
            std::map<std::string, std::vector<Past>> &past, const Book &book,
            Diagnostics &diagnostics) {
    const std::string digest = short_digest(r.stands);
    if (r.said.text.empty()) {
        Diagnostic &d = diagnostics.error("no-digest", r.head,
                                          "what replaces a text names it: `from` and its digest");
        d.help = "of " + r.what + " as it stands here: from " + digest;
        d.other = r.stands_span;
        d.other_is = "the text that would be replaced";
        return false;
    }
    Claim claim;
    claim.what = r.what;
    claim.stands = digest;
    claim.stands_layer = r.stands_layer;
    claim.stands_span = r.stands_span;
    claim.said = r.said.text;
    claim.said_span = r.said.span;
    claim.past = &past[r.what];
    claim.layer = r.layer;
    claim.change = r.head;
    claim.digests = true;
    if (settle(*draft.disputes, claim, book, diagnostics) != Outcome::put)
        return false;
    past[r.what].push_back({digest, r.stands_layer, r.stands_span});
    return true;
}

void add_rule(Draft &draft, DraftRule rule, Book &book, Diagnostics &diagnostics) {
    const std::string &topic = rule.decl.topic.text;
    const auto there =
        std::find_if(draft.rules.begin(), draft.rules.end(), [&](const DraftRule &r) {
            return !r.deleted && !topic.empty() && r.decl.topic.text == topic;
        });
    if (rule.decl.replaces) {
        if (there != draft.rules.end() && there->decl.citation.text == rule.decl.citation.text) {
            replace_rule(draft, *there, std::move(rule), book, diagnostics);
            return;
        }
        if (!draft.broken.has(topic))
            diagnostics.error("no-target", rule.decl.citation.span,
                              "no rule " + rule.decl.citation.text + " with the topic `" + topic +
                                  "` stands in the layers below");
        return;
    }
    if (there != draft.rules.end()) {
        Diagnostic &d = diagnostics.error("topic-twice", rule.decl.topic.span,
                                          "the topic `" + topic + "` is taken");
        if (rule.layer > there->layer)
            d.help =
                in_its_place("rule " + there->decl.citation.text, text_of(*there, book.sources));
        d.other = there->span;
        d.other_is = "by this rule";
        return;
    }
    tell(book, rule, "");
    draft.rules.push_back(std::move(rule));
}

void add_group(Draft &draft, DraftGroup group, Book &book, Diagnostics &diagnostics) {
    const auto there =
        std::find_if(draft.groups.begin(), draft.groups.end(),
                     [&](const DraftGroup &g) { return g.decl.name.text == group.decl.name.text; });
    if (group.decl.replaces) {
        if (there == draft.groups.end()) {
            diagnostics.error("no-target", group.span,
                              "no group `" + group.decl.name.text + "` stands in the layers below");
            return;
        }
        if (!is_put(draft,
                    {"the group `" + group.decl.name.text + "`", group.decl.old_text,
                     text_of(*there), there->span, there->layer, group.span, group.layer},
                    draft.past, book, diagnostics))
            return;
        group.decl.replaces = false;
        tell(book, group.layer, "group " + group.decl.name.text, text_of(*there), text_of(group),
             group.span);
        *there = std::move(group);
        return;
    }
    if (there != draft.groups.end()) {
        Diagnostic &d =
            diagnostics.error("declared-twice", group.decl.name.span,
                              "the group `" + group.decl.name.text + "` is declared already");
        if (group.layer > there->layer)
            d.help = in_its_place("group " + group.decl.name.text, text_of(*there));
        d.other = there->span;
        d.other_is = "here";
        return;
    }
    tell(book, group.layer, "group " + group.decl.name.text, "", text_of(group), group.span);
    draft.groups.push_back(std::move(group));
}

void add_define(Draft &draft, DraftDefine define, Book &book, Diagnostics &diagnostics) {
    const auto there =
        std::find_if(draft.defines.begin(), draft.defines.end(), [&](const DraftDefine &d) {
            return d.decl.name.text == define.decl.name.text &&
                   d.decl.item.text == define.decl.item.text;
        });
    if (define.decl.replaces) {
        if (there == draft.defines.end()) {
            diagnostics.error("no-target", define.span,
                              "no definition `" + define.decl.name.text +
                                  "` stands in the layers below");
            return;
        }
        const std::string stands = text_of(*there, book.sources);
        if (!is_put(draft,
                    {"the definition `" + define.decl.name.text + "`", define.decl.old_text, stands,
                     there->span, there->layer, define.span, define.layer},
                    draft.past, book, diagnostics))
            return;
        define.decl.replaces = false;
        tell(book, define.layer, called(define.decl), stands, text_of(define, book.sources),
             define.span);
        *there = std::move(define);
        return;
    }
    if (there != draft.defines.end()) {
        Diagnostic &d = diagnostics.error("defined-twice", define.decl.name.span,
                                          "`" + define.decl.name.text + "` is defined already");
        if (define.layer > there->layer)
            d.help = in_its_place(called(define.decl).replace(0, 10, "define"),
                                  text_of(*there, book.sources));
        d.other = there->span;
        d.other_is = "here";
        return;
    }
    tell(book, define.layer, called(define.decl), "", text_of(define, book.sources), define.span);
    draft.defines.push_back(std::move(define));
}

void apply(Draft &draft, const ast::Decl &decl, const ast::File &file, const std::string &edition,
           std::int32_t layer, Book &book, Diagnostics &diagnostics) {
    const auto &change = std::get<ChangeDecl>(decl.body);
    const Applying applying{draft, book, change, file, edition, layer, decl.head, diagnostics};
    switch (change.kind) {
    case Kind::delete_text:
        delete_text(applying);
        break;
    case Kind::delete_range:
    case Kind::delete_exception:
    case Kind::delete_exceptions:
    case Kind::delete_notes:
    case Kind::delete_condition:
        delete_below(applying);
        break;
    case Kind::change_limit:
    case Kind::change_condition:
    case Kind::change_part:
    case Kind::change_exception:
    case Kind::change_requirement:
    case Kind::change_force:
    case Kind::change_binds:
        change_text(applying);
        break;
    case Kind::narrow:
    case Kind::widen:
    case Kind::delay:
    case Kind::sunset:
    case Kind::hand_over:
        change_scope(applying);
        break;
    case Kind::add_to_rule:
    case Kind::add_fields:
        add_text(applying);
        break;
    case Kind::take:
        take_text(applying);
        break;
    case Kind::delete_row:
    case Kind::delete_entries:
    case Kind::change_cell:
    case Kind::change_entry:
    case Kind::add_rows:
    case Kind::add_entries:
        if (change.group)
            change_group(applying);
        else
            draft.figure_changes.push_back({&change, layer, decl.head});
        break;
    }
}

} // namespace groundrule::book
