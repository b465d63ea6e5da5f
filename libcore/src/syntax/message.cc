// Cuts messages at their braces.
#include "syntax/message.h"

#include "syntax/parse.h"

namespace groundrule::syntax {

namespace {

// Cuts one line; false if a piece of it is broken.
bool cut_line(const ast::Message &line, ast::Says &says, const SourceText &source, ast::File &file,
              Diagnostics &diagnostics) {
    const std::string &text = line.text;
    const std::uint32_t start = line.span.begin + 1; // behind the quote
    std::string plain;
    const auto keep = [&] {
        if (!plain.empty())
            says.pieces.push_back({std::move(plain), ast::no_expr});
        plain.clear();
    };
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] != '{') {
            plain += text[i];
            continue;
        }
        if (i + 1 < text.size() && text[i + 1] == '{') {
            plain += text[++i];
            continue;
        }
        const std::size_t close = text.find('}', i);
        const auto at = start + static_cast<std::uint32_t>(i);
        if (close == std::string::npos) {
            diagnostics
                .error("open-brace", {file.source, at, at + 1}, "this brace has no closing one")
                .help = "write {{ for a brace that is meant as such";
            return false;
        }
        const std::string_view inside = source.text().substr(at + 1, close - i - 1);
        const ast::ExprId value = parse_expression(inside, source, at + 1, file, diagnostics);
        if (value == ast::no_expr)
            return false;
        keep();
        says.pieces.push_back({{}, value});
        i = close;
    }
    keep();
    return true;
}

void cut(ast::Says &says, const SourceText &source, ast::File &file, Diagnostics &diagnostics) {
    for (std::size_t i = 0; i < says.lines.size(); ++i) {
        if (i > 0)
            says.pieces.push_back({"\n", ast::no_expr});
        if (!cut_line(says.lines[i], says, source, file, diagnostics))
            return;
    }
}

void cut_rule(ast::RuleDecl &rule, const SourceText &source, ast::File &file,
              Diagnostics &diagnostics) {
    cut(rule.says, source, file, diagnostics);
    for (ast::Part &part : rule.parts)
        cut(part.says, source, file, diagnostics);
}

} // namespace

void split_messages(ast::Decl &decl, const SourceText &source, ast::File &file,
                    Diagnostics &diagnostics) {
    if (auto *rule = std::get_if<ast::RuleDecl>(&decl.body))
        cut_rule(*rule, source, file, diagnostics);
    else if (auto *change = std::get_if<ast::ChangeDecl>(&decl.body))
        cut_rule(change->added, source, file, diagnostics);
    else if (auto *period = std::get_if<ast::PeriodDecl>(&decl.body))
        cut_rule(period->rule, source, file, diagnostics);
}

} // namespace groundrule::syntax
