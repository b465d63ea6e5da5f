#include "files.h"

#include "terminal.h"

#include <array>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <memory>

#if __has_include(<unistd.h>)
#include <unistd.h>
#endif

namespace command {

namespace {

// The library refuses far smaller texts; this bound is for what never ends, such as a device.
constexpr std::size_t most_bytes = std::size_t{256} << 20;

struct Close {
    void operator()(std::FILE *file) const {
        if (file != stdin)
            (void)std::fclose(file);
    }
};

std::nullopt_t cannot_read(const std::string &path, const std::string &why) {
    complain("cannot read " + path + ": " + why);
    return std::nullopt;
}

} // namespace

std::optional<File> read_file(const std::string &path) {
    const bool piped = path == "-";
    const std::unique_ptr<std::FILE, Close> stream(piped ? stdin : std::fopen(path.c_str(), "rb"));
    if (stream == nullptr)
        return cannot_read(path, std::strerror(errno));
    File file{piped ? "standard input" : path, {}};
    std::array<char, 65536> block{};
    std::size_t size = 0;
    while ((size = std::fread(block.data(), 1, block.size(), stream.get())) > 0) {
        file.text.append(block.data(), size);
        if (file.text.size() > most_bytes)
            return cannot_read(file.name, "it is larger than 256 MiB");
    }
    if (std::ferror(stream.get()) != 0)
        return cannot_read(file.name, std::strerror(errno));
    return file;
}

std::optional<std::vector<File>> read_files(const std::vector<std::string> &paths) {
    std::vector<File> files;
    bool good = true;
    for (const std::string &path : paths) {
        if (auto file = read_file(path))
            files.push_back(std::move(*file));
        else
            good = false; // the others are tried too, so that one run tells all
    }
    if (!good)
        return std::nullopt;
    return files;
}

bool write_whole(const std::string &path, std::string_view text) {
    const std::string beside = path + ".part";
    std::FILE *file = std::fopen(beside.c_str(), "wb");
    bool good = file != nullptr;
    if (good) {
        good = std::fwrite(text.data(), 1, text.size(), file) == text.size();
        good = std::fflush(file) == 0 && good;
#if __has_include(<unistd.h>)
        good = good && fsync(fileno(file)) == 0; // on the disk before it takes the old one's place
#endif
        good = std::fclose(file) == 0 && good;
        good = good && std::rename(beside.c_str(), path.c_str()) == 0;
    }
    if (!good) {
        complain("cannot write " + path + ": " + std::strerror(errno));
        (void)std::remove(beside.c_str());
    }
    return good;
}

std::vector<groundrule::Source> sources_of(const std::vector<File> &files) {
    std::vector<groundrule::Source> sources;
    sources.reserve(files.size());
    for (const File &file : files)
        sources.push_back({file.name, file.text});
    return sources;
}

} // namespace command
