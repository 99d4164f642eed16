// The table of sources in DEVELOPERS.md, the keys that texts cite, and equations that cite nothing.
#ifndef SW_TESTS_SUPPORT_SOURCES_H
#define SW_TESTS_SUPPORT_SOURCES_H

#include "support/complaints.h"

#define SOURCE_KEYS_MAX 100

/// One key of the table, and by whom it is cited.
typedef struct source_key {
    char key[40];
    int line;
    int of_checks; ///< it stands in the second table, of sources that only checks cite
    int by_code, by_tests;
} source_key;

typedef struct source_table {
    int count;
    source_key key[SOURCE_KEYS_MAX];
} source_table;

/// Who cites a key. A mere mention counts for nothing, but the key must be known.
typedef enum source_citer { CITED_BY_CODE, CITED_BY_TESTS, MENTIONED } source_citer;

/// Reads the keys under "## Sources". A heading in that section begins the table of the sources of checks.
void sources_of(const char *markdown, const char *file, source_table *out, complaints *c);
source_key *source_of(source_table *table, const char *key);

/// Marks the keys that the comments of a C text cite; complains of unknown ones. A key is a word of
/// lower-case letters, digits and hyphens, three letters at least, alone in brackets; not so an index
/// (`a[key]`, `[key][other]`) nor a unit such as `[deg]`. A test cites only in a comment directly above a
/// START_TEST, or above a static table or function at the margin, which holds what the tests compare with.
void cite_in_c(const char *text, const char *file, source_citer citer, source_table *table, complaints *c);
/// Marks the keys of the `source` lines of a file of published values that have rows below them.
void cite_in_values(const char *text, const char *file, source_table *table, complaints *c);

/// Complains of keys that nobody cites, or only the wrong side does.
void sources_settle(const source_table *table, const char *file, complaints *c);

/// Complains of each function, table or constant of a C text with a number or a function of mathematics in it
/// that has neither a key nor one of the marks (see sources.c) in a comment inside it or above it. A mark
/// stands in round brackets: (own derivation); with others or with what it is said of: (numerics;
/// definition), (convention: 25 degC). A comment above holds for all that follows without an empty line or
/// another comment between. One-digit whole numbers and 0.5 need no source.
void find_unsourced(const char *text, const char *file, complaints *c);

#endif
