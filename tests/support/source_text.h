// The project's own C files as text, for the tests that look at how they are written.
#ifndef SW_TESTS_SUPPORT_SOURCE_TEXT_H
#define SW_TESTS_SUPPORT_SOURCE_TEXT_H

/// One C file or header of src/ or include/.
typedef struct sw_source {
    char folder[32]; ///< "core", "files" ..., "include" for public headers
    char name[64];   ///< such as "march_tile.h"
    char path[128];  ///< from the project's folder, such as "src/core/march_tile.h"
    char *text;
} sw_source;

/// All of them, in the order of their paths. Released with sw_sources_free.
sw_source *sw_sources_read(int *count);
void sw_sources_free(sw_source *source, int count);

/// Splits C into what is comment and what is code: copies of the text in which the other part (and, of the
/// code, the texts and character constants) is blank. Both have room for the text; lines stay where they are.
void sw_source_split(const char *text, char *comment, char *code);

/// Leaves of a text its code, as above, and whole #include lines.
void sw_source_blank(char *text);

/// The line in which a place of a text lies, from 1.
int sw_source_line(const char *text, const char *at);

#endif
