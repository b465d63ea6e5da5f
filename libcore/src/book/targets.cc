#include "book/targets.h"

#include "book/draft_text.h"
#include "book/typer_words.h"

#include <algorithm>

namespace groundrule::book {

namespace {

using ast::Target;

// The part of a citation that tells its article or section.
std::string whole_of(const std::string &citation, Target::Reach reach) {
    return citation.substr(0, citation.find(reach == Target::Reach::article ? '.' : '('));
}

// Of a rule that stands, what it has; else what is written nearly so.
std::string what_stands(const Applying &a) {
    const Target &target = a.change.target;
    const std::string &citation = target.citation.text;
    const bool by_topic = !target.topic.text.empty();
    std::vector<std::string> names;
    for (const DraftRule &rule : a.draft.rules) {
        if (rule.deleted || rule.decl.clause)
            continue;
        const std::string &above = rule.decl.citation.text;
        if (target.reach != Target::Reach::rule) {
            names.push_back(whole_of(above, target.reach));
            continue;
        }
        if (by_topic) {
            if (above == citation)
                names.push_back(rule.decl.topic.text);
            continue;
        }
        names.push_back(above);
        std::vector<std::string> labels;
        for (const DraftPart &p : rule.parts) {
            if (p.part.kind != ast::Part::Kind::exception && !p.part.label.empty())
                labels.push_back(p.part.label);
        }
        if (!labels.empty() && citation.starts_with(above + "("))
            return some_of("rule " + above, labels);
    }
    if (by_topic)
        return names.empty() ? "" : some_of(citation, names);
    const std::string near = nearest(citation, names);
    return near.empty() ? "" : "did you mean " + near + "?";
}

void tell_missing(const Applying &a) {
    const Target &target = a.change.target;
    const std::string &citation = target.citation.text;
    static constexpr const char *whats[] = {"rule ", "rule of section ", "rule of article ",
                                            "rule of the book "};
    Diagnostic &d = a.diagnostics.error(
        "no-target", target.citation.span,
        "no " + std::string(whats[static_cast<std::size_t>(target.reach)]) + citation +
            (target.topic.text.empty() ? "" : " with the topic `" + target.topic.text + "`") +
            " stands in the layers below");
    d.help = what_stands(a);
    for (const DraftRule &rule : a.draft.rules) {
        if (!rule.deleted || d.other.file != Span::no_file)
            continue;
        const bool ours = target.reach == Target::Reach::rule
                              ? rule.decl.citation.text == citation
                              : lies_in(rule.decl.citation.text, target);
        if (!ours)
            continue;
        d.other = rule.deleted_span;
        d.other_is = "it was deleted here";
    }
}

} // namespace

bool lies_in(const std::string &citation, const Target &target) {
    const std::string &whole = target.citation.text;
    switch (target.reach) {
    case Target::Reach::book:
        return true;
    case Target::Reach::article:
        return citation.starts_with(whole + ".");
    case Target::Reach::section:
        return citation == whole || citation.starts_with(whole + "(");
    case Target::Reach::rule:
        break;
    }
    return citation == whole;
}

Found find_target(const Applying &a) {
    const Target &target = a.change.target;
    std::vector<Found> found;
    const std::string &citation = target.citation.text;
    for (DraftRule &rule : a.draft.rules) {
        if (rule.deleted ||
            (!target.topic.text.empty() && rule.decl.topic.text != target.topic.text))
            continue;
        if (rule.decl.citation.text == citation) {
            found.push_back({&rule, {}});
        } else if (citation.starts_with(rule.decl.citation.text)) {
            const std::string rest = citation.substr(rule.decl.citation.text.size());
            const bool listed =
                std::any_of(rule.parts.begin(), rule.parts.end(), [&](const DraftPart &p) {
                    return p.part.label == rest && p.part.kind != ast::Part::Kind::exception;
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
    if (found.empty()) {
        if (!a.draft.broken.has(citation))
            tell_missing(a);
        return {};
    }
    std::string topics;
    for (const Found &f : found)
        topics += (topics.empty() ? "" : ", ") + f.rule->decl.topic.text;
    a.diagnostics
        .error("ambiguous-target", target.citation.span, "several rules are numbered " + citation)
        .help = "add `topic` and one of: " + topics;
    return {};
}

DraftPart *find_part(DraftRule &rule, const std::string &label, bool exception) {
    for (DraftPart &p : rule.parts) {
        if (p.part.label == label && (p.part.kind == ast::Part::Kind::exception) == exception)
            return &p;
    }
    return nullptr;
}

DraftPart *need_part(const Applying &a, DraftRule &rule, bool exception) {
    const std::string &label = a.change.label;
    DraftPart *part = find_part(rule, label, exception);
    if (part != nullptr)
        return part;
    Diagnostic &d =
        a.diagnostics.error("no-target", a.head,
                            name_of(rule) + " has no " + (exception ? "exception " : "part ") +
                                (label.empty() ? "without a number" : label));
    for (const DraftPart &p : rule.parts) {
        if ((p.part.kind == ast::Part::Kind::exception) == exception && !p.part.label.empty())
            d.help += (d.help.empty() ? "it has: " : ", ") + p.part.label;
    }
    tell_gone(a.draft, a.book, key_of(rule, (exception ? "exception " : "part ") + label), d);
    return nullptr;
}

DraftCondition *need_condition(const Applying &a, DraftRule &rule) {
    const std::string &name = a.change.name.text;
    for (DraftCondition &c : rule.conditions) {
        if (c.name.text == name)
            return &c;
    }
    Diagnostic &d = a.diagnostics.error("no-target", a.change.name.span,
                                        name_of(rule) + " has no condition `" + name + "`");
    for (const DraftCondition &c : rule.conditions) {
        if (!c.name.text.empty())
            d.help += (d.help.empty() ? "it has: " : ", ") + c.name.text;
    }
    tell_gone(a.draft, a.book, key_of(rule, "condition " + name), d);
    return nullptr;
}

std::vector<DraftRule *> reached(const Applying &a) {
    const Target &target = a.change.target;
    std::vector<DraftRule *> out;
    if (target.reach == Target::Reach::rule) {
        const Found found = find_target(a);
        if (found.rule != nullptr)
            out.push_back(found.rule);
        return out;
    }
    for (DraftRule &rule : a.draft.rules) {
        if (!rule.deleted && !rule.decl.clause && lies_in(rule.decl.citation.text, target))
            out.push_back(&rule);
    }
    if (out.empty() && !a.draft.broken.has(target.citation.text))
        tell_missing(a);
    return out;
}

std::string key_of(const DraftRule &rule, const std::string &what) {
    return rule.decl.topic.text + " " + what;
}

void tell_gone(const Draft &draft, const Book &book, const std::string &key, Diagnostic &d) {
    const auto gone = draft.gone.find(key);
    if (gone == draft.gone.end())
        return;
    d.other = gone->second.span;
    d.other_is =
        book.layers[static_cast<std::size_t>(gone->second.layer)].name + " deleted it here";
}

} // namespace groundrule::book
