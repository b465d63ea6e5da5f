// Positions in the units that editors count.
#include "report/diagnostics_json.h"
#include "text/json_value.h"

namespace groundrule::report {

namespace {

using Json = JsonValue;

Json position(const SourceText &source, std::uint32_t offset) {
    const Place place = source.place(offset);
    std::uint32_t units = 0;
    std::uint32_t characters = 0;
    for (const char c : source.line(place.line)) {
        const auto byte = static_cast<unsigned char>(c);
        if ((byte & 0xC0u) == 0x80u)
            continue;
        if (++characters >= place.column)
            break;
        units += byte >= 0xF0u ? 2 : 1;
    }
    return {{"line", place.line - 1}, {"character", units}};
}

Json range(const SourceText &source, Span span) {
    return {{"start", position(source, span.begin)}, {"end", position(source, span.end)}};
}

Json one(const Diagnostic &d, const Sources &sources) {
    Json out = Json::object();
    const Json nowhere = {{"line", 0}, {"character", 0}};
    out["range"] = d.span.file < sources.size() ? range(sources[d.span.file], d.span)
                                                : Json{{"start", nowhere}, {"end", nowhere}};
    out["severity"] = d.severity == Severity::error ? 1 : 2;
    out["code"] = d.code;
    out["source"] = "groundrule";
    out["message"] = d.message + (d.help.empty() ? "" : "; " + d.help);
    if (d.other.file < sources.size())
        out["relatedInformation"] =
            Json::array({{{"location",
                           {{"uri", sources[d.other.file].name()},
                            {"range", range(sources[d.other.file], d.other)}}},
                          {"message", d.other_is}}});
    return out;
}

} // namespace

std::string to_lsp_json(const Diagnostics &diagnostics, const Sources &sources) {
    Json files = Json::object();
    for (const Diagnostic &d : diagnostics.list()) {
        const std::string name =
            d.span.file < sources.size() ? sources[d.span.file].name() : d.where;
        files[name].push_back(one(d, sources));
    }
    Json out = Json::array();
    for (const auto &[name, list] : files.items())
        out.push_back({{"uri", name}, {"diagnostics", list}});
    return out.dump(2) + "\n";
}

} // namespace groundrule::report
