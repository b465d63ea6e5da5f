// What several books say about one file. Text that is part of three editions is looked over three
// times, and its faults are told once.
#pragma once

#include "lint_plan.h"

#include <string>
#include <string_view>
#include <vector>

namespace command {

class ToldOnce {
  public:
    // What one opening told, as text.
    void add(const Opening &opening, std::string_view told);
    // All of it, in the order in which it was told first. That nothing reads a declaration is left
    // out if some book does.
    std::string text() const;

  private:
    struct Block {
        std::string text; // a fault with the lines that show it
        std::size_t told = 0;
    };

    std::size_t books_with(std::string_view block) const;

    std::vector<Block> blocks_;
    std::vector<std::vector<std::string>> files_; // of each opening
};

} // namespace command
