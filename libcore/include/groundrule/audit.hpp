// The owner of the handle of audit.h. groundrule.hpp, whose conventions hold here, includes it.
#ifndef GROUNDRULE_AUDIT_HPP
#define GROUNDRULE_AUDIT_HPP

#include <groundrule/groundrule.hpp>

namespace groundrule {
inline namespace client {

// A table layout made ready for one book (gr_audit). Arrow structs stay the caller's; what
// comes back is the caller's to release.
class Audit {
  public:
    static Result<Audit> open(const Book &book, const ArrowSchema &schema,
                              const gr_audit_options &options = GR_AUDIT_OPTIONS_INIT) {
        gr_audit *audit = nullptr;
        gr_error error{};
        const gr_status status = gr_audit_open(book.get(), &schema, &options, &audit, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return Audit(book.book_, audit);
    }

    Result<void> schema(ArrowSchema &out) const {
        gr_error error{};
        const gr_status status = gr_audit_schema(audit_.get(), &out, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return {};
    }

    // How many rows have no verdicts; faults() tells why.
    Result<std::size_t> batch(const ArrowArray &rows, ArrowArray &out) {
        std::size_t faulty = 0;
        gr_error error{};
        const gr_status status = gr_audit_batch(audit_.get(), &rows, &out, &faulty, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return faulty;
    }

    // Verdicts of `rows`, which is moved from, batch by batch as `out` is read (gr_audit_stream).
    Result<void> stream(ArrowArrayStream &rows, ArrowArrayStream &out,
                        const gr_audit_stream_options &options = GR_AUDIT_STREAM_OPTIONS_INIT) {
        gr_error error{};
        const gr_status status = gr_audit_stream(audit_.get(), &rows, &options, &out, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return {};
    }

    // Borrowed until the next batch, or until the audit is gone.
    std::string_view faults() const noexcept { return detail::view(gr_audit_faults(audit_.get())); }

    // What is missing in the rows of the last batch (gr_audit_missing); likewise.
    std::size_t missing_count() const noexcept { return gr_audit_missing_count(audit_.get()); }
    Result<gr_missing_fact> missing(std::size_t index) const {
        gr_missing_fact out = GR_MISSING_FACT_INIT;
        gr_error error{};
        const gr_status status = gr_audit_missing(audit_.get(), index, &out, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return out;
    }

    // One row as a job, with the audit's assumptions, for an explanation of its findings.
    Result<Job> job(const ArrowArray &rows, std::size_t row) const {
        gr_job *job = nullptr;
        gr_error error{};
        const gr_status status = gr_audit_job(audit_.get(), &rows, row, &job, &error);
        if (status != GR_OK)
            return detail::taken(status, error);
        return Job(book_, job);
    }

    gr_audit *get() noexcept { return audit_.get(); }

  private:
    struct Free {
        void operator()(gr_audit *audit) const noexcept { gr_audit_free(audit); }
    };
    Audit(std::shared_ptr<gr_book> book, gr_audit *audit) : book_(std::move(book)), audit_(audit) {}

    std::shared_ptr<gr_book> book_;
    std::unique_ptr<gr_audit, Free> audit_;
};

} // namespace client
} // namespace groundrule

#endif // GROUNDRULE_AUDIT_HPP
