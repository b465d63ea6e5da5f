// Columns of our own as an Arrow table, handed over without a copy.
#pragma once

#include <groundrule/arrow_abi.h>

#include <cstdint>
#include <deque>
#include <string>
#include <vector>

namespace bench {

// What is handed over stays ours.
inline void keep(ArrowSchema *s) {
    s->release = nullptr;
}
inline void keep(ArrowArray *a) {
    a->release = nullptr;
}

class ArrowTable {
  public:
    // `told`: a bit a row; both have to outlive the table.
    void numbers(const char *name, const char *format, const void *values, const std::uint8_t *told,
                 std::size_t rows) {
        Column &c = columns_.emplace_back();
        c.buffers[0] = told;
        c.buffers[1] = values;
        name_as(c.schema, name, format);
        length_as(c.array, rows, c.buffers, 2);
        c.array.null_count = -1;
    }
    // `codes`: of each row its place among the words.
    void words(const char *name, const std::vector<std::string> &words, const std::uint8_t *codes,
               const std::uint8_t *told, std::size_t rows) {
        numbers(name, "C", codes, told, rows);
        Column &c = columns_.back();
        c.offsets.push_back(0);
        for (const std::string &word : words) {
            c.text += word;
            c.offsets.push_back(static_cast<std::int32_t>(c.text.size()));
        }
        c.word_buffers[1] = c.offsets.data();
        c.word_buffers[2] = c.text.data();
        name_as(c.words, "", "u");
        length_as(c.word_array, words.size(), c.word_buffers, 3);
        c.schema.dictionary = &c.words;
        c.array.dictionary = &c.word_array;
    }

    // Once all columns are there.
    void close(std::size_t rows) {
        for (Column &c : columns_) {
            schemas_.push_back(&c.schema);
            arrays_.push_back(&c.array);
        }
        name_as(schema, "", "+s");
        schema.n_children = static_cast<std::int64_t>(schemas_.size());
        schema.children = schemas_.data();
        length_as(array, rows, none_, 1);
        array.n_children = static_cast<std::int64_t>(arrays_.size());
        array.children = arrays_.data();
    }

    ArrowSchema schema = {};
    ArrowArray array = {};

  private:
    struct Column {
        const void *buffers[2] = {};
        ArrowSchema schema = {};
        ArrowArray array = {};
        std::vector<std::int32_t> offsets;
        std::string text;
        const void *word_buffers[3] = {};
        ArrowSchema words = {};
        ArrowArray word_array = {};
    };

    static void name_as(ArrowSchema &s, const char *name, const char *format) {
        s.format = format;
        s.name = name;
        s.flags = ARROW_FLAG_NULLABLE;
        s.release = keep;
    }
    static void length_as(ArrowArray &a, std::size_t rows, const void **buffers,
                          std::int64_t count) {
        a.length = static_cast<std::int64_t>(rows);
        a.n_buffers = count;
        a.buffers = buffers;
        a.release = keep;
    }

    std::deque<Column> columns_;
    std::vector<ArrowSchema *> schemas_;
    std::vector<ArrowArray *> arrays_;
    const void *none_[1] = {nullptr};
};

} // namespace bench
