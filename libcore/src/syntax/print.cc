#include "syntax/print.h"

#include "quantity/date.h"
#include "syntax/reserved.h"

#include <algorithm>

namespace groundrule::syntax {

namespace {

using ast::Expr;
using ast::ExprId;
using ast::ExprKind;

// What a span holds, with single blanks.
std::string written(Span span, const Sources &sources) {
    std::string out;
    if (span.file >= sources.size())
        return out;
    for (const char c : sources[span.file].text().substr(span.begin, span.end - span.begin)) {
        const bool blank = c == ' ' || c == '\r' || c == '\t'; // a value stays on its line
        if (!blank)
            out += c;
        else if (!out.ends_with(' '))
            out += ' ';
    }
    return out;
}

// How tightly a form binds what stands beside it.
enum class Binding : std::uint8_t { open, negation, comparison, sum, product, primary };

Binding binding(ExprKind kind) {
    switch (kind) {
    case ExprKind::logical_and:
    case ExprKind::logical_or:
        return Binding::open;
    case ExprKind::logical_not:
        return Binding::negation;
    case ExprKind::compare:
    case ExprKind::between:
    case ExprKind::is:
        return Binding::comparison;
    case ExprKind::add:
    case ExprKind::subtract:
        return Binding::sum;
    case ExprKind::multiply:
    case ExprKind::divide:
        return Binding::product;
    case ExprKind::conditional: // `otherwise` takes all that follows
        return Binding::open;
    default:
        return Binding::primary;
    }
}

class Printer {
  public:
    Printer(const ast::File &file, const Sources &sources) : file_(file), sources_(sources) {}

    // Depth is bounded by the nesting that the reader admits.
    std::string text(ExprId id) { // NOLINT(misc-no-recursion)
        const Expr &e = file_.exprs[id];
        switch (e.kind) {
        case ExprKind::literal:
            return e.literal.kind == ValueKind::date ? date_text(static_cast<int>(e.literal.value))
                                                     : written(e.span, sources_);
        case ExprKind::truth:
            return e.flag ? "yes" : "no";
        case ExprKind::unknown:
            return "unknown";
        case ExprKind::name:
            return path(e);
        case ExprKind::text:
            return in_quotes(e.text);
        case ExprKind::logical_and:
            return joined(e, " and ", Binding::negation);
        case ExprKind::logical_or:
            return joined(e, " or ", Binding::negation);
        case ExprKind::logical_not:
            return "not " + at_least(e.children[0], Binding::negation);
        case ExprKind::compare:
            return at_least(e.children[0], Binding::sum) + " " + e.text + " " +
                   at_least(e.children[1], Binding::sum);
        case ExprKind::between:
            return at_least(e.children[0], Binding::sum) + " from " +
                   at_least(e.children[1], Binding::sum) + " to " +
                   at_least(e.children[2], Binding::sum);
        case ExprKind::is:
            return at_least(e.children[0], Binding::sum) + (e.flag ? " is not " : " is ") +
                   (e.choices.size() == 1 ? printed_choice(e.choices[0].text)
                                          : "one of " + printed_choices(e.choices));
        case ExprKind::add:
            return left_to_right(e, " + ", Binding::sum);
        case ExprKind::subtract:
            return left_to_right(e, " - ", Binding::sum);
        case ExprKind::multiply:
            return left_to_right(e, " * ", Binding::product);
        case ExprKind::divide:
            return left_to_right(e, " / ", Binding::product);
        case ExprKind::conditional:
            return "if " + text(e.children[0]) + " then " + text(e.children[1]) + " otherwise " +
                   text(e.children[2]);
        case ExprKind::lookup:
            return "table " + printed(e.citation) + " [" + arguments(e) + "]" +
                   (e.text.empty() ? "" : "." + e.text);
        case ExprKind::call:
            return e.text + "(" + arguments(e) + ")";
        case ExprKind::round:
            return e.text + "(" + at_least(e.children[0], Binding::sum) + " to " +
                   at_least(e.children[1], Binding::sum) + ")";
        case ExprKind::quantifier:
            return e.citation.text + "(" + e.element.text + " in " + path(e) + where(e) +
                   (e.body == ast::no_expr ? "" : " : " + text(e.body)) + ")";
        case ExprKind::search:
            return e.text + "(" + e.element.text + " in list " + printed(e.citation) + where(e) +
                   ")";
        case ExprKind::complete:
            return "complete(" + path(e) + ")";
        case ExprKind::applies:
            return "applies(" + e.text + ")";
        }
        return {};
    }

