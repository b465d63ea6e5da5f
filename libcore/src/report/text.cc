// A report for people: what is violated, what to find out next, what complies; the rest is counted.
#include "book/digest.h"
#include "report/paragraph.h"
#include "report/render.h"

#include <algorithm>
#include <map>
#include <tuple>

namespace groundrule::report {

namespace {

constexpr std::size_t questions_shown = 5;

// A missing fact and the clauses that it settles.
struct Question {
    const Missing *missing;
    std::vector<std::string> clauses;
};

class Writer {
  public:
    Writer(const Report &report, const TextOptions &options)
        : report_(report), book_(*report.book), options_(options) {}

    std::string text() {
        head();
        violations();
        open_questions();
        complying();
        advice();
        may_apply();
        not_applicable();
        not_encoded();
        tell_cautions();
        return std::move(out_);
    }

  private:
    const book::Rule &rule(const Finding &f) const { return book_.rules[f.rule]; }
    bool counts(const Finding &f) const { return rule(f).force == ast::Force::shall; }

    void line(const std::string &text) { out_ += text + "\n"; }

    void paragraph(const std::string &text, std::size_t indent) {
        out_ += report::paragraph(text, indent);
    }

    void heading(const char *colour, const std::string &text) {
        out_ += "\n";
        line(options_.colour ? std::string("\033[") + colour + "m" + text + "\033[0m" : text);
    }

    std::string where(const Finding &f) const {
        return f.item_id.empty() ? f.item : f.item_id + " (" + f.item + ")";
    }

    void clause(const Finding &f) {
        line("  " + f.citation + "  " + rule(f).title);
        line("    at " + where(f));
    }

    void details(const Finding &f) {
        std::string values;
        for (const Value &v : f.values)
            values += (values.empty() ? "" : "; ") + v.name + " = " + v.value;
        if (!values.empty())
            paragraph(values, 4);
        if (!f.assumed.empty()) {
            std::string assumed;
            for (const std::string &a : f.assumed)
                assumed += (assumed.empty() ? "rests on assumptions: " : "; ") + a;
            paragraph(assumed, 4);
        }
        for (const book::Limit &l : rule(f).limits) {
            if (l.reading)
                paragraph(std::string("reading ") + (l.value != 0 ? "taken: " : "not taken: ") +
                              l.text,
                          4);
        }
        line("    text of " + f.layer);
    }

    void head() {
        if (!report_.title.empty())
            paragraph(report_.title, 0);
        line("Book " + book_.name + (report_.stage.empty() ? "" : ", stage " + report_.stage) +
             ", digest " + book::digest_of(book_).substr(0, 16));
    }

    void violations() {
        const auto violated =
            select([&](const Finding &f) { return f.verdict == Verdict::violates && counts(f); });
        heading(violated.empty() ? "32" : "31",
                violated.empty() ? "Nothing is violated."
                                 : "Violated: " + std::to_string(violated.size()));
        for (const Finding *f : violated) {
            clause(*f);
            paragraph(f->says, 4);
            details(*f);
        }
    }

    void open_questions() {
        const auto open = select([&](const Finding &f) {
            return f.verdict == Verdict::undetermined && f.known_to_apply && counts(f);
        });
        if (open.empty())
            return;
        heading("33", "Open: " + std::to_string(open.size()) +
                          (open.size() == 1 ? " rule applies" : " rules apply") +
                          " and can't be decided yet. To find out:");
        const std::vector<Question> questions = merged(open);
        const std::size_t shown =
            options_.all ? questions.size() : std::min(questions.size(), questions_shown);
        for (std::size_t i = 0; i < shown; ++i)
            question(questions[i]);
        if (shown < questions.size())
            line("  and " + std::to_string(questions.size() - shown) + " more");
    }

    static std::vector<Question> merged(const std::vector<const Finding *> &open) {
        std::vector<Question> out;
        std::map<std::tuple<std::string, std::string, std::string>, std::size_t> known;
        for (const Finding *f : open) {
            for (const Missing &m : f->missing) {
                const auto [it, fresh] =
                    known.try_emplace({m.fact, m.item, m.question}, out.size());
                if (fresh)
                    out.push_back({&m, {}});
                std::vector<std::string> &clauses = out[it->second].clauses;
                if (std::find(clauses.begin(), clauses.end(), f->citation) == clauses.end())
                    clauses.push_back(f->citation);
            }
        }
        std::stable_sort(out.begin(), out.end(), [](const Question &a, const Question &b) {
            return a.clauses.size() > b.clauses.size();
        });
        return out;
    }

