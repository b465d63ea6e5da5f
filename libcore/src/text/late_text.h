// A text that is made when it is first asked for, from whichever thread.
//
// Not by std::call_once: the C library's part of it can't be left by an exception where the library
// brings its own unwinder, and making a text may run out of memory.
#pragma once

#include <mutex>
#include <optional>
#include <string>

namespace groundrule {

class LateText {
  public:
    // What `make` throws is passed on, and the next call tries again. The text stays where it is.
    template <typename Make>
    const std::string &get(Make make) {
        const std::lock_guard lock(mutex_);
        if (!text_)
            text_ = make();
        return *text_;
    }

  private:
    std::mutex mutex_;
    std::optional<std::string> text_;
};

} // namespace groundrule
