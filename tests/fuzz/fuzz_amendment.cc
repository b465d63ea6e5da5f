// Changes to an edition: the input stands behind a fixed header.
//
// Cut: inputs whose declarations do not parse alone, which fuzz_rules has; so nearly every
// execution that costs an opened book exercises what amendments change.
#include "open_text.h"

#include "syntax/parse.h"

#include <cstdint>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t *data, std::size_t size) {
    using namespace groundrule;
    const std::string text = "amendment fuzz to nec-2020\n  title \"Fuzz\"\n" +
                             std::string(reinterpret_cast<const char *>(data), size);
    const Sources sources = {SourceText("fuzz.rules", text)};
    Diagnostics faults;
    syntax::parse(sources[0], 0, faults);
    fuzz::expect_sound(faults, sources);
    if (!faults.has_errors())
        fuzz::expect_opens_soundly("nec-2020+fuzz", text);
    return 0;
}
