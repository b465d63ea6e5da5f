// Writes the C++ source that holds the rule sets (see src/book/embedded.h): embed DIRECTORY LIST
// OUTPUT. LIST names one path below DIRECTORY a line, in the order wanted. Runs while the library
// is built.
#include "book/heading.h"

#include <cstdio>
#include <fstream>
#include <iterator>
#include <stdexcept>
#include <string>
#include <vector>
#include <zlib.h>

namespace {

struct File {
    std::string path;
    std::string heading;
    std::string rules; // an empty line for each line of a test
    std::string tests; // an empty line for each other line
};

std::string contents_of(const std::string &path) {
    std::ifstream file(path, std::ios::binary);
    std::string text{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    if (!file)
        throw std::runtime_error(path + ": can't be read");
    return text;
}

// A declaration begins in column one; what is indented, empty or a comment goes with the one above.
File parted(std::string path, std::string_view text) {
    File out{std::move(path), std::string(groundrule::book::heading(text)), {}, {}};
    bool in_test = false;
    while (!text.empty()) {
        const std::string_view line = text.substr(0, text.find('\n') + 1);
        const std::string_view whole = line.empty() ? text : line; // the last one may lack its end
        const std::string_view word = whole.substr(0, whole.find_first_of(" \r\n"));
        if (!word.empty() && word[0] != '#')
            in_test = word == "test";
        (in_test ? out.tests : out.rules) += whole;
        if (!line.empty())
            (in_test ? out.rules : out.tests) += '\n';
        text.remove_prefix(whole.size());
    }
    return out;
}

std::string packed(std::string &text) {
    z_stream stream{};
    if (deflateInit2(&stream, Z_BEST_COMPRESSION, Z_DEFLATED, -MAX_WBITS, MAX_MEM_LEVEL,
                     Z_DEFAULT_STRATEGY) != Z_OK)
        throw std::runtime_error("no memory to pack with");
    std::string out(deflateBound(&stream, text.size()), '\0');
    stream.next_in = reinterpret_cast<unsigned char *>(text.data());
    stream.avail_in = static_cast<unsigned>(text.size());
    stream.next_out = reinterpret_cast<unsigned char *>(out.data());
    stream.avail_out = static_cast<unsigned>(out.size());
    if (deflate(&stream, Z_FINISH) != Z_STREAM_END)
        throw std::runtime_error("not packed in one go");
    out.resize(stream.total_out);
    deflateEnd(&stream);
    return out;
}

void write_stream(std::ofstream &out, const char *name, std::string text) {
    const std::string bytes = packed(text);
    out << "const unsigned char " << name << "[] = {";
    for (std::size_t i = 0; i < bytes.size(); ++i)
        out << (i % 24 == 0 ? "\n" : "") << unsigned{static_cast<unsigned char>(bytes[i])} << ',';
    // The array is never empty: C++ has none such.
    out << "0};\n} // namespace\nconst Packed embedded_" << name << " = {" << name << ", "
        << bytes.size() << ", " << text.size() << "};\nnamespace {\n";
}

void write(const std::vector<File> &files, const std::string &path) {
    std::string rules;
    std::string tests;
    for (const File &f : files) {
        rules += f.rules;
        tests += f.tests;
    }
    std::ofstream out(path, std::ios::binary);
    out << "// Generated from the rule sets. Do not edit.\n\n#include \"book/embedded.h\"\n\n"
           "namespace groundrule::book {\nnamespace {\n";
    write_stream(out, "rules", rules);
    write_stream(out, "tests", tests);
    out << "} // namespace\n\nconst EmbeddedFile embedded_files[] = {\n";
    for (const File &f : files)
        out << "    {R\"(" << f.path << ")\", R\"(" << f.heading << ")\", " << f.rules.size()
            << ", " << f.tests.size() << "},\n";
    // The entry at the end is not counted; it keeps the array legal when there are no files.
    out << "    {nullptr, nullptr, 0, 0},\n};\nconst unsigned long embedded_file_count = "
        << files.size() << ";\n\n} // namespace groundrule::book\n";
    if (!out.flush())
        throw std::runtime_error(path + ": can't be written");
}

} // namespace

int main(int count, char **words) {
    if (count != 4) {
        std::fprintf(stderr, "usage: %s DIRECTORY LIST OUTPUT\n", words[0]);
        return 2;
    }
    try {
        std::vector<File> files;
        std::ifstream list(words[2]);
        for (std::string path; std::getline(list, path);) {
            if (!path.empty())
                files.push_back(parted(path, contents_of(words[1] + ("/" + path))));
        }
        write(files, words[3]);
        return 0;
    } catch (const std::exception &e) {
        std::fprintf(stderr, "embed: %s\n", e.what());
        return 1;
    }
}
