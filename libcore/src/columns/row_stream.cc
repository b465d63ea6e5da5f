#include "columns/row_stream.h"

#include <algorithm>

namespace groundrule::columns {

namespace {

template <typename Struct>
void drop(Struct &s) {
    if (s.release != nullptr)
        s.release(&s);
    s = {};
}

void append(std::string &out, const char *text) {
    const std::string said = text == nullptr ? "" : text;
    out += std::to_string(said.size()) + ":" + said;
}

void append(std::string &out, const ArrowSchema &schema) { // NOLINT(misc-no-recursion)
    append(out, schema.format);
    append(out, schema.name);
    out += "(";
    for (std::int64_t i = 0; i < schema.n_children; ++i)
        append(out, *schema.children[i]);
    if (schema.dictionary != nullptr)
        append(out += "of", *schema.dictionary);
    out += ")";
}

} // namespace

RowStream::RowStream(ArrowArrayStream &moved) : stream_(moved) {
    moved.release = nullptr;
}

RowStream::~RowStream() {
    drop(batch_);
    drop(stream_);
}

void RowStream::give_back(ArrowArrayStream &to) {
    to = stream_;
    stream_.release = nullptr;
}

int RowStream::failed(int status) {
    const char *said = stream_.get_last_error(&stream_);
    fault_ = said == nullptr ? "the stream of rows failed" : said;
    return status;
}

int RowStream::schema(ArrowSchema &out) {
    const int status = stream_.get_schema(&stream_, &out);
    return status == 0 ? 0 : failed(status);
}

int RowStream::next(std::size_t most, const ArrowArray *&out) {
    out = nullptr;
    while (!ended_ && done_ == batch_.length) {
        drop(batch_);
        done_ = 0;
        const int status = stream_.get_next(&stream_, &batch_);
        if (status != 0) {
            batch_ = {};
            ended_ = true;
            return failed(status);
        }
        ended_ = batch_.release == nullptr;
    }
    if (ended_)
        return 0;
    slice_ = batch_;
    slice_.offset += done_;
    slice_.length = std::min<std::int64_t>(static_cast<std::int64_t>(most), batch_.length - done_);
    if (slice_.null_count != 0 && slice_.length != batch_.length)
        slice_.null_count = -1;
    done_ += slice_.length;
    out = &slice_;
    return 0;
}

std::string shape_of(const ArrowSchema &schema) {
    std::string out;
    append(out, schema);
    return out;
}

} // namespace groundrule::columns
