// Items are made when they are first named, each inside the one above it.
#include "evaluate/situation.h"

#include "book/typer_words.h"

namespace groundrule::evaluate {

void Situation::take(const std::vector<ast::TestFact> &facts) {
    for (const ast::TestFact &fact : facts)
        facts_.push_back({&fact, true});
}

void Situation::drop(const std::vector<std::pair<ast::Name, ast::Name>> &references) {
    for (const auto &[item, field] : references) {
        bool found = false;
        for (Given &g : facts_) {
            const bool same = g.fact->kind != ast::TestFact::Kind::another &&
                              g.fact->item.text == item.text && g.fact->field.text == field.text;
            g.told = g.told && !same;
            found = found || same;
        }
        if (!found)
            fail("unknown-name", item.span,
                 "`" + item.text + "." + field.text + "` is not given, so it can't be left out",
                 "`without` takes away a fact that `given` tells");
    }
}

std::optional<facts::Job> Situation::build() {
    facts::Job job(book_);
    current_.assign(book_.items.size(), -1);
    current_[0] = 0;
    bool good = true;
    for (std::size_t i = 0; i < facts_.size(); ++i) {
        if (i == varied_at_)
            first_again(job);
        good = apply(facts_[i], job) && good;
    }
    if (!good)
        return std::nullopt;
    job.inherit_work();
    return job;
}

void Situation::first_again(const facts::Job &job) {
    for (std::size_t i = 0; i < current_.size(); ++i)
        current_[i] = job.rows(static_cast<std::int32_t>(i)).size() > 0 ? 0 : -1;
}

bool Situation::fail(const char *code, Span span, std::string message, std::string help) {
    faults_.error(code, span, std::move(message)).help = std::move(help);
    return false;
}

bool Situation::no_item(const ast::Name &item) {
    return fail("unknown-name", item.span, "`" + item.text + "` is no item",
                book::did_you_mean(nearest(item.text, book::names_in(book_.items))));
}

std::int32_t Situation::row(std::int32_t item, facts::Job &job) { // NOLINT(misc-no-recursion)
    std::int32_t &at = current_[static_cast<std::size_t>(item)];
    if (at < 0)
        at = job.add(item, row(book_.items[static_cast<std::size_t>(item)].parent, job));
    return current_[static_cast<std::size_t>(item)];
}

bool Situation::apply(const Given &given, facts::Job &job) {
    const ast::TestFact &fact = *given.fact;
    const std::int32_t item = book::find_item(book_, fact.item.text);
    if (item < 0)
        return no_item(fact.item);
    if (fact.kind == ast::TestFact::Kind::another)
        return another(fact, item, job);
    const std::int32_t at = row(item, job);
    if (!given.told)
        return true;
    return fact.kind == ast::TestFact::Kind::complete ? mark(fact, item, at, job)
                                                      : set(fact, item, at, job);
}

bool Situation::another(const ast::TestFact &fact, std::int32_t item, facts::Job &job) {
    if (item == 0)
        return fail("wrong-count", fact.item.span, "there is one job");
    row(item, job);
    current_[static_cast<std::size_t>(item)] =
        job.add(item, row(book_.items[static_cast<std::size_t>(item)].parent, job));
    // What stood in the other one stands there, not here.
    for (std::size_t i = 0; i < current_.size(); ++i) {
        if (static_cast<std::int32_t>(i) != item &&
            is_above_or_same(book_, item, static_cast<std::int32_t>(i)))
            current_[i] = -1;
    }
    return true;
}

bool Situation::mark(const ast::TestFact &fact, std::int32_t item, std::int32_t at,
                     facts::Job &job) {
    const book::Item &type = book_.items[static_cast<std::size_t>(item)];
    std::vector<std::string> lists;
    for (std::size_t i = 0; i < type.children.size(); ++i) {
        lists.push_back(book_.items[static_cast<std::size_t>(type.children[i])].list);
        if (lists.back() == fact.field.text) {
            job.mark_complete(item, at, static_cast<std::int32_t>(i), true);
            return true;
        }
    }
    const std::string near = book::did_you_mean(nearest(fact.field.text, lists));
    return fail("unknown-name", fact.field.span,
                "`" + fact.field.text + "` is no list of " + type.name,
                near.empty() ? book::some_of(type.name, lists) : near);
}

bool Situation::set(const ast::TestFact &fact, std::int32_t item, std::int32_t at,
                    facts::Job &job) {
    const book::Item &type = book_.items[static_cast<std::size_t>(item)];
    const std::int32_t index = find_field(type, fact.field.text);
    if (index < 0) {
        const std::vector<std::string> fields = book::names_in(type.fields);
        const std::string near = book::did_you_mean(nearest(fact.field.text, fields));
        return fail("unknown-name", fact.field.span,
                    "`" + fact.field.text + "` is no field of " + type.name,
                    near.empty() ? book::some_of(type.name, fields) : near);
    }
    const book::Field &field = type.fields[static_cast<std::size_t>(index)];
    facts::FactFault fault;
    const auto value = read(fact.value, field, type.name + "." + field.name, fault);
    if (!value)
        return fail(fault.code.c_str(), fact.value.span, fault.message, fault.help);
    job.set(item, at, index, exactly(*value));
    return true;
}

std::optional<double> Situation::read(const ast::Cell &cell, const book::Field &field,
                                      const std::string &name, facts::FactFault &fault) const {
    if (cell.kind == ast::Cell::Kind::word && (cell.word == "yes" || cell.word == "no") &&
        field.type.is_truth())
        return cell.word == "yes" ? 1 : 0;
    if (cell.kind == ast::Cell::Kind::word && field.type.kind == ValueKind::choice)
        return value_from_text(book_, field, name, cell.word, fault);
    book::Type given;
    given.kind = cell.literal.kind;
    given.dimension = cell.literal.dimension;
    if (cell.kind == ast::Cell::Kind::literal && given == field.type)
        return facts::admitted(field, name, cell.literal.value, fault);
    const std::string what = cell.kind == ast::Cell::Kind::empty ? "nothing"
                             : cell.kind == ast::Cell::Kind::word
                                 ? "\"" + cell.word + "\""
                                 : "a " + type_name(book_.choice_types, given);
    const bool no_unit = cell.kind == ast::Cell::Kind::literal && field.type.is_quantity() &&
                         given.is_quantity() && given.dimension.is_number();
    fault = {"wrong-type",
             name + " is a " + type_name(book_.choice_types, field.type) + ", and " + what +
                 " stands here",
             cell.kind == ast::Cell::Kind::empty ? "a fact that is not known is left out"
             : field.type.is_truth()             ? "write `yes` or `no`"
             : no_unit ? "it is written with its unit: " + units_of(field.type.dimension)
                       : ""};
    return std::nullopt;
}

std::optional<facts::Job> job_of(const book::Book &book, const ast::TestDecl &test,
                                 const ast::TestCase &told, std::size_t rule, Diagnostics &faults) {
    Situation situation(book, faults);
    situation.take(test.given);
    situation.drop(told.without);
    situation.vary();
    situation.take(told.with);
    auto job = situation.build();
    const std::int32_t item = book.rules[rule].item;
    if (job && job->rows(item).size() == 0) {
        situation.row(item, *job);
        job->inherit_work();
    }
    return job;
}

} // namespace groundrule::evaluate
