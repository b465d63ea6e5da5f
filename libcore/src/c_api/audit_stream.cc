// gr_audit_stream: an audit from Arrow stream to Arrow stream.
#include "c_api/fault_lines.h"
#include "c_api/guard.h"
#include "c_api/handles.h"
#include "c_api/missing_facts.h"

#include "columns/export.h"
#include "columns/row_stream.h"

#include <cerrno>

using groundrule::c_api::bad_pointer;
using groundrule::c_api::bad_size;
using groundrule::c_api::fail;
using groundrule::c_api::guard;
using groundrule::c_api::live;
using groundrule::c_api::OpenAudit;
using groundrule::c_api::take;
using groundrule::c_api::text_of;
namespace columns = groundrule::columns;

namespace {

constexpr std::size_t usual_rows_at_once = 65536;

// What stands behind a stream of verdicts. Once something failed it stays failed.
class VerdictStream {
  public:
    VerdictStream(std::shared_ptr<OpenAudit> audit, ArrowArrayStream &rows,
                  const gr_audit_stream_options &options)
        : audit_(std::move(audit)), rows_(rows), options_(options) {}

    // GR_OK, or the cause in `error`: the rows are not those that the audit was opened for.
    gr_status look_at_rows(gr_error *error) {
        ArrowSchema schema = {};
        if (rows_.schema(schema) != 0)
            return fail(error, GR_BAD_FACTS, "bad-stream", rows_.fault());
        const bool same = columns::shape_of(schema) == audit_->shape;
        if (schema.release != nullptr)
            schema.release(&schema);
        return same ? GR_OK
                    : fail(error, GR_BAD_FACTS, "wrong-type",
                           "the stream has another schema than the audit was opened with");
    }

    // The rows go back to the caller, whose call failed.
    void give_back(ArrowArrayStream &rows) { rows_.give_back(rows); }

    static ArrowArrayStream handed_over(std::unique_ptr<VerdictStream> stream) {
        return {get_schema, get_next, get_last_error, release, stream.release()};
    }

  private:
    static VerdictStream &of(ArrowArrayStream *stream) {
        return *static_cast<VerdictStream *>(stream->private_data);
    }

    static int get_schema(ArrowArrayStream *stream, ArrowSchema *out) noexcept {
        VerdictStream &self = of(stream);
        const gr_status status = guard(&self.error_, [&] {
            columns::export_schema(*self.audit_->book->book, self.audit_->audit, *out);
            return GR_OK;
        });
        return status == GR_OK ? 0 : ENOMEM;
    }

    static int get_next(ArrowArrayStream *stream, ArrowArray *out) noexcept {
        VerdictStream &self = of(stream);
        if (self.failed_ != 0)
            return self.failed_;
        const gr_status status = guard(&self.error_, [&] { return self.next(*out); });
        if (status != GR_OK && self.failed_ == 0)
            self.failed_ = status == GR_NO_MEMORY ? ENOMEM : EIO;
        return self.failed_;
    }

    static const char *get_last_error(ArrowArrayStream *stream) noexcept {
        const VerdictStream &self = of(stream);
        return self.error_.status == GR_OK ? nullptr : self.error_.message;
    }

    static void release(ArrowArrayStream *stream) noexcept {
        delete &of(stream);
        stream->release = nullptr;
    }

    gr_status stop(int failed, const char *code, const std::string &message) {
        failed_ = failed;
        return fail(&error_, GR_BAD_FACTS, code, message);
    }

    gr_status stop_here() {
        failed_ = ECANCELED;
        return groundrule::c_api::cancelled(&error_);
    }

    gr_status next(ArrowArray &out) {
        const ArrowArray *rows = nullptr;
        const std::size_t most =
            options_.rows_at_once == 0 ? usual_rows_at_once : options_.rows_at_once;
        const int status = rows_.next(most, rows);
        if (status != 0)
            return stop(status, "bad-stream", rows_.fault());
        if (rows == nullptr) {
            out = {}; // the end
            return GR_OK;
        }
        std::string fault;
        auto outcome = audit_->audit.batch(*rows, fault, audit_->go_on);
        if (!outcome && fault.empty())
            return stop_here();
        if (!outcome)
            return stop(EINVAL, "wrong-type", fault);
        audit_->faults = groundrule::c_api::fault_lines(*outcome, rows_done_);
        audit_->missing = groundrule::c_api::missing_facts(*audit_, *outcome);
        rows_done_ += outcome->rows;
        faulty_ += outcome->faulty;
        const gr_audit_progress progress = {sizeof progress, rows_done_, faulty_,
                                            text_of(audit_->faults)};
        if (options_.progress != nullptr && options_.progress(&progress, options_.user) != 0)
            return stop_here();
        columns::export_array(std::move(*outcome), out);
        return GR_OK;
    }

    std::shared_ptr<OpenAudit> audit_;
    columns::RowStream rows_;
    gr_audit_stream_options options_;
    std::uint64_t rows_done_ = 0;
    std::uint64_t faulty_ = 0;
    int failed_ = 0;
    gr_error error_ = {};
};

} // namespace

gr_status gr_audit_stream(gr_audit *audit, ArrowArrayStream *rows,
                          const gr_audit_stream_options *options, ArrowArrayStream *out,
                          gr_error *error) noexcept {
    return guard(error, [&] {
        gr_audit_stream_options given = GR_AUDIT_STREAM_OPTIONS_INIT;
        if (!take(options, given))
            return bad_size(error);
        if (!live(audit) || rows == nullptr || rows->release == nullptr || out == nullptr)
            return bad_pointer(error);
        auto stream = std::make_unique<VerdictStream>(audit->open, *rows, given);
        const gr_status status = stream->look_at_rows(error);
        if (status != GR_OK) {
            stream->give_back(*rows);
            return status;
        }
        *out = VerdictStream::handed_over(std::move(stream));
        return GR_OK;
    });
}
