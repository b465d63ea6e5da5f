// Which files make a book, and the text of its edition.
#include "book/layers.h"

#include "book/amend.h"
#include "book/interim.h"
#include "text/nearest.h"

#include <algorithm>

namespace groundrule::book {

namespace {

using ast::Decl;
using ast::DeclKind;

const ast::Header *header_of(const ast::File &file) {
    if (file.decls.empty() || file.decls.front().kind > DeclKind::amendment)
        return nullptr;
    return &std::get<ast::Header>(file.decls.front().body);
}

bool names(const std::vector<ast::Name> &list, const std::string &name) {
    return list.empty() || std::any_of(list.begin(), list.end(),
                                       [&](const ast::Name &n) { return n.text == name; });
}

// A citation is that of the edition at hand.
template <typename Body>
void number_for(Body &decl, const std::string &edition) {
    for (const ast::Numbered &n : decl.numbered) {
        if (names(n.editions, edition))
            decl.citation = n.citation;
    }
}

void check_header(const ast::File &file, Diagnostics &diagnostics) {
    if (file.header_broken)
        return;
    if (header_of(file) == nullptr && !file.decls.empty()) {
        diagnostics.error("no-header", file.decls.front().head,
                          "a rule file begins with vocabulary, edition, part of, or amendment");
        return;
    }
    const bool printed = !file.decls.empty() && file.decls.front().kind == DeclKind::printed;
    for (std::size_t i = 1; i < file.decls.size() && !printed; ++i) {
        if (file.decls[i].kind <= DeclKind::amendment)
            diagnostics.error("second-header", file.decls[i].head,
                              "a file has one header, and it stands first");
    }
}

template <typename Figure>
void tell_new(const Figure &figure, const char *what, Book &book) {
    if (figure.layer == 0)
        return;
    const std::string name = what + figure.decl.citation.text;
    const std::string &title = figure.decl.title;
    book.changes.push_back(
        {figure.layer, name, "", title.empty() ? name : title, figure.span, {}, name});
}

void add_table(Draft &draft, DraftTable table, const std::string &edition, Book &book) {
    table.declared = table.decl.citation.text;
    number_for(table.decl, edition);
    if (table.decl.replaces) {
        draft.figure_changes.push_back({table, table.layer, table.span});
        return;
    }
    tell_new(table, "table ", book);
    draft.tables.push_back(std::move(table));
}

void add_list(Draft &draft, DraftList list, const std::string &edition, Book &book) {
    list.declared = list.decl.citation.text;
    number_for(list.decl, edition);
    if (list.decl.replaces) {
        draft.figure_changes.push_back({list, list.layer, list.span});
        return;
    }
    tell_new(list, "list ", book);
    draft.lists.push_back(std::move(list));
}

void add_gap(Draft &draft, const ast::GapDecl &gap, std::int32_t layer, Span head, Book &book) {
    draft.gaps.push_back({{gap.citation.text, gap.text, marked(gap.mark, layer)},
                          gap.administrative,
                          gap.citation.quoted});
    if (layer > 0)
        book.changes.push_back(
            {layer,
             gap.citation.text + (gap.administrative ? " (administrative)" : " (not written out)"),
             "",
             gap.text,
             head,
             {},
             {}});
}

void add_file(Draft &draft, const ast::File &file, const std::string &edition, std::int32_t layer,
              Book &book, Diagnostics &diagnostics) {
    for (const Decl &decl : file.decls) {
        if (!names(decl.editions, edition))
            continue;
        switch (decl.kind) {
        case DeclKind::type:
        case DeclKind::item:
        case DeclKind::imply:
        case DeclKind::remedy:
            draft.vocabulary.push_back(&decl);
            break;
        case DeclKind::group:
            add_group(draft,
                      {std::get<ast::GroupDecl>(decl.body),
                       marked(std::get<ast::GroupDecl>(decl.body).mark, layer), decl.head},
                      book, diagnostics);
            break;
        case DeclKind::table:
            add_table(draft, {std::get<ast::TableDecl>(decl.body), {}, &file, layer, decl.head},
                      edition, book);
            break;
        case DeclKind::list:
            add_list(draft, {std::get<ast::ListDecl>(decl.body), {}, &file, layer, decl.head},
                     edition, book);
            break;
        case DeclKind::define:
            add_define(draft,
                       {std::get<ast::DefineDecl>(decl.body), &file,
                        marked(std::get<ast::DefineDecl>(decl.body).mark, layer), decl.head},
                       book, diagnostics);
            break;
        case DeclKind::rule: {
            DraftRule r =
                draft_rule(std::get<ast::RuleDecl>(decl.body), file, edition, layer, decl.head);
            number_for(r.decl, edition);
            add_rule(draft, std::move(r), book, diagnostics);
            break;
        }
        case DeclKind::period:
            add_rule(draft,
                     draft_rule(std::get<ast::PeriodDecl>(decl.body).rule, file, edition, layer,
                                decl.head),
                     book, diagnostics);
            break;
        case DeclKind::gap:
            add_gap(draft, std::get<ast::GapDecl>(decl.body), layer, decl.head, book);
            break;
        case DeclKind::change:
            if (layer == 0)
                diagnostics.error("change-in-edition", decl.head,
                                  "only an amendment changes text; an edition states it");
            else
                apply(draft, decl, file, edition, layer, book, diagnostics);
            break;
        default:
            break;
        }
    }
}

const ast::File *find_layer(const Book &book, DeclKind kind, const std::string &name) {
    for (const ast::File &file : book.files) {
        const ast::Header *h = header_of(file);
        if (h != nullptr && file.decls.front().kind == kind && h->names.front().text == name)
            return &file;
    }
    return nullptr;
}

Layer layer_of(const ast::Header &h) {
    return {h.names.front().text, h.title, h.publisher.empty() ? h.authority : h.publisher,
            h.effective, h.until};
}

// ISO dates sort as text does.
bool in_force(const Layer &layer, const std::string &on) {
    return on.empty() || ((layer.effective.empty() || layer.effective <= on) &&
                          (layer.until.empty() || on < layer.until));
}

bool named(const std::vector<Layer> &layers, const std::string &name) {
    return std::any_of(layers.begin(), layers.end(),
                       [&](const Layer &l) { return l.name == name; });
}

void refuse_base(const ast::Name &base, const Book &book, Diagnostics &diagnostics) {
    if (named(book.not_in_force, base.text)) {
        diagnostics.error("wrong-base", base.span,
                          "this amendment is to " + base.text + ", which is not in force on " +
                              book.on);
        return;
    }
    std::vector<std::string> known;
    for (const Layer &l : book.layers)
        known.push_back(l.name);
    const std::string near = nearest(base.text, known);
    diagnostics
        .error("wrong-base", base.span,
               "this amendment is to " + base.text + ", which is not in the book " + book.name)
        .help = near.empty() ? "open it on top of " + base.text : "did you mean `" + near + "`?";
}

// A book that was opened for a date and leaves a layer out is that of the layers in force.
void name_as_in_force(Book &book) {
    book.name.clear();
    for (const Layer &layer : book.layers)
        book.name += (book.name.empty() ? "" : "+") + layer.name;
}

// Who opens the book tells what there is.
void unknown_layer(Diagnostics &diagnostics, const std::string &what, const std::string &name) {
    diagnostics.error("unknown-book", {}, "there is no " + what + " \"" + name + "\"");
}

bool belongs(const ast::File &file, const std::string &edition) {
    const ast::Header *h = header_of(file);
    if (h == nullptr)
        return false;
    const DeclKind kind = file.decls.front().kind;
    return (kind == DeclKind::edition || kind == DeclKind::part_of || kind == DeclKind::adoption) &&
           names(h->names, edition);
}

bool is_vocabulary(const ast::File &file) {
    return header_of(file) != nullptr && file.decls.front().kind == DeclKind::vocabulary;
}

void add_edition(Draft &draft, Book &book, const std::string &edition, Diagnostics &diagnostics) {
    for (const ast::File &file : book.files) {
        if (is_vocabulary(file) || belongs(file, edition))
            add_file(draft, file, edition, 0, book, diagnostics);
    }
}

void put_on(Draft &draft, Book &book, const std::string &layer_name, const std::string &edition,
            bool header_broken, Diagnostics &diagnostics) {
    const ast::File *amendment = find_layer(book, DeclKind::amendment, layer_name);
    if (amendment == nullptr && header_broken)
        return;
    if (amendment == nullptr) {
        unknown_layer(diagnostics, "amendment", layer_name);
        return;
    }
    const ast::Header &h = *header_of(*amendment);
    Layer layer = layer_of(h);
    if (!in_force(layer, book.on)) {
        book.not_in_force.push_back(std::move(layer));
        return;
    }
    if (!named(book.layers, h.base.text)) {
        refuse_base(h.base, book, diagnostics);
        return;
    }
    book.layers.push_back(std::move(layer));
    draft.disputes->policy.push_back(h.conflict);
    add_file(draft, *amendment, edition, static_cast<std::int32_t>(book.layers.size()) - 1, book,
             diagnostics);
}

// A printed book holds all of its layers in one file.
void add_printed(Draft &draft, Book &book, Diagnostics &diagnostics) {
    for (const ast::File &file : book.files) {
        if (header_of(file) == nullptr)
            continue;
        const ast::Header &head = *header_of(file);
        book.on = head.effective;
        for (const ast::Decl &decl : file.decls) {
            if (decl.kind == DeclKind::edition || decl.kind == DeclKind::amendment) {
                const auto &h = std::get<ast::Header>(decl.body);
                const bool ours = names(head.names, h.names.front().text);
                (ours ? book.layers : book.not_in_force).push_back(layer_of(h));
            }
        }
        draft.disputes->policy.assign(book.layers.size(), {});
        if (book.layers.size() != head.names.size()) {
            diagnostics.error("wrong-base", file.decls.front().head,
                              "a printed book has a header for each of its layers");
            return;
        }
        add_file(draft, file, head.names.front().text, 0, book, diagnostics);
    }
    name_as_in_force(book);
}

} // namespace

BookName parse_book_name(std::string_view name) {
    BookName out;
    std::size_t at = 0;
    while (at <= name.size()) {
        const std::size_t plus = std::min(name.find('+', at), name.size());
        std::string part(name.substr(at, plus - at));
        if (out.edition.empty() && at == 0)
            out.edition = std::move(part);
        else
            out.amendments.push_back(std::move(part));
        at = plus + 1;
    }
    return out;
}

const Draft *edition_text(Draft &draft, Book &book, const std::string &edition) {
    std::shared_ptr<Draft> &made = draft.editions[edition];
    if (made == nullptr && find_layer(book, DeclKind::edition, edition) != nullptr) {
        made = std::make_shared<Draft>();
        Diagnostics told_there;
        add_edition(*made, book, edition, told_there);
    }
    return made.get();
}

Draft compose(const BookName &name, Book &book,
              const std::map<std::pair<std::uint32_t, std::uint32_t>, bool> &put,
              Diagnostics &diagnostics) {
    Draft draft;
    draft.disputes->put = put;
    bool header_broken = false;
    for (const ast::File &file : book.files) {
        check_header(file, diagnostics);
        const bool headless = header_of(file) == nullptr && !file.decls.empty();
        header_broken = header_broken || file.header_broken || headless;
        for (const Span &span : file.broken)
            draft.broken.add_text(std::string_view(book.sources[span.file].text())
                                      .substr(span.begin, span.end - span.begin));
    }
    if (!name.printed.empty()) {
        add_printed(draft, book, diagnostics);
        return draft;
    }
    const ast::File *edition = find_layer(book, DeclKind::edition, name.edition);
    if (edition == nullptr && name.amendments.empty()) {
        edition = find_layer(book, DeclKind::adoption, name.edition);
        book.adoption = edition != nullptr;
    }
    if (edition == nullptr && header_broken)
        return draft; // the header at fault may have named it
    if (edition == nullptr) {
        unknown_layer(diagnostics, "edition", name.edition);
        return draft;
    }
    book.layers.push_back(layer_of(*header_of(*edition)));
    draft.disputes->policy.emplace_back();
    add_edition(draft, book, name.edition, diagnostics);
    const std::vector<std::string> amendments = with_interim(name, book, diagnostics);
    for (const std::string &layer : amendments)
        put_on(draft, book, layer, name.edition, header_broken, diagnostics);
    if (!book.not_in_force.empty() || amendments != name.amendments)
        name_as_in_force(book);
    return draft;
}

} // namespace groundrule::book
