// A comparison for people: what changed, from what, to what, and whom it asks for more.
#include "report/compare_jobs.h"
#include "report/paragraph.h"

#include <algorithm>

namespace groundrule::report {

namespace {

using book::Aspect;
using book::Change;
using book::Effect;
using book::RuleChange;
using book::RuleKind;
using book::SharedChange;

constexpr std::size_t findings_shown = 5; // of each clause
constexpr std::size_t short_text = 40;    // two of these go on one line

const char *words(Aspect aspect) {
    static constexpr const char *names[] = {
        "force",  "item type", "stages", "work bound", "condition",   "limit",     "reading",
        "listed", "",          "path",   "permission", "requirement", "type",      "key",
        "cell",   "entry",     "value",  "choice",     "the message", "the title", "the note"};
    return names[static_cast<std::size_t>(aspect)];
}

std::string in_brackets(Effect effect) {
    return effect == Effect::stricter ? " (stricter)" : effect == Effect::laxer ? " (laxer)" : "";
}

std::string counted(std::size_t count, const std::string &one, const std::string &many) {
    return std::to_string(count) + " " + (count == 1 ? one : many);
}

class Writer {
  public:
    Writer(const book::Comparison &comparison, const JobComparison *jobs)
        : comparison_(comparison), jobs_(jobs) {}

    std::string text() {
        head();
        rules(RuleKind::added, "New requirements");
        rules(RuleKind::removed, "Requirements that are gone");
        rules(RuleKind::changed, "Changed requirements");
        rules(RuleKind::through, "Changed through what they rest on");
        renumbered();
        rules(RuleKind::reworded, "The same requirement, told in other words");
        shared();
        gaps("Not written out here, in the newer book only", comparison_.gaps_added);
        gaps("Not written out here, in the older book only", comparison_.gaps_removed);
        if (jobs_ != nullptr)
            on_jobs();
        return std::move(out_);
    }

  private:
    void line(const std::string &text) { out_ += text + "\n"; }
    void paragraph(const std::string &text, std::size_t indent, std::size_t first) {
        out_ += report::paragraph(text, indent, first);
    }
    void heading(const std::string &text) { out_ += "\n" + text + "\n"; }

    std::size_t count(RuleKind kind) const {
        return static_cast<std::size_t>(
            std::count_if(comparison_.rules.begin(), comparison_.rules.end(),
                          [&](const RuleChange &c) { return c.kind == kind; }));
    }

    void head() {
        line("From " + comparison_.before->name + " to " + comparison_.after->name);
        if (comparison_.same()) {
            line("No difference.");
            return;
        }
        paragraph(std::to_string(count(RuleKind::added)) + " new, " +
                      std::to_string(count(RuleKind::removed)) + " gone, " +
                      std::to_string(count(RuleKind::changed)) + " changed, " +
                      std::to_string(count(RuleKind::through)) +
                      " changed through what they rest on, " +
                      std::to_string(count(RuleKind::renumbered)) + " renumbered, " +
                      std::to_string(count(RuleKind::reworded)) + " reworded",
                  0, 0);
    }

    void rules(RuleKind kind, const std::string &title) {
        if (count(kind) == 0)
            return;
        heading(title);
        for (const RuleChange &c : comparison_.rules) {
            if (c.kind == kind)
                rule(c);
        }
    }

    void rule(const RuleChange &c) {
        const book::Rule &shown = c.after == nullptr ? *c.before : *c.after;
        const bool moved =
            c.before != nullptr && c.after != nullptr && c.before->citation != c.after->citation;
        paragraph(shown.citation + "  " + shown.title +
                      (moved ? ", renumbered from " + c.before->citation : "") + note(c, shown),
                  6, 2);
        for (const Change &change : c.changes)
            tell(change);
        if (!c.through.empty()) {
            std::string through;
            for (const std::string &t : c.through)
                through += (through.empty() ? "through " : ", ") + t;
            paragraph(through, 8, 6);
        }
    }

    static std::string note(const RuleChange &c, const book::Rule &shown) {
        if (shown.force != ast::Force::shall)
            return " (told, never counted)";
        if (c.effect == Effect::none && c.kind != RuleKind::reworded)
            return " (asks for the same)";
        return in_brackets(c.effect);
    }

    void renumbered() {
        if (count(RuleKind::renumbered) == 0)
            return;
        heading("The same requirement under another number");
        for (const RuleChange &c : comparison_.rules) {
            if (c.kind == RuleKind::renumbered)
                paragraph(c.before->citation + " is now " + c.after->citation + "  " +
                              c.after->title,
                          6, 2);
        }
    }

