// Lays out declarations: each line of a declaration behind its first word, words in columns, tables
// and fields aligned.
#include "syntax/format.h"

#include "syntax/format_tokens.h"
#include "syntax/parse.h"
#include "syntax/split.h"

#include <algorithm>
#include <array>

namespace groundrule::syntax {

namespace {

using Line = std::vector<FormatToken>;

constexpr std::size_t indent = 2;
constexpr std::size_t content = 11;      // where the text of a line begins
constexpr std::size_t where_width = 6;   // "where "
constexpr std::size_t table_content = 9; // in tables

bool one_of(std::string_view word, std::initializer_list<std::string_view> words) {
    return std::find(words.begin(), words.end(), word) != words.end();
}

// Words that begin a line of a declaration.
bool begins_line(std::string_view word, std::string_view family) {
    if (family == "rule" || family == "clause" || family == "replace" || family == "add")
        return one_of(word, {"topic",    "stage",  "binds",    "for",         "limit",   "reading",
                             "where",    "shall",  "should",   "information", "caution", "says",
                             "listed",   "except", "path",     "permits",     "note",    "source",
                             "numbered", "within", "displaces"});
    if (family == "period")
        return one_of(word, {"book", "hands_over", "from", "until", "by", "overlaps", "where",
                             "note", "source"});
    if (family == "test")
        return one_of(word, {"given", "expect", "with", "without", "source"});
    if (family == "table")
        return one_of(word, {"gives", "by", "numbered"});
    return one_of(word,
                  {"title", "publisher", "authority", "effective", "until", "interim", "conflict"});
}

// `in` with editions stands on a line of its own if it stood so.
bool editions_line(const FormatToken &t, std::string_view family) {
    return t.text == "in" && t.first_on_line &&
           one_of(family, {"rule", "clause", "replace", "test", "table"});
}

// Words that stay on the line of the word before: `listed (1) where …`, `with … expect …`.
bool continues_line(std::string_view word, std::string_view clause) {
    if (word == "where" || word == "says")
        return one_of(clause, {"listed", "except", "path", "permits"});
    if (word == "expect" || word == "without")
        return one_of(clause, {"with", "without"});
    return false;
}

std::string padded(std::string text, std::size_t to) {
    const std::size_t width = width_of(text);
    if (width < to)
        text.append(to - width, ' ');
    return text;
}

std::string laid_out(const Line &line, std::size_t column) {
    return std::string(column, ' ') + joined_tokens(line) + "\n";
}

// The column behind the innermost bracket that is open: there the text goes on.
class Brackets {
  public:
    void see(std::string_view line) {
        bool quoted = false;
        std::size_t column = 0;
        for (const char c : line) {
            quoted = quoted != (c == '"');
            column += (static_cast<unsigned char>(c) & 0xC0u) != 0x80u ? 1 : 0;
            if (quoted)
                continue;
            if (c == '#')
                return;
            if (c == '(' || c == '[')
                columns_.push_back(column);
            else if ((c == ')' || c == ']') && !columns_.empty())
                columns_.pop_back();
        }
    }
    std::size_t column_or(std::size_t otherwise) const {
        return columns_.empty() ? otherwise : columns_.back();
    }

  private:
    std::vector<std::size_t> columns_;
};

Line tail(const Line &line) {
    return {line.begin() + 1, line.end()};
}

// --- rules, tests, headers: lines behind their first words

class ClauseWriter {
  public:
    ClauseWriter(const std::vector<FormatToken> &tokens, std::string_view family)
        : family_(family), content_(family == "table" ? table_content : content) {
        cut(tokens);
    }

    std::string text() {
        std::string out;
        for (const Line &l : lines_) {
            const std::size_t at = expectation(l);
            if (at > 0)
                before_expect_ = std::max(
                    before_expect_, width_of(clause_line(
                                        {l.begin(), l.begin() + static_cast<std::ptrdiff_t>(at)})));
            if (named_condition(l))
                condition_names_ = std::max(condition_names_, width_of(l[1].text));
        }
        std::size_t hanging = content_;
        Brackets brackets;
        for (std::size_t i = 0; i < lines_.size(); ++i) {
            if (begins_[i])
                hanging = hanging_of(lines_[i]);
            const std::string line = write(i, brackets.column_or(continuation(lines_[i], hanging)));
            brackets.see(line);
            out += line;
        }
        return out;
    }

  private:
    void cut(const std::vector<FormatToken> &tokens) {
        std::string clause;
        for (const FormatToken &t : tokens) {
            const bool word = t.kind == FormatToken::Kind::word && t.depth == 0;
            const bool opens = begins_line(t.text, family_) || editions_line(t, family_);
            const bool starts = word && opens && !continues_line(t.text, clause);
            const bool broken = t.first_on_line && !lines_.empty() && !starts;
            if (starts || broken || lines_.empty()) {
                lines_.emplace_back();
                begins_.push_back(starts);
            }
            if (starts)
                clause = t.text;
            lines_.back().push_back(t);
        }
    }

