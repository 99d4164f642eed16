// The threads that a study runs on, where the compiler has OpenMP.
#ifndef SW_STUDY_THREADS_H
#define SW_STUDY_THREADS_H

/// How many there will be.
int sw_threads_most(void);

/// Ends them, at the end of a program: a process should end as it began. No study may follow (one runtime of
/// OpenMP loses its locks then).
void sw_threads_end(void);

#endif
