// Owners for the handles of groundrule.h, for C++20. Header only: what is said there about
// failures, threads and borrowed text holds here too. Nothing here throws on its own account: a
// call that can fail returns a Result, which holds either the value or the Error.
//
//   auto book = groundrule::Book::open("nec-2020");
//   if (!book)
//       return complain(book.error().message);
#ifndef GROUNDRULE_HPP
#define GROUNDRULE_HPP

#include <groundrule/groundrule.h>
#include <groundrule/result.hpp>

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace groundrule {
// A namespace of its own keeps these inline functions apart from any inside the static library.
inline namespace client {

inline std::string_view version() noexcept {
    return gr_version();
}
inline std::vector<std::string_view> shipped_editions() {
    return detail::lines(gr_shipped_editions());
}
inline std::vector<std::string_view> shipped_amendments() {
    return detail::lines(gr_shipped_amendments());
}
inline std::vector<std::string_view> shipped_adoptions() {
    return detail::lines(gr_shipped_adoptions());
}

// A rule file of the caller's. Both texts need to live only during Book::open.
struct Source {
    std::string_view name;
    std::string_view text;
};

struct TestOutcome {
    std::string_view report; // borrowed until the next test of the book
    std::size_t failed = 0;
};

using Slot = gr_slot;

// A text that the library made for the caller.
class Document {
  public:
    explicit Document(gr_document *document) : document_(document, gr_document_free) {}
    std::string_view text() const noexcept {
        return detail::view(gr_document_text(document_.get()));
    }

  private:
    std::unique_ptr<gr_document, void (*)(gr_document *)> document_;
};

// Rule text in its canonical layout.
inline Result<Document> lay_out(const Source &source) {
    gr_document *document = nullptr;
    gr_error error{};
    const gr_status status =
        gr_lay_out(detail::data(source.text), source.text.size(), detail::data(source.name),
                   source.name.size(), &document, &error);
    if (status != GR_OK)
        return detail::taken(status, error);
    return Document(document);
}

struct Faults {
    std::size_t count = 0; // warnings are told, and not counted
    Document told;
};

// All faults of rule files in the book that they belong to.
inline Result<Faults> lint(std::string_view book, std::span<const Source> sources,
                           gr_lint_format format = GR_LINT_TEXT) {
    std::vector<gr_source> raw;
    raw.reserve(sources.size());
    for (const Source &source : sources)
        raw.push_back({detail::text(source.name), detail::text(source.text)});
    gr_document *document = nullptr;
    std::size_t count = 0;
    gr_error error{};
    const gr_status status = gr_lint(detail::data(book), book.size(), raw.data(), raw.size(),
                                     format, &count, &document, &error);
    if (status != GR_OK)
        return detail::taken(status, error);
    return Faults{count, Document(document)};
}

// Copies share one immutable book. Views are borrowed until the last copy, job and report is gone.
class Book {
  public:
    // `on` is a day, "2021-07-01"; empty: all layers are in force.
    static Result<Book> open(std::string_view name, std::span<const Source> sources = {},
                             std::string_view on = {}) {
        std::vector<gr_source> raw;
        raw.reserve(sources.size());
        for (const Source &source : sources)
            raw.push_back({detail::text(source.name), detail::text(source.text)});
        const std::string day(on);
        gr_book_options options = GR_BOOK_OPTIONS_INIT;
        options.on = day.empty() ? nullptr : day.c_str();
        gr_book *book = nullptr;
        gr_error error{};
        const gr_status status = gr_book_open(detail::data(name), name.size(), raw.data(),
                                              raw.size(), &options, &book, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return Book(book);
    }

    std::string_view name() const noexcept { return detail::view(gr_book_name(get())); }
    std::string_view digest() const noexcept { return detail::view(gr_book_digest(get())); }
    std::string_view describe() const noexcept { return detail::view(gr_book_describe(get())); }
    std::string_view schema() const noexcept { return detail::view(gr_book_schema(get())); }

    Result<Slot> slot(std::string_view fact) const {
        Slot slot{};
        gr_error error{};
        const gr_status status =
            gr_book_slot(get(), detail::data(fact), fact.size(), &slot, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return slot;
    }

    // The book whole, as one rule file, or what its layers changed.
    Result<Document> show(gr_show what = GR_SHOW_BOOK) const {
        gr_document *document = nullptr;
        gr_error error{};
        const gr_status status = gr_book_show(get(), what, &document, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return Document(document);
    }

    // The text of a rule by its topic or number, or of all rules below a number, with its lineage.
    Result<Document> describe_rule(std::string_view name) const {
        gr_document *document = nullptr;
        gr_error error{};
        const gr_status status =
            gr_book_describe_rule(get(), detail::data(name), name.size(), &document, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return Document(document);
    }

    // Not while another thread uses this book.
    Result<TestOutcome> test() {
        gr_text report{};
        TestOutcome outcome;
        gr_error error{};
        const gr_status status = gr_book_test(get(), &report, &outcome.failed, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        outcome.report = detail::view(report);
        return outcome;
    }

    gr_book *get() noexcept { return book_.get(); }
    const gr_book *get() const noexcept { return book_.get(); }

  private:
    friend class Audit;
    friend class Job;
    explicit Book(gr_book *book) : book_(book, gr_book_free) {}

    std::shared_ptr<gr_book> book_;
};

// One finding. Views are borrowed until the report is gone.
struct Finding {
    gr_verdict verdict = GR_UNDETERMINED;
    bool counts = false;         // the rule's force is `shall`
    bool known_to_apply = false; // the rule is known to apply
    std::string_view citation;
    std::string_view topic;
    std::string_view title;
    std::string_view item;
    std::string_view layer;
    std::string_view decided_by;
    std::string_view says;
};

// What would settle an undetermined finding (gr_missing). Views are borrowed until the report is
// gone.
struct Missing {
    std::string_view fact;
    std::string_view item;
    std::string_view kind;
    std::string_view question;
};

struct RenderOptions {
    bool all = false;
    bool colour = false;
};

class Report {
  public:
    std::size_t size() const noexcept { return gr_report_count(report_.get()); }

    Result<Finding> finding(std::size_t index) const {
        gr_finding raw{};
        raw.size = sizeof raw;
        gr_error error{};
        const gr_status status = gr_report_finding(report_.get(), index, &raw, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return Finding{raw.verdict,
                       raw.counts != 0,
                       raw.known_to_apply != 0,
                       detail::view(raw.citation),
                       detail::view(raw.topic),
                       detail::view(raw.title),
                       detail::view(raw.item),
                       detail::view(raw.layer),
                       detail::view(raw.decided_by),
                       detail::view(raw.says)};
    }

    std::size_t missing_count(std::size_t finding) const noexcept {
        return gr_report_missing_count(report_.get(), finding);
    }

    Result<Missing> missing(std::size_t finding, std::size_t index) const {
        gr_missing raw = GR_MISSING_INIT;
        gr_error error{};
        const gr_status status = gr_report_missing(report_.get(), finding, index, &raw, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return Missing{detail::view(raw.fact), detail::view(raw.item), detail::view(raw.kind),
                       detail::view(raw.question)};
    }

    int exit_status(bool strict = false) const noexcept {
        return gr_report_exit_status(report_.get(), strict ? 1 : 0);
    }

    // Borrowed until the next call of render, or until the report is gone.
    Result<std::string_view> render(gr_format format, RenderOptions options = {}) {
        gr_render_options raw = GR_RENDER_OPTIONS_INIT;
        raw.all = options.all ? 1 : 0;
        raw.colour = options.colour ? 1 : 0;
        gr_text out{};
        gr_error error{};
        const gr_status status = gr_report_render(get(), format, &raw, &out, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return detail::view(out);
    }

    gr_report *get() noexcept { return report_.get(); }
    const gr_report *get() const noexcept { return report_.get(); }

  private:
    friend class Job;
    struct Free {
        void operator()(gr_report *report) const noexcept { gr_report_free(report); }
    };
    Report(std::shared_ptr<gr_book> book, gr_report *report)
        : book_(std::move(book)), report_(report) {}

    std::shared_ptr<gr_book> book_; // stands first: it outlives the report
    std::unique_ptr<gr_report, Free> report_;
};

// Keeps its book alive. Belongs to one thread at a time.
class Job {
  public:
    static Result<Job> empty(const Book &book) {
        gr_job *job = nullptr;
        gr_error error{};
        const gr_status status = gr_job_new(book.get(), &job, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return Job(book.book_, job);
    }

    static Result<Job> from_json(const Book &book, std::string_view json,
                                 std::string_view name = "job") {
        gr_job *job = nullptr;
        gr_error error{};
        const gr_status status = gr_job_from_json(book.get(), detail::data(json), json.size(),
                                                  detail::data(name), name.size(), &job, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return Job(book.book_, job);
    }

    // The new item's number among all items of its type.
    Result<std::uint32_t> add(std::uint32_t parent, std::string_view list) {
        std::uint32_t row = 0;
        gr_error error{};
        const gr_status status =
            gr_job_add(get(), parent, detail::data(list), list.size(), &row, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return row;
    }

    Result<void> complete(std::uint32_t parent, std::string_view list, bool complete = true) {
        gr_error error{};
        return told(gr_job_complete(get(), parent, detail::data(list), list.size(),
                                    complete ? 1 : 0, &error),
                    error);
    }

    // Three names, not one: a text literal would sooner become a truth than a string_view.
    Result<void> set_text(Slot slot, std::uint32_t row, std::string_view text) {
        gr_error error{};
        return told(gr_job_set_text(get(), slot, row, detail::data(text), text.size(), &error),
                    error);
    }
    Result<void> set_number(Slot slot, std::uint32_t row, double value) {
        gr_error error{};
        return told(gr_job_set_number(get(), slot, row, value, &error), error);
    }
    // Several facts of one item, as many values as slots; NaN makes a fact unknown again.
    Result<void> set_numbers(std::uint32_t row, std::span<const Slot> slots,
                             std::span<const double> values) {
        gr_error error{};
        return told(gr_job_set_numbers(get(), row, slots.data(), values.data(),
                                       std::min(slots.size(), values.size()), &error),
                    error);
    }
    Result<void> set_truth(Slot slot, std::uint32_t row, bool value) {
        gr_error error{};
        return told(gr_job_set_truth(get(), slot, row, value ? 1 : 0, &error), error);
    }
    Result<void> clear(Slot slot, std::uint32_t row) {
        gr_error error{};
        return told(gr_job_clear(get(), slot, row, &error), error);
    }

    Result<void> assume_json(std::string_view json, std::string_view name = "assumptions") {
        gr_error error{};
        return told(gr_job_assume_json(get(), detail::data(json), json.size(), detail::data(name),
                                       name.size(), &error),
                    error);
    }

    // All stages, or one: design, rough_in, trim_out, acceptance.
    Result<Report> check(const std::optional<std::string> &stage = std::nullopt) const {
        gr_check_options options = GR_CHECK_OPTIONS_INIT;
        options.stage = stage ? stage->c_str() : nullptr;
        gr_report *report = nullptr;
        gr_error error{};
        const gr_status status = gr_check(get(), &options, &report, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return Report(book_, report);
    }

    // Verdicts alone, a byte each: a gr_verdict or GR_NOT_AT_THIS_STAGE, in the order of
    // gr_check_verdicts. `out` keeps its memory, so a second check allocates nothing.
    Result<void> verdicts(std::vector<unsigned char> &out,
                          const std::optional<std::string> &stage = std::nullopt) {
        gr_check_options options = GR_CHECK_OPTIONS_INIT;
        options.stage = stage ? stage->c_str() : nullptr;
        gr_error error{};
        std::size_t count = 0;
        out.resize(out.capacity());
        gr_status status =
            gr_check_verdicts(get(), &options, out.data(), out.size(), &count, &error);
        if (status == GR_OK && count > out.size()) {
            out.resize(count);
            status = gr_check_verdicts(get(), &options, out.data(), out.size(), &count, &error);
        }
        if (status != GR_OK)
            return detail::taken(status, error);
        out.resize(count);
        return {};
    }

    gr_job *get() noexcept { return job_.get(); }
    const gr_job *get() const noexcept { return job_.get(); }

  private:
    friend class Audit;
    struct Free {
        void operator()(gr_job *job) const noexcept { gr_job_free(job); }
    };
    Job(std::shared_ptr<gr_book> book, gr_job *job) : book_(std::move(book)), job_(job) {}

    static Result<void> told(gr_status status, const gr_error &error) {
        if (status != GR_OK)
            return detail::taken(status, error);
        return {};
    }

    std::shared_ptr<gr_book> book_; // stands first: it outlives the job
    std::unique_ptr<gr_job, Free> job_;
};

inline std::string_view name_of(gr_verdict verdict) noexcept {
    switch (verdict) {
    case GR_COMPLIES:
        return "complies";
    case GR_VIOLATES:
        return "violates";
    case GR_NOT_APPLICABLE:
        return "not_applicable";
    case GR_UNDETERMINED:
        break;
    }
    return "undetermined";
}

} // namespace client
} // namespace groundrule

#include <groundrule/adoption.hpp>
#include <groundrule/answers.hpp>
#include <groundrule/audit.hpp>
#include <groundrule/comparison.hpp>
#include <groundrule/mutation.hpp>

#endif // GROUNDRULE_HPP
