// Remedies as text and as JSON.
#include "answers/closing.h"
#include "answers/remedy.h"
#include "report/paragraph.h"
#include "report/values.h"

#include <cmath>
#include <cstdio>

namespace groundrule::answers {

namespace {

using report::Json;

class Teller {
  public:
    Teller(const Subject &subject, const Remedies &remedies)
        : subject_(subject), book_(subject.book), out_(remedies), trial_(subject) {}

    std::string text() {
        std::string out = "Book " + book_.name +
                          (subject_.stage.empty() ? "" : ", stage " + subject_.stage) + "\n\n";
        if (out_.violated.empty() && !out_.sizing)
            out += "Nothing is violated, so nothing needs a remedy.\n";
        for (const std::size_t v : out_.violated)
            out += report::paragraph("Violated: " + finding(v), 2, 0);
        if (out_.remedies.empty() && out_.blocking.empty() && out_.sizing)
            out += "\nNone of the values that the book offers complies.\n";
        if (out_.remedies.empty() && !out_.violated.empty() && !out_.sizing)
            out += "\nNo remedy among the changes that the book offers.\n";
        if (out_.remedies.empty() && !out_.blocking.empty()) {
            out += "\nNothing can be chosen while these apply and stay open:\n";
            for (const std::size_t v : out_.blocking)
                out += "  " + finding(v) + "\n";
        }
        for (std::size_t i = 0; i < out_.remedies.size(); ++i)
            out += remedy_text(i);
        if (out_.remedies.size() < out_.found)
            out += "\nand " + std::to_string(out_.found - out_.remedies.size()) + " dearer ones\n";
        out += "\n" + report::paragraph(promise(), 0) + report::paragraph(work(), 0);
        return out + closing_text(book_);
    }

    std::string json() {
        Json out = {{"book", report::book_json(book_)}};
        if (!subject_.stage.empty())
            out["stage"] = subject_.stage;
        out["violated"] = findings_json(out_.violated);
        out["remedies"] = Json::array();
        for (const Remedy &r : out_.remedies)
            out["remedies"].push_back(remedy_json(r));
        out["found"] = out_.found;
        if (!out_.blocking.empty())
            out["blocking"] = findings_json(out_.blocking);
        out["tried"] = out_.tried;
        out["exhausted"] = out_.exhausted;
        out["promise"] = promise();
        close_json(book_, out);
        return out.dump(2) + "\n";
    }

  private:
    static std::string promise() {
        return "Each remedy was checked as a whole job: with it nothing violates, and what "
               "violated "
               "complies or does not apply. What was open before may still be open; what was "
               "decided and is open with it stands beside it, to be found out first. Those stand "
               "first that leave the fewest such findings, and among equals the cheapest. It says "
               "nothing of workmanship, or of whether the change can be built.";
    }

    std::string work() const {
        return std::to_string(out_.tried) + " jobs checked, over " +
               std::to_string(out_.offered.size()) + " offered changes" +
               (out_.exhausted ? "." : "; the search ended at its bound, so there may be more.");
    }

    std::string finding(std::size_t v) const {
        const book::Rule &rule = book_.rules[trial_.rule_of(v)];
        return rule.citation + "  " + rule.title + ", " + item(rule.item, trial_.row_of(v));
    }

    Json findings_json(const std::vector<std::size_t> &verdicts) const {
        Json out = Json::array();
        for (const std::size_t v : verdicts) {
            const book::Rule &rule = book_.rules[trial_.rule_of(v)];
            out.push_back({{"citation", rule.citation},
                           {"rule", rule.topic},
                           {"title", rule.title},
                           {"item", report::path_of(subject_.job, rule.item, trial_.row_of(v))}});
        }
        return out;
    }

    std::string item(std::int32_t type, std::size_t row) const {
        const std::string path = report::path_of(subject_.job, type, row);
        const std::string &id = subject_.job.rows(type).id[row];
        return id.empty() ? path : id + " (" + path + ")";
    }

    std::string value(const Place &at, const Cell &cell) const {
        return cell.known() ? report::cell_text(book_, field_of(book_, at).type, cell) : "not told";
    }