    static std::size_t expectation(const Line &l) {
        for (std::size_t i = 0; i < l.size(); ++i) {
            if (l[i].kind == FormatToken::Kind::word && l[i].depth == 0 && l[i].text == "expect")
                return i;
        }
        return 0;
    }

    // where NAME : condition
    static bool named_condition(const Line &l) {
        return l.size() > 3 && l[0].text == "where" && l[2].text == ":" && l[2].depth == 0;
    }

    // Where the text of a line goes on in the next one: under its condition, if it has one.
    std::size_t hanging_of(const Line &l) const {
        if (named_condition(l))
            return content_ + condition_names_ + 3;
        return one_of(l.front().text, {"listed", "except", "path", "permits"})
                   ? content_ + where_width
                   : content_;
    }

    std::size_t continuation(const Line &l, std::size_t hanging) const {
        return l.front().text == "where" || l.front().kind == FormatToken::Kind::text ? content_
                                                                                      : hanging;
    }

    std::string clause_line(const Line &l) const {
        std::string word = std::string(indent, ' ') + l.front().text;
        if (l.size() == 1)
            return word;
        if (named_condition(l))
            return padded(word, content_ - 1) + " " + padded(l[1].text, condition_names_) + " : " +
                   joined_tokens({l.begin() + 3, l.end()});
        return padded(word, content_ - 1) + " " + joined_tokens(tail(l));
    }

    std::string write(std::size_t index, std::size_t hanging) const {
        const Line &l = lines_[index];
        if (index == 0)
            return laid_out(l, 0);
        if (l.front().kind == FormatToken::Kind::comment)
            return laid_out(l, indent);
        if (!begins_[index])
            return laid_out(l, hanging);
        const std::size_t at = family_ == "test" ? expectation(l) : 0;
        if (at == 0)
            return clause_line(l) + "\n";
        const std::string head =
            clause_line({l.begin(), l.begin() + static_cast<std::ptrdiff_t>(at)});
        return padded(head, before_expect_) + "  " +
               joined_tokens({l.begin() + static_cast<std::ptrdiff_t>(at), l.end()}) + "\n";
    }