    void question(const Question &q) {
        const Missing &m = *q.missing;
        std::string clauses;
        for (const std::string &c : q.clauses)
            clauses += (clauses.empty() ? "" : ", ") + c;
        paragraph("? " + m.question, 2);
        if (m.choices != nullptr) {
            std::string choices;
            for (const std::string &c : *m.choices)
                choices += (choices.empty() ? "one of " : ", ") + c;
            paragraph(choices, 4);
        }
        std::string tail = m.fact.empty() ? "" : m.fact + " at " + m.item + "; ";
        if (!m.instead.empty()) {
            tail += "or told by";
            for (std::size_t i = 0; i < m.instead.size(); ++i)
                tail += (i == 0 ? " " : ", ") + m.instead[i];
            tail += "; ";
        }
        paragraph(tail + "for " + clauses, 4);
    }

    void complying() {
        const auto complies =
            select([&](const Finding &f) { return f.verdict == Verdict::complies && counts(f); });
        if (complies.empty())
            return;
        heading("32", "Complies: " + std::to_string(complies.size()));
        for (const Finding *f : complies) {
            std::string text = "  " + f->citation + "  " + rule(*f).title + ", " + f->item;
            text += f->known_to_apply ? "" : " (whether it applies is open)";
            text += f->assumed.empty() ? "" : " (rests on assumptions)";
            line(text);
            if (options_.all)
                details(*f);
        }
    }

    // Advisory rules that are not met, and cautions and notes that apply.
    void advice() {
        const auto told = select([&](const Finding &f) {
            const bool bare = rule(f).requirement == book::no_node;
            return !counts(f) &&
                   (f.verdict == Verdict::violates || (bare && f.verdict == Verdict::complies));
        });
        if (told.empty())
            return;
        heading("36", "Told, not counted: " + std::to_string(told.size()));
        for (const Finding *f : told)
            paragraph(f->citation + ", " + force_name(rule(*f).force) + ": " + f->says, 2);
    }

    void may_apply() {
        const auto maybe = select([&](const Finding &f) {
            return f.verdict == Verdict::undetermined && !(f.known_to_apply && counts(f));
        });
        if (maybe.empty())
            return;
        std::vector<std::string> topics;
        for (const Finding *f : maybe) {
            if (std::find(topics.begin(), topics.end(), rule(*f).topic) == topics.end())
                topics.push_back(rule(*f).topic);
        }
        std::string text = "May apply: " + std::to_string(maybe.size()) + " (";
        for (std::size_t i = 0; i < topics.size(); ++i)
            text += (i == 0 ? "" : ", ") + topics[i];
        out_ += "\n";
        paragraph(text + ")", 0);
        if (!options_.all)
            return;
        for (const Finding *f : maybe) {
            line("  " + f->citation + "  " + rule(*f).title + ", " + f->item);
            std::string missing;
            for (const Missing &m : f->missing)
                missing +=
                    (missing.empty() ? "open: " : ", ") + (m.fact.empty() ? m.question : m.fact);
            paragraph(missing, 4);
        }
    }

    void not_applicable() {
        const auto outside =
            select([](const Finding &f) { return f.verdict == Verdict::not_applicable; });
        out_ += "\n";
        line("Not applicable: " + std::to_string(outside.size()) +
             (options_.all || outside.empty() ? "" : " (--all lists them)"));
        if (!options_.all)
            return;
        for (const Finding *f : outside) {
            std::string values;
            for (const Value &v : f->values)
                values += (values.empty() ? " (" : "; ") + v.name + " = " + v.value;
            paragraph(f->citation + "  " + rule(*f).title + ", " + f->item + ": " + f->decided_by +
                          (values.empty() ? "" : values + ")"),
                      2);
        }
    }

    void not_encoded() {
        if (book_.gaps.empty())
            return;
        out_ += "\n";
        line("Not encoded, so neither passed nor failed:");
        for (const book::Gap &g : book_.gaps)
            paragraph(g.citation + "  " + g.text, 2);
    }

    void tell_cautions() {
        out_ += "\n";
        for (const std::string &caution : cautions())
            paragraph(caution, 0);
    }

    template <typename Predicate>
    std::vector<const Finding *> select(Predicate predicate) const {
        std::vector<const Finding *> out;
        for (const Finding &f : report_.findings) {
            if (predicate(f))
                out.push_back(&f);
        }
        return out;
    }

    const Report &report_;
    const book::Book &book_;
    TextOptions options_;
    std::string out_;
};

} // namespace

std::string to_text(const Report &report, const TextOptions &options) {
    return Writer(report, options).text();
}

} // namespace groundrule::report
