// Long work told to Python, and ended by it.
#include "bind.h"

#include <chrono>

namespace py = pybind11;

namespace binding {

namespace {

using Clock = std::chrono::steady_clock;
constexpr std::chrono::milliseconds pause{100};

// False: something was raised, and is pending.
bool heard(const py::object *listener, std::uint64_t done, std::uint64_t of) {
    const py::gil_scoped_acquire locked;
    if (PyErr_CheckSignals() != 0)
        return false;
    if (listener == nullptr || listener->is_none())
        return true;
    try {
        (*listener)(done, of);
        return true;
    } catch (py::error_already_set &raised) {
        raised.restore();
        return false;
    }
}

} // namespace

groundrule::Progress heard_by(const py::object &listener) {
    return [listener = &listener, next = Clock::time_point()](std::uint64_t done,
                                                              std::uint64_t of) mutable {
        const auto now = Clock::now();
        if (now < next)
            return true;
        next = now + pause;
        return heard(listener, done, of);
    };
}

int answer_signals(const gr_progress *progress, void *) {
    thread_local Clock::time_point next;
    const auto now = Clock::now();
    if (now < next)
        return 0;
    next = now + pause;
    return heard(nullptr, progress->done, progress->of) ? 0 : 1;
}

} // namespace binding
