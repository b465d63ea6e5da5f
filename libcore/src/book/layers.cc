// Which files make a book, and the text of its edition.
#include "book/layers.h"

#include "book/amend.h"
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
    for (std::size_t i = 1; i < file.decls.size(); ++i) {
        if (file.decls[i].kind <= DeclKind::amendment)
            diagnostics.error("second-header", file.decls[i].head,
                              "a file has one header, and it stands first");
    }
}

void add_file(Draft &draft, const ast::File &file, const std::string &edition, std::int32_t layer,
              Diagnostics &diagnostics) {
    for (const Decl &decl : file.decls) {
        if (!names(decl.editions, edition))
            continue;
        switch (decl.kind) {
        case DeclKind::type:
        case DeclKind::item:
        case DeclKind::imply:
            draft.vocabulary.push_back(&decl);
            break;
        case DeclKind::group:
            add_group(draft, {std::get<ast::GroupDecl>(decl.body), layer, decl.head}, diagnostics);
            break;
        case DeclKind::table: {
            DraftTable t{std::get<ast::TableDecl>(decl.body), {}, &file, layer, decl.head};
            t.declared = t.decl.citation.text;
            number_for(t.decl, edition);
            draft.tables.push_back(std::move(t));
            break;
        }
        case DeclKind::list: {
            DraftList l{std::get<ast::ListDecl>(decl.body), {}, &file, layer, decl.head};
            l.declared = l.decl.citation.text;
            number_for(l.decl, edition);
            draft.lists.push_back(std::move(l));
            break;
        }
        case DeclKind::define:
            add_define(draft, {std::get<ast::DefineDecl>(decl.body), &file, layer, decl.head},
                       diagnostics);
            break;
        case DeclKind::rule: {
            DraftRule r =
                draft_rule(std::get<ast::RuleDecl>(decl.body), file, edition, layer, decl.head);
            number_for(r.decl, edition);
            add_rule(draft, std::move(r), diagnostics);
            break;
        }
        case DeclKind::period:
            add_rule(draft,
                     draft_rule(std::get<ast::PeriodDecl>(decl.body).rule, file, edition, layer,
                                decl.head),
                     diagnostics);
            break;
        case DeclKind::gap:
            draft.gaps.push_back({std::get<ast::GapDecl>(decl.body).citation.text,
                                  std::get<ast::GapDecl>(decl.body).text, layer});
            break;
        case DeclKind::change:
            if (layer == 0)
                diagnostics.error("change-in-edition", decl.head,
                                  "only an amendment changes text; an edition states it");
            else
                apply(draft, decl, file, edition, layer, diagnostics);
            break;
        default:
            break;
        }
    }
}

std::string known_names(const Book &book, DeclKind kind) {
    std::string out;
    for (const ast::File &file : book.files) {
        const ast::Header *h = header_of(file);
        if (h != nullptr && file.decls.front().kind == kind)
            out += (out.empty() ? "" : ", ") + h->names.front().text;
    }
    return out;
}

const ast::File *find_layer(const Book &book, DeclKind kind, const std::string &name) {
    for (const ast::File &file : book.files) {
        const ast::Header *h = header_of(file);
        if (h != nullptr && file.decls.front().kind == kind && h->names.front().text == name)
            return &file;
    }
    return nullptr;
}

Layer layer_of(const ast::File &file) {
    const ast::Header &h = *header_of(file);
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

Diagnostic &unknown_layer(Diagnostics &diagnostics, const std::string &what,
                          const std::string &name, const std::string &known) {
    Diagnostic &d =
        diagnostics.error("unknown-book", {}, "there is no " + what + " \"" + name + "\"");
    d.help = "known: " + (known.empty() ? std::string("none") : known);
    return d;
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

Draft compose(const BookName &name, Book &book, Diagnostics &diagnostics) {
    Draft draft;
    bool header_broken = false;
    for (const ast::File &file : book.files) {
        check_header(file, diagnostics);
        const bool headless = header_of(file) == nullptr && !file.decls.empty();
        header_broken = header_broken || file.header_broken || headless;
        for (const Span &span : file.broken)
            draft.broken.add_text(std::string_view(book.sources[span.file].text())
                                      .substr(span.begin, span.end - span.begin));
    }
    const ast::File *edition = find_layer(book, DeclKind::edition, name.edition);
    if (edition == nullptr && name.amendments.empty()) {
        edition = find_layer(book, DeclKind::adoption, name.edition);
        book.adoption = edition != nullptr;
    }
    if (edition == nullptr && header_broken)
        return draft; // the header at fault may have named it
    if (edition == nullptr) {
        unknown_layer(diagnostics, "edition", name.edition, known_names(book, DeclKind::edition));
        return draft;
    }
    book.layers.push_back(layer_of(*edition));
    for (const ast::File &file : book.files) {
        const ast::Header *h = header_of(file);
        if (h == nullptr)
            continue;
        const DeclKind kind = file.decls.front().kind;
        const bool ours = kind == DeclKind::vocabulary ||
                          ((kind == DeclKind::edition || kind == DeclKind::part_of ||
                            kind == DeclKind::adoption) &&
                           names(h->names, name.edition));
        if (ours)
            add_file(draft, file, name.edition, 0, diagnostics);
    }
    for (const std::string &layer_name : name.amendments) {
        const ast::File *amendment = find_layer(book, DeclKind::amendment, layer_name);
        if (amendment == nullptr && header_broken)
            continue;
        if (amendment == nullptr) {
            unknown_layer(diagnostics, "amendment", layer_name,
                          known_names(book, DeclKind::amendment));
            continue;
        }
        const ast::Header &h = *header_of(*amendment);
        Layer layer = layer_of(*amendment);
        if (!in_force(layer, book.on)) {
            book.not_in_force.push_back(std::move(layer));
            continue;
        }
        if (!named(book.layers, h.base.text)) {
            refuse_base(h.base, book, diagnostics);
            continue;
        }
        book.layers.push_back(std::move(layer));
        add_file(draft, *amendment, name.edition, static_cast<std::int32_t>(book.layers.size()) - 1,
                 diagnostics);
    }
    if (!book.not_in_force.empty())
        name_as_in_force(book);
    return draft;
}

} // namespace groundrule::book
