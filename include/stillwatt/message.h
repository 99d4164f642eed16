/// Messages for people: what is wrong, where, what was expected, an example to copy.
/// Readers collect all the messages of a file and go on as far as they can; nothing prints below the program
/// itself.
#ifndef STILLWATT_MESSAGE_H
#define STILLWATT_MESSAGE_H

#include "stillwatt/status.h"

#include <stdarg.h>
#include <stddef.h>

/// Where a message points. Any member may be absent (NULL or 0).
typedef struct sw_where {
    const char *file; ///< as the user named it
    int line;         ///< from 1; 0: no line
    int column;       ///< from 1, in bytes; 0: no column
    const char *path; ///< JSON Pointer (RFC 6901) of the place in the document, such as /battery/health
} sw_where;

typedef enum sw_severity { SW_ERROR, SW_WARNING } sw_severity;

typedef struct sw_message {
    sw_severity severity;
    sw_status status; ///< class of an error; SW_OK for a warning
    sw_where where;
    const char *what; ///< one sentence without a full stop
    const char *hint; ///< what to write instead or to do next; NULL if there is none
} sw_message;

/// A growing list of messages. It owns every text in it.
typedef struct sw_messages sw_messages;

/// @return a new empty list, NULL without memory; release with sw_messages_free
sw_messages *sw_messages_create(void);
/// Releases a list and every text in it; NULL is allowed.
void sw_messages_free(sw_messages *messages);

/// Adds an error. Texts are copied; control characters, separators of lines, marks that turn the direction of
/// text and what is not UTF-8 become question marks in the copies, as messages quote files. `hint` may be
/// NULL; `what` is a printf format.
/// @return `status`, so that a caller can write `return sw_error(...)`; SW_NO_MEMORY if it could not be kept.
/// `messages` may be NULL: then only the status is returned.
sw_status sw_error(sw_messages *messages, sw_status status, const sw_where *where, const char *hint,
                   const char *what, ...) __attribute__((format(printf, 5, 6)));

/// Adds a warning; otherwise as sw_error.
void sw_warn(sw_messages *messages, const sw_where *where, const char *hint, const char *what, ...)
    __attribute__((format(printf, 4, 5)));

/// What sw_error and sw_warn call, for functions that pass their own arguments on. A message that cannot be
/// kept still counts as an error.
sw_status sw_messages_add(sw_messages *messages, sw_severity severity, sw_status status,
                          const sw_where *where, const char *hint, const char *what, va_list arguments)
    __attribute__((format(printf, 6, 0)));

/// Adds the errors of one list to another one, without its warnings. @return the status of the first of them;
/// SW_NO_MEMORY if `from` is NULL
sw_status sw_messages_repeat_errors(const sw_messages *from, sw_messages *to);

/// The same, and of its warnings those that are not in the other list yet.
sw_status sw_messages_repeat(const sw_messages *from, sw_messages *to);

/// How many messages there are, errors and warnings.
size_t sw_messages_count(const sw_messages *messages);
/// How many of them are errors.
size_t sw_messages_errors(const sw_messages *messages);
/// How many, errors and warnings, found no memory and are not in the list. A call that lost only a warning
/// goes on and may end well: who shows the messages must say that some are missing.
size_t sw_messages_lost(const sw_messages *messages);
/// @return message `index`, owned by the list; NULL past the end
const sw_message *sw_messages_at(const sw_messages *messages, size_t index);
/// The status of the first error; SW_OK without one.
sw_status sw_messages_status(const sw_messages *messages);

/// One message as text: "file:line:column: /path: what\n    hint\n". Always terminated.
/// @return the length it needs without the terminator, as snprintf
int sw_message_format(const sw_message *message, char *buffer, size_t size);

#endif
