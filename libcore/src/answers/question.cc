#include "answers/question.h"

#include "quantity/literal.h"

namespace groundrule::answers {

namespace {

Question question_of(const Subject &subject, const Place &at) {
    Question q;
    q.at = at;
    q.missing.item = report::path_of(subject.job, at.item, static_cast<std::size_t>(at.row));
    return q;
}

} // namespace

double worth(const Question &question) {
    const double effort = question.missing.kind == "look_up"   ? 2
                          : question.missing.kind == "measure" ? 4
                                                               : 1;
    return question.decides / effort;
}

Question fact_question(const Subject &subject, const Place &at) {
    const book::Field &field = field_of(subject.book, at);
    Question q = question_of(subject, at);
    q.missing.fact = fact_name(subject.book, at);
    q.missing.kind = report::field_kind_name(field.kind);
    q.missing.question = field.question;
    if (field.type.kind == ValueKind::choice)
        q.missing.choices =
            &subject.book.choice_types[static_cast<std::size_t>(field.type.choices)].choices;
    if (field.type.is_quantity() && !field.type.dimension.is_number())
        q.unit = units_of(field.type.dimension);
    return q;
}

Question list_question(const Subject &subject, const Place &at) {
    const book::Item &owner = subject.book.items[static_cast<std::size_t>(at.item)];
    const book::Item &child =
        subject.book
            .items[static_cast<std::size_t>(owner.children[static_cast<std::size_t>(at.field)])];
    const bool some =
        subject.job.rows(at.item)
            .counts[static_cast<std::size_t>(at.field)][static_cast<std::size_t>(at.row)] != 0;
    Question q = question_of(subject, at);
    q.list = true;
    q.missing.fact = owner.name + "." + child.list;
    q.missing.kind = "list";
    q.missing.question = "How many" + std::string(some ? " more " : " ") + child.list +
                         " has this " + owner.name + (some ? ", besides those told" : "") + "? (" +
                         child.title + ")";
    return q;
}

} // namespace groundrule::answers
