// A shipped book and one job of it: shipped BOOK JOB.json RUNS. Tells what it takes to open the
// book, to read the job, to check it whole, to check it again after one fact changed (the breaker,
// on which more depends than on any other; and each fact that is typed in turn), and to tell all
// findings with their reasons.
#include "book.h"

#include <cstring>

using namespace bench;

namespace {

template <typename Work>
double microseconds(std::size_t runs, std::size_t times, Work work) {
    return seconds(runs,
                   [&] {
                       for (std::size_t i = 0; i < times; ++i)
                           work(i);
                   }) /
           static_cast<double>(times) * 1e6;
}

// What somebody changes who types the job of a charging outlet: a fact, what it was, what it is.
struct Typed {
    const char *fact;
    const char *was;
    const char *is;
};
constexpr Typed typed[] = {
    {"circuit.breaker", "50 A", "40 A"},
    {"circuit.poles", "2", "1"},
    {"circuit.neutral", "yes", "no"},
    {"circuit.device", "inverse_time_breaker", "fuse"},
    {"circuit.terminal_rating", "75 °C", "60 °C"},
    {"circuit.full_load_listed", "no", "yes"},
    {"receptacle.configuration", "14-50R", "14-30R"},
    {"receptacle.serves", "vehicle_charging", "general"},
    {"receptacle.location", "garage", "outdoors"},
    {"receptacle.gfci", "none", "class_a"},
    {"equipment.rated_current", "40 A", "32 A"},
    {"equipment.connection", "cord_and_plug", "hard_wired"},
    {"equipment.fastening", "portable", "fixed"},
    {"equipment.load_managed", "no", "yes"},
    {"run.designation", "8/3 NM-B", "6/3 NM-B"},
    {"run.material", "copper", "aluminum"},
    {"run.length", "40 ft", "60 ft"},
    {"run.ambient_temperature", "30 °C", "40 °C"},
    {"run.cables_bundled", "1", "3"},
    {"box.volume", "30.3 in³", "22 in³"},
    {"box.internal_clamps", "yes", "no"},
};

} // namespace

int main(int count, char **words) {
    if (count < 4) {
        std::fprintf(stderr, "usage: %s BOOK JOB.json RUNS\n", words[0]);
        return 2;
    }
    const std::string name = words[1];
    const std::string json = text_of(words[2]);
    const std::size_t runs = std::strtoull(words[3], nullptr, 10);
    gr_error error;
    const double opening =
        microseconds(runs, 1, [&](std::size_t) { gr_book_free(open(name, {})); });
    gr_book *book = open(name, {});
    const auto read_job = [&] {
        gr_job *job = nullptr;
        must(gr_job_from_json(book, json.data(), json.size(), "job", 3, &job, &error), error);
        return job;
    };
    const double reading = microseconds(runs, 20, [&](std::size_t) { gr_job_free(read_job()); });
    gr_job *job = read_job();
    std::vector<unsigned char> verdicts(1u << 16);
    std::size_t told = 0;
    const auto check = [&] {
        must(gr_check_verdicts(job, nullptr, verdicts.data(), verdicts.size(), &told, &error),
             error);
    };
    // A word about the work of the job concerns every item: all is run again.
    const gr_slot work = slot(book, "job.work");
    const double whole = microseconds(runs, 200, [&](std::size_t i) {
        must(gr_job_set_text(job, work, 0, i % 2 == 0 ? "altered" : "new", i % 2 == 0 ? 7 : 3,
                             &error),
             error);
        check();
    });
    const gr_slot breaker = slot(book, "circuit.breaker");
    const double changed = microseconds(runs, 200, [&](std::size_t i) {
        must(gr_job_set_number(job, breaker, 0, i % 2 == 0 ? 40 : 50, &error), error);
        check();
    });
    std::vector<gr_slot> slots;
    for (const Typed &t : typed)
        slots.push_back(slot(book, t.fact));
    const double any = microseconds(runs, 10 * 2 * slots.size(), [&](std::size_t i) {
        const std::size_t fact = i / 2 % slots.size();
        const char *text = i % 2 == 0 ? typed[fact].is : typed[fact].was;
        must(gr_job_set_text(job, slots[fact], 0, text, std::strlen(text), &error), error);
        check();
    });
    const double reasons = microseconds(runs, 3, [&](std::size_t) {
        gr_report *report = nullptr;
        gr_text out;
        must(gr_check(job, nullptr, &report, &error), error);
        must(gr_report_render(report, GR_JSON, nullptr, &out, &error), error);
        gr_report_free(report);
    });
    std::printf("{\"name\": \"shipped\", \"book\": \"%s\", \"open_ms\": %.3f, \"read_us\": %.3f, "
                "\"whole_us\": %.3f, "
                "\"changed_us\": %.3f, \"any_changed_us\": %.3f, \"reasons_us\": %.1f, "
                "\"verdicts\": %zu, \"peak_mb\": %.1f}\n",
                name.c_str(), opening / 1e3, reading, whole, changed, any, reasons, told,
                peak_megabytes());
    gr_job_free(job);
    gr_book_free(book);
}
