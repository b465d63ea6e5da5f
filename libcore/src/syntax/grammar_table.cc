// Tables and lists. A table row is one line, so its terminals stay on the line.
#include "syntax/grammar_actions.h"

namespace groundrule::syntax {

namespace {

using namespace ast;

// A word or a quoted text on the same line; reserved words may be choices here.
struct LineWord : Terminal<LineWord, Name, Layout::line> {
    const char *match(const char *at, const char *last, ParseState &s, Name &word) const {
        if (at != last && *at == '"') {
            Message quoted;
            const char *end = TextTerminal{}.match(at, last, s, quoted);
            if (end != nullptr)
                word = {quoted.text, quoted.span};
            return end;
        }
        const char *end = word_end(at, last);
        if (end == at || !is_lower(*at)) {
            s.missed(at, Expected::name, "a choice");
            return nullptr;
        }
        word = {std::string(at, end), s.span(at, end)};
        return end;
    }
};

struct EmptyCell : Terminal<EmptyCell, Span, Layout::line> {
    const char *match(const char *at, const char *last, ParseState &s, Span &span) const {
        if (last - at < 2 || at[0] != '-' || at[1] != '-') {
            s.missed(at, Expected::punctuation, "--");
            return nullptr;
        }
        span = s.span(at, at + 2);
        return at + 2;
    }
};

constexpr auto literal_cell = [](auto &context) {
    x3::_val(context) = {
        Cell::Kind::literal, x3::_attr(context).literal, {}, x3::_attr(context).span};
};
constexpr auto word_cell = [](auto &context) {
    x3::_val(context) = {
        Cell::Kind::word, {}, std::move(x3::_attr(context).text), x3::_attr(context).span};
};
constexpr auto empty_cell = [](auto &context) {
    x3::_val(context) = {Cell::Kind::empty, {}, {}, x3::_attr(context)};
};

constexpr auto cell_def =
    ValueIn<Layout::line>{}[literal_cell] | EmptyCell{}[empty_cell] | LineWord{}[word_cell];

using KeyRule = x3::rule<struct key_class, TableKey>;
using ColumnRule = x3::rule<struct column_class, TableColumn>;
constexpr KeyRule key{"key"};
constexpr ColumnRule column{"column"};

constexpr auto match(KeyMatch m) {
    return [m](auto &context) { x3::_val(context).match = m; };
}

constexpr auto key_def = name[into(&TableKey::name)] >>
                         sign(":") >> type_ref[into(&TableKey::type)] >>
                         -(comparing("at") >> (comparing("most")[match(KeyMatch::at_most)] |
                                               comparing("least")[match(KeyMatch::at_least)]));

constexpr auto column_type = [](auto &context) {
    x3::_val(context).type = std::move(x3::_attr(context));
};
// `gives current` or `gives volts : voltage`
constexpr auto column_def =
    (name[into(&TableColumn::name)] >> sign(":") >> type_ref[column_type]) |
    (x3::eps[([](auto &context) { x3::_val(context) = {}; })] >> type_ref[column_type]);

constexpr auto first_cell = [](auto &context) {
    x3::_val(context).cells.push_back(x3::_attr(context));
    x3::_val(context).span = x3::_attr(context).span;
};
constexpr auto next_cell = [](auto &context) {
    x3::_val(context).cells.push_back(x3::_attr(context));
    x3::_val(context).span.end = x3::_attr(context).span.end;
};
constexpr LineSymbol bar{"|", Expected::punctuation};

// Layout before a row is free (blank lines, comments); inside it nothing leaves the line.
constexpr auto cell_mark = [](auto &context) {
    x3::_val(context).cells.back().mark = x3::_attr(context);
};
constexpr auto row_def = position >> cell[first_cell] >> -line_mark[cell_mark] >>
                         *(bar >> cell[next_cell] >> -line_mark[cell_mark]) >> line_end;

BOOST_SPIRIT_DEFINE(key, column)

constexpr auto in_editions = [](auto &context) {
    x3::_val(context).editions = std::move(x3::_attr(context));
};

template <typename Body>
constexpr auto replaces() {
    return [](auto &context) { body<Body>(context).replaces = true; };
}

constexpr auto table_start =
    citation[set(&TableDecl::citation)] >> -text[set_text(&TableDecl::title)];

constexpr auto table_tail = *numbered[append(&TableDecl::numbered)] >>
                            -(connective("in") >> editions[in_editions]) >>
                            -mark[set(&TableDecl::mark)] >>
                            clause_word("gives") >> column[append(&TableDecl::gives)] >>
                            *(sign(",") >> column[append(&TableDecl::gives)]) >>
                            clause_word("by") >> key[append(&TableDecl::keys)] >>
                            *(sign(",") >> key[append(&TableDecl::keys)]) >>
                            +row[append(&TableDecl::rows)];

constexpr auto list_start = citation[set(&ListDecl::citation)] >> -text[set_text(&ListDecl::title)];

constexpr auto value_mark = [](auto &context) {
    body<ListDecl>(context).values.back().mark = x3::_attr(context);
};
constexpr auto list_value = position >> cell[append(&ListDecl::values)] >> -mark[value_mark];
constexpr auto list_tail = connective("of") >> type_ref[set(&ListDecl::type)] >>
                           *numbered[append(&ListDecl::numbered)] >>
                           -(connective("in") >> editions[in_editions]) >>
                           -mark[set(&ListDecl::mark)] >> arithmetic("=") >> list_value >>
                           *(sign(",") >> list_value);

constexpr auto table_declaration_def =
    ((clause_word("table")[start<TableDecl>(DeclKind::table)] >> table_start >> table_tail) |
     (clause_word("list")[start<ListDecl>(DeclKind::list)] >> list_start >> list_tail) |
     (clause_word("replace") >>
      ((clause_word("table")[start<TableDecl>(DeclKind::table)][replaces<TableDecl>()] >>
        table_start >> -(comparing("from") >> digest[set(&TableDecl::old_text)]) >> table_tail) |
       (clause_word("list")[start<ListDecl>(DeclKind::list)][replaces<ListDecl>()] >> list_start >>
        -(comparing("from") >> digest[set(&ListDecl::old_text)]) >> list_tail)))) >>
    DeclarationEnd{};

} // namespace

BOOST_SPIRIT_DEFINE(cell, row, table_declaration)
BOOST_SPIRIT_INSTANTIATE(CellRule, Iterator, Context)
BOOST_SPIRIT_INSTANTIATE(RowRule, Iterator, Context)
BOOST_SPIRIT_INSTANTIATE(TableRule, Iterator, Context)

} // namespace groundrule::syntax
