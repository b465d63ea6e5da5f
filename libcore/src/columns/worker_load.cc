// Columns into buffers.
#include "columns/worker.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>
#include <limits>

namespace groundrule::columns {

namespace {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();

// Different texts of one column whose meaning is kept.
constexpr std::size_t most_texts = 4096;

// Eight bits to eight bytes of 0 or 1.
constexpr std::array<std::uint64_t, 256> spread = [] {
    std::array<std::uint64_t, 256> out{};
    for (std::size_t bits = 0; bits < 256; ++bits) {
        for (std::size_t i = 0; i < 8; ++i)
            out[bits] |= static_cast<std::uint64_t>(bits >> i & 1) << (8 * i);
    }
    return out;
}();

// Of bits that do not begin with a byte.
void bytes_of(const std::uint8_t *bits, std::size_t first, std::size_t rows, std::uint8_t *out) {
    const std::size_t shift = first % 8;
    bits += first / 8;
    std::size_t i = 0;
    for (; i + 8 <= rows; i += 8, ++bits) {
        const std::size_t byte =
            (bits[0] >> shift | static_cast<std::size_t>(bits[1]) << (8 - shift)) & 0xff;
        std::memcpy(out + i, &spread[byte], 8);
    }
    for (; i < rows; ++i)
        out[i] = static_cast<std::uint8_t>(bits[(shift + i % 8) / 8] >> ((shift + i % 8) % 8) & 1);
}

std::size_t size_of(Storage storage) {
    static constexpr std::size_t sizes[] = {0, 0, 1, 1, 2, 2, 4, 4, 8, 8, 4, 8};
    return sizes[static_cast<std::size_t>(storage)];
}

std::size_t number_index(Storage storage) {
    return static_cast<std::size_t>(storage) - static_cast<std::size_t>(Storage::int8);
}

double fill_of(const Step &step, double unit) {
    switch (step.form) {
    case Form::truth:
        return byte_of(step.fill);
    case Form::code:
        return step.fill.known() ? step.fill.value : no_code;
    case Form::whole:
        return step.fill.known() ? step.fill.value / unit : no_whole;
    default:
        return step.fill.known() ? step.fill.value : nan;
    }
}

// The rows of the next range stand behind those of this one. Each column's are too few for the
// processor to see a pattern, and by then they are in cache.
void fetch_ahead(const void *from, std::size_t bytes) {
    const auto *line = static_cast<const char *>(from);
    for (std::size_t at = bytes; at < 2 * bytes; at += 64)
        __builtin_prefetch(line + at, 0, 2);
}

bool can_be_negative(const book::Type &type) {
    return !type.is_quantity() || type.dimension.kelvin != 0;
}

} // namespace

// A bit for each row, from the first one on: set if it tells something.
const std::uint8_t *Worker::told(const Column &column, std::size_t first, std::size_t rows) {
    if (column.validity.empty())
        return memory_.get() + all_told_;
    const Validity &only = column.validity.front();
    const std::size_t start = only.first + first;
    if (column.validity.size() == 1 && start % 8 == 0)
        return only.bits + start / 8;
    std::uint8_t *out = memory_.get() + told_;
    std::memset(out, 0, rows / 8 + 1);
    for (std::size_t row = 0; row < rows; ++row)
        out[row / 8] = static_cast<std::uint8_t>(out[row / 8] | (column.told(first + row) ? 1u : 0u)
                                                                    << row % 8);
    return out;
}

Entry Worker::entry_of(const Step &step) const {
    const Source &s = plan_.layout.sources[step.index];
    const book::Type &type = book_.items[s.item].fields[s.field].type;
    Entry entry;
    entry.factor = s.factor;
    entry.offset = s.offset;
    entry.scale = book::scale_of(type);
    entry.low = can_be_negative(type) ? -0x1p51 / entry.scale : 0;
    entry.high = 0x1p51 / entry.scale;
    if (step.form == Form::whole)
        entry.low = can_be_negative(type) ? no_whole + 1 : 0;
    entry.fill = fill_of(step, is_text(s.storage) ? 1 : s.factor);
    return entry;
}

Kernel Worker::entering(const Step &step, Storage storage) const {
    const std::size_t type = number_index(storage);
    switch (step.form) {
    case Form::truth:
        return kernels_.enter_truth[type];
    case Form::code:
        return kernels_.enter_code[type];
    case Form::whole:
        return kernels_.enter_whole[type];
    default:
        return kernels_.enter_real[type];
    }
}

void Worker::load(std::size_t index, const Table &table) {
    const Step &step = plan_.steps[index];
    const Column &column = table.columns[step.index];
    const Source &s = *column.source;
    const Range &range = ranges_[step.tier];
    if (range.count == 0)
        return;
    Entry entry = entries_[index];
    Storage storage = s.storage;
    std::uint8_t misfit = 0;
    Kernel enter = nullptr;
    Call call;
    call.out = at<std::uint8_t>(step.out);
    call.more = &entry;
    call.apart = &misfit;
    if (is_text(storage)) {
        if (s.index && texts_[step.index].dictionary != column.array->dictionary)
            read_dictionary(step, column, texts_[step.index]);
        if (!s.index || width_of(step.form) != 1)
            return load_texts(step, column, range.first, range.count);
        const Texts &texts = texts_[step.index];
        entry.entries = static_cast<std::int32_t>(texts.values.size());
        call.table = texts.codes.data();
        storage = *s.index;
        enter = kernels_.enter_code[number_index(storage)];
    }
    call.in[1] = told(column, range.first, range.count);
    const std::size_t first = column.first + range.first;
    const auto *values = static_cast<const std::uint8_t *>(column.array->buffers[1]);
    if (storage == Storage::boolean && first % 8 == 0) {
        call.in[0] = values + first / 8;
        enter = kernels_.enter_bits;
        fetch_ahead(call.in[0], range.count / 8);
    } else if (storage == Storage::boolean) {
        std::uint8_t *bytes = memory_.get() + bits_;
        bytes_of(values, first, range.count, bytes);
        call.in[0] = bytes;
        storage = Storage::uint8;
    } else {
        call.in[0] = values + first * size_of(storage);
        fetch_ahead(call.in[0], range.count * size_of(storage));
    }
    if (!column.validity.empty())
        fetch_ahead(call.in[1], range.count / 8);
    if (enter == nullptr)
        enter = entering(step, storage);
    enter(call, range.count);
    if (misfit != 0)
        mark_misfits(step, column, range.first, range.count);
}

// Rows whose value the form can't hold, or that can't be at all, are looked at one by one later.
void Worker::mark_misfits(const Step &step, const Column &column, std::size_t first,
                          std::size_t rows) {
    std::uint8_t *marks = memory_.get() + marks_[step.tier];
    const double scale =
        book::scale_of(book_.items[column.source->item].fields[column.source->field].type);
    for (std::size_t row = 0; row < rows; ++row) {
        if (!column.told(first + row))
            continue;
        facts::FactFault fault;
        const Cell c = fact_in(book_, column, first + row, fault);
        const double most =
            step.form == Form::whole ? 32767 * column.source->factor : 0x1p51 / scale;
        if (!c.known() || std::fabs(c.value) > most)
            marks[row] = static_cast<std::uint8_t>(marks[row] | alone_mark);
    }
}

// What each entry of a dictionary means. Dictionaries may change from batch to batch.
void Worker::read_dictionary(const Step &step, const Column &column, Texts &texts) {
    const ArrowArray &dictionary = *column.array->dictionary;
    texts.dictionary = &dictionary;
    const auto entries = static_cast<std::size_t>(dictionary.length);
    texts.values.assign(entries, nan);
    texts.codes.assign(std::max<std::size_t>(entries, 256), no_code);
    const bool nulls = dictionary.null_count != 0 && dictionary.buffers[0] != nullptr;
    for (std::size_t i = 0; i < entries; ++i) {
        const std::size_t at = i + static_cast<std::size_t>(dictionary.offset);
        if (nulls && !Validity{static_cast<const std::uint8_t *>(dictionary.buffers[0]), 0}.at(at))
            continue;
        facts::FactFault fault;
        const auto value = value_of_text(book_, *column.source,
                                         text_in(dictionary, column.source->storage, at), fault);
        if (!value)
            continue;
        texts.values[i] = *value;
        if (step.form == Form::code)
            texts.codes[i] = static_cast<std::uint8_t>(*value);
        else if (step.form == Form::truth)
            texts.codes[i] = *value != 0 ? yes : no;
    }
}

void Worker::load_texts(const Step &step, const Column &column, std::size_t first,
                        std::size_t rows) {
    const Source &s = *column.source;
    Texts &texts = texts_[step.index];
    std::uint8_t *marks = memory_.get() + marks_[step.tier];
    for (std::size_t row = 0; row < rows; ++row) {
        double value = nan;
        const bool told = column.told(first + row);
        if (told && s.index) {
            const std::int64_t entry =
                index_in(*column.array, *s.index, column.first + first + row);
            if (entry >= 0 && entry < column.array->dictionary->length)
                value = texts.values[static_cast<std::size_t>(entry)];
        } else if (told) {
            const std::string_view text =
                text_in(*column.array, s.storage, column.first + first + row);
            if (texts.known.size() > most_texts)
                texts.known.clear();
            const auto [known, fresh] = texts.known.try_emplace(std::string(text), nan);
            if (fresh) {
                facts::FactFault fault;
                known->second = value_of_text(book_, s, text, fault).value_or(nan);
            }
            value = known->second;
        }
        if (told && std::isnan(value))
            marks[row] = static_cast<std::uint8_t>(marks[row] | alone_mark);
        const Cell cell = std::isnan(value) ? Cell{} : exactly(value);
        if (step.form == Form::code)
            at<std::uint8_t>(step.out)[row] = cell.known()
                                                  ? static_cast<std::uint8_t>(value)
                                                  : static_cast<std::uint8_t>(fill_of(step, 1));
        else
            put(step, row, cell.known() ? cell : step.fill);
    }
}

} // namespace groundrule::columns
