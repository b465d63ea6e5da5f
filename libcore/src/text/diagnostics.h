// Faults found in what a user wrote: collected, never printed or thrown from here.
#pragma once

#include "text/source_text.h"

#include <string>
#include <vector>

namespace groundrule {

enum class Severity { error, warning };

struct Diagnostic {
    Severity severity = Severity::error;
    std::string code; // stable, for example "unknown-name"
    std::string message;
    Span span;            // where, in a rule file
    std::string where;    // where, if not in a rule file: "job.json:3:14" or a path of items
    std::string help;     // what would be right, or the nearest known name; may be empty
    Span other;           // place of the other party, if there is one
    std::string other_is; // what that place is: "declared here"
};

class Diagnostics {
  public:
    Diagnostic &error(std::string code, Span span, std::string message);
    Diagnostic &warning(std::string code, Span span, std::string message);
    void add(Diagnostic diagnostic) { list_.push_back(std::move(diagnostic)); }

    bool has_errors() const { return errors() != 0; }
    std::size_t errors() const; // no warnings among them
    std::size_t size() const { return list_.size(); }
    const std::vector<Diagnostic> &list() const { return list_; }
    // By file and place, as a reader goes through them.
    void sort();

  private:
    std::vector<Diagnostic> list_;
};

// "file:line:column: error [code]: message", the line, the fault underlined, help.
std::string render(const Diagnostic &diagnostic, const Sources &sources);
std::string render(const Diagnostics &diagnostics, const Sources &sources);

} // namespace groundrule