  private:
    static std::string path(const Expr &e) {
        return e.qualifier.empty() ? e.text : e.qualifier + "." + e.text;
    }

    std::string at_least(ExprId id, Binding needed) { // NOLINT(misc-no-recursion)
        const bool bare = binding(file_.exprs[id].kind) >= needed;
        return bare ? text(id) : "(" + text(id) + ")";
    }

    std::string joined(const Expr &e, const char *sign, // NOLINT(misc-no-recursion)
                       Binding needed) {
        std::string out;
        for (const ExprId child : e.children)
            out += (out.empty() ? "" : sign) + at_least(child, needed);
        return out;
    }

    std::string left_to_right(const Expr &e, const char *sign, // NOLINT(misc-no-recursion)
                              Binding own) {
        const auto tighter = static_cast<Binding>(static_cast<int>(own) + 1);
        return at_least(e.children[0], own) + sign + at_least(e.children[1], tighter);
    }

    std::string arguments(const Expr &e) { // NOLINT(misc-no-recursion)
        std::string out;
        for (const ExprId child : e.children)
            out += (out.empty() ? "" : ", ") + text(child);
        return out;
    }

    std::string where(const Expr &e) { // NOLINT(misc-no-recursion)
        return e.where == ast::no_expr ? "" : " where " + text(e.where);
    }

    const ast::File &file_;
    const Sources &sources_;
};

} // namespace

std::string printed(const ast::File &file, ast::ExprId id, const Sources &sources) {
    return id == ast::no_expr ? std::string() : Printer(file, sources).text(id);
}

std::string in_quotes(const std::string &text) {
    return "\"" + text + "\"";
}

std::string printed_choice(const std::string &choice) {
    const bool plain =
        !choice.empty() && choice[0] >= 'a' && choice[0] <= 'z' &&
        std::all_of(
            choice.begin(), choice.end(),
            [](char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_'; }) &&
        !is_reserved(choice);
    return plain ? choice : in_quotes(choice);
}

std::string printed_choices(const std::vector<ast::Name> &choices) {
    std::string out;
    for (const ast::Name &c : choices)
        out += (out.empty() ? "" : ", ") + printed_choice(c.text);
    return "(" + out + ")";
}

std::string printed_names(const std::vector<ast::Name> &names) {
    std::string out;
    for (const ast::Name &n : names)
        out += (out.empty() ? "" : ", ") + n.text;
    return out;
}

std::string printed(const ast::TypeRef &type) {
    return type.choices.empty() ? type.name.text : "one of " + printed_choices(type.choices);
}

std::string printed(const ast::Citation &citation) {
    return citation.quoted ? in_quotes(citation.text) : citation.text;
}

std::string printed(const ast::Cell &cell, const Sources &sources) {
    if (cell.kind == ast::Cell::Kind::empty)
        return "--";
    if (cell.kind == ast::Cell::Kind::literal)
        return written(cell.span, sources);
    const bool truth = cell.word == "yes" || cell.word == "no";
    return truth ? cell.word : printed_choice(cell.word);
}

const char *printed(ast::Force force) {
    static constexpr const char *names[] = {"shall", "should", "information", "caution"};
    return names[static_cast<std::size_t>(force)];
}

} // namespace groundrule::syntax
