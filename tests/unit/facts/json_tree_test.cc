// A document as a tree says what the document says.

#include "facts/json_tree.h"

#include "catch.h"

using groundrule::facts::json_tree;

TEST_CASE("a tree holds every kind of value, in the order of the document") {
    const char *document =
        R"({"n":null,"t":true,"w":-3,"u":18446744073709551615,"r":0.5,"s":"x","l":[1,[],{}],"o":{"k":false}})";
    CHECK(json_tree(document).dump() == document);
}

TEST_CASE("a document that is one value is that value") {
    CHECK(json_tree("\"x\"").dump() == "\"x\"");
    CHECK(json_tree("[2]").dump() == "[2]");
}

TEST_CASE("what is no document has a tree of nothing") {
    CHECK(json_tree("{\"a\":[1,").dump() == "null");
    CHECK(json_tree("").dump() == "null");
}
