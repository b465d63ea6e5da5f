#include "book/show.h"

#include "book/clauses.h"
#include "book/draft_text.h"
#include "book/figure_text.h"
#include "syntax/format.h"
#include "syntax/print.h"

#include <algorithm>

namespace groundrule::book {

namespace {

using syntax::in_quotes;
using syntax::printed;

class BookWriter {
  public:
    explicit BookWriter(const Book &book)
        : book_(book), draft_(*book.draft), endings_(book.layers) {}

    std::string text() {
        headers();
        vocabulary();
        for (const DraftGroup &g : draft_.groups)
            out_ += "group " + g.decl.name.text + " of " + g.decl.type.text +
                    endings_.mark(g.layer) + " = " + syntax::printed_choices(g.decl.choices) +
                    endings_.digest(text_of(g)) + "\n\n";
        figures();
        for (const DraftDefine &d : draft_.defines)
            define(d);
        rules();
        for (const DraftGap &g : draft_.gaps)
            out_ += std::string(g.administrative ? "administrative " : "gap ") +
                    printed(ast::Citation{g.gap.citation, {}, g.quoted}) + " " +
                    in_quotes(g.gap.text) + endings_.mark(g.gap.layer) + "\n\n";
        return std::move(out_);
    }

    std::string rules_called(const std::string &called, const Lineage &lineage) {
        for (const DraftRule *r : live()) {
            const std::string &citation = r->decl.citation.text;
            const bool below = citation.starts_with(called + "(");
            if (r->decl.topic.text != called && citation != called && !below)
                continue;
            rule(*r);
            const auto known = lineage.find(r->decl.topic.text);
            if (known == lineage.end())
                continue;
            std::string stands;
            for (const Standing &s : known->second)
                stands += (stands.empty() ? "" : ", ") + s.edition + " " + s.citation;
            out_.insert(out_.size() - 1, "  # Stands as: " + stands + "\n");
        }
        return std::move(out_);
    }

  private:
    void line(const char *word, const std::string &text) {
        if (!text.empty())
            out_ += std::string("  ") + word + " " + text + "\n";
    }

    void headers() {
        std::string names;
        for (const Layer &l : book_.layers)
            names += (names.empty() ? "" : ", ") + l.name;
        out_ +=
            "# What a layer changed has its mark behind it, @ and its name; text without a mark "
            "is the edition's.\n# The digest behind a text is the one by which a layer names "
            "what it replaces.\nprinted " +
            names + "\n";
        line("effective", book_.on);
        out_ += "\n";
        for (const Layer &l : book_.layers)
            header(l);
        for (const Layer &l : book_.not_in_force)
            header(l);
    }

    void header(const Layer &l) {
        const bool edition = &l == &book_.layers.front();
        out_ += edition ? "edition " + l.name + "\n"
                        : "amendment " + l.name + " to " + book_.layers.front().name + "\n";
        line("title", l.title.empty() ? "" : in_quotes(l.title));
        line(edition ? "publisher" : "authority",
             l.publisher.empty() ? "" : in_quotes(l.publisher));
        line("effective", l.effective);
        line("until", l.until);
        out_ += "\n";
    }

    // --- words for facts

    void vocabulary() {
        for (const ast::Decl *decl : draft_.vocabulary) {
            if (const auto *type = std::get_if<ast::TypeDecl>(&decl->body))
                out_ += "type " + type->name.text + " : one of " +
                        syntax::printed_choices(type->choices) + "\n\n";
            else if (const auto *item = std::get_if<ast::ItemDecl>(&decl->body))
                item_lines(*item);
            else if (const auto *imply = std::get_if<ast::ImplyDecl>(&decl->body))
                imply_lines(*imply);
            else
                remedy_lines(std::get<ast::RemedyDecl>(decl->body));
        }
    }

    void item_lines(const ast::ItemDecl &item) {
        out_ += "item " + item.name.text;
        if (!item.parent.text.empty())
            out_ += " in " + item.parent.text + " as " + item.list.text;
        out_ += (item.title.empty() ? "" : " " + in_quotes(item.title)) + "\n";
        for (const ast::FieldDecl &f : item.fields)
            out_ += "  " + f.name.text + " : " + printed(f.type) + " " + f.kind.text + " " +
                    in_quotes(f.question) + "\n";
        out_ += "\n";
    }

    // The declaration's expressions stand in the file that it stands in.
    void imply_lines(const ast::ImplyDecl &imply) {
        const ast::File &file = book_.files[imply.item.span.file];
        out_ += "imply " + imply.item.text +
                (imply.source.empty() ? "" : " " + in_quotes(imply.source)) + "\n";
        for (const ast::ImplyDecl::Fact &f : imply.facts)
            out_ += "  " + f.field.text + " = " + printed(file, f.value, book_.sources) + "\n";
        out_ += "\n";
    }

