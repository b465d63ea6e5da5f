// What the command ends with. The same numbers as gr_report_exit_status, and one for bad input.
#pragma once

namespace command {

enum Status : int {
    clean = 0,     // nothing violated, nothing open
    violated = 1,  // a violation, or a failed test
    bad_input = 2, // a bad rule file, job, book, option or file
    open = 3       // nothing violated, but not all could be told
};

} // namespace command
