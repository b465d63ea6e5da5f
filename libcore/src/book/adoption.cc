#include "book/adoption.h"

#include "book/layers.h"
#include "quantity/date.h"
#include "text/nearest.h"

#include <algorithm>

namespace groundrule::book {

namespace {

template <typename Visit>
void each_period(const Book &book, Visit visit) {
    for (const ast::File &file : book.files) {
        for (const ast::Decl &decl : file.decls) {
            if (decl.kind == ast::DeclKind::period &&
                file.decls.front().kind == ast::DeclKind::adoption &&
                std::get<ast::Header>(file.decls.front().body).names.front().text == book.name)
                visit(std::get<ast::PeriodDecl>(decl.body));
        }
    }
}

bool holds(const std::vector<std::string> &list, const std::string &name) {
    return std::find(list.begin(), list.end(), name) != list.end();
}

// Editions and amendments that ship, and those of the caller's files.
std::vector<std::string> known_layers(const Book &book) {
    std::vector<std::string> out = shipped_editions();
    const std::vector<std::string> amendments = shipped_amendments();
    out.insert(out.end(), amendments.begin(), amendments.end());
    for (const ast::File &file : book.files) {
        const ast::DeclKind kind =
            file.decls.empty() ? ast::DeclKind::vocabulary : file.decls.front().kind;
        if (kind == ast::DeclKind::edition || kind == ast::DeclKind::amendment)
            out.push_back(std::get<ast::Header>(file.decls.front().body).names.front().text);
    }
    return out;
}

void check_book_name(const ast::Message &written, const std::vector<std::string> &known,
                     Diagnostics &diagnostics) {
    const BookName name = parse_book_name(written.text);
    std::vector<std::string> layers = name.amendments;
    layers.insert(layers.begin(), name.edition);
    for (const std::string &layer : layers) {
        if (holds(known, layer))
            continue;
        const std::string near = nearest(layer, known);
        diagnostics
            .error("unknown-book", written.span,
                   "there is no edition or amendment \"" + layer + "\" here")
            .help =
            near.empty() ? "give the file that holds it, too" : "did you mean \"" + near + "\"?";
    }
}

class Reader {
  public:
    Reader(const Book &book, Diagnostics &diagnostics)
        : book_(book), diagnostics_(diagnostics), known_(known_layers(book)) {}

    std::vector<Period> periods() {
        std::vector<Period> out;
        each_period(book_, [&](const ast::PeriodDecl &p) { out.push_back(period(p)); });
        each_period(book_, [&](const ast::PeriodDecl &p) { check_overlaps(p, out); });
        std::stable_sort(out.begin(), out.end(),
                         [](const Period &a, const Period &b) { return a.from < b.from; });
        return out;
    }

  private:
    Period period(const ast::PeriodDecl &p) {
        Period out;
        out.name = p.rule.topic.text;
        out.book = p.book.text;
        out.handed_over = p.hands_over.text;
        out.by = find_field(book_.items.front(), p.by.text);
        out.from = static_cast<int>(p.from);
        out.until = static_cast<int>(p.until);
        out.span = p.rule.topic.span;
        for (const ast::Name &other : p.overlaps)
            out.overlaps.push_back(other.text);
        for (std::size_t i = 0; i < book_.rules.size(); ++i) {
            if (book_.rules[i].topic == out.name)
                out.rule = i;
        }
        if (out.until != 0 && out.until <= out.from)
            diagnostics_
                .error("ends-first", out.span,
                       "`" + out.name + "` begins on " + date_text(out.from) +
                           ", and the first day behind it is " + date_text(out.until))
                .help = "`until` is the first day that no longer belongs to the period";
        if (out.handed_over.empty())
            check_book_name(p.book, known_, diagnostics_);
        return out;
    }

    void check_overlaps(const ast::PeriodDecl &p, const std::vector<Period> &all) {
        for (const ast::Name &other : p.overlaps) {
            std::vector<std::string> names;
            for (const Period &period : all) {
                if (period.name != p.rule.topic.text)
                    names.push_back(period.name);
            }
            if (holds(names, other.text))
                continue;
            const std::string near = nearest(other.text, names);
            diagnostics_
                .error("unknown-name", other.span,
                       "`" + other.text + "` is no other period of this place")
                .help = near.empty() ? "" : "did you mean `" + near + "`?";
        }
    }

    const Book &book_;
    Diagnostics &diagnostics_;
    std::vector<std::string> known_;
};

} // namespace

Adoption open_adoption(const std::string &place, const std::vector<NamedText> &more) {
    Adoption out;
    Opened opened = open_book(place, more);
    out.diagnostics = opened.diagnostics;
    out.sources = std::move(opened.sources);
    const auto unknown = [&](const std::string &message) {
        Diagnostic d;
        d.code = "unknown-place";
        d.message = message;
        for (const std::string &known : shipped_adoptions())
            d.help += (d.help.empty() ? "known: " : ", ") + known;
        out.diagnostics = {};
        out.diagnostics.add(std::move(d));
    };
    if (!opened.book) {
        const std::vector<Diagnostic> &faults = out.diagnostics.list();
        if (faults.size() == 1 && faults[0].code == "unknown-book")
            unknown("there is no adoption of a place \"" + place + "\"");
        return out;
    }
    if (!opened.book->adoption) {
        unknown("\"" + place + "\" is a book, not a place that adopts one");
        return out;
    }
    out.periods = Reader(*opened.book, out.diagnostics).periods();
    if (out.periods.empty())
        out.diagnostics.error("no-period", opened.book->files.back().decls.front().head,
                              "this adoption has no period");
    if (!out.diagnostics.has_errors())
        check_coverage(*opened.book, out.periods, out.diagnostics);
    out.diagnostics.sort();
    if (out.diagnostics.has_errors()) {
        out.sources = opened.book->sources;
        return out;
    }
    out.book = std::move(opened.book);
    return out;
}

} // namespace groundrule::book
