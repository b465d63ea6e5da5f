// The only call site of the grammar, and the words of its errors.
#include "syntax/parse.h"

#include "syntax/grammar.h"
#include "syntax/message.h"
#include "syntax/split.h"
#include "text/limits.h"
#include "text/nearest.h"

#include <algorithm>
#include <map>

namespace groundrule::syntax {

namespace {

enum class Family { header, facts, table, rule, test, change, none };

Family family_of(const Piece &piece) {
    static constexpr std::pair<std::string_view, Family> words[] = {
        {"vocabulary", Family::header}, {"edition", Family::header}, {"part", Family::header},
        {"amendment", Family::header},  {"type", Family::facts},     {"group", Family::facts},
        {"item", Family::facts},        {"imply", Family::facts},    {"gap", Family::facts},
        {"define", Family::facts},      {"table", Family::table},    {"list", Family::table},
        {"rule", Family::rule},         {"clause", Family::rule},    {"test", Family::test},
        {"delete", Family::change},     {"change", Family::change},  {"narrow", Family::change},
        {"delay", Family::change},      {"add", Family::change}};
    if (piece.first_word == "replace")
        return piece.second_word == "define" || piece.second_word == "group" ? Family::facts
                                                                             : Family::rule;
    for (const auto &[word, family] : words) {
        if (word == piece.first_word)
            return family;
    }
    return Family::none;
}

const std::vector<std::string> &first_words() {
    static const std::vector<std::string> words = {
        "vocabulary", "edition", "part",   "amendment", "type",  "group",  "item",
        "imply",      "define",  "table",  "list",      "rule",  "clause", "test",
        "gap",        "delete",  "change", "narrow",    "delay", "add",    "replace"};
    return words;
}

std::string_view class_name(Expected kind) {
    switch (kind) {
    case Expected::clause:
        return "a line of the declaration";
    case Expected::connective:
        return "a joining word";
    case Expected::comparison:
        return "a comparison";
    case Expected::arithmetic:
        return "an arithmetic sign";
    case Expected::punctuation:
        return "a punctuation mark";
    case Expected::name:
        return "a name";
    case Expected::value:
        return "a value with its unit";
    case Expected::text:
        return "a text in quotes";
    case Expected::citation:
        return "a clause number";
    case Expected::function:
        return "a function";
    }
    return "";
}

bool is_described(Expected kind) {
    return kind == Expected::name || kind == Expected::value || kind == Expected::text ||
           kind == Expected::citation;
}

std::string listed(const std::vector<std::string> &words) {
    std::string out;
    for (std::size_t i = 0; i < words.size(); ++i)
        out += (i == 0 ? "" : i + 1 == words.size() ? " or " : ", ") + words[i];
    return out;
}

// At most four alternatives: each by its word, or by class when there are more.
std::string expectation(const ParseState &s) {
    std::vector<std::string> words;
    for (const auto &a : s.alternatives) {
        const bool described =
            is_described(a.kind) || a.word.starts_with("the end") || a.word.starts_with("\" at");
        words.push_back(described ? std::string(a.word) : "`" + std::string(a.word) + "`");
    }
    if (words.size() > 4) {
        std::map<Expected, int> classes;
        for (const auto &a : s.alternatives)
            ++classes[a.kind];
        words.clear();
        for (const auto &[kind, count] : classes)
            words.emplace_back(class_name(kind));
        if (words.size() > 4)
            words.resize(4);
    }
    return words.empty() ? "something else" : listed(words);
}

std::string_view token_at(const char *at, const char *last) {
    const char *end = word_end(at, last);
    if (end == at && at != last) {
        do
            ++end;
        while (end != last && (static_cast<unsigned char>(*end) & 0xC0u) == 0x80u);
    }
    return {at, static_cast<std::size_t>(end - at)};
}

std::string nearest_alternative(const ParseState &s, std::string_view token) {
    std::vector<std::string> words;
    for (const auto &a : s.alternatives) {
        if (!is_described(a.kind) && a.kind != Expected::punctuation &&
            a.kind != Expected::arithmetic)
            words.emplace_back(a.word);
    }
    return nearest(token, words);
}

void report_failure(const ParseState &s, const char *last, Diagnostics &diagnostics) {
    const char *at = s.farthest == nullptr ? last : s.farthest;
    const std::string_view token = token_at(at, last);
    const Span span = s.span(at, at + std::max<std::size_t>(token.size(), at == last ? 0 : 1));
    if (token == "and" || token == "or") {
        diagnostics
            .error("mixed-and-or", span,
                   "`and` and `or` stand side by side; it is unclear which binds first")
            .help = "put one of the two in brackets: a and (b or c)";
        return;
    }
    const std::string found = token.empty()      ? "the declaration ends"
                              : token[0] == '\n' ? "the line ends"
                                                 : "`" + std::string(token) + "` stands";
    Diagnostic &d =
        diagnostics.error("syntax", span, found + " where " + expectation(s) + " is expected");
    const std::string near = nearest_alternative(s, token);
    if (!near.empty())
        d.help = "did you mean `" + near + "`?";
    else if (is_reserved(token))
        d.help = "`" + std::string(token) + "` is a word of the language and can't be a name";
}

void report_faults(const ParseState &s, Diagnostics &diagnostics) {
    std::vector<const Fault *> told;
    for (const Fault &f : s.faults) {
        const bool again = std::any_of(told.begin(), told.end(), [&](const Fault *t) {
            return t->span.begin == f.span.begin && t->code == f.code;
        });
        if (again)
            continue;
        told.push_back(&f);
        Diagnostic &d = diagnostics.error(f.code, f.span, f.message);
        if (f.code == "unknown-unit")
            d.help = "units: A, V, VA, W, in, ft, mm, m, in², in³, cmil, ohm, °C, °C rise, AWG, "
                     "kcmil, %, lbf-in and their multiples";
    }
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
    case Family::none:
        break;
    }
    return false;
}

void parse_piece(const Piece &piece, const SourceText &source, ast::File &file,
                 Diagnostics &diagnostics) {
    const std::string_view all = source.text();
    const auto word_end_at =
        piece.begin + static_cast<std::uint32_t>(std::max<std::size_t>(piece.first_word.size(), 1));
    const Span head{file.source, piece.begin, word_end_at};
    const Family family = family_of(piece);
    if (family == Family::none) {
        const std::string word(piece.first_word);
        Diagnostic &d = diagnostics.error("unknown-declaration", head,
                                          "no declaration begins with \"" + word + "\"");
        const std::string near = nearest(word, first_words());
        d.help = near.empty() ? "lines that continue a declaration are indented"
                              : "did you mean `" + near + "`?";
        return;
    }
    ParseState s;
    s.base = all.data();
    s.source = file.source;
    s.file = &file;
    const char *first = all.data() + piece.begin;
    const char *last = all.data() + piece.end;
    ast::Decl decl;
    const bool parsed = run_family(family, first, last, s, decl);
    report_faults(s, diagnostics);
    if (!parsed) {
        if (s.faults.empty())
            report_failure(s, last, diagnostics);
        return;
    }
    decl.span = {file.source, piece.begin, piece.end};
    decl.head = {
        file.source, piece.begin,
        static_cast<std::uint32_t>(std::min<std::size_t>(all.find('\n', piece.begin), piece.end))};
    const std::size_t faults = diagnostics.size();
    split_messages(decl, source, file, diagnostics);
    if (s.faults.empty() && diagnostics.size() == faults)
        file.decls.push_back(std::move(decl));
}

} // namespace

