#include "answers/interview.h"

#include "evaluate/scalar.h"
#include "facts/json_reader.h"
#include "facts/json_tree.h"

#include <algorithm>
#include <charconv>

namespace groundrule::answers {

namespace {

constexpr std::size_t most_items = 64; // that one answer adds

bool has(const std::vector<Place> &places, const Place &at) {
    return std::any_of(places.begin(), places.end(),
                       [&](const Place &p) { return same_place(p, at); });
}

bool refuse(Diagnostics &diagnostics, const char *code, std::string message, std::string help) {
    Diagnostic d;
    d.code = code;
    d.message = std::move(message);
    d.help = std::move(help);
    diagnostics.add(std::move(d));
    return false;
}

} // namespace

std::optional<Interview> Interview::begin(const book::Book &book, const program::Program &program,
                                          const evaluate::Dense &dense, std::string_view json,
                                          const std::string &name, const InterviewOptions &options,
                                          Diagnostics &diagnostics) {
    Interview out(book, program, dense, facts::Job(book));
    out.options_ = options;
    out.name_ = name;
    // Read by the job's own reader first: it bounds the document and places its faults.
    if (!facts::job_from_json(book, json, name, diagnostics))
        return std::nullopt;
    if (!out.take(facts::json_tree(json), diagnostics))
        return std::nullopt;
    out.look();
    return out;
}

Subject Interview::subject() const {
    return {*book_, *program_, *dense_, job_, options_.stage, false};
}

// A document that has no faults and does not contradict itself becomes that of the interview.
bool Interview::take(JsonValue document, Diagnostics &diagnostics) {
    auto job = facts::job_from_json(*book_, document.dump(), name_, diagnostics);
    if (!job)
        return false;
    evaluate::Workspace cells;
    evaluate::run(*program_, *job, cells);
    if (!cells.contradictions.empty()) {
        diagnostics = report::contradictions(*book_, *program_, *job, cells);
        return false;
    }
    document_ = std::move(document);
    job_ = std::move(*job);
    return true;
}

void Interview::look() {
    question_ = options_.outline ? outline_question() : std::nullopt;
    if (question_)
        return;
    next_ = next_questions(subject(), skip_);
    if (!next_.questions.empty())
        question_ = next_.questions.front();
    else if (!next_.apart.empty())
        question_ = next_.apart.front();
}

bool Interview::rules_below(std::int32_t item) const {
    return std::any_of(book_->rules.begin(), book_->rules.end(), [&](const book::Rule &r) {
        const bool staged = options_.stage.empty() || std::find(r.stages.begin(), r.stages.end(),
                                                                options_.stage) != r.stages.end();
        return staged && r.force == ast::Force::shall && is_above_or_same(*book_, item, r.item);
    });
}

std::optional<Question> Interview::outline_question() const {
    for (std::size_t i = 0; i < book_->items.size(); ++i) {
        const book::Item &item = book_->items[i];
        const facts::Rows &rows = job_.rows(static_cast<std::int32_t>(i));
        for (std::size_t row = 0; row < rows.size(); ++row) {
            for (std::size_t child = 0; child < item.children.size(); ++child) {
                const Place at{static_cast<std::int32_t>(i), static_cast<std::int32_t>(row),
                               static_cast<std::int32_t>(child)};
                if (rows.whole[child][row] != 0 || rows.counts[child][row] != 0 ||
                    has(skip_.skipped_lists, at) || !rules_below(item.children[child]))
                    continue;
                const book::Item &type =
                    book_->items[static_cast<std::size_t>(item.children[child])];
                Question q;
                q.list = true;
                q.at = at;
                q.missing.fact = item.name + "." + type.list;
                q.missing.item = report::path_of(job_, at.item, row);
                q.missing.kind = "list";
                q.missing.question = "How many " + type.list + " does this " + item.name +
                                     " have? (" + type.title + ")";
                return q;
            }
        }
    }
    return std::nullopt;
}

// The document has the items of the job, list by list.
JsonValue &Interview::item_in(JsonValue &document, std::int32_t item, // NOLINT(misc-no-recursion)
                              std::size_t row) const {
    const book::Item &type = book_->items[static_cast<std::size_t>(item)];
    if (type.parent < 0)
        return document;
    const facts::Rows &rows = job_.rows(item);
    return item_in(document, type.parent,
                   static_cast<std::size_t>(
                       rows.parent[row]))[type.list][static_cast<std::size_t>(rows.number[row])];
}

bool Interview::answer(std::string_view text, Diagnostics &diagnostics) {
    if (!question_)
        return refuse(diagnostics, "nothing-asked", "nothing is asked", {});
    auto document = question_->list ? counted(text, diagnostics) : told(text, diagnostics);
    if (!document || !take(std::move(*document), diagnostics))
        return false;
    ++answered_;
    look();
    return true;
}

std::optional<JsonValue> Interview::told(std::string_view text, Diagnostics &diagnostics) const {
    const Place &at = question_->at;
    const book::Field &field = field_of(*book_, at);
    JsonValue out = document_;
    JsonValue &item = item_in(out, at.item, static_cast<std::size_t>(at.row));
    if (field.type.is_truth()) {
        if (text != "yes" && text != "no") {
            refuse(diagnostics, "wrong-type", "\"" + std::string(text) + "\" is neither yes nor no",
                   {});
            return std::nullopt;
        }
        item[field.name] = text == "yes";
        return out;
    }
    double number = 0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), number);
    const bool plain = field.type.is_quantity() && field.type.dimension.is_number() &&
                       fault == std::errc() && end == text.data() + text.size();
    item[field.name] = plain ? JsonValue(number) : JsonValue(std::string(text));
    return out;
}

std::optional<JsonValue> Interview::counted(std::string_view text, Diagnostics &diagnostics) const {
    const bool more = !text.empty() && text.back() == '+';
    const std::string_view digits = text.substr(0, text.size() - (more ? 1 : 0));
    std::size_t count = 0;
    const auto [end, fault] = std::from_chars(digits.data(), digits.data() + digits.size(), count);
    if (fault != std::errc() || end != digits.data() + digits.size() || count > most_items) {
        refuse(diagnostics, "wrong-count",
               "\"" + std::string(text) + "\" is no number of items up to " +
                   std::to_string(most_items),
               "0 if there are none; 2+ if there are two and may be more");
        return std::nullopt;
    }
    const Place &at = question_->at;
    const book::Item &owner = book_->items[static_cast<std::size_t>(at.item)];
    const std::string &list =
        book_->items[static_cast<std::size_t>(owner.children[static_cast<std::size_t>(at.field)])]
            .list;
    JsonValue out = document_;
    JsonValue &item = item_in(out, at.item, static_cast<std::size_t>(at.row));
    if (count != 0 && !item.contains(list))
        item[list] = JsonValue::array();
    for (std::size_t i = 0; i < count; ++i)
        item[list].push_back(JsonValue::object());
    if (!more) {
        if (!item.contains("complete"))
            item["complete"] = JsonValue::array();
        item["complete"].push_back(list);
    } else if (count == 0) {
        refuse(diagnostics, "wrong-count", "\"0+\" says nothing",
               "leave the question open instead");
        return std::nullopt;
    }
    return out;
}

void Interview::skip() {
    if (!question_)
        return;
    (question_->list ? skip_.skipped_lists : skip_.skipped_facts).push_back(question_->at);
    look();
}

std::string Interview::job_json() const {
    return document_.dump(2) + "\n";
}

} // namespace groundrule::answers
