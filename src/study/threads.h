// The threads that a study runs on, where the compiler has OpenMP.
#ifndef SW_STUDY_THREADS_H
#define SW_STUDY_THREADS_H

/// How many there will be.
int sw_threads_most(void);

/// Ends them: nobody needs them until the next study, and a process should end as it began. Call from outside
/// of all parallel work.
void sw_threads_end(void);

#endif
