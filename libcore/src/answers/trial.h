// A job to try changes on: facts are set and put back, and the verdicts follow.
#pragma once

#include "book/model.h"
#include "evaluate/dense.h"
#include "evaluate/verdicts.h"
#include "facts/job.h"

#include <span>
#include <string>
#include <vector>

namespace groundrule::answers {

// A fact of a job: of which item, which row, which field.
using Place = facts::Change;

struct Setting {
    Place at;
    Cell value; // unknown: taken back
};

// What all questions about one job share; all of it outlives whoever asks.
struct Subject {
    const book::Book &book;
    const program::Program &program;
    const evaluate::Dense &dense;
    const facts::Job &job; // work inherited, assumptions in
    std::string stage;     // empty: all
    bool advice = false;   // rules that only advise count too
};

bool same_place(const Place &a, const Place &b);
bool among(const std::vector<Place> &places, const Place &at);
const Cell &given(const facts::Job &job, const Place &at);
const book::Field &field_of(const book::Book &book, const Place &at);
std::string fact_name(const book::Book &book, const Place &at);
// A list of a row: its place among those of the owner in `field`.
Place list_place(const book::Book &book, std::int32_t owner, std::int32_t row, std::int32_t child);
// Where a fact is asked for that no item tells: what kind of work it is, of the job as a whole.
Place where_told(const Place &at);

class Trial {
  public:
    explicit Trial(const Subject &subject);

    // The verdicts with these facts set; false if the job then contradicts itself. What was set
    // before is put back first.
    bool set(std::span<const Setting> settings);
    void set_more(const Setting &setting);
    bool update();

    std::span<const Verdict> verdicts() const { return verdicts_.all(); }
    const facts::Job &job() const { return job_; }
    std::size_t first(std::size_t rule) const { return verdicts_.first(rule); }
    // Whether the rule of a verdict counts, and is checked at the stage.
    bool counts(std::size_t verdict) const { return counts_[verdict]; }
    std::size_t rule_of(std::size_t verdict) const;
    std::size_t row_of(std::size_t verdict) const;
    std::size_t updates() const { return updates_; }

    // Which verdicts can depend on a fact; a flag a verdict.
    std::vector<bool> reach(std::span<const Place> facts) const;
    // Those of rules whose requirement or exceptions ask for such a fact, and not only their scope.
    std::vector<bool> turn_on(std::span<const Place> facts) const;
    // What a verdict can depend on and nobody tells: facts, and lists that may have more items. Of
    // a job that is too large to be laid out it is not known.
    struct Ground {
        std::vector<Place> facts;
        std::vector<Place> lists; // owner, and in `field` which of its lists
        bool known = false;
    };
    Ground unknown_below(std::size_t verdict) const;

  private:
    const Subject &subject_;
    facts::Job job_;
    evaluate::Verdicts verdicts_;
    std::vector<bool> counts_;
    std::vector<Setting> before_; // to be put back
    std::size_t updates_ = 0;
};

} // namespace groundrule::answers
