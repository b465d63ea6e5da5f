// Embedded texts, unpacked and put together. Memory comes from operator new, as all of the library.
#include "book/embedded.h"

#include <new>
#include <string_view>
#include <zlib.h>

namespace groundrule::book {

namespace {

// Nothing may be thrown through zlib, which is C.
void *allocate(void *, unsigned count, unsigned size) {
    try {
        return ::operator new (std::size_t{count} * size);
    } catch (const std::bad_alloc &) {
        return nullptr;
    }
}
void release(void *, void *block) {
    ::operator delete(block);
}

std::string unpacked(const Packed &packed) {
    std::string out(packed.unpacked_size, '\0');
    z_stream stream{};
    stream.zalloc = allocate;
    stream.zfree = release;
    stream.next_in = const_cast<unsigned char *>(packed.data); // which zlib reads only
    stream.avail_in = static_cast<unsigned>(packed.size);
    stream.next_out = reinterpret_cast<unsigned char *>(out.data());
    stream.avail_out = static_cast<unsigned>(out.size());
    // What was packed when the library was built can only fail for want of memory.
    if (inflateInit2(&stream, -MAX_WBITS) != Z_OK)
        throw std::bad_alloc();
    inflate(&stream, Z_FINISH);
    inflateEnd(&stream);
    return out;
}

// Of two texts of as many lines, of which one or both are empty in each place.
std::string merged(std::string_view a, std::string_view b) {
    const auto line = [](std::string_view &text) {
        const std::string_view first = text.substr(0, text.find('\n')); // without its end
        const std::string_view whole = text.substr(0, first.size() + 1);
        text.remove_prefix(whole.size());
        return whole;
    };
    std::string out;
    out.reserve(a.size() + b.size());
    while (!a.empty() || !b.empty()) {
        const std::string_view of_a = line(a);
        const std::string_view of_b = line(b);
        out += of_a.size() < of_b.size() ? of_b : of_a;
    }
    return out;
}

} // namespace

EmbeddedTexts::EmbeddedTexts(Tests tests)
    : rules_(unpacked(embedded_rules)),
      tests_(tests == Tests::read ? unpacked(embedded_tests) : std::string()) {}

std::string EmbeddedTexts::text(unsigned long i) const {
    std::size_t of_rules = 0;
    std::size_t of_tests = 0;
    for (unsigned long before = 0; before < i; ++before) {
        of_rules += embedded_files[before].rules_size;
        of_tests += embedded_files[before].tests_size;
    }
    const EmbeddedFile &f = embedded_files[i];
    if (tests_.empty())
        return rules_.substr(of_rules, f.rules_size);
    return merged(std::string_view(rules_).substr(of_rules, f.rules_size),
                  std::string_view(tests_).substr(of_tests, f.tests_size));
}

} // namespace groundrule::book
