// Calls of the C API in any order, each byte of the input choosing the next call or an argument of
// it. Handles may be null or of another kind, slots and rows of nowhere, texts cut off. Whatever is
// called, the API has to give a status and to stay of use; at the end a plain check has to work.
//
// Cut: the book is a small one, so that an input makes thousands of calls a second; jobs of more
// than 64 items; searches for remedies beyond 50 tries. Freed handles are not used: that can't be
// told from a good one for certain, and a sanitizer would rightly complain.
#include "expect.h"

#include "../capi/small_book.h"

#include <groundrule/groundrule.h>

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

namespace groundrule::fuzz {

std::uint64_t calls = 0; // of this process, for whoever counts

namespace {

const std::string_view facts = small_job;

gr_book *opened() {
    const std::string_view name = small_book_name;
    const std::string_view text = small_book;
    const gr_source source = {{name.data(), name.size()}, {text.data(), text.size()}};
    gr_book_options options = GR_BOOK_OPTIONS_INIT;
    options.most_items = 64;
    gr_book *book = nullptr;
    expect(gr_book_open(name.data(), name.size(), &source, 1, &options, &book, nullptr) == GR_OK,
           "the small book opens");
    return book;
}

class Calls {
  public:
    Calls(gr_book *book, const std::uint8_t *data, std::size_t size)
        : book_(book), at_(data), end_(data + size) {}
    Calls(const Calls &) = delete;
    Calls &operator=(const Calls &) = delete;
    ~Calls() {
        gr_report_free(report_);
        gr_explanation_free(explanation_);
        gr_interview_free(interview_);
        gr_remedies_free(remedies_);
        gr_comparison_free(comparison_);
        gr_document_free(document_);
        gr_job_free(job_);
    }

    void run() {
        while (at_ != end_) {
            one();
            ++calls;
        }
        gr_job *job = nullptr;
        gr_report *report = nullptr;
        expect(gr_job_from_json(book_, facts.data(), facts.size(), nullptr, 0, &job, nullptr) ==
                       GR_OK &&
                   gr_check(job, nullptr, &report, nullptr) == GR_OK &&
                   gr_report_count(report) == 2,
               "the book is of use after any calls");
        gr_report_free(report);
        gr_job_free(job);
    }

  private:
    std::uint8_t byte() { return at_ == end_ ? 0 : *at_++; }
    bool seldom() { return byte() > 250; }

    // A handle; now and then none, or one of another kind.
    template <typename Handle>
    Handle *some(Handle *handle) {
        const std::uint8_t which = byte();
        if (which == 255)
            return nullptr;
        return which == 254 ? reinterpret_cast<Handle *>(book_) : handle;
    }
    gr_slot slot() {
        const std::uint8_t which = byte();
        return {static_cast<std::uint32_t>(which & 3), static_cast<std::uint32_t>(which >> 2 & 3)};
    }
    std::uint32_t row() { return byte() & 7; }
    int format() { return byte() % 5; }
    std::string_view text() {
        static const std::array<std::string_view, 12> texts = {
            "20 A", "17 A", "120 V", "garage", "bathroom", "yes",
            "no",   "2",    "1+",    "{}",     "outlets",  facts};
        const std::string_view whole = texts[byte() % texts.size()];
        return seldom() ? whole.substr(0, byte() % (whole.size() + 1)) : whole;
    }

    // The failure is told in full, and a failed call leaves no handle behind.
    template <typename Handle, typename Make>
    void make(Handle *&kept, void (*give_back)(Handle *), Make call) {
        Handle *out = nullptr;
        sound(call(&out));
        if (out != nullptr) {
            give_back(kept);
            kept = out;
        }
    }
    void sound(gr_status status) {
        expect(status >= GR_OK && status <= GR_BAD_ARGUMENT, "a call fails by its caller's fault");
        expect(status == GR_OK || error_.status == status, "a failure is told");
        expect(status == GR_OK || error_.message[0] != '\0', "a failure has a message");
    }

    void one() {
        switch (byte() % 8) {
        case 0:
        case 1:
        case 2:
            return set();
        case 3:
            return grow();
        case 4:
            return check();
        case 5:
            return ask();
        case 6:
            return answer();
        default:
            return look();
        }
    }

    void set() {
        const gr_slot at = slot();
        const std::uint32_t in = row();
        gr_job *job = some(job_);
        const double number = byte();
        std::uint32_t code = 0;
        const std::string_view words = text();
        switch (byte() % 6) {
        case 0:
            return sound(gr_job_set_text(job, at, in, words.data(), words.size(), &error_));
        case 1:
            return sound(gr_job_set_number(job, at, in, number - 5, &error_));
        case 2:
            return sound(gr_job_set_truth(job, at, in, byte() & 1, &error_));
        case 3:
            if (gr_book_code(book_, at, words.data(), words.size(), &code, nullptr) != GR_OK)
                code = byte();
            return sound(gr_job_set_code(job, at, in, code, &error_));
        case 4:
            return sound(gr_job_set_numbers(job, in, &at, &number, 1, &error_));
        default:
            return sound(gr_job_clear(job, at, in, &error_));
        }
    }

