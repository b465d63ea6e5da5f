// Which names may stand in a declaration at fault.

#include "book/broken.h"

#include "catch.h"

using groundrule::book::Broken;

TEST_CASE("a name stands in a broken text as a whole word only") {
    Broken broken;
    const std::string text = "define pump.load_2 : power = Volts * 3x * larger(AMPS)";
    broken.add_text("item hose in pool");
    broken.add_text(text);
    broken.add_text("says \"{head}~tail\"");
    broken.add_name("cover");
    for (const char *name : {"pump", "load_2", "power", "Volts", "3x", "larger", "AMPS", "define",
                             "hose", "pool", "cover", "head", "tail"}) {
        INFO(name);
        CHECK(broken.has(name));
    }
    for (const char *name : {"", "load", "olts", "Volt", "3", "x", "larg", "AMP", "MPS", "_2",
                             "cov", "slide", "efine"}) {
        INFO(name);
        CHECK_FALSE(broken.has(name));
    }
}

TEST_CASE("a part of one word does not hide the same word further on") {
    Broken broken;
    const std::string text = "loads = load";
    broken.add_text(text);
    CHECK(broken.has("load"));
    CHECK_FALSE(Broken().has("load"));
}
