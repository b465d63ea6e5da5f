// An interview: ask, answer, ask next. What is told goes into the job's own document, which stays
// as its writer wrote it.
#pragma once

#include "answers/next.h"
#include "text/json_value.h"

#include <optional>
#include <string>
#include <vector>

namespace groundrule::answers {

struct InterviewOptions {
    std::string stage;
    // Also asks what is there: for each open list without items that rules look at, how many items
    // it has. Without it only the items that the job tells are asked about.
    bool outline = false;
    std::size_t most_items = 0; // of its job, if a host bounds them; 0: it doesn't
};

class Interview {
  public:
    // The program and its dense tables outlive the interview. None if the document is at fault.
    static std::optional<Interview> begin(const book::Book &book, const program::Program &program,
                                          const evaluate::Dense &dense, std::string_view json,
                                          const std::string &name, const InterviewOptions &options,
                                          Diagnostics &diagnostics);

    // What to ask now; nothing if nothing is left to ask.
    const Question *question() const;
    // All that could be asked now.
    const Next &next() const { return next_; }

    // "50 A", "garage", "yes". Of a list the number of items that come to those told, "2"; "2+" if
    // there may be more. A fault leaves the interview as it is.
    bool answer(std::string_view text, Diagnostics &diagnostics);
    // It is not asked again.
    void skip();

    std::string job_json() const;
    Subject subject() const;

  private:
    Interview(const book::Book &book, const program::Program &program, const evaluate::Dense &dense,
              facts::Job job)
        : book_(&book), program_(&program), dense_(&dense), job_(std::move(job)) {}

    void look();
    std::optional<JsonValue> told(std::string_view text, Diagnostics &diagnostics) const;
    std::optional<JsonValue> counted(std::string_view text, Diagnostics &diagnostics) const;
    bool take(JsonValue document, Diagnostics &diagnostics);
    const Question &at_hand(const std::vector<Question> &questions) const;
    JsonValue &item_in(JsonValue &document, std::int32_t item, std::size_t row) const;

    const book::Book *book_;
    const program::Program *program_;
    const evaluate::Dense *dense_;
    InterviewOptions options_;
    std::string name_;
    JsonValue document_;
    facts::Job job_;
    NextOptions skip_;
    Next next_;
    std::optional<Question> question_;
    Place last_; // answered
};

} // namespace groundrule::answers
