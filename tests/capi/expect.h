/* Expectations for the C tests: each tells its line when it fails, and the program ends with 1. */
#ifndef EXPECT_H
#define EXPECT_H

#include <stdio.h>
#include <string.h>

static int failures = 0;

#define EXPECT(condition)                                                                          \
    do {                                                                                           \
        if (!(condition)) {                                                                        \
            fprintf(stderr, "%s:%d: not so: %s\n", __FILE__, __LINE__, #condition);                \
            ++failures;                                                                            \
        }                                                                                          \
    } while (0)

/* Without what follows being able to go on. */
#define REQUIRE(condition)                                                                         \
    do {                                                                                           \
        if (!(condition)) {                                                                        \
            fprintf(stderr, "%s:%d: not so: %s\n", __FILE__, __LINE__, #condition);                \
            exit(1);                                                                               \
        }                                                                                          \
    } while (0)

#define HOLDS(text, part) (strstr((text), (part)) != NULL)

/* A text and its length, as most calls take them. */
#define WORDS(text) (text), strlen(text)

#endif
