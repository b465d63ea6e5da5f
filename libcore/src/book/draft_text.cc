#include "book/draft_text.h"

#include "book/sha256.h"
#include "syntax/print.h"

namespace groundrule::book {

namespace {

using syntax::in_quotes;
using syntax::printed;

std::string says_text(const ast::Says &says) {
    std::string out;
    for (const ast::Message &line : says.lines)
        out += (out.empty() ? "" : " ") + in_quotes(line.text);
    return out;
}

const char *word_of(ast::Part::Kind kind) {
    static constexpr const char *words[] = {"listed", "except", "path", "permits"};
    return words[static_cast<std::size_t>(kind)];
}

// What can be left out, with a blank before it.
std::string also(const std::string &text, const std::string &before = " ") {
    return text.empty() ? "" : before + text;
}

class RuleWriter {
  public:
    RuleWriter(const DraftRule &rule, const Sources &sources, const Endings &endings)
        : rule_(rule), decl_(rule.decl), sources_(sources), endings_(endings) {}

    std::string text() {
        const std::string title = decl_.title.empty() ? "" : in_quotes(decl_.title);
        out_ = (decl_.clause ? "clause " : "rule ") + printed(decl_.citation) + also(title) +
               endings_.mark(rule_.layer) + "\n";
        line("topic", decl_.topic.text);
        line("within", decl_.within.text);
        line("displaces", syntax::printed_names(decl_.displaces));
        line("stage", syntax::printed_names(decl_.stages));
        line("binds", syntax::printed_names(decl_.binds));
        line("for", decl_.item.text);
        for (const DraftLimit &l : rule_.limits)
            line(l.limit.reading ? "reading" : "limit",
                 l.limit.name.text + " = " + text_of({l.file, l.limit.value}, sources_) +
                     also(l.limit.reading ? in_quotes(l.limit.text) : "") + endings_.mark(l.layer));
        for (const DraftCondition &c : rule_.conditions)
            condition(c);
        requirement();
        line("says", says_text(decl_.says));
        for (const DraftPart &p : rule_.parts)
            line(word_of(p.part.kind), p.part.label + also(text_of(p, sources_)) +
                                           endings_.mark(p.layer) +
                                           endings_.digest(text_of(p, sources_)));
        texts("note", decl_.notes);
        texts("source", decl_.sources);
        return std::move(out_);
    }

  private:
    void line(const char *word, const std::string &rest) {
        if (!rest.empty())
            out_ += std::string("  ") + word + " " + rest + "\n";
    }

    void condition(const DraftCondition &c) {
        const std::string text = text_of(c.written, sources_);
        const std::string name = c.name.text.empty() ? "" : c.name.text + " : ";
        line("where", name + text + endings_.mark(c.written.layer) + endings_.digest(text));
    }

    void requirement() {
        if (!decl_.force)
            return;
        const std::string text = text_of(rule_.requirement, sources_);
        const std::string marks =
            text.empty() ? "" : endings_.mark(rule_.requirement.layer) + endings_.digest(text);
        out_ += std::string("  ") + printed(*decl_.force) + also(text) + marks + "\n";
    }

    void texts(const char *word, const std::vector<ast::Message> &list) {
        for (const ast::Message &m : list)
            line(word, in_quotes(m.text));
    }

    const DraftRule &rule_;
    const ast::RuleDecl &decl_;
    const Sources &sources_;
    const Endings &endings_;
    std::string out_;
};

} // namespace

std::string short_digest(const std::string &text) {
    return sha256_hex(text).substr(0, 8);
}

std::string text_of(const Written &written, const Sources &sources) {
    return printed(*written.file, written.expr, sources);
}

std::string constant_text(const Written &written) {
    const ast::Expr &e = written.file->exprs[written.expr];
    switch (e.kind) {
    case ast::ExprKind::literal: {
        const Type type{e.literal.kind, e.literal.dimension, -1};
        return std::to_string(static_cast<int>(type.kind)) + " " +
               dimension::name_of(type.dimension) + " " +
               std::to_string(on_grid(e.literal.value, scale_of(type)));
    }
    case ast::ExprKind::truth:
        return e.flag ? "yes" : "no";
    default:
        return {};
    }
}

std::string text_of(const DraftPart &draft, const Sources &sources) {
    const ast::Part &p = draft.part;
    const std::string where = text_of({draft.file, p.where}, sources);
    std::string out = p.encoded ? "" : "not encoded";
    out += also(p.title.empty() ? "" : in_quotes(p.title), out.empty() ? "" : " ");
    out += also(where, out.empty() ? "where " : " where ");
    return out + also(says_text(p.says), " says ");
}

std::string text_of(const DraftDefine &define, const Sources &sources) {
    const ast::DefineDecl &d = define.decl;
    std::string parameters;
    for (const ast::Parameter &p : d.parameters)
        parameters += (parameters.empty() ? "" : ", ") + p.name.text + " : " + printed(p.type);
    return (d.item.text.empty() ? "" : d.item.text + ".") + d.name.text +
           (parameters.empty() ? "" : "(" + parameters + ")") + " : " + printed(d.type) +
           also(d.title.empty() ? "" : in_quotes(d.title)) + " = " +
           printed(*define.file, d.value, sources);
}

std::string text_of(const DraftGroup &group) {
    const ast::GroupDecl &g = group.decl;
    return g.name.text + " of " + g.type.text + " = " + syntax::printed_choices(g.choices);
}

std::string text_of(const DraftRule &rule, const Sources &sources) {
    return rule_lines(rule, sources, {});
}

std::string name_of(const DraftRule &rule) {
    return "rule " + rule.decl.citation.text + " (" + rule.decl.topic.text + ")";
}

std::string name_of(const ast::Part &part) {
    const bool exception = part.kind == ast::Part::Kind::exception;
    const std::string label = part.label.empty() ? "without a number" : part.label;
    return (exception ? "exception " : "part ") + label;
}

std::string Endings::mark(std::int32_t layer) const {
    const bool told = layers_ != nullptr && layer > 0;
    return told ? " @" + (*layers_)[static_cast<std::size_t>(layer)].name : std::string();
}

std::string Endings::digest(const std::string &text) const {
    return layers_ == nullptr ? std::string() : "  # " + short_digest(text);
}

std::string rule_lines(const DraftRule &rule, const Sources &sources, const Endings &endings) {
    return RuleWriter(rule, sources, endings).text();
}

} // namespace groundrule::book
