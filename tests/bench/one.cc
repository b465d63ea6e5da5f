// Ours, one circuit at a time through the C API: all twenty facts set by number, then the
// twenty verdicts. Everything that a host has to do for the next circuit is measured. one DIRECTORY
// ROWS RUNS twenty_facts.rules twenty.rules
#include "book.h"

#include <cmath>

using namespace bench;

namespace {

struct Slots {
    gr_slot at[column_count];
    std::uint32_t code[column_count][20];
};

Slots slots_of(const gr_book *book) {
    Slots slots = {};
    gr_error error;
    for (std::size_t k = 0; k < column_count; ++k) {
        const auto c = static_cast<Column>(k);
        slots.at[k] = slot(book, std::string("branch.") + described[k].name);
        const std::size_t count = c == size        ? 20
                                  : c == material  ? 2
                                  : c == location  ? 12
                                  : c == occupancy ? 5
                                                   : 0;
        for (std::size_t i = 0; i < count; ++i) {
            const std::string word = word_of(c, i);
            must(gr_book_code(book, slots.at[k], word.data(), word.size(), &slots.code[k][i],
                              &error),
                 error);
        }
    }
    return slots;
}

// A circuit as a host holds it, in the units of the slots; NaN where nothing is told.
struct Circuit {
    double value[column_count];
};

} // namespace

int main(int count, char **words) {
    const Call call = call_of(count, words);
    const Inventory inventory = read(call.directory, call.rows);
    gr_book *book = open("twenty", {words + 4, words + count});
    const Slots slots = slots_of(book);
    std::vector<Circuit> circuits(call.rows);
    for (std::size_t row = 0; row < call.rows; ++row) {
        for (std::size_t k = 0; k < column_count; ++k) {
            const auto c = static_cast<Column>(k);
            const double value = inventory.value(c, row);
            circuits[row].value[k] = !inventory.known(c, row) ? std::nan("")
                                     : given(c) == Given::word
                                         ? slots.code[k][static_cast<std::size_t>(value)]
                                         : base_value(c, value);
        }
    }
    gr_error error;
    gr_job *job = nullptr;
    std::uint32_t branch = 0;
    must(gr_job_new(book, &job, &error), error);
    must(gr_job_add(job, 0, "branches", 8, &branch, &error), error);
    must(gr_job_set_text(job, slot(book, "job.work"), 0, "new", 3, &error), error);
    std::vector<std::uint8_t> verdicts(call.rows * rule_count);
    const double time = seconds(call.runs, [&] {
        for (std::size_t row = 0; row < call.rows; ++row) {
            gr_status status = gr_job_set_numbers(job, branch, slots.at, circuits[row].value,
                                                  column_count, &error);
            std::size_t told = 0;
            if (status == GR_OK)
                status = gr_check_verdicts(job, nullptr, &verdicts[row * rule_count], rule_count,
                                           &told, &error);
            must(told == rule_count ? status : GR_INTERNAL, error);
        }
    });
    tell("one", call.rows, time, checksum(by_rule(verdicts)));
    gr_job_free(job);
    gr_book_free(book);
}
