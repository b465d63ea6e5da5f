#include "terminal.h"

#include "status.h"

#include <cstdio>
#include <cstdlib>
#include <unistd.h>

namespace command {

namespace {

bool write(std::FILE *stream, std::string_view text) {
    bool good = std::fwrite(text.data(), 1, text.size(), stream) == text.size();
    if (!text.empty() && text.back() != '\n')
        good = std::fputc('\n', stream) != EOF && good;
    return std::fflush(stream) == 0 && good;
}

} // namespace

bool wants_colour() {
    const char *refused = std::getenv("NO_COLOR");
    const char *terminal = std::getenv("TERM");
    const bool plain = refused != nullptr && *refused != '\0';
    const bool dumb = terminal != nullptr && std::string_view(terminal) == "dumb";
    return isatty(STDOUT_FILENO) == 1 && !plain && !dumb;
}

int print(std::string_view text, int status) {
    if (write(stdout, text))
        return status;
    complain("the output could not be written");
    return bad_input;
}

void complain(std::string_view message) {
    std::fputs("groundrule: ", stderr);
    write(stderr, message);
}

void complain(const groundrule::Error &error) {
    if (error.file.empty())
        complain(std::string_view(error.message));
    else
        write(stderr, error.message);
}

} // namespace command
