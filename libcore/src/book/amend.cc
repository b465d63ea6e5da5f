// The changes that an amendment makes.
#include "book/amend.h"

#include "text/nearest.h"

#include <algorithm>

namespace groundrule::book {

namespace {

using ast::ChangeDecl;
using ast::Part;

std::string rule_text(const DraftRule &rule) {
    return rule.decl.citation.text + " (" + rule.decl.topic.text + ")";
}

struct Found {
    DraftRule *rule = nullptr;
    std::string rest; // label of a listed part, if the citation goes below the rule
};

// The rule with this citation, or the rule above it whose listed part it names.
Found find_target(Draft &draft, const ast::Target &target, Diagnostics &diagnostics) {
    std::vector<Found> found;
    const std::string &citation = target.citation.text;
    for (DraftRule &rule : draft.rules) {
        if (rule.deleted ||
            (!target.topic.text.empty() && rule.decl.topic.text != target.topic.text))
            continue;
        if (rule.decl.citation.text == citation) {
            found.push_back({&rule, {}});
        } else if (citation.starts_with(rule.decl.citation.text)) {
            const std::string rest = citation.substr(rule.decl.citation.text.size());
            const bool listed =
                std::any_of(rule.parts.begin(), rule.parts.end(), [&](const DraftPart &p) {
                    return p.part.label == rest && p.part.kind != Part::Kind::exception;
                });
            if (listed)
                found.push_back({&rule, rest});
        }
    }
    const auto exact =
        std::find_if(found.begin(), found.end(), [](const Found &f) { return f.rest.empty(); });
    if (exact != found.end())
        std::erase_if(found, [](const Found &f) { return !f.rest.empty(); });
    if (found.size() == 1)
        return found.front();
    if (found.empty() && draft.broken.has(citation))
        return {};
    if (found.empty()) {
        Diagnostic &d = diagnostics.error(
            "no-target", target.citation.span,
            "no rule " + citation +
                (target.topic.text.empty() ? "" : " with the topic `" + target.topic.text + "`") +
                " stands in the layers below");
        std::vector<std::string> citations;
        for (const DraftRule &rule : draft.rules)
            citations.push_back(rule.decl.citation.text);
        const std::string near = nearest(citation, citations);
        if (!near.empty() && near != citation)
            d.help = "did you mean " + near + "?";
        return {};
    }
    std::string topics;
    for (const Found &f : found)
        topics += (topics.empty() ? "" : ", ") + f.rule->decl.topic.text;
    diagnostics
        .error("ambiguous-target", target.citation.span, "several rules are numbered " + citation)
        .help = "add `topic` and one of: " + topics;
    return {};
}

DraftPart *find_part(DraftRule &rule, const std::string &label, bool exception) {
    for (DraftPart &p : rule.parts) {
        if (p.part.label == label && (p.part.kind == Part::Kind::exception) == exception)
            return &p;
    }
    return nullptr;
}

bool for_edition(const std::vector<ast::Name> &editions, const std::string &edition) {
    return editions.empty() || std::any_of(editions.begin(), editions.end(),
                                           [&](const ast::Name &n) { return n.text == edition; });
}

void take_parts(DraftRule &rule, const ast::RuleDecl &decl, const ast::File &file,
                const std::string &edition, std::int32_t layer) {
    for (const Part &p : decl.parts) {
        if (for_edition(p.editions, edition))
            rule.parts.push_back({p, &file, layer});
    }
    for (const ast::Condition &c : decl.conditions) {
        if (for_edition(c.editions, edition))
            rule.conditions.push_back({c.name, {&file, c.expr, layer}});
    }
    for (const ast::RuleLimit &l : decl.limits) {
        if (for_edition(l.editions, edition))
            rule.limits.push_back({l, &file, layer});
    }
}

void delete_rule(DraftRule &rule, const std::string &label, const ChangeDecl &change, Span head) {
    if (label.empty()) {
        rule.deleted = true;
        rule.deleted_span = head;
        return;
    }
    std::erase_if(rule.parts, [&](const DraftPart &p) {
        return p.part.label == label && p.part.kind != Part::Kind::exception;
    });
    (void)change;
}

void delete_exception(DraftRule &rule, const ChangeDecl &change, Span head,
                      Diagnostics &diagnostics) {
    if (find_part(rule, change.label, true) == nullptr) {
        Diagnostic &d =
            diagnostics.error("no-target", head,
                              "rule " + rule_text(rule) + " has no exception " +
                                  (change.label.empty() ? "without a number" : change.label));
        for (const DraftPart &p : rule.parts) {
            if (p.part.kind == Part::Kind::exception && !p.part.label.empty())
                d.help += (d.help.empty() ? "it has: " : ", ") + p.part.label;
        }
        return;
    }
    std::erase_if(rule.parts, [&](const DraftPart &p) {
        return p.part.kind == Part::Kind::exception && p.part.label == change.label;
    });
}

void change_limit(DraftRule &rule, const ChangeDecl &change, const ast::File &file,
                  std::int32_t layer, Diagnostics &diagnostics) {
    for (DraftLimit &l : rule.limits) {
        if (l.limit.name.text != change.limit.text)
            continue;
        const ast::Expr &stands = l.file->exprs[l.limit.value];
        const ast::Expr &said = file.exprs[change.from];
        if (!same_constant(stands, said)) {
            Diagnostic &d = diagnostics.error("wrong-old-value", said.span,
                                              "`" + l.limit.name.text + "` of rule " +
                                                  rule_text(rule) + " has another value here");
            d.other = stands.span;
            d.other_is = "it stands here";
            return;
        }
        l.limit.value = change.to;
        l.file = &file;
        l.layer = layer;
        return;
    }
    std::vector<std::string> known;
    for (const DraftLimit &l : rule.limits)
        known.push_back(l.limit.name.text);
    Diagnostic &d = diagnostics.error("no-target", change.limit.span,
                                      "rule " + rule_text(rule) + " has no limit or reading `" +
                                          change.limit.text + "`");
    std::string list;
    for (const std::string &k : known)
        list += (list.empty() ? "it has: " : ", ") + k;
    d.help = list;
}

void narrow(DraftRule &rule, const std::string &label, const ChangeDecl &change,
            const ast::File &file, std::int32_t layer, Span head, Diagnostics &diagnostics) {
    if (!label.empty()) {
        diagnostics.error("no-target", head,
                          "a listed part is not narrowed; replace it, or narrow its rule");
        return;
    }
    rule.conditions.push_back({{}, {&file, change.to, layer}});
}

void add_to(DraftRule &rule, const ChangeDecl &change, const ast::File &file,
            const std::string &edition, std::int32_t layer, Span head, Diagnostics &diagnostics) {
    for (const Part &p : change.added.parts) {
        DraftPart *there = find_part(rule, p.label, p.kind == Part::Kind::exception);
        if (there != nullptr && !p.label.empty()) {
            Diagnostic &d = diagnostics.error(
                "stands-already", p.span,
                "rule " + rule_text(rule) + " has " +
                    (p.kind == Part::Kind::exception ? "an exception " : "a part ") + p.label +
                    " already");
            d.other = there->part.span;
            d.other_is = "here";
            return;
        }
    }
    if (change.added.force || !change.added.topic.text.empty() || !change.added.item.text.empty()) {
        diagnostics.error("not-an-addition", head,
                          "`add to` brings parts, exceptions, conditions, limits and notes; use "
                          "`replace rule` for the rest");
        return;
    }
    take_parts(rule, change.added, file, edition, layer);
    rule.decl.notes.insert(rule.decl.notes.end(), change.added.notes.begin(),
                           change.added.notes.end());
    rule.decl.sources.insert(rule.decl.sources.end(), change.added.sources.begin(),
                             change.added.sources.end());
}

} // namespace

bool same_constant(const ast::Expr &a, const ast::Expr &b) {
    if (a.kind != b.kind)
        return false;
    switch (a.kind) {
    case ast::ExprKind::literal:
        return a.literal.kind == b.literal.kind && a.literal.dimension == b.literal.dimension &&
               a.literal.value == b.literal.value;
    case ast::ExprKind::truth:
        return a.flag == b.flag;
    case ast::ExprKind::name:
    case ast::ExprKind::text:
        return a.text == b.text && a.qualifier == b.qualifier;
    default:
        return false;
    }
}

DraftRule draft_rule(const ast::RuleDecl &decl, const ast::File &file, const std::string &edition,
                     std::int32_t layer, Span span) {
    DraftRule rule;
    rule.decl = decl;
    rule.file = &file;
    rule.layer = layer;
    rule.span = span;
    take_parts(rule, decl, file, edition, layer);
    rule.decl.parts.clear();
    rule.decl.conditions.clear();
    rule.decl.limits.clear();
    return rule;
}

void add_rule(Draft &draft, DraftRule rule, Diagnostics &diagnostics) {
    const std::string &topic = rule.decl.topic.text;
    const auto there =
        std::find_if(draft.rules.begin(), draft.rules.end(), [&](const DraftRule &r) {
            return !r.deleted && !topic.empty() && r.decl.topic.text == topic;
        });
    if (rule.decl.replaces) {
        if (there == draft.rules.end() || there->decl.citation.text != rule.decl.citation.text) {
            if (draft.broken.has(topic))
                return;
            diagnostics.error("no-target", rule.decl.citation.span,
                              "no rule " + rule.decl.citation.text + " with the topic `" + topic +
                                  "` stands in the layers below");
            return;
        }
        *there = std::move(rule);
        return;
    }
    if (there != draft.rules.end()) {
        Diagnostic &d = diagnostics.error("topic-twice", rule.decl.topic.span,
                                          "the topic `" + topic + "` is taken");
        d.other = there->span;
        d.other_is = "by this rule";
        return;
    }
    draft.rules.push_back(std::move(rule));
}

void add_group(Draft &draft, DraftGroup group, Diagnostics &diagnostics) {
    const auto there =
        std::find_if(draft.groups.begin(), draft.groups.end(),
                     [&](const DraftGroup &g) { return g.decl.name.text == group.decl.name.text; });
    if (group.decl.replaces) {
        if (there == draft.groups.end())
            diagnostics.error("no-target", group.span,
                              "no group `" + group.decl.name.text + "` stands in the layers below");
        else
            *there = std::move(group);
        return;
    }
    if (there != draft.groups.end()) {
        Diagnostic &d =
            diagnostics.error("declared-twice", group.decl.name.span,
                              "the group `" + group.decl.name.text + "` is declared already");
        d.other = there->span;
        d.other_is = "here";
        return;
    }
    draft.groups.push_back(std::move(group));
}

void add_define(Draft &draft, DraftDefine define, Diagnostics &diagnostics) {
    const auto there =
        std::find_if(draft.defines.begin(), draft.defines.end(), [&](const DraftDefine &d) {
            return d.decl.name.text == define.decl.name.text &&
                   d.decl.item.text == define.decl.item.text;
        });
    if (define.decl.replaces) {
        if (there == draft.defines.end())
            diagnostics.error("no-target", define.span,
                              "no definition `" + define.decl.name.text +
                                  "` stands in the layers below");
        else
            *there = std::move(define);
        return;
    }
    if (there != draft.defines.end()) {
        Diagnostic &d = diagnostics.error("defined-twice", define.decl.name.span,
                                          "`" + define.decl.name.text + "` is defined already");
        d.other = there->span;
        d.other_is = "here";
        return;
    }
    draft.defines.push_back(std::move(define));
}

void apply(Draft &draft, const ast::Decl &decl, const ast::File &file, const std::string &edition,
           std::int32_t layer, Diagnostics &diagnostics) {
    const auto &change = std::get<ChangeDecl>(decl.body);
    if (change.kind == ChangeDecl::Kind::change_cell) {
        draft.cell_changes.push_back({&change, layer, decl.head});
        return;
    }
    const Found found = find_target(draft, change.target, diagnostics);
    if (found.rule == nullptr)
        return;
    DraftRule &rule = *found.rule;
    switch (change.kind) {
    case ChangeDecl::Kind::delete_rule:
        delete_rule(rule, found.rest, change, decl.head);
        break;
    case ChangeDecl::Kind::delete_exception:
        delete_exception(rule, change, decl.head, diagnostics);
        break;
    case ChangeDecl::Kind::change_limit:
        change_limit(rule, change, file, layer, diagnostics);
        break;
    case ChangeDecl::Kind::narrow:
        narrow(rule, found.rest, change, file, layer, decl.head, diagnostics);
        break;
    case ChangeDecl::Kind::delay:
        rule.delayed_until = change.date;
        rule.delayed_by = layer;
        break;
    case ChangeDecl::Kind::add:
        add_to(rule, change, file, edition, layer, decl.head, diagnostics);
        break;
    case ChangeDecl::Kind::change_cell:
        break;
    }
}

} // namespace groundrule::book
