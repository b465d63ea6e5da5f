// Which texts a book is made of, and the passes over them.
#include "book/open.h"

#include "book/build.h"
#include "book/cycles.h"
#include "book/digest.h"
#include "book/editions.h"
#include "book/embedded.h"
#include "book/layers.h"
#include "quantity/date.h"
#include "syntax/parse.h"

#include <algorithm>

namespace groundrule::book {

namespace {

// The header line of a shipped file: its first line that is no comment.
std::string_view header_line(std::string_view text) {
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        const std::string_view line = text.substr(0, end);
        if (!line.empty() && line[0] != '#' && line[0] != ' ' && line[0] != '\r')
            return line;
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return {};
}

bool mentions(std::string_view line, const std::string &name) {
    const auto part_of_name = [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
    };
    std::size_t at = line.find(name);
    while (at != std::string_view::npos) {
        const bool begins = at == 0 || !part_of_name(line[at - 1]);
        const bool ends = at + name.size() >= line.size() || !part_of_name(line[at + name.size()]);
        if (begins && ends)
            return true;
        at = line.find(name, at + 1);
    }
    return false;
}

// Shipped files that can have a say in this book; the others are not even parsed. An unknown name
// reads all heads, to list them.
bool may_belong(std::string_view text, const BookName &name) {
    const std::string_view line = header_line(text);
    if (line.starts_with("vocabulary") || line.starts_with("edition") ||
        line.starts_with("amendment"))
        return line.starts_with("vocabulary") ||
               mentions(line.substr(0, line.find(" to ")), name.edition) ||
               std::any_of(name.amendments.begin(), name.amendments.end(),
                           [&](const std::string &a) {
                               return mentions(line.substr(0, line.find(" to ")), a);
                           });
    return mentions(line, name.edition);
}

// A file of the caller's whose path ends in that of a shipped one takes its place, so that shipped
// text can be worked on.
bool replaced(std::string_view path, const std::vector<NamedText> &more) {
    const std::string below = "/" + std::string(path);
    return std::any_of(more.begin(), more.end(), [&](const NamedText &text) {
        return text.name == path || text.name.ends_with(below);
    });
}

std::vector<std::string> shipped(std::string_view kind) {
    std::vector<std::string> names;
    for (unsigned long i = 0; i < embedded_file_count; ++i) {
        const std::string_view line = header_line({embedded_files[i].text, embedded_files[i].size});
        if (!line.starts_with(kind))
            continue;
        const std::string_view rest = line.substr(kind.size() + 1);
        names.emplace_back(rest.substr(0, rest.find_first_of(" \r")));
    }
    std::sort(names.begin(), names.end());
    return names;
}

void tell_known(Diagnostics &diagnostics) {
    Diagnostics told;
    for (Diagnostic d : diagnostics.list()) {
        if (d.code == "unknown-book") {
            const std::vector<std::string> names = d.message.find("edition") != std::string::npos
                                                       ? shipped_editions()
                                                       : shipped_amendments();
            d.help = "known:";
            for (const std::string &n : names)
                d.help += " " + n;
        }
        told.add(std::move(d));
    }
    diagnostics = std::move(told);
}

} // namespace

std::vector<std::string> shipped_editions() {
    return shipped("edition");
}
std::vector<std::string> shipped_amendments() {
    return shipped("amendment");
}
std::vector<std::string> shipped_adoptions() {
    return shipped("adoption");
}

Opened open_book(const std::string &name, const std::vector<NamedText> &more, std::optional<int> on,
                 syntax::Tests shipped_tests) {
    Opened out;
    auto book = std::make_unique<Book>();
    book->name = name;
    book->on = on ? date_text(*on) : std::string();
    const BookName parsed = parse_book_name(name);
    for (unsigned long i = 0; i < embedded_file_count; ++i) {
        const EmbeddedFile &f = embedded_files[i];
        if (may_belong({f.text, f.size}, parsed) && !replaced(f.path, more))
            book->sources.emplace_back(f.path, std::string(f.text, f.size));
    }
    const std::size_t shipped_count = book->sources.size();
    for (const NamedText &text : more)
        book->sources.emplace_back(text.name, text.text);
    for (std::uint32_t i = 0; i < book->sources.size(); ++i)
        book->files.push_back(
            syntax::parse(book->sources[i], i, out.diagnostics,
                          i < shipped_count ? shipped_tests : syntax::Tests::read));

    check_editions(*book, shipped_editions(), out.diagnostics);
    Draft draft = compose(parsed, *book, out.diagnostics);
    Typer typer(*book, out.diagnostics);
    typer.broken() = draft.broken;
    std::size_t written = 0;
    for (const ast::File &file : book->files)
        written += file.exprs.size();
    book->nodes.reserve(written +
                        written / 4); // a range is three nodes, an edition leaves some out
    build_vocabulary(draft, typer);
    if (!book->items.empty()) {
        build_tables(draft, typer);
        build_definitions(draft, typer);
        build_implications(draft, typer);
        build_rules(draft, typer);
    }
    if (!out.diagnostics.has_errors())
        check_cycles(*book, out.diagnostics);
    out.diagnostics.sort();
    if (out.diagnostics.has_errors()) {
        tell_known(out.diagnostics);
        out.sources = std::move(book->sources);
        return out;
    }
    book->digest = digest_of(*book);
    out.book = std::move(book);
    return out;
}

} // namespace groundrule::book
