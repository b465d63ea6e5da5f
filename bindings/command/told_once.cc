#include "told_once.h"

#include <algorithm>

namespace command {

namespace {

// The lines that show a fault are indented below it.
std::vector<std::string_view> blocks_of(std::string_view told) {
    std::vector<std::string_view> blocks;
    std::size_t begin = 0;
    for (std::size_t at = 0; at < told.size();) {
        const std::size_t next = std::min(told.find('\n', at), told.size() - 1) + 1;
        if (next == told.size() || told[next] != ' ') {
            blocks.push_back(told.substr(begin, next - begin));
            begin = next;
        }
        at = next;
    }
    return blocks;
}

} // namespace

void ToldOnce::add(const Opening &opening, std::string_view told) {
    std::vector<std::string> &files = files_.emplace_back();
    for (const groundrule::Source &source : opening.sources)
        files.emplace_back(source.name);
    for (const std::string_view block : blocks_of(told)) {
        const auto there = std::find_if(blocks_.begin(), blocks_.end(),
                                        [&](const Block &b) { return b.text == block; });
        if (there == blocks_.end())
            blocks_.push_back({std::string(block), 1});
        else
            ++there->told;
    }
}

std::size_t ToldOnce::books_with(std::string_view block) const {
    return static_cast<std::size_t>(std::count_if(files_.begin(), files_.end(), [&](const auto &f) {
        return std::any_of(f.begin(), f.end(), [&](const std::string &name) {
            return block.starts_with(name) && block.substr(name.size()).starts_with(":");
        });
    }));
}

std::string ToldOnce::text() const {
    std::string out;
    for (const Block &b : blocks_) {
        const bool unused =
            b.text.substr(0, b.text.find('\n')).find("warning [unused]") != std::string::npos;
        if (!unused || b.told >= books_with(b.text))
            out += b.text;
    }
    return out;
}

} // namespace command
