#include "book/references.h"

namespace groundrule::book {

namespace {

using ast::Expr;
using ast::ExprId;
using ast::ExprKind;

// Whose the name or the list is.
const std::string &item_of(const Expr &e, const Standpoint &from) {
    if (e.qualifier.empty())
        return from.item;
    const auto element = from.elements.find(e.qualifier);
    return element == from.elements.end() ? e.qualifier : element->second;
}

} // namespace

std::string called(const DraftDefine &define) {
    const std::string &item = define.decl.item.text;
    return item.empty() ? define.decl.name.text : item + "." + define.decl.name.text;
}

References::References(const Draft &draft) {
    for (const DraftDefine &d : draft.defines)
        definitions_.insert(called(d));
    for (const ast::Decl *decl : draft.vocabulary) {
        if (const auto *item = std::get_if<ast::ItemDecl>(&decl->body))
            lists_[{item->parent.text, item->list.text}] = item->name.text;
    }
}

std::vector<Reference> References::in(const ast::File &file, ExprId id,
                                      const Standpoint &from) const {
    std::vector<Reference> out;
    visit(file, id, from, out);
    return out;
}

// Depth is bounded by the nesting that the reader admits.
void References::visit(const ast::File &file, ExprId id, // NOLINT(misc-no-recursion)
                       const Standpoint &from, std::vector<Reference> &out) const {
    if (id == ast::no_expr)
        return;
    const Expr &e = file.exprs[id];
    const auto add = [&](Thing thing, const std::string &name) {
        if (thing != Thing::definition || definitions_.contains(name))
            out.push_back({id, {thing, name}});
    };
    for (const ast::Name &choice : e.choices)
        add(Thing::group, choice.text);
    for (const ExprId child : e.children)
        visit(file, child, from, out);
    Standpoint inside;
    switch (e.kind) {
    case ExprKind::name:
        if (!e.qualifier.empty() || !from.own.contains(e.text))
            add(Thing::definition, item_of(e, from) + "." + e.text);
        return;
    case ExprKind::call:
        add(Thing::definition, e.text);
        return;
    case ExprKind::lookup:
        add(Thing::table, e.citation.text);
        return;
    case ExprKind::search:
        add(Thing::list, e.citation.text);
        inside = from;
        inside.own.insert(e.element.text);
        break;
    case ExprKind::quantifier: {
        inside = from;
        const auto list = lists_.find({item_of(e, from), e.text});
        if (list != lists_.end())
            inside.elements[e.element.text] = list->second;
        break;
    }
    default:
        return;
    }
    visit(file, e.where, inside, out);
    visit(file, e.body, inside, out);
}

} // namespace groundrule::book
