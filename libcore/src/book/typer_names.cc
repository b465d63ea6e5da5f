// What names and the lists of items refer to.
#include "book/typer.h"
#include "book/typer_words.h"

#include "text/nearest.h"

#include <algorithm>

namespace groundrule::book {

using ast::Expr;

namespace {

std::vector<std::string> members_of(const Book &book, std::int32_t item) {
    std::vector<std::string> out = names_in(book.items[static_cast<std::size_t>(item)].fields);
    for (const Define &d : book.defines) {
        if (d.item == item)
            out.push_back(d.name);
    }
    return out;
}

} // namespace

NodeId Typer::name(const Expr &e, const Scope &scope, const Type *expected) {
    if (e.qualifier.empty())
        return bare_name(e, scope, expected);
    const std::int32_t item = qualified_item(e, e.qualifier, scope);
    return item < 0 ? no_node : member(e, item, true);
}

NodeId Typer::bare_name(const Expr &e, const Scope &scope, const Type *expected) {
    Node n;
    n.span = e.span;
    for (std::size_t i = scope.sought.size(); i-- > 0;) {
        if (scope.sought[i].name == e.text) {
            if (scope.sought[i].outside)
                return fault("not-a-value", e.span,
                             "`" + e.text +
                                 "` is tried by the search around this list of items, "
                                 "which are looked at once, not for each `" +
                                 e.text + "`");
            n.op = NodeOp::element;
            n.type = scope.sought[i].type;
            n.index = static_cast<std::int32_t>(i);
            return add(std::move(n));
        }
    }
    for (std::size_t i = 0; scope.parameter_names != nullptr && i < scope.parameter_names->size();
         ++i) {
        if ((*scope.parameter_names)[i] == e.text) {
            n.op = NodeOp::parameter;
            n.type = (*scope.parameters)[i];
            n.index = static_cast<std::int32_t>(i);
            return add(std::move(n));
        }
    }
    if (std::any_of(scope.elements.begin(), scope.elements.end(),
                    [&](const auto &x) { return x.name == e.text; }))
        return fault("not-a-value", e.span,
                     "`" + e.text + "` is an item; name one of its fields: `" + e.text + ".…`");
    for (std::size_t i = 0; scope.limits != nullptr && i < scope.limits->size(); ++i) {
        if ((*scope.limits)[i].name == e.text) {
            n.op = NodeOp::limit;
            n.type = (*scope.limits)[i].type;
            n.value = (*scope.limits)[i].value;
            n.index = static_cast<std::int32_t>(i);
            return add(std::move(n));
        }
    }
    const bool choices = expected != nullptr && expected->kind == ValueKind::choice;
    const bool is_choice =
        choices &&
        std::count(book_.choice_types[static_cast<std::size_t>(expected->choices)].choices.begin(),
                   book_.choice_types[static_cast<std::size_t>(expected->choices)].choices.end(),
                   e.text) != 0;
    if (scope.self >= 0 && scope.self_visible) {
        const NodeId found = member(e, scope.self, false);
        if (found != no_node && (!is_choice || node(found).type == *expected))
            return found;
    }
    if (is_choice) {
        n.type = *expected;
        n.value = *choice_value(*expected, {e.text, e.span});
        return add(std::move(n));
    }
    return unknown_name(e, scope.self_visible ? scope.self : -1, &scope, expected);
}

NodeId Typer::member(const Expr &e, std::int32_t item, bool required) {
    Node n;
    n.span = e.span;
    n.item = item;
    const std::int32_t field = find_field(book_.items[static_cast<std::size_t>(item)], e.text);
    if (field >= 0) {
        n.op = NodeOp::field;
        n.index = field;
        n.type = book_.items[static_cast<std::size_t>(item)]
                     .fields[static_cast<std::size_t>(field)]
                     .type;
        return add(std::move(n));
    }
    for (std::size_t i = 0; i < book_.defines.size(); ++i) {
        if (book_.defines[i].item == item && book_.defines[i].name == e.text) {
            n.op = NodeOp::define;
            n.index = static_cast<std::int32_t>(i);
            n.type = book_.defines[i].type;
            return add(std::move(n));
        }
    }
    return required ? unknown_name(e, item, nullptr, nullptr) : no_node;
}

NodeId Typer::unknown_name(const Expr &e, std::int32_t item, const Scope *scope,
                           const Type *expected) {
    std::vector<std::string> known;
    if (item >= 0)
        known = members_of(book_, item);
    if (scope != nullptr && scope->limits != nullptr) {
        for (const Limit &l : *scope->limits)
            known.push_back(l.name);
    }
    if (scope != nullptr && scope->parameter_names != nullptr)
        known.insert(known.end(), scope->parameter_names->begin(), scope->parameter_names->end());
    if (expected != nullptr && expected->kind == ValueKind::choice) {
        const auto &choices =
            book_.choice_types[static_cast<std::size_t>(expected->choices)].choices;
        known.insert(known.end(), choices.begin(), choices.end());
    }
    const std::string owner =
        item >= 0 ? "of " + book_.items[static_cast<std::size_t>(item)].name : "here";
    std::string help = did_you_mean(nearest(e.text, known));
    if (help.empty() && scope != nullptr) {
        for (std::int32_t i = scope->space; i >= 0;
             i = book_.items[static_cast<std::size_t>(i)].parent) {
            if (find_field(book_.items[static_cast<std::size_t>(i)], e.text) < 0)
                continue;
            const auto element = std::find_if(scope->elements.begin(), scope->elements.end(),
                                              [&](const auto &x) { return x.item == i; });
            help = element != scope->elements.end()
                       ? "a field of the element is written `" + element->name
                       : "a field of an item above is written `" +
                             book_.items[static_cast<std::size_t>(i)].name;
            help += "." + e.text + "`";
        }
    }
    if (help.empty() && (e.text == "true" || e.text == "false"))
        help = std::string("write `") + (e.text == "true" ? "yes" : "no") + "`";
    if (help.empty() && item >= 0)
        help = some_of(book_.items[static_cast<std::size_t>(item)].name, known);
    return not_known(e.text, e.span, "`" + e.text + "` is no field or definition " + owner, help);
}

NodeId Typer::text_choice(const Expr &e, const Type *expected) {
    if (expected == nullptr || expected->kind != ValueKind::choice)
        return fault("wrong-type", e.span,
                     "a quoted choice can stand only where a choice is expected");
    const auto value = choice_value(*expected, {e.text, e.span});
    if (!value)
        return no_node;
    Node n;
    n.type = *expected;
    n.span = e.span;
    n.value = *value;
    return add(std::move(n));
}

std::int32_t Typer::qualified_item(const Expr &e, const std::string &qualifier,
                                   const Scope &scope) {
    for (std::size_t i = scope.elements.size(); i-- > 0;) {
        if (scope.elements[i].name == qualifier)
            return scope.elements[i].item;
    }
    const std::int32_t item = find_item(book_, qualifier);
    if (item < 0) {
        std::vector<std::string> known = names_in(book_.items);
        for (const auto &element : scope.elements)
            known.push_back(element.name);
        not_known(qualifier, e.span, "`" + qualifier + "` is no item",
                  did_you_mean(nearest(qualifier, known)));
        return -1;
    }
    const std::int32_t here = scope.space;
    if (!is_above_or_same(book_, item, here)) {
        const std::string at =
            here < 0 ? "a function" : book_.items[static_cast<std::size_t>(here)].name;
        fault("not-above", e.span,
              "`" + qualifier + "` is not above " + at + " in a job, so there is no one " +
                  qualifier + " to ask",
              "an item sees itself and the items above it; lists are read with any, all, count, "
              "sum, max, min");
        return -1;
    }
    const auto element = std::find_if(scope.elements.rbegin(), scope.elements.rend(),
                                      [&](const auto &x) { return x.item == item; });
    if (element != scope.elements.rend() &&
        (element == scope.elements.rbegin() || is_above_or_same(book_, item, scope.self))) {
        fault("ambiguous-name", e.span, "`" + qualifier + "` could be the element",
              "write `" + element->name + "." + e.text + "`");
        return -1;
    }
    return item;
}

bool Typer::list_of(const Expr &e, const Scope &scope, std::int32_t &owner, std::int32_t &element) {
    owner = e.qualifier.empty() ? (scope.self_visible ? scope.self : -1)
                                : qualified_item(e, e.qualifier, scope);
    if (owner < 0) {
        if (e.qualifier.empty())
            fault("unknown-name", e.span, "say whose list: `item." + e.text + "`");
        return false;
    }
    std::vector<std::string> known;
    for (const std::int32_t child : book_.items[static_cast<std::size_t>(owner)].children) {
        const Item &item = book_.items[static_cast<std::size_t>(child)];
        known.push_back(item.list);
        if (item.list == e.text) {
            element = child;
            return true;
        }
    }
    not_known(e.text, e.span,
              "`" + e.text + "` is no list of " + book_.items[static_cast<std::size_t>(owner)].name,
              did_you_mean(nearest(e.text, known)));
    return false;
}

NodeId Typer::quantifier(const Expr &e, const Scope &scope) {
    std::int32_t owner = -1;
    std::int32_t element = -1;
    if (!list_of(e, scope, owner, element))
        return no_node;
    Scope inner = scope;
    inner.space = element;
    inner.self_visible = scope.self_visible && is_above_or_same(book_, scope.self, owner);
    std::erase_if(inner.elements,
                  [&](const auto &x) { return !is_above_or_same(book_, x.item, owner); });
    inner.elements.push_back({e.element.text, element});
    for (Scope::Sought &sought : inner.sought)
        sought.outside = true;
    Node n;
    n.span = e.span;
    n.item = owner;
    n.index = element;
    const std::string &word = e.citation.text;
    n.op = word == "any"     ? NodeOp::any
           : word == "all"   ? NodeOp::all
           : word == "count" ? NodeOp::count
           : word == "sum"   ? NodeOp::sum
           : word == "max"   ? NodeOp::max
                             : NodeOp::min;
    const bool truth = n.op == NodeOp::any || n.op == NodeOp::all;
    const bool needs_body = n.op != NodeOp::any && n.op != NodeOp::count;
    n.type = truth ? truth_type() : quantity_type(dimension::number);
    if (needs_body && e.body == ast::no_expr)
        return fault("no-body", e.span,
                     "`" + word + "` needs a colon and what it is about: " + word + "(x in " +
                         e.text + " : …)");
    if (n.op == NodeOp::count && e.body != ast::no_expr)
        return fault("no-body", e.span, "`count` takes a `where`, no colon");
    if (e.where != ast::no_expr) {
        n.where = type_as(e.where, inner, truth_type(), "the condition of `where`");
        if (n.where == no_node)
            return no_node;
    }
    if (e.body != ast::no_expr) {
        n.body = truth ? type_as(e.body, inner, truth_type(), "what `" + word + "` is about")
                       : type(e.body, inner);
        if (n.body == no_node)
            return no_node;
        if (!truth) {
            n.type = node(n.body).type;
            const bool ordered = n.type.is_quantity() || n.type.kind == ValueKind::conductor_size;
            if (!ordered ||
                (n.op == NodeOp::sum && (!n.type.is_quantity() || n.type.dimension.point)))
                return fault("wrong-type", e.span,
                             "`" + word + "` has no meaning for " + name_of(n.type));
        }
    }
    return add(std::move(n));
}

NodeId Typer::complete(const Expr &e, const Scope &scope) {
    Node n;
    n.op = NodeOp::complete;
    n.type = truth_type();
    n.span = e.span;
    return list_of(e, scope, n.item, n.index) ? add(std::move(n)) : no_node;
}

NodeId Typer::applies(const Expr &e, const Scope &scope) {
    if (scope.limits == nullptr) // what rules use is typed before them
        return fault("unknown-name", e.span, "whether a rule applies can be asked in rules only");
    for (std::size_t i = 0; i < book_.rules.size(); ++i) {
        if (book_.rules[i].topic != e.text)
            continue;
        if (book_.rules[i].item < 0)
            return no_node; // told already
        if (!is_above_or_same(book_, book_.rules[i].item, scope.space))
            return fault("not-above", e.span,
                         "`" + e.text + "` is a rule for " +
                             book_.items[static_cast<std::size_t>(book_.rules[i].item)].name +
                             ", which is not at hand here");
        Node n;
        n.op = NodeOp::applies;
        n.type = truth_type();
        n.span = e.span;
        n.item = book_.rules[i].item;
        n.index = static_cast<std::int32_t>(i);
        return add(std::move(n));
    }
    std::vector<std::string> topics;
    for (const Rule &r : book_.rules)
        topics.push_back(r.topic);
    return not_known(e.text, e.span, "no rule has the topic `" + e.text + "`",
                     did_you_mean(nearest(e.text, topics)));
}

} // namespace groundrule::book
