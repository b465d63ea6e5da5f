// The main function of the unit tests. Version 2 of Catch2 compiles it here, once, because it is
// slow to compile; version 3 links it from its own library, and this file is empty.

#if !__has_include(<catch2/catch_test_macros.hpp>)
#define CATCH_CONFIG_MAIN
#include <catch2/catch.hpp>
#endif
