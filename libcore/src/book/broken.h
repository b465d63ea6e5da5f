// Names that may stand in declarations at fault. Another fault that only says that such a name is
// not known would send its reader to the wrong place.
#pragma once

#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace groundrule::book {

class Broken {
  public:
    // The text of a declaration that could not be read.
    void add_text(std::string_view text) { texts_.push_back(text); }
    // A name whose declaration was read, and is at fault.
    void add_name(const std::string &name) { names_.insert(name); }

    bool has(const std::string &name) const {
        if (name.empty() || names_.contains(name))
            return !name.empty();
        for (const std::string_view text : texts_) {
            if (holds(text, name))
                return true;
        }
        return false;
    }

  private:
    static bool inside_word(char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
               c == '_';
    }

    static bool holds(std::string_view text, const std::string &name) {
        for (std::size_t at = text.find(name); at != std::string_view::npos;
             at = text.find(name, at + 1)) {
            const bool begins = at == 0 || !inside_word(text[at - 1]);
            const std::size_t end = at + name.size();
            if (begins && (end >= text.size() || !inside_word(text[end])))
                return true;
        }
        return false;
    }

    std::vector<std::string_view> texts_;
    std::set<std::string> names_;
};

} // namespace groundrule::book
