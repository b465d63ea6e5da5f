#include "table.h"

#include <string>
#include <vector>

namespace {

constexpr std::int64_t count = 20;

// Nothing to give back: everything lies in static memory. A host need not be so tidy, but every
// schema and array has to have a `release`.
void release_schema(ArrowSchema *schema) {
    schema->release = nullptr;
}
void release_array(ArrowArray *array) {
    array->release = nullptr;
}

constexpr std::int64_t many = 6000;

std::vector<std::int32_t> many_offsets() {
    std::vector<std::int32_t> out;
    for (std::int32_t i = 0; i <= many; ++i)
        out.push_back(4 * i);
    return out;
}
std::string many_texts() {
    std::string out;
    for (std::int64_t i = 0; i < many; i += 4)
        out += "15 A20 A17 A25 A";
    return out;
}

} // namespace

// One column of texts with units, one row in four unknown.
Table table_of_circuits() {
    static const std::uint8_t known[] = {0xEE, 0xEE, 0x0E};
    static const std::int32_t offsets[count + 1] = {0,  4,  8,  12, 16, 20, 24, 28, 32, 36, 40,
                                                    44, 48, 52, 56, 60, 64, 68, 72, 76, 80};
    static const char texts[] = "15 A20 A17 A25 A15 A20 A17 A25 A15 A20 A"
                                "15 A20 A17 A25 A15 A20 A17 A25 A15 A20 A";
    static const void *buffers[] = {known, offsets, texts};
    static const void *no_bits[] = {nullptr};
    static ArrowSchema column{"u",     "breaker",      nullptr, ARROW_FLAG_NULLABLE, 0, nullptr,
                              nullptr, release_schema, nullptr};
    static ArrowArray values{count, -1, 0, 3, 0, buffers, nullptr, nullptr, release_array, nullptr};
    static ArrowSchema *schemas[] = {&column};
    static ArrowArray *arrays[] = {&values};
    Table table;
    table.schema = {"+s", "", nullptr, 0, 1, schemas, nullptr, release_schema, nullptr};
    table.rows = {count, 0, 0, 1, 1, no_bits, arrays, nullptr, release_array, nullptr};
    return table;
}

Table table_of_many_circuits() {
    static const std::vector<std::int32_t> offsets = many_offsets();
    static const std::string texts = many_texts();
    static const void *buffers[] = {nullptr, offsets.data(), texts.data()};
    static ArrowArray values{many, 0, 0, 3, 0, buffers, nullptr, nullptr, release_array, nullptr};
    static ArrowArray *arrays[] = {&values};
    Table table = table_of_circuits();
    table.rows.length = many;
    table.rows.children = arrays;
    return table;
}
