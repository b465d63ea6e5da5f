// Which facts may be changed to make a job pass, and to what.
#include "book/build.h"
#include "book/typer_words.h"
#include "quantity/conductor_size.h"

#include <algorithm>
#include <optional>

namespace groundrule::book {

namespace {

class RemedyBuilder {
  public:
    RemedyBuilder(const ast::RemedyDecl &decl, Span span, Typer &typer)
        : decl_(decl), typer_(typer), book_(typer.book()) {
        remedy_.title = decl.title;
        remedy_.span = span;
    }

    void build() {
        remedy_.item = item(decl_.item);
        if (remedy_.item < 0)
            return;
        remedy_.field = field(decl_.field, remedy_.item);
        bool good = remedy_.field >= 0 && values();
        for (const ast::RemedyDecl::Fact &fact : decl_.also)
            good = also(fact) && good;
        for (const ast::Name &name : decl_.without)
            good = into(remedy_.without, field(name, remedy_.item)) && good;
        for (const ast::Name &name : decl_.keeps)
            good = into(remedy_.keeps, field(name, remedy_.item)) && good;
        for (const ast::RemedyDecl::Carried &c : decl_.carried)
            good = carried(c) && good;
        if (good)
            book_.remedies.push_back(std::move(remedy_));
    }

  private:
    const Item &at(std::int32_t index) const {
        return book_.items[static_cast<std::size_t>(index)];
    }
    const Type &type_of(std::int32_t item, std::int32_t field) const {
        return at(item).fields[static_cast<std::size_t>(field)].type;
    }

    static bool into(std::vector<std::int32_t> &list, std::int32_t field) {
        list.push_back(field);
        return field >= 0;
    }

    void unknown(const ast::Name &name, const std::string &what,
                 const std::vector<std::string> &known) {
        if (typer_.broken().has(name.text))
            return;
        typer_.diagnostics()
            .error("unknown-name", name.span, "`" + name.text + "` is no " + what)
            .help = did_you_mean(nearest(name.text, known));
    }

    std::int32_t item(const ast::Name &name) {
        const std::int32_t found = find_item(book_, name.text);
        if (found < 0)
            unknown(name, "item", names_in(book_.items));
        return found;
    }

    std::int32_t field(const ast::Name &name, std::int32_t of) {
        const std::int32_t found = find_field(at(of), name.text);
        if (found < 0)
            unknown(name, "field of " + at(of).name, names_in(at(of).fields));
        return found;
    }

    bool values() {
        const Type &type = type_of(remedy_.item, remedy_.field);
        if (!decl_.any) {
            for (const ast::Cell &cell : decl_.values) {
                const auto value = cell_value(cell, type, typer_);
                if (!value)
                    return false;
                remedy_.values.push_back(*value);
            }
            return true;
        }
        std::size_t count = type.is_truth() ? 2 : 0;
        if (type.kind == ValueKind::choice)
            count = book_.choice_types[static_cast<std::size_t>(type.choices)].choices.size();
        if (type.kind == ValueKind::conductor_size)
            count = static_cast<std::size_t>(conductor_size_count());
        for (std::size_t i = 0; i < count; ++i)
            remedy_.values.push_back(static_cast<double>(i));
        if (count == 0)
            typer_.diagnostics()
                .error("wrong-type", decl_.field.span,
                       "`any` has no meaning for " + typer_.name_of(type))
                .help = "write the values that it may have, such as = 15 A, 20 A, 30 A";
        return count != 0;
    }

    bool also(const ast::RemedyDecl::Fact &fact) {
        const std::int32_t index = field(fact.field, remedy_.item);
        if (index < 0)
            return false;
        const auto value = cell_value(fact.value, type_of(remedy_.item, index), typer_);
        remedy_.also.emplace_back(index, value.value_or(0));
        return value.has_value();
    }

    bool carried(const ast::RemedyDecl::Carried &c) {
        Remedy::Carried out;
        out.item = item(c.item);
        out.with = field(c.with, remedy_.item);
        out.field = out.item < 0 ? -1 : field(c.field, out.item);
        if (out.field < 0 || out.with < 0)
            return false;
        if (!(type_of(out.item, out.field) == type_of(remedy_.item, out.with))) {
            typer_.diagnostics().error("wrong-type", c.field.span,
                                       "`" + c.field.text + "` is a " +
                                           typer_.name_of(type_of(out.item, out.field)) +
                                           ", and `" + c.with.text + "` a " +
                                           typer_.name_of(type_of(remedy_.item, out.with)));
            return false;
        }
        bool good = true;
        for (const ast::Name &name : c.keeps)
            good = into(out.keeps, field(name, out.item)) && good;
        remedy_.carried.push_back(std::move(out));
        return good;
    }

    const ast::RemedyDecl &decl_;
    Typer &typer_;
    Book &book_;
    Remedy remedy_;
};

} // namespace

void build_remedies(const Draft &draft, Typer &typer) {
    for (const ast::Decl *decl : draft.vocabulary) {
        if (decl->kind == ast::DeclKind::remedy)
            RemedyBuilder(std::get<ast::RemedyDecl>(decl->body), decl->head, typer).build();
    }
}

} // namespace groundrule::book
