// The only call site of the grammar.
#include "syntax/parse.h"

#include "syntax/failure.h"
#include "syntax/grammar.h"
#include "syntax/message.h"
#include "syntax/split.h"
#include "text/limits.h"
#include "text/nearest.h"

#include <algorithm>

namespace groundrule::syntax {

namespace {

enum class Family { header, facts, table, rule, test, change, text_change, addition, period, none };

Family family_of(const Piece &piece) {
    static constexpr std::pair<std::string_view, Family> words[] = {
        {"vocabulary", Family::header},  {"edition", Family::header},
        {"part", Family::header},        {"amendment", Family::header},
        {"adoption", Family::header},    {"period", Family::period},
        {"type", Family::facts},         {"group", Family::facts},
        {"item", Family::facts},         {"imply", Family::facts},
        {"gap", Family::facts},          {"define", Family::facts},
        {"table", Family::table},        {"list", Family::table},
        {"rule", Family::rule},          {"clause", Family::rule},
        {"test", Family::test},          {"delete", Family::change},
        {"narrow", Family::change},      {"widen", Family::change},
        {"delay", Family::change},       {"sunset", Family::change},
        {"take", Family::change},        {"hand_over", Family::change},
        {"change", Family::text_change}, {"add", Family::addition},
        {"printed", Family::header},     {"administrative", Family::facts},
        {"remedy", Family::facts}};
    if (piece.first_word == "replace") {
        if (piece.second_word == "table" || piece.second_word == "list")
            return Family::table;
        return piece.second_word == "define" || piece.second_word == "group" ? Family::facts
                                                                             : Family::rule;
    }
    for (const auto &[word, family] : words) {
        if (word == piece.first_word)
            return family;
    }
    return Family::none;
}

const std::vector<std::string> &first_words() {
    static const std::vector<std::string> words = {
        "vocabulary", "edition", "part",    "amendment", "type",           "group",
        "item",       "imply",   "define",  "table",     "list",           "rule",
        "clause",     "test",    "gap",     "adoption",  "period",         "delete",
        "change",     "narrow",  "widen",   "delay",     "sunset",         "take",
        "hand_over",  "add",     "replace", "printed",   "administrative", "remedy"};
    return words;
}

template <typename Rule, typename Attribute>
bool run(const Rule &rule, const char *&first, const char *last, ParseState &s,
         Attribute &attribute) {
    const auto with_state = x3::with<state_tag>(std::ref(s))[rule];
    return x3::parse(first, last, with_state, attribute);
}

bool run_family(Family family, const char *&first, const char *last, ParseState &s,
                ast::Decl &decl) {
    switch (family) {
    case Family::header:
        return run(header_declaration, first, last, s, decl) &&
               DeclarationEnd{}.match(skip_layout(first, last, Layout::free), last, s,
                                      x3::unused) != nullptr;
    case Family::facts:
        return run(fact_declaration, first, last, s, decl);
    case Family::table:
        return run(table_declaration, first, last, s, decl);
    case Family::rule:
        return run(rule_declaration, first, last, s, decl);
    case Family::test:
        return run(test_declaration, first, last, s, decl);
    case Family::change:
        return run(change_declaration, first, last, s, decl);
    case Family::text_change:
        return run(text_change_declaration, first, last, s, decl);
    case Family::addition:
        return run(addition_declaration, first, last, s, decl);
    case Family::period:
        return run(period_declaration, first, last, s, decl);
    case Family::none:
        break;
    }
    return false;
}

void unknown_declaration(const Piece &piece, Span head, Diagnostics &diagnostics) {
    std::string word(piece.first_word);
    Diagnostic &d =
        diagnostics.error("unknown-declaration", head, "no declaration begins with `" + word + "`");
    std::transform(word.begin(), word.end(), word.begin(),
                   [](char c) { return is_upper(c) ? static_cast<char>(c - 'A' + 'a') : c; });
    const std::string near = nearest(word, first_words());
    d.help = near.empty() ? "lines that continue a declaration are indented"
                          : "did you mean `" + near + "`?";
}

// False if the declaration could not be read; then it is told why.
bool parse_piece(const Piece &piece, const SourceText &source, ast::File &file,
                 Diagnostics &diagnostics) {
    const std::string_view all = source.text();
    const auto word_end_at =
        piece.begin + static_cast<std::uint32_t>(std::max<std::size_t>(piece.first_word.size(), 1));
    const Family family = family_of(piece);
    if (family == Family::none) {
        unknown_declaration(piece, {file.source, piece.begin, word_end_at}, diagnostics);
        return false;
    }
    ParseState s;
    s.base = all.data();
    s.source = file.source;
    s.file = &file;
    const char *const begin = all.data() + piece.begin;
    const char *const last = all.data() + piece.end;
    const std::size_t expressions = file.exprs.size();
    const char *first = begin;
    ast::Decl decl;
    const bool parsed = run_family(family, first, last, s, decl);
    report_faults(s, diagnostics);
    if (!parsed) {
        file.exprs.resize(expressions);
        if (s.faults.empty()) {
            s.notes_misses = true;
            ast::Decl broken;
            first = begin;
            run_family(family, first, last, s, broken);
            report_failure(s, begin, last, diagnostics);
        }
        return false;
    }
    decl.span = {file.source, piece.begin, piece.end};
    decl.head = {
        file.source, piece.begin,
        static_cast<std::uint32_t>(std::min<std::size_t>(all.find('\n', piece.begin), piece.end))};
    const std::size_t faults = diagnostics.size();
    split_messages(decl, source, file, diagnostics);
    if (!s.faults.empty() || diagnostics.size() != faults)
        return false;
    file.decls.push_back(std::move(decl));
    return true;
}

} // namespace

ast::File parse(const SourceText &source, std::uint32_t file_index, Diagnostics &diagnostics) {
    ast::File file;
    file.source = file_index;
    const std::size_t before = diagnostics.size();
    const std::vector<Piece> pieces = split(source, file_index, diagnostics);
    // A line above the first declaration may have been meant as the header.
    file.header_broken =
        diagnostics.size() != before && diagnostics.list()[before].code == "stray-line";
    for (const Piece &piece : pieces) {
        if (diagnostics.size() - before >= limits::faults_per_file) {
            diagnostics.error("too-many-faults", {file_index, piece.begin, piece.begin + 1},
                              "more than " + std::to_string(limits::faults_per_file) +
                                  " faults; the rest of the file was not read");
            break;
        }
        if (file.exprs.size() > limits::expressions_per_file) {
            diagnostics.error("too-large", {file_index, piece.begin, piece.begin + 1},
                              "the declarations above hold more than " +
                                  std::to_string(limits::expressions_per_file) +
                                  " operands and operators; the rest of the file was not read");
            break;
        }
        if (!parse_piece(piece, source, file, diagnostics)) {
            file.header_broken = file.header_broken || file.decls.empty();
            file.broken.push_back({file_index, piece.begin, piece.end});
        }
    }
    return file;
}

ast::ExprId parse_expression(std::string_view written, const SourceText &source, std::uint32_t at,
                             ast::File &file, Diagnostics &diagnostics) {
    ParseState s;
    s.base = source.text().data();
    s.source = file.source;
    s.file = &file;
    const char *const begin = source.text().data() + at;
    const char *const last = begin + written.size();
    const auto read = [&](ast::ExprId &id) {
        const char *first = begin;
        return run(expression, first, last, s, id) &&
               DeclarationEnd{}.match(skip_layout(first, last, Layout::free), last, s,
                                      x3::unused) != nullptr;
    };
    ast::ExprId id = ast::no_expr;
    const bool parsed = read(id);
    report_faults(s, diagnostics);
    if (parsed && s.faults.empty())
        return id;
    if (s.faults.empty()) {
        s.notes_misses = true;
        read(id);
        report_failure(s, begin, last, diagnostics);
    }
    return ast::no_expr;
}

} // namespace groundrule::syntax