    void tell(const Change &c) {
        std::string what = words(c.aspect);
        if (!c.name.empty())
            what += (what.empty() ? "" : " ") + c.name;
        const std::string effect = in_brackets(c.effect);
        if (is_wording(c.aspect)) {
            wording(c, what);
        } else if (c.from.empty()) {
            paragraph(what + " is new" + effect + ": " + c.to, 8, 6);
        } else if (c.to.empty()) {
            paragraph(what + " is gone" + effect + ": " + c.from, 8, 6);
        } else if (c.from == c.to) {
            paragraph(what + ": " + c.to, 8, 6);
        } else if (c.from.size() <= short_text && c.to.size() <= short_text) {
            paragraph(what + ": from " + c.from + " to " + c.to + effect, 8, 6);
        } else {
            paragraph(what + effect, 8, 6);
            paragraph("from  " + c.from, 14, 8);
            paragraph("to    " + c.to, 14, 8);
        }
    }

    void wording(const Change &c, const std::string &what) {
        if (c.from.empty())
            paragraph(what + " is new: " + c.to, 8, 6);
        else if (c.to.empty())
            paragraph(what + " is gone: " + c.from, 8, 6);
        else
            paragraph(what + " says now: " + c.to, 8, 6);
    }

    void shared() {
        if (comparison_.shared.empty())
            return;
        heading("What requirements share");
        for (const SharedChange &c : comparison_.shared) {
            const std::string kind = shared_kind_name(c.kind);
            const bool numbered =
                c.kind == SharedChange::Kind::table || c.kind == SharedChange::Kind::list;
            std::string name =
                (numbered ? "" : kind + " ") + (c.after.empty() ? c.before : c.after);
            if (c.before.empty())
                name += " is new";
            else if (c.after.empty())
                name += " is gone";
            else if (c.before != c.after)
                name += ", before " + c.before;
            paragraph(name, 6, 2);
            for (const Change &change : c.changes)
                tell(change);
            if (!c.dependants.empty())
                paragraph("requirements that rest on it: " + citations(c.dependants), 8, 6);
        }
    }

    std::string citations(const std::vector<std::string> &topics) const {
        std::string out;
        for (const RuleChange &c : comparison_.rules) {
            if (std::find(topics.begin(), topics.end(), c.topic) != topics.end())
                out +=
                    (out.empty() ? "" : ", ") + (c.after == nullptr ? c.before : c.after)->citation;
        }
        return out;
    }

    void gaps(const std::string &title, const std::vector<book::Gap> &list) {
        if (list.empty())
            return;
        heading(title);
        for (const book::Gap &g : list)
            paragraph(g.citation + "  " + g.text, 6, 2);
    }

    // --- on jobs

    static std::string name(const std::optional<Verdict> &verdict) {
        return verdict ? verdict_name(*verdict) : "no such rule";
    }

    void on_jobs() {
        heading("On " + counted(jobs_->jobs, "job", "jobs"));
        line("  " + std::to_string(jobs_->changed) + " of " +
             counted(jobs_->findings, "finding changes", "findings change") + "; " +
             counted(jobs_->told_otherwise, "keeps its verdict and is told otherwise",
                     "keep their verdict and are told otherwise"));
        std::vector<const ClauseEffect *> clauses;
        for (const auto &entry : jobs_->clauses)
            clauses.push_back(&entry.second);
        std::stable_sort(clauses.begin(), clauses.end(),
                         [](const ClauseEffect *a, const ClauseEffect *b) {
                             return book::citation_less(citation(*a), citation(*b));
                         });
        for (const ClauseEffect *c : clauses)
            clause(*c);
    }

    static const std::string &citation(const ClauseEffect &c) {
        return c.citation_after.empty() ? c.citation_before : c.citation_after;
    }

    void clause(const ClauseEffect &c) {
        const bool moved = !c.citation_before.empty() && !c.citation_after.empty() &&
                           c.citation_before != c.citation_after;
        line("  " + citation(c) + (moved ? ", before " + c.citation_before : "") + "  (" + c.topic +
             ")" + (c.counts ? "" : ", told, never counted"));
        for (const auto &[pair, number] : c.verdicts)
            line("      " + std::to_string(number) + ": " + name(pair.first) + ", now " +
                 name(pair.second));
        if (c.told_otherwise != 0)
            line("      " + std::to_string(c.told_otherwise) + ": same verdict, told otherwise");
        std::size_t shown = 0;
        std::size_t all = 0;
        for (const ChangedFinding &f : jobs_->list) {
            if (f.topic != c.topic || ++all > findings_shown)
                continue;
            ++shown;
            paragraph(f.job + ", " + f.item + ": " + name(f.before) + ", now " + name(f.after) +
                          (f.says.empty() ? "" : ". " + f.says),
                      10, 8);
        }
        if (all > shown)
            line("        and " + std::to_string(all - shown) + " more");
    }

    const book::Comparison &comparison_;
    const JobComparison *jobs_;
    std::string out_;
};

} // namespace

std::string to_text(const book::Comparison &comparison, const JobComparison *jobs) {
    return Writer(comparison, jobs).text();
}

} // namespace groundrule::report
