// Questions as text and as JSON.
#include "answers/closing.h"
#include "answers/next.h"
#include "report/paragraph.h"

#include <cmath>
#include <cstdio>

namespace groundrule::answers {

namespace {

using report::Json;

class Teller {
  public:
    Teller(const Subject &subject, const Next &next)
        : subject_(subject), book_(subject.book), next_(next), trial_(subject) {}

    std::string text() const {
        static constexpr std::pair<const char *, const char *> groups[] = {
            {"choice", "To decide:"},
            {"look_up", "To look up:"},
            {"measure", "To measure:"},
            {"list", "Lists:"},
            {"judgement", "For an inspector to judge:"},
            {"authority", "For the authority having jurisdiction to decide:"}};
        std::string out = "Book " + book_.name +
                          (subject_.stage.empty() ? "" : ", stage " + subject_.stage) + "\n" +
                          std::to_string(next_.open) + " findings are open.\n";
        for (const auto &[kind, heading] : groups) {
            std::string group;
            for (const auto *list : {&next_.questions, &next_.apart}) {
                for (const Question &q : *list) {
                    if (q.missing.kind == kind)
                        group += question_text(q);
                }
            }
            if (!group.empty())
                out += std::string("\n") + heading + "\n" + group;
        }
        if (!next_.remaining.empty())
            out += "\nOpen for other reasons:\n";
        for (const Remaining &r : next_.remaining) {
            out += report::paragraph(finding(r.verdict), 4, 2);
            for (const std::string &reason : r.reasons)
                out += report::paragraph(reason, 4);
        }
        return out + "\n" + closing_text(book_);
    }

    std::string json() const {
        Json out = {{"book", report::book_json(book_)}};
        if (!subject_.stage.empty())
            out["stage"] = subject_.stage;
        out["open"] = next_.open;
        out["questions"] = questions_json(next_.questions);
        out["apart"] = questions_json(next_.apart);
        out["remaining"] = Json::array();
        for (const Remaining &r : next_.remaining) {
            Json rest = finding_json(r.verdict);
            rest["reasons"] = r.reasons;
            out["remaining"].push_back(std::move(rest));
        }
        close_json(book_, out);
        return out.dump(2) + "\n";
    }

  private:
    const book::Rule &rule(std::size_t v) const { return book_.rules[trial_.rule_of(v)]; }

    std::string finding(std::size_t v) const {
        return rule(v).citation + "  " + rule(v).title + ", " +
               report::path_of(subject_.job, rule(v).item, trial_.row_of(v));
    }

    Json finding_json(std::size_t v) const {
        return {{"citation", rule(v).citation},
                {"rule", rule(v).topic},
                {"item", report::path_of(subject_.job, rule(v).item, trial_.row_of(v))}};
    }

    std::string question_text(const Question &q) const {
        std::string out = report::paragraph("? " + q.missing.question, 4, 2);
        if (q.missing.choices != nullptr) {
            std::string choices;
            for (const std::string &c : *q.missing.choices)
                choices += (choices.empty() ? "one of " : ", ") + c;
            out += report::paragraph(choices, 4);
        }
        std::string tail = q.missing.fact + " at " + q.missing.item;
        if (!q.unit.empty())
            tail += "; in " + q.unit;
        char mean[32];
        std::snprintf(mean, sizeof mean, "%.1f", q.decides);
        tail += "; " + std::to_string(q.waiting.size()) +
                (q.waiting.size() == 1 ? " finding waits" : " findings wait") +
                ", an answer decides " + mean;
        if (!q.proven)
            tail += "; whether it can decide anything was not found";
        return out + report::paragraph(tail, 4);
    }

    Json questions_json(const std::vector<Question> &questions) const {
        Json out = Json::array();
        for (const Question &q : questions) {
            Json question = report::missing_json(q.missing);
            if (!q.unit.empty())
                question["unit"] = q.unit;
            question["decides"] = std::nearbyint(q.decides * 1e6) / 1e6;
            question["proven"] = q.proven;
            question["waiting"] = Json::array();
            for (const std::size_t v : q.waiting)
                question["waiting"].push_back(finding_json(v));
            out.push_back(std::move(question));
        }
        return out;
    }

    const Subject &subject_;
    const book::Book &book_;
    const Next &next_;
    Trial trial_;
};

} // namespace

std::string next_text(const Subject &subject, const Next &next) {
    return Teller(subject, next).text();
}

std::string next_json(const Subject &subject, const Next &next) {
    return Teller(subject, next).json();
}

} // namespace groundrule::answers