    static std::string money(double cost) {
        char text[32];
        std::snprintf(text, sizeof text, "%.2f", cost);
        return text;
    }

    std::string remedy_text(std::size_t index) const {
        const Remedy &r = out_.remedies[index];
        std::string out = "\n" + std::string(out_.sizing ? "Choice " : "Remedy ") +
                          std::to_string(index + 1) + ", cost " + money(r.cost) +
                          (r.opens.empty() ? "\n"
                                           : ", with " + std::to_string(r.opens.size()) +
                                                 (r.opens.size() == 1 ? " finding" : " findings") +
                                                 " to be found out\n");
        for (const std::size_t i : r.changes) {
            const Change &c = out_.offered[i];
            out += report::paragraph(
                book_.remedies[c.remedy].title + ": " + fact_name(book_, c.at) + " " +
                    value(c.at, exactly(c.value)) + ", now " + value(c.at, c.before) + ", at " +
                    item(c.at.item, static_cast<std::size_t>(c.at.row)),
                4, 2);
            out += carried_text(c);
        }
        for (std::size_t k = 0; k < r.opens.size(); ++k)
            out += opened_text(r, k);
        return out;
    }

    // What changes with it, a line an item.
    std::string carried_text(const Change &c) const {
        std::string out;
        for (std::size_t s = 1; s < c.settings.size();) {
            const Place &first = c.settings[s].at;
            std::string line =
                "with it, at " + item(first.item, static_cast<std::size_t>(first.row)) + ":";
            for (const char *between = " "; s < c.settings.size(); ++s, between = ", ") {
                const Setting &set = c.settings[s];
                if (set.at.item != first.item || set.at.row != first.row)
                    break;
                line += between + field_of(book_, set.at).name + " " + value(set.at, set.value);
            }
            out += report::paragraph(line, 6, 4);
        }
        return out;
    }

    std::string opened_text(const Remedy &r, std::size_t k) const {
        std::string out = report::paragraph("then to be found out: " + finding(r.opens[k]), 4, 2);
        for (std::size_t m = 0; k < r.missing.size() && m < r.missing[k].size(); ++m)
            out += report::paragraph("? " + r.missing[k][m].question, 6, 4);
        return out;
    }

    Json remedy_json(const Remedy &r) const {
        Json changes = Json::array();
        for (const std::size_t i : r.changes) {
            const Change &c = out_.offered[i];
            Json with = Json::array();
            for (std::size_t s = 1; s < c.settings.size(); ++s)
                with.push_back(setting_json(c.settings[s]));
            Json change = setting_json(c.settings.front());
            change["title"] = book_.remedies[c.remedy].title;
            change["before"] = c.before.known() ? Json(value(c.at, c.before)) : Json(nullptr);
            change["steps"] = c.steps;
            change["with"] = std::move(with);
            changes.push_back(std::move(change));
        }
        Json opens = findings_json(r.opens);
        for (std::size_t k = 0; k < r.missing.size(); ++k) {
            opens[k]["missing"] = Json::array();
            for (const report::Missing &m : r.missing[k])
                opens[k]["missing"].push_back(report::missing_json(m));
        }
        return {{"cost", std::nearbyint(r.cost * 1e6) / 1e6},
                {"changes", std::move(changes)},
                {"opens", std::move(opens)}};
    }

    Json setting_json(const Setting &s) const {
        return {
            {"fact", fact_name(book_, s.at)},
            {"item", report::path_of(subject_.job, s.at.item, static_cast<std::size_t>(s.at.row))},
            {"item_id", subject_.job.rows(s.at.item).id[static_cast<std::size_t>(s.at.row)]},
            {"value", s.value.known() ? Json(value(s.at, s.value)) : Json(nullptr)}};
    }

    const Subject &subject_;
    const book::Book &book_;
    const Remedies &out_;
    Trial trial_;
};

} // namespace

std::string remedies_text(const Subject &subject, const Remedies &remedies) {
    return Teller(subject, remedies).text();
}

std::string remedies_json(const Subject &subject, const Remedies &remedies) {
    return Teller(subject, remedies).json();
}

} // namespace groundrule::answers
