// Definitions: their signatures first, so that each may refer to any other, then their values.
#include "book/build.h"

namespace groundrule::book {

void build_definitions(const Draft &draft, Typer &typer) {
    Book &book = typer.book();
    for (const DraftDefine &d : draft.defines) {
        Define define;
        define.name = d.decl.name.text;
        bool sound = true;
        define.title = d.decl.title;
        define.layer = d.layer;
        define.span = d.span;
        if (!d.decl.item.text.empty()) {
            define.item = find_item(book, d.decl.item.text);
            sound = define.item >= 0;
            if (!sound && !typer.broken().has(d.decl.item.text))
                typer.diagnostics().error("unknown-name", d.decl.item.span,
                                          "`" + d.decl.item.text + "` is no item");
            if (sound &&
                find_field(book.items[static_cast<std::size_t>(define.item)], define.name) >= 0)
                typer.diagnostics().error("defined-twice", d.decl.name.span,
                                          "`" + define.name + "` is a field of " +
                                              d.decl.item.text + " already");
        }
        if (!d.decl.item.text.empty() && !d.decl.parameters.empty()) {
            sound = false;
            typer.diagnostics().error("wrong-count", d.decl.parameters.front().name.span,
                                      "a definition of an item is used like a field of it, and "
                                      "takes no values");
        }
        refuse_twice(d.decl.parameters, "parameter", typer.diagnostics());
        for (const ast::Parameter &p : d.decl.parameters) {
            define.parameter_names.push_back(p.name.text);
            const auto type = typer.resolve(p.type, p.name.text);
            define.parameters.push_back(type.value_or(truth_type()));
            sound = sound && type;
        }
        const auto type = typer.resolve(d.decl.type, define.name);
        define.type = type.value_or(truth_type());
        if (!sound || !type) {
            typer.broken().add_name(define.name);
            define.name.clear();
        }
        book.defines.push_back(std::move(define));
    }
    for (std::size_t i = 0; i < draft.defines.size(); ++i) {
        const Define &define = book.defines[i];
        if (define.name.empty())
            continue; // its item or a type of it is at fault
        Scope scope;
        scope.file = draft.defines[i].file;
        scope.self = define.item;
        scope.space = define.item;
        scope.parameter_names = &define.parameter_names;
        scope.parameters = &define.parameters;
        const NodeId value = typer.type_as(draft.defines[i].decl.value, scope, define.type,
                                           "the value of `" + define.name + "`");
        book.defines[i].value = value;
    }
}

} // namespace groundrule::book