    void grow() {
        std::uint32_t made = 0;
        const std::string_view list = byte() & 1 ? "circuits" : "outlets";
        const std::string_view words = text();
        switch (byte() % 5) {
        case 0:
            return make(job_, gr_job_free,
                        [&](gr_job **out) { return gr_job_new(some(book_), out, &error_); });
        case 1:
            return make(job_, gr_job_free, [&](gr_job **out) {
                return gr_job_from_json(book_, words.data(), words.size(), nullptr, 0, out,
                                        &error_);
            });
        case 2:
            return sound(
                gr_job_complete(some(job_), row(), list.data(), list.size(), byte() & 1, &error_));
        case 3:
            return sound(
                gr_job_assume_json(some(job_), words.data(), words.size(), nullptr, 0, &error_));
        default:
            return sound(gr_job_add(some(job_), row(), list.data(), list.size(), &made, &error_));
        }
    }

    void check() {
        unsigned char verdicts[256];
        std::size_t count = 0;
        gr_text told;
        gr_finding finding = GR_FINDING_INIT;
        gr_missing missing = GR_MISSING_INIT;
        // With room behind it for whatever size is told: a newer caller's struct.
        struct {
            gr_check_options known = GR_CHECK_OPTIONS_INIT;
            unsigned char more[256] = {};
        } given;
        gr_check_options &options = given.known;
        given.more[0] = seldom() ? byte() : 0;
        options.most_findings = byte() & 1 ? 0 : byte();
        options.size = seldom() ? byte() : options.size;
        switch (byte() % 4) {
        case 0:
            return make(report_, gr_report_free, [&](gr_report **out) {
                return gr_check(some(job_), &options, out, &error_);
            });
        case 1:
            return sound(
                gr_check_verdicts(some(job_), &options, verdicts, byte(), &count, &error_));
        case 2:
            if (byte() % 2 == 0)
                return sound(gr_report_missing(some(report_), byte(), byte(), &missing, &error_));
            return sound(gr_report_finding(some(report_), byte(), &finding, &error_));
        default:
            return sound(gr_report_render(some(report_), format(), nullptr, &told, &error_));
        }
    }

    void ask() {
        int asked = 0;
        gr_text told;
        gr_question question = GR_QUESTION_INIT;
        gr_interview_options options = GR_INTERVIEW_OPTIONS_INIT;
        options.outline = byte() & 1;
        const std::string_view words = text();
        switch (byte() % 6) {
        case 0:
            return make(interview_, gr_interview_free, [&](gr_interview **out) {
                return gr_interview_new(book_, words.data(), words.size(), nullptr, 0, &options,
                                        out, &error_);
            });
        case 1:
            return sound(
                gr_interview_answer(some(interview_), words.data(), words.size(), &error_));
        case 2:
            return sound(gr_interview_skip(some(interview_), &error_));
        case 3:
            return sound(gr_interview_render(some(interview_), format(), &told, &error_));
        case 4:
            return sound(gr_interview_job(some(interview_), &told, &error_));
        default:
            return sound(gr_interview_question(some(interview_), &asked, &question, &error_));
        }
    }

    void answer() {
        gr_text told;
        gr_remedy_options few = GR_REMEDY_OPTIONS_INIT;
        few.most_tries = 50;
        switch (byte() % 5) {
        case 0:
            return make(explanation_, gr_explanation_free, [&](gr_explanation **out) {
                return gr_explain(some(job_), nullptr, out, &error_);
            });
        case 1:
            return sound(gr_explanation_render(some(explanation_), format(), &told, &error_));
        case 2:
            return make(remedies_, gr_remedies_free, [&](gr_remedies **out) {
                return gr_find_remedies(some(job_), &few, out, &error_);
            });
        case 3:
            return sound(gr_remedies_apply(some(remedies_), byte() & 3, some(job_), &error_));
        default:
            return sound(gr_remedies_render(some(remedies_), format(), &told, &error_));
        }
    }

    void look() {
        gr_text told;
        const std::string_view words = text();
        switch (byte() % 5) {
        case 0:
            return make(comparison_, gr_comparison_free, [&](gr_comparison **out) {
                return gr_compare_books(some(book_), book_, out, &error_);
            });
        case 1:
            return sound(gr_comparison_add_job(some(comparison_), words.data(), words.size(),
                                               nullptr, 0, &error_));
        case 2:
            return sound(gr_comparison_render(some(comparison_), format(), &told, &error_));
        case 3:
            return make(document_, gr_document_free, [&](gr_document **out) {
                return gr_lay_out(words.data(), words.size(), "x", 1, out, &error_);
            });
        default:
            gr_report_exit_status(some(report_), byte() & 1);
            gr_document_text(some(document_));
            gr_remedies_count(some(remedies_));
            gr_comparison_same(some(comparison_));
        }
    }

    gr_book *book_;
    const std::uint8_t *at_;
    const std::uint8_t *end_;
    gr_job *job_ = nullptr;
    gr_report *report_ = nullptr;
    gr_explanation *explanation_ = nullptr;
    gr_interview *interview_ = nullptr;
    gr_remedies *remedies_ = nullptr;
    gr_comparison *comparison_ = nullptr;
    gr_document *document_ = nullptr;
    gr_error error_ = {};
};

} // namespace

} // namespace groundrule::fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t *data, std::size_t size) {
    static gr_book *const book = groundrule::fuzz::opened();
    groundrule::fuzz::Calls(book, data, size).run();
    return 0;
}
