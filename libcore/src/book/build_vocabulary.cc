// Choice types, items and their fields; then what facts imply.
#include "book/build.h"

#include "text/limits.h"
#include "text/nearest.h"

#include <algorithm>
#include <array>

namespace groundrule::book {

namespace {

constexpr std::array<std::pair<std::string_view, FieldKind>, 5> field_kinds = {
    {{"choice", FieldKind::choice},
     {"look_up", FieldKind::look_up},
     {"measure", FieldKind::measure},
     {"judgement", FieldKind::judgement},
     {"authority", FieldKind::authority}}};

void add_choice_type(const std::string &name, const std::vector<ast::Name> &choices, Typer &typer) {
    ChoiceType type;
    type.name = name;
    for (const ast::Name &choice : choices) {
        if (std::find(type.choices.begin(), type.choices.end(), choice.text) != type.choices.end())
            typer.diagnostics().error("choice-twice", choice.span,
                                      "\"" + choice.text + "\" stands twice in " + name);
        type.choices.push_back(choice.text);
    }
    if (type.choices.size() > limits::choices_per_type)
        typer.diagnostics().error("too-large", choices.front().span,
                                  name + " has more than " +
                                      std::to_string(limits::choices_per_type) + " choices");
    typer.book().choice_types.push_back(std::move(type));
}

FieldKind field_kind(const ast::Name &kind, Diagnostics &diagnostics) {
    std::vector<std::string> known;
    for (const auto &[word, value] : field_kinds) {
        if (word == kind.text)
            return value;
        known.emplace_back(word);
    }
    const std::string near = nearest(kind.text, known);
    diagnostics.error("unknown-name", kind.span, "`" + kind.text + "` is no kind of field").help =
        near.empty() ? "choice, look_up, measure, judgement or authority"
                     : "did you mean `" + near + "`?";
    return FieldKind::choice;
}

Field work_field(std::int32_t work_type) {
    Field work;
    work.name = "work";
    work.type = {ValueKind::choice, {}, work_type};
    work.question = "Is it new, altered, replaced or existing?";
    return work;
}

void twice(const ast::Name &name, const std::string &what, Span before, Typer &typer) {
    Diagnostic &d = typer.diagnostics().error("declared-twice", name.span,
                                              what + " `" + name.text + "` is declared already");
    d.other = before;
    d.other_is = "here";
}

// A job tells facts and lists by name, beside what it tells of every item.
void check_key(const ast::Name &name, Typer &typer) {
    static constexpr std::array<std::string_view, 4> of_every_item = {"id", "note", "complete",
                                                                      "assumed"};
    if (std::find(of_every_item.begin(), of_every_item.end(), name.text) != of_every_item.end())
        typer.diagnostics().error("declared-twice", name.span,
                                  "every item of a job has `" + name.text + "` already");
}

void check_list(const ast::Name &list, const Item &parent, Typer &typer) {
    check_key(list, typer);
    const std::int32_t field = find_field(parent, list.text);
    if (field >= 0)
        twice(list, "the field", parent.fields[static_cast<std::size_t>(field)].span, typer);
    for (const std::int32_t child : parent.children) {
        const Item &other = typer.book().items[static_cast<std::size_t>(child)];
        if (other.list == list.text)
            twice(list, "the list", other.span, typer);
    }
}

void add_item(const ast::Decl &decl, std::int32_t work_type, Typer &typer) {
    const auto &written = std::get<ast::ItemDecl>(decl.body);
    Book &book = typer.book();
    Item item;
    item.name = written.name.text;
    item.list = written.list.text;
    item.title = written.title.empty() ? item.name : written.title;
    item.span = written.name.span;
    if (find_item(book, item.name) >= 0)
        twice(written.name, "the item",
              book.items[static_cast<std::size_t>(find_item(book, item.name))].span, typer);
    if (written.parent.text.empty()) {
        if (!book.items.empty())
            typer.diagnostics().error("second-root", written.name.span,
                                      "only the first item stands without an item above it");
    } else {
        item.parent = find_item(book, written.parent.text);
        if (item.parent < 0 && !typer.broken().has(written.parent.text)) {
            std::vector<std::string> known;
            for (const Item &i : book.items)
                known.push_back(i.name);
            const std::string near = nearest(written.parent.text, known);
            typer.diagnostics()
                .error("unknown-name", written.parent.span,
                       "`" + written.parent.text + "` is no item")
                .help = near.empty() ? "" : "did you mean `" + near + "`?";
        }
        if (item.parent >= 0)
            check_list(written.list, book.items[static_cast<std::size_t>(item.parent)], typer);
    }
    item.fields.push_back(work_field(work_type));
    for (const ast::FieldDecl &f : written.fields) {
        Field field;
        field.name = f.name.text;
        field.question = f.question;
        field.span = f.name.span;
        field.kind = field_kind(f.kind, typer.diagnostics());
        check_key(f.name, typer);
        if (find_field(item, field.name) >= 0)
            twice(f.name, "the field",
                  item.fields[static_cast<std::size_t>(find_field(item, field.name))].span, typer);
        const auto type = typer.resolve(f.type, item.name + "." + field.name);
        if (!type) {
            typer.broken().add_name(field.name);
            continue;
        }
        field.type = *type;
        item.fields.push_back(std::move(field));
    }
    const auto index = static_cast<std::int32_t>(book.items.size());
    if (item.parent >= 0)
        book.items[static_cast<std::size_t>(item.parent)].children.push_back(index);
    book.items.push_back(std::move(item));
}

// Parents before children, whatever the order of the files.
std::vector<const ast::Decl *> in_tree_order(std::vector<const ast::Decl *> items) {
    std::vector<const ast::Decl *> ordered;
    const auto name = [](const ast::Decl *d) { return std::get<ast::ItemDecl>(d->body).name.text; };
    const auto parent = [](const ast::Decl *d) {
        return std::get<ast::ItemDecl>(d->body).parent.text;
    };
    bool moved = true;
    while (moved) {
        moved = false;
        for (auto it = items.begin(); it != items.end();) {
            const std::string above = parent(*it);
            const bool ready =
                above.empty() || std::any_of(ordered.begin(), ordered.end(),
                                             [&](const ast::Decl *d) { return name(d) == above; });
            if (ready) {
                ordered.push_back(*it);
                it = items.erase(it);
                moved = true;
            } else {
                ++it;
            }
        }
    }
    ordered.insert(ordered.end(), items.begin(), items.end());
    return ordered;
}

} // namespace

std::optional<Type> Typer::resolve(const ast::TypeRef &ref, const std::string &inline_name) {
    if (!ref.choices.empty()) {
        add_choice_type(inline_name, ref.choices, *this);
        return Type{
            ValueKind::choice, {}, static_cast<std::int32_t>(book_.choice_types.size()) - 1};
    }
    const std::string &name = ref.name.text;
    if (name == "yes_no")
        return truth_type();
    if (name == "conductor_size")
        return Type{ValueKind::conductor_size, {}, -1};
    if (name == "date")
        return Type{ValueKind::date, {}, -1};
    if (const auto d = dimension::named(name))
        return quantity_type(*d);
    std::vector<std::string> known = {
        "yes_no",         "conductor_size", "date",   "number",      "current",
        "voltage",        "power",          "length", "area",        "volume",
        "conductor_area", "resistance",     "torque", "temperature", "temperature_difference"};
    for (std::size_t i = 0; i < book_.choice_types.size(); ++i) {
        if (book_.choice_types[i].name == name)
            return Type{ValueKind::choice, {}, static_cast<std::int32_t>(i)};
        known.push_back(book_.choice_types[i].name);
    }
    if (broken_.has(name))
        return std::nullopt;
    const std::string near = nearest(name, known);
    diagnostics_.error("unknown-type", ref.name.span, "`" + name + "` is no type").help =
        near.empty() ? "types are yes_no, number, date, conductor_size, dimensions such as "
                       "current or length, and the choice types of the vocabulary"
                     : "did you mean `" + near + "`?";
    return std::nullopt;
}

namespace {

void add_group(const DraftGroup &draft, Typer &typer) {
    Book &book = typer.book();
    const auto type =
        std::find_if(book.choice_types.begin(), book.choice_types.end(),
                     [&](const ChoiceType &c) { return c.name == draft.decl.type.text; });
    if (type == book.choice_types.end()) {
        typer.diagnostics().error("unknown-type", draft.decl.type.span,
                                  "`" + draft.decl.type.text + "` is no choice type");
        return;
    }
    if (std::find(type->choices.begin(), type->choices.end(), draft.decl.name.text) !=
        type->choices.end()) {
        typer.diagnostics().error("declared-twice", draft.decl.name.span,
                                  "`" + draft.decl.name.text + "` is a choice of " + type->name +
                                      " already");
        return;
    }
    Group group;
    group.name = draft.decl.name.text;
    group.choices = static_cast<std::int32_t>(type - book.choice_types.begin());
    group.set.assign(type->choices.size(), 0);
    group.layer = draft.layer;
    group.span = draft.span;
    for (const ast::Name &choice : draft.decl.choices) {
        const auto value = typer.choice_value({ValueKind::choice, {}, group.choices}, choice);
        if (value)
            group.set[static_cast<std::size_t>(*value)] = 1;
    }
    book.groups.push_back(std::move(group));
}

void unknown_field(const ast::Name &name, const Item &item, Typer &typer) {
    if (typer.broken().has(name.text))
        return;
    std::vector<std::string> known;
    for (const Field &f : item.fields)
        known.push_back(f.name);
    const std::string near = nearest(name.text, known);
    typer.diagnostics()
        .error("unknown-name", name.span, "`" + name.text + "` is no field of " + item.name)
        .help = near.empty() ? "" : "did you mean `" + near + "`?";
}

} // namespace

void build_vocabulary(const Draft &draft, Typer &typer) {
    Book &book = typer.book();
    ChoiceType work;
    work.name = "work";
    work.choices.assign(std::begin(work_names), std::end(work_names));
    book.choice_types.push_back(std::move(work));
    std::vector<const ast::Decl *> items;
    std::vector<const ast::Name *> types;
    for (const ast::Decl *decl : draft.vocabulary) {
        if (decl->kind == ast::DeclKind::type) {
            const auto &type = std::get<ast::TypeDecl>(decl->body);
            const auto there = std::find_if(types.begin(), types.end(), [&](const ast::Name *n) {
                return n->text == type.name.text;
            });
            if (there != types.end())
                twice(type.name, "the type", (*there)->span, typer);
            types.push_back(&type.name);
            add_choice_type(type.name.text, type.choices, typer);
        } else if (decl->kind == ast::DeclKind::item) {
            items.push_back(decl);
        }
    }
    for (const ast::Decl *decl : in_tree_order(std::move(items)))
        add_item(*decl, 0, typer);
    for (const DraftGroup &group : draft.groups)
        add_group(group, typer);
    for (Item &item : book.items) {
        for (Field &field : item.fields)
            field.slot = book.slot_count++;
    }
}

void build_implications(const Draft &draft, Typer &typer) {
    Book &book = typer.book();
    for (const ast::Decl *decl : draft.vocabulary) {
        if (decl->kind != ast::DeclKind::imply)
            continue;
        const auto &imply = std::get<ast::ImplyDecl>(decl->body);
        const std::int32_t item = find_item(book, imply.item.text);
        if (item < 0) {
            if (!typer.broken().has(imply.item.text))
                typer.diagnostics().error("unknown-name", imply.item.span,
                                          "`" + imply.item.text + "` is no item");
            continue;
        }
        Scope scope;
        for (const ast::File &file : book.files) {
            if (file.source == decl->span.file)
                scope.file = &file;
        }
        scope.self = item;
        scope.space = item;
        scope.implying = true;
        for (const ast::ImplyDecl::Fact &fact : imply.facts) {
            const std::int32_t index =
                find_field(book.items[static_cast<std::size_t>(item)], fact.field.text);
            if (index < 0) {
                unknown_field(fact.field, book.items[static_cast<std::size_t>(item)], typer);
                continue;
            }
            Field &field =
                book.items[static_cast<std::size_t>(item)].fields[static_cast<std::size_t>(index)];
            const NodeId value =
                typer.type_as(fact.value, scope, field.type, "what `" + field.name + "` is set to");
            if (value == no_node)
                continue;
            field.implied.push_back(value);
            field.implied_by.push_back(imply.source);
        }
    }
}

} // namespace groundrule::book
