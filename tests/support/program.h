// Runs the program as a user would, in a folder of its own, and keeps what it says.
#ifndef SW_TESTS_SUPPORT_PROGRAM_H
#define SW_TESTS_SUPPORT_PROGRAM_H

/// The names of the demo trips in profiles/trips/, without their ending; the last is NULL.
extern const char *const program_demos[];

typedef struct program_run {
    int exit_status; // -1: ended by a signal
    char *out, *err; // released by program_forget
} program_run;

/// Runs a shell command in `folder` with `stillwatt` as the program, the source tree's data, 80 columns, an
/// ASCII locale. What the environment's STILLWATT_UNDER says goes before the program, such as "valgrind
/// --quiet".
program_run program_do(const char *folder, const char *command);
/// The same, and asserts the exit status.
program_run program_expect(const char *folder, int exit_status, const char *command);
void program_forget(program_run *run);

/// A command that runs the program without the rights of root in a folder of program_folder, whose files it
/// may then read: as root "setpriv ... PROGRAM", as nobody; otherwise "stillwatt". NULL after a printed line
/// where that cannot be, with `what` is skipped for it.
const char *program_without_rights(const char *folder, const char *what);

/// A fresh temporary folder; the name is released with free().
char *program_folder(void);
/// Removes a folder of program_folder and all in it.
void program_remove(char *folder);

/// Writes a file into a folder; a folder that its name leads through is made.
void program_write(const char *folder, const char *name, const char *text);
/// The content of a file of a folder, NULL if there is none; released with free().
char *program_read(const char *folder, const char *name);

#endif