    void remedy_lines(const ast::RemedyDecl &remedy) {
        out_ += "remedy " + remedy.item.text + " " + in_quotes(remedy.title) + "\n";
        std::string values;
        for (const ast::Cell &v : remedy.values)
            values += (values.empty() ? "" : ", ") + printed(v, book_.sources);
        out_ += "  " + remedy.field.text + " = " + (remedy.any ? "any" : values) + "\n";
        for (const ast::RemedyDecl::Fact &f : remedy.also)
            out_ += "  " + f.field.text + " = " + printed(f.value, book_.sources) + "\n";
        line("without", syntax::printed_names(remedy.without));
        line("keeps", syntax::printed_names(remedy.keeps));
        for (const ast::RemedyDecl::Carried &c : remedy.carried) {
            const std::string kept = syntax::printed_names(c.keeps);
            out_ += "  carries " + c.item.text + "." + c.field.text + " with " + c.with.text +
                    (kept.empty() ? "" : " keeps " + kept) + "\n";
        }
        out_ += "\n";
    }

    // --- tables, lists, definitions

    // A layer that replaced a table may have written its types otherwise.
    template <typename DraftFigure, typename Figure>
    const DraftFigure &declared(const Figure &figure, const std::vector<DraftFigure> &drafts) {
        const DraftFigure *out = drafts.data();
        for (const DraftFigure &d : drafts) {
            if (d.decl.citation.text == figure.name)
                out = &d;
        }
        for (const FigureChange &c : draft_.figure_changes) {
            const auto *d = std::get_if<DraftFigure>(&c.change);
            if (d != nullptr && d->span.file == figure.span.file &&
                d->span.begin == figure.span.begin)
                out = d;
        }
        return *out;
    }

    void figures() {
        for (const Table &t : book_.tables) {
            const DraftTable &d = declared(t, draft_.tables);
            out_ += "# " + short_digest(table_lines(book_, t, d, {})) + "\n" +
                    table_lines(book_, t, d, endings_) + "\n";
        }
        for (const List &l : book_.lists) {
            const DraftList &d = declared(l, draft_.lists);
            out_ += "# " + short_digest(list_lines(book_, l, d, {})) + "\n" +
                    list_lines(book_, l, d, endings_) + "\n";
        }
    }

    void define(const DraftDefine &d) {
        const std::string text = text_of(d, book_.sources);
        const std::string value = printed(*d.file, d.decl.value, book_.sources);
        const std::string head = text.substr(0, text.size() - value.size() - 3); // " = "
        out_ += "define " + head + endings_.mark(d.layer) + endings_.digest(text) +
                "\n  = " + value + "\n\n";
    }

    // --- rules

    // In the order of the code.
    std::vector<const DraftRule *> live() const {
        std::vector<const DraftRule *> live;
        for (const DraftRule &r : draft_.rules) {
            if (!r.deleted)
                live.push_back(&r);
        }
        std::stable_sort(live.begin(), live.end(), [](const DraftRule *a, const DraftRule *b) {
            return citation_less(a->decl.citation.text, b->decl.citation.text);
        });
        return live;
    }

    void rules() {
        for (const DraftRule *r : live())
            rule(*r);
    }

    void rule(const DraftRule &r) {
        const std::string digest = "# " + short_digest(text_of(r, book_.sources)) + "\n";
        if (r.widened.empty() || r.decl.within.text.empty()) {
            out_ += digest + rule_lines(r, book_.sources, endings_) + "\n";
            return;
        }
        // What a layer widened it by holds for the clause's conditions too.
        DraftRule whole = r;
        Diagnostics told_before;
        (void)take_clause_of(whole, draft_, *draft_.made, told_before);
        whole.decl.within = {};
        out_ += digest + rule_lines(whole, book_.sources, endings_) + "\n";
    }

    const Book &book_;
    const Draft &draft_;
    Endings endings_;
    std::string out_;
};

// Several lines under a heading, one beside it.
std::string beside(const char *heading, std::string_view text) {
    std::string out = std::string("    ") + heading;
    if (text.find('\n') == std::string_view::npos)
        return out + " " + std::string(text) + "\n";
    out += "\n";
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        out += "      " + std::string(text.substr(0, end)) + "\n";
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return out;
}

} // namespace

namespace {

std::string laid_out(std::string text) {
    const SourceText source("printed", std::move(text));
    Diagnostics faults;
    const auto good = syntax::format(source, faults);
    return good ? *good : std::string(source.text());
}

} // namespace

std::string printed_book(const Book &book) {
    return laid_out(BookWriter(book).text());
}

std::string printed_rules(const Book &book, const std::string &called, const Lineage &lineage) {
    return laid_out(BookWriter(book).rules_called(called, lineage));
}

std::string printed_changes(const Book &book) {
    std::string out;
    for (std::size_t i = 1; i < book.layers.size(); ++i) {
        const Layer &layer = book.layers[i];
        out += (out.empty() ? "" : "\n") + layer.name +
               (layer.title.empty() ? "" : "  " + layer.title) + "\n";
        std::size_t count = 0;
        for (const LayerChange &c : book.changes) {
            if (c.layer != static_cast<std::int32_t>(i))
                continue;
            ++count;
            const SourceText &source = book.sources[c.span.file];
            out += "  " + c.what + "  (" + source.name() + ":" +
                   std::to_string(source.place(c.span.begin).line) + ")\n";
            if (!c.from.empty())
                out += beside("from", c.from);
            out += c.to.empty() ? "    gone\n" : beside(c.from.empty() ? "new" : "to", c.to);
        }
        out += "  " + std::to_string(count) + (count == 1 ? " change\n" : " changes\n");
    }
    return out;
}

} // namespace groundrule::book
