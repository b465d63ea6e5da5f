// The book of twenty rules through the C API, and an inventory's circuits as its facts.
#pragma once

#include "inventory.h"

#include <groundrule/groundrule.h>

#include <fstream>
#include <iterator>

namespace bench {

inline void must(gr_status status, const gr_error &error) {
    if (status == GR_OK)
        return;
    std::fprintf(stderr, "%s\n", error.message);
    std::exit(2);
}

inline std::string text_of(const std::string &path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

inline gr_text text(const std::string &s) {
    return {s.data(), s.size()};
}

inline gr_book *open(const std::string &name, const std::vector<std::string> &files) {
    std::vector<std::string> texts;
    for (const std::string &file : files)
        texts.push_back(text_of(file));
    std::vector<gr_source> sources;
    for (std::size_t i = 0; i < files.size(); ++i)
        sources.push_back({text(files[i]), text(texts[i])});
    gr_error error;
    gr_book *book = nullptr;
    must(gr_book_open(name.data(), name.size(), sources.data(), sources.size(), nullptr, &book,
                      &error),
         error);
    return book;
}

inline gr_slot slot(const gr_book *book, const std::string &name) {
    gr_error error;
    gr_slot out;
    must(gr_book_slot(book, name.data(), name.size(), &out, &error), error);
    return out;
}

// Choices and conductor sizes as the generator numbers them.
inline const char *word_of(Column c, std::size_t code) {
    static const char *const sizes[] = {
        "14 AWG",    "12 AWG",    "10 AWG",    "8 AWG",     "6 AWG",     "4 AWG",    "3 AWG",
        "2 AWG",     "1 AWG",     "1/0 AWG",   "2/0 AWG",   "3/0 AWG",   "4/0 AWG",  "250 kcmil",
        "300 kcmil", "350 kcmil", "400 kcmil", "500 kcmil", "600 kcmil", "750 kcmil"};
    static const char *const materials[] = {"copper", "aluminum"};
    static const char *const locations[] = {"bathroom", "garage",   "outdoors", "crawl_space",
                                            "basement", "kitchen",  "laundry",  "boathouse",
                                            "rooftop",  "workshop", "bedroom",  "driveway"};
    static const char *const occupancies[] = {"dwelling", "office", "shop", "guest_suite", "plant"};
    return c == size       ? sizes[code]
           : c == material ? materials[code]
           : c == location ? locations[code]
                           : occupancies[code];
}

enum class Given : std::uint8_t { number, truth, word };

inline Given given(Column c) {
    if (c == continuous || c == gfci || c == individual || c == vehicle)
        return Given::truth;
    return c == size || c == material || c == location || c == occupancy ? Given::word
                                                                         : Given::number;
}

// Base units: lengths in millimetres.
inline double base_value(Column c, double value) {
    return c == sink || c == length ? value * 304.8 : value;
}

} // namespace bench
