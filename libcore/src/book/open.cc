// Which texts a book is made of, and the passes over them.
#include "book/open.h"

#include "book/build.h"
#include "book/compare.h"
#include "book/cycles.h"
#include "book/editions.h"
#include "book/embedded.h"
#include "book/heading.h"
#include "book/interim.h"
#include "book/layers.h"
#include "quantity/date.h"
#include "syntax/parse.h"
#include "text/limits.h"

#include <algorithm>

namespace groundrule::book {

namespace {

bool mentions(std::string_view line, const std::string &name) {
    const auto part_of_name = [](char c) {
        return std::string_view("abcdefghijklmnopqrstuvwxyz0123456789-").find(c) !=
               std::string_view::npos;
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

// Shipped text that a layer asks for beyond what the book's name tells.
struct Wanted {
    std::vector<std::string> editions; // from which it takes text
    bool interim = false;              // interim amendments of the edition

    bool operator==(const Wanted &) const = default;
};

Wanted wanted_by(const Book &book, const BookName &name) {
    Wanted out;
    for (const ast::File &file : book.files) {
        if (file.decls.empty() || file.decls.front().kind != ast::DeclKind::amendment)
            continue;
        const auto &head = std::get<ast::Header>(file.decls.front().body);
        if (std::find(name.amendments.begin(), name.amendments.end(), head.names.front().text) ==
            name.amendments.end())
            continue;
        out.interim = out.interim || takes_interim(head);
        for (const ast::Decl &decl : file.decls) {
            const auto *change = std::get_if<ast::ChangeDecl>(&decl.body);
            if (change != nullptr && change->kind == ast::ChangeDecl::Kind::take)
                out.editions.push_back(change->edition.text);
        }
    }
    std::sort(out.editions.begin(), out.editions.end());
    out.editions.erase(std::unique(out.editions.begin(), out.editions.end()), out.editions.end());
    return out;
}

// Shipped files that can have a say in this book; the others are not even parsed. An unknown name
// reads all heads, to list them.
bool may_belong(std::string_view line, const BookName &name, const Wanted &wanted) {
    const bool asked = std::any_of(wanted.editions.begin(), wanted.editions.end(),
                                   [&](const std::string &e) { return mentions(line, e); });
    if (asked && (line.starts_with("edition") || line.starts_with("part")))
        return true;
    if (wanted.interim && line.starts_with("amendment") &&
        mentions(line.substr(std::min(line.find(" to "), line.size())), name.edition))
        return true;
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

// What a file bears that is of this kind; empty if it is of another.
std::string_view name_of(std::string_view heading_line, std::string_view kind) {
    const std::size_t at = heading_line.find_first_not_of(" \t", kind.size());
    if (!heading_line.starts_with(kind) || at == kind.size() || at == std::string_view::npos)
        return {};
    return heading_line.substr(at, heading_line.find_first_of(" \t\r#", at) - at);
}

std::vector<std::string> shipped(std::string_view kind) {
    std::vector<std::string> names;
    for (unsigned long i = 0; i < embedded_file_count; ++i) {
        const std::string_view name = name_of(embedded_files[i].heading, kind);
        if (!name.empty())
            names.emplace_back(name);
    }
    std::sort(names.begin(), names.end());
    return names;
}

// Those that ship, and behind them those of the caller.
std::vector<std::string> known(std::string_view kind, const std::vector<NamedText> &more) {
    std::vector<std::string> names = shipped(kind);
    for (const NamedText &text : more) {
        const std::string_view name = name_of(heading(text.text), kind);
        if (!name.empty() && std::find(names.begin(), names.end(), name) == names.end())
            names.emplace_back(name);
    }
    return names;
}

void tell_known(Diagnostics &diagnostics, const std::vector<NamedText> &more) {
    Diagnostics told;
    for (Diagnostic d : diagnostics.list()) {
        if (d.code == "unknown-book") {
            const bool edition = d.message.starts_with("there is no edition");
            d.help = "known:";
            for (const std::string &n : known(edition ? "edition" : "amendment", more))
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

namespace {

using Decided = std::map<std::pair<std::uint32_t, std::uint32_t>, bool>;

// What open_book is asked for.
struct Request {
    const std::string &name;
    const BookName &parsed;
    const std::vector<NamedText> &more;
    std::optional<int> on;
    Tests tests;                           // of the shipped texts
    std::optional<EmbeddedTexts> &shipped; // made when the first of them is wanted
};

void read_sources(Book &book, const Request &request, const Wanted &wanted,
                  Diagnostics &diagnostics) {
    const BookName &name = request.parsed;
    for (unsigned long i = 0; i < embedded_file_count && name.printed.empty(); ++i) {
        const EmbeddedFile &f = embedded_files[i];
        if (!may_belong(f.heading, name, wanted) || replaced(f.path, request.more))
            continue;
        if (!request.shipped)
            request.shipped.emplace(request.tests);
        book.sources.emplace_back(f.path, request.shipped->text(i));
    }
    for (const NamedText &text : request.more) {
        if (name.printed.empty() || text.name == name.printed)
            book.sources.emplace_back(text.name, text.text);
    }
    for (std::uint32_t i = 0; i < book.sources.size(); ++i)
        book.files.push_back(syntax::parse(book.sources[i], i, diagnostics));
}

// A book whose disputes are decided so, and those that are left.
struct Attempt {
    Opened opened;
    std::vector<Dispute> open;
};

Attempt attempt(const Request &request, const Decided &put, const Wanted &wanted = {}) {
    Attempt out;
    Diagnostics &diagnostics = out.opened.diagnostics;
    auto book = std::make_unique<Book>();
    book->name = request.name;
    book->on = request.on ? date_text(*request.on) : std::string();
    read_sources(*book, request, wanted, diagnostics);
    const Wanted needed = wanted_by(*book, request.parsed);
    if (wanted == Wanted{} && !(needed == wanted))
        return attempt(request, put, needed);

    check_editions(*book, shipped_editions(), diagnostics);
    const auto draft = std::make_shared<Draft>(compose(request.parsed, *book, put, diagnostics));
    Typer typer(*book, diagnostics);
    typer.broken() = draft->broken;
    std::size_t written = draft->made->exprs.size();
    for (const ast::File &file : book->files)
        written += file.exprs.size();
    book->nodes.reserve(written +
                        written / 4); // a range is three nodes, an edition leaves some out
    build_vocabulary(*draft, typer);
    if (!book->items.empty()) {
        build_tables(*draft, typer);
        build_definitions(*draft, typer);
        build_implications(*draft, typer);
        build_remedies(*draft, typer);
        build_rules(*draft, typer);
    }
    if (!diagnostics.has_errors())
        check_cycles(*book, diagnostics);
    diagnostics.sort();
    out.open = draft->disputes->open;
    if (diagnostics.has_errors()) {
        tell_known(diagnostics, request.more);
        out.opened.sources = std::move(book->sources);
        return out;
    }
    draft->editions.clear();
    book->draft = draft;
    out.opened.book = std::move(book);
    return out;
}

// Whether every requirement that differs is stricter in the one book, or in the other; nothing if
// neither is so.
std::optional<bool> stricter(const Book &kept, const Book &put) {
    bool more = true;
    bool less = true;
    for (const RuleChange &c : compare(kept, put).rules) {
        more = more && (c.effect == Effect::stricter || c.effect == Effect::none);
        less = less && (c.effect == Effect::laxer || c.effect == Effect::none);
    }
    if (more != less)
        return more;
    return more ? std::optional(false) : std::nullopt;
}

} // namespace

Lineage lineage(const std::string &of_edition, const std::vector<NamedText> &more) {
    Lineage out;
    const std::vector<std::string> editions = known("edition", more);
    if (std::find(editions.begin(), editions.end(), of_edition) == editions.end())
        return out;
    std::optional<EmbeddedTexts> shipped;
    for (const std::string &edition : editions) {
        const BookName parsed{edition, {}, {}};
        const Request request{edition, parsed, more, std::nullopt, Tests::leave_out, shipped};
        Book book;
        Diagnostics told_when_opened;
        read_sources(book, request, {}, told_when_opened);
        for (const DraftRule &r : compose(parsed, book, {}, told_when_opened).rules) {
            if (!r.decl.clause)
                out[r.decl.topic.text].push_back({edition, r.decl.citation.text});
        }
    }
    return out;
}

Opened open_book(const std::string &name, const std::vector<NamedText> &more, std::optional<int> on,
                 Tests shipped_tests) {
    BookName parsed = parse_book_name(name);
    for (const NamedText &text : more) {
        if (text.name == name && heading(text.text).starts_with("printed "))
            parsed.printed = name;
    }
    std::optional<EmbeddedTexts> shipped;
    const Request request{name, parsed, more, on, shipped_tests, shipped};
    Decided put;
    Attempt kept = attempt(request, put);
    for (std::size_t round = 0; kept.opened.book && !kept.open.empty(); ++round) {
        const Dispute dispute = kept.open.front();
        put[dispute.place] = true;
        Attempt changed = attempt(request, put);
        if (!changed.opened.book)
            return std::move(changed.opened);
        const auto wins = round < limits::disputes
                              ? stricter(*kept.opened.book, *changed.opened.book)
                              : std::nullopt;
        if (!wins) {
            Opened out;
            Diagnostic &d = out.diagnostics.error("stricter-unclear", dispute.span,
                                                  "which text of " + dispute.what +
                                                      " is stricter can't be told for certain");
            d.help = "state the text that the layer below left, with `from`";
            d.other = dispute.other;
            d.other_is = "the text of the layer below";
            out.sources = kept.opened.book->sources;
            return out;
        }
        put[dispute.place] = *wins;
        kept = *wins ? std::move(changed) : attempt(request, put);
    }
    return std::move(kept.opened);
}

} // namespace groundrule::book
