// Diagnostics as a person reads them.
#include "text/diagnostics.h"

#include <algorithm>

namespace groundrule {

Diagnostic &Diagnostics::error(std::string code, Span span, std::string message) {
    Diagnostic d;
    d.code = std::move(code);
    d.span = span;
    d.message = std::move(message);
    list_.push_back(std::move(d));
    return list_.back();
}

Diagnostic &Diagnostics::warning(std::string code, Span span, std::string message) {
    Diagnostic &d = error(std::move(code), span, std::move(message));
    d.severity = Severity::warning;
    return d;
}

void Diagnostics::sort() {
    std::stable_sort(list_.begin(), list_.end(), [](const Diagnostic &a, const Diagnostic &b) {
        return a.span.file != b.span.file ? a.span.file < b.span.file : a.span.begin < b.span.begin;
    });
}

std::size_t Diagnostics::errors() const {
    return static_cast<std::size_t>(
        std::count_if(list_.begin(), list_.end(),
                      [](const Diagnostic &d) { return d.severity == Severity::error; }));
}

namespace {

std::string at(Span span, const Sources &sources) {
    const SourceText &source = sources[span.file];
    const Place place = source.place(span.begin);
    return source.name() + ":" + std::to_string(place.line) + ":" + std::to_string(place.column);
}

std::string excerpt(Span span, const Sources &sources) {
    const SourceText &source = sources[span.file];
    const Place from = source.place(span.begin);
    const Place to = source.place(std::max(span.end, span.begin));
    const std::string_view line = source.line(from.line);
    const std::uint32_t width = to.line == from.line ? to.column : character_count(line) + 1;
    const std::string number = std::to_string(from.line);
    std::string margin(number.size(), ' ');
    std::string shown(line);
    std::replace(shown.begin(), shown.end(), '\t', ' '); // one column each, as places count
    std::string out = "  " + number + " | " + shown + "\n";
    out += "  " + margin + " | " + std::string(from.column - 1, ' ');
    out +=
        std::string(std::max<std::uint32_t>(width > from.column ? width - from.column : 1, 1), '^');
    return out + "\n";
}

} // namespace

std::string render(const Diagnostic &d, const Sources &sources) {
    std::string out;
    const bool in_file = d.span.file < sources.size();
    if (in_file)
        out += at(d.span, sources) + ": ";
    else if (!d.where.empty())
        out += d.where + ": ";
    out += d.severity == Severity::error ? "error" : "warning";
    out += " [" + d.code + "]: " + d.message + "\n";
    if (in_file)
        out += excerpt(d.span, sources);
    if (!d.help.empty())
        out += "  help: " + d.help + "\n";
    if (d.other.file < sources.size()) {
        out += "  " + d.other_is + ": " + at(d.other, sources) + "\n";
        out += excerpt(d.other, sources);
    }
    return out;
}

std::string render(const Diagnostics &diagnostics, const Sources &sources) {
    std::string out;
    for (const Diagnostic &d : diagnostics.list())
        out += render(d, sources);
    return out;
}

} // namespace groundrule