    std::string_view family_;
    std::size_t content_;
    std::size_t before_expect_ = 0;   // widest text before `expect`
    std::size_t condition_names_ = 0; // widest name of a condition
    std::vector<Line> lines_;
    std::vector<bool> begins_;
};

// --- lines as they stood, under one indent

std::vector<Line> lines_of(const std::vector<FormatToken> &tokens) {
    std::vector<Line> lines;
    for (const FormatToken &t : tokens) {
        if (t.first_on_line || lines.empty())
            lines.emplace_back();
        lines.back().push_back(t);
    }
    return lines;
}

// `= value`, `in …`, the facts of an `imply` and the lines of a `remedy` stand under the first
// line; what goes on from the line above stands deeper.
bool opens_line(const Line &line) {
    const FormatToken &first = line.front();
    const bool opens = first.text == "=" || first.text == "in" || first.text == "without" ||
                       first.text == "keeps" || first.text == "carries" ||
                       first.kind == FormatToken::Kind::comment ||
                       (line.size() > 1 && line[1].text == "=");
    return opens && first.depth == 0;
}

std::string plain(const std::vector<FormatToken> &tokens) {
    std::string out;
    Brackets brackets;
    for (const Line &line : lines_of(tokens)) {
        const std::size_t column =
            out.empty() ? 0 : brackets.column_or(indent * (opens_line(line) ? 1 : 2));
        const std::string text = laid_out(line, column);
        brackets.see(text);
        out += text;
    }
    return out;
}

// Columns of a block of lines that have the same number of cells are made equally wide; other lines
// stay as they are.
std::string aligned(const std::vector<std::vector<std::string>> &rows,
                    const std::vector<std::string> &alone, const std::string &between) {
    std::vector<std::size_t> widths;
    for (const auto &row : rows) {
        widths.resize(std::max(widths.size(), row.size()), 0);
        for (std::size_t c = 0; c + 1 < row.size(); ++c)
            widths[c] = std::max(widths[c], width_of(row[c]));
    }
    std::string out;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        if (rows[i].empty()) {
            out += alone[i];
            continue;
        }
        std::string line(indent, ' ');
        for (std::size_t c = 0; c < rows[i].size(); ++c) {
            const bool last = c + 1 == rows[i].size();
            line += (c == 0 ? "" : between) + (last ? rows[i][c] : padded(rows[i][c], widths[c]));
        }
        out += line + "\n";
    }
    return out;
}

// A row of a table, cut at its bars; a comment behind it goes with the last cell.
std::vector<std::string> cells_of(const Line &line) {
    std::vector<std::string> cells;
    Line cell;
    for (const FormatToken &t : line) {
        if (t.text == "|") {
            cells.push_back(joined_tokens(cell));
            cell.clear();
        } else {
            cell.push_back(t);
        }
    }
    cells.push_back(joined_tokens(cell));
    return cells;
}

std::string table(const std::vector<FormatToken> &tokens, bool whole) {
    // Rows begin on the line after the keys, or after the name of a table that they are added to;
    // keys go on while a line ends in a comma.
    const std::string_view opens = whole ? "by" : "table";
    bool opened = false;
    std::string_view before;
    const auto first = std::find_if(tokens.begin(), tokens.end(), [&](const FormatToken &t) {
        const bool row = opened && t.first_on_line && before != ",";
        opened = opened || t.text == opens;
        if (t.kind != FormatToken::Kind::comment)
            before = t.text;
        return row;
    });
    std::string out = ClauseWriter({tokens.begin(), first}, "table").text();
    std::vector<std::vector<std::string>> rows;
    std::vector<std::string> alone;
    for (const Line &line : lines_of({first, tokens.end()})) {
        const bool comment = line.front().kind == FormatToken::Kind::comment;
        rows.push_back(comment ? std::vector<std::string>() : cells_of(line));
        alone.push_back(comment ? laid_out(line, indent) : "");
    }
    return out + aligned(rows, alone, " | ");
}

// name : type kind "question"
std::string item(const std::vector<FormatToken> &tokens) {
    std::string out;
    std::vector<std::vector<std::string>> rows;
    std::vector<std::string> alone;
    for (const Line &line : lines_of(tokens)) {
        if (out.empty()) {
            out = laid_out(line, 0);
            continue;
        }
        const bool field = line.size() >= 5 && line[1].text == ":" &&
                           line.back().kind == FormatToken::Kind::text &&
                           line[line.size() - 2].kind == FormatToken::Kind::word;
        if (!field) {
            rows.emplace_back();
            alone.push_back(
                laid_out(line, indent * static_cast<std::size_t>(1 + line.front().depth)));
            continue;
        }
        const Line type(line.begin() + 2, line.end() - 2);
        rows.push_back({line[0].text, ": " + joined_tokens(type), line[line.size() - 2].text,
                        line.back().text});
        alone.emplace_back();
    }
    return out + aligned(rows, alone, " ");
}

std::string declaration(std::string_view text, const Piece &piece) {
    const std::vector<FormatToken> tokens = format_tokens(text);
    const std::string_view family = piece.first_word;
    const std::string_view changed = family == "replace" ? piece.second_word
                                     : family == "add" && tokens.size() > 2
                                         ? std::string_view(tokens[2].text)
                                         : std::string_view();
    if (family == "table" || changed == "table")
        return table(tokens, family != "add");
    if (family == "item" || changed == "item")
        return item(tokens);
    if (one_of(changed, {"define", "group", "list"}))
        return plain(tokens);
    if (one_of(family, {"rule", "clause", "replace", "add", "test", "vocabulary", "edition", "part",
                        "amendment", "adoption", "period"}))
        return ClauseWriter(tokens, family).text();
    return plain(tokens);
}

// Comment lines in column one between declarations, with at most one blank line in a row; none at
// the ends.
std::string between(std::string_view text) {
    std::string out;
    std::size_t at = 0;
    bool blank = false;
    while (at < text.size()) {
        const std::size_t end = std::min(text.find('\n', at), text.size());
        std::string line(text.substr(at, end - at));
        line.erase(line.find_last_not_of(" \t\r") + 1);
        line.erase(0, std::min(line.find_first_not_of(" \t"), line.size()));
        if (line.empty()) {
            blank = true;
        } else {
            out += (blank && !out.empty() ? "\n" : "") + line + "\n";
            blank = false;
        }
        at = end + 1;
    }
    if (blank && !out.empty())
        out += "\n";
    return out;
}

// Where a declaration's own text ends and the comments and blank lines before the next one begin.
std::size_t own_end(std::string_view text) {
    std::size_t own = 0;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find('\n', at), text.size());
        if (text.find_first_not_of(" \t\r", at) < end && text[at] != '#')
            own = end;
        at = end + 1;
    }
    return own;
}

bool one_line(const std::string &text) {
    return std::count(text.begin(), text.end(), '\n') == 1;
}

} // namespace

std::optional<std::string> format(const SourceText &source, Diagnostics &diagnostics) {
    const std::size_t faults = diagnostics.size();
    parse(source, 0, diagnostics);
    if (diagnostics.size() != faults)
        return std::nullopt;
    const std::vector<Piece> pieces = split(source, 0, diagnostics);
    const std::string_view text = source.text();
    std::string out = between(text.substr(0, pieces.empty() ? text.size() : pieces.front().begin));
    for (const Piece &piece : pieces) {
        const std::string_view all = text.substr(piece.begin, piece.end - piece.begin);
        const std::size_t end = own_end(all);
        const std::string_view after = all.substr(end); // from the end of its last line
        const std::string laid = declaration(all.substr(0, end), piece);
        const bool more = piece.end < text.size();
        const std::string comments = between(after.substr(after.empty() ? 0 : 1));
        const bool close =
            one_line(laid) && comments.empty() && std::count(after.begin(), after.end(), '\n') <= 1;
        out += laid;
        if (!comments.empty())
            out += "\n" + comments;
        else if (more)
            out += close ? "" : "\n";
    }
    while (out.ends_with("\n\n"))
        out.pop_back();
    return out;
}

} // namespace groundrule::syntax