ast::File parse(const SourceText &source, std::uint32_t file_index, Diagnostics &diagnostics) {
    ast::File file;
    file.source = file_index;
    const std::size_t before = diagnostics.size();
    for (const Piece &piece : split(source, file_index, diagnostics)) {
        if (diagnostics.size() - before >= limits::faults_per_file) {
            diagnostics.error("too-many-faults", {file_index, piece.begin, piece.begin + 1},
                              "more than " + std::to_string(limits::faults_per_file) +
                                  " faults; the rest of the file was not read");
            break;
        }
        parse_piece(piece, source, file, diagnostics);
    }
    return file;
}

ast::ExprId parse_expression(std::string_view written, const SourceText &source, std::uint32_t at,
                             ast::File &file, Diagnostics &diagnostics) {
    ParseState s;
    s.base = source.text().data();
    s.source = file.source;
    s.file = &file;
    const char *first = source.text().data() + at;
    const char *last = first + written.size();
    ast::ExprId id = ast::no_expr;
    const bool parsed = run(expression, first, last, s, id) &&
                        DeclarationEnd{}.match(skip_layout(first, last, Layout::free), last, s,
                                               x3::unused) != nullptr;
    report_faults(s, diagnostics);
    if (parsed && s.faults.empty())
        return id;
    if (s.faults.empty())
        report_failure(s, last, diagnostics);
    return ast::no_expr;
}

} // namespace groundrule::syntax
