#include "answers/interview.h"

#include "answers/outline.h"
#include "evaluate/scalar.h"
#include "facts/json_reader.h"
#include "facts/json_tree.h"

#include <algorithm>
#include <charconv>

namespace groundrule::answers {

namespace {

constexpr std::size_t most_items = 64; // that one answer adds

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

const Question *Interview::question() const {
    return question_ ? &*question_ : nullptr;
}

Subject Interview::subject() const {
    return {*book_, *program_, *dense_, job_, options_.stage, false};
}

// A document that has no faults and does not contradict itself becomes that of the interview.
bool Interview::take(JsonValue document, Diagnostics &diagnostics) {
    Diagnostics faults;
    auto job = facts::job_from_json(*book_, document.dump(), name_, faults);
    for (Diagnostic fault : faults.list()) { // its place is none that a person wrote
        fault.where.clear();
        diagnostics.add(std::move(fault));
    }
    if (!job)
        return false;
    if (options_.most_items != 0 && job->row_count() > options_.most_items)
        return refuse(diagnostics, "too-large",
                      "a job has items, at most " + std::to_string(options_.most_items) + " here",
                      {});
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
    question_ = options_.outline ? outline_question(subject(), skip_) : std::nullopt;
    if (question_)
        return;
    next_ = next_questions(subject(), skip_);
    if (!next_.questions.empty())
        question_ = at_hand(next_.questions);
    else if (!next_.apart.empty())
        question_ = next_.apart.front();
}

// Of the item that was spoken of last, if such a question is worth half as much as the best.
const Question &Interview::at_hand(const std::vector<Question> &questions) const {
    const auto here = std::find_if(questions.begin(), questions.end(), [&](const Question &q) {
        return q.at.item == last_.item && q.at.row == last_.row;
    });
    const Question &best = questions.front();
    return here != questions.end() && here->proven == best.proven && 2 * worth(*here) >= worth(best)
               ? *here
               : best;
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
    last_ = question_->at;
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
    // "1+ existing"
    const std::string_view first = text.substr(0, text.find(' '));
    const bool more = !first.empty() && first.back() == '+';
    const std::string_view digits = first.substr(0, first.size() - (more ? 1 : 0));
    const std::string work(first.size() == text.size() ? "" : text.substr(first.size() + 1));
    std::size_t count = 0;
    const auto [end, fault] = std::from_chars(digits.data(), digits.data() + digits.size(), count);
    const std::vector<std::string> &works =
        book_->choice_types[static_cast<std::size_t>(book_->items[0].fields[0].type.choices)]
            .choices;
    if (fault != std::errc() || end != digits.data() + digits.size() || count > most_items ||
        (!work.empty() && std::find(works.begin(), works.end(), work) == works.end())) {
        refuse(
            diagnostics, "wrong-count",
            "\"" + std::string(text) + "\" is no number of items up to " +
                std::to_string(most_items),
            "0 if there are none; 2+ if there are two and may be more; 1 existing if its work is "
            "not that of what it stands in");
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
    for (std::size_t i = 0; i < count; ++i) {
        JsonValue made = JsonValue::object();
        if (!work.empty())
            made["work"] = work;
        item[list].push_back(std::move(made));
    }
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
