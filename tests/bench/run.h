/* run.h - times and memory of programs, run as their users run them. */
#ifndef TESTS_BENCH_RUN_H
#define TESTS_BENCH_RUN_H

#include <stddef.h>

struct measured {
  double wall, cpu; /* s */
  double peak_mib;  /* resident at most; not less than this process ever was */
  int status;       /* exit status; -1: it did not end by itself */
};

enum { CPU_MOST = 60 }; /* s of processor time, after which a program is stopped */

/* Runs the words (the last one NULL) with standard output to /dev/null and waits. */
struct measured run_program(const char *const *words);
/* With standard error there, too. */
struct measured run_program_quietly(const char *const *words);

double wall_now(void); /* s */
double cpu_now(void);  /* s that this process has worked */

/* The middle one of count values (the lower of two); sorts them. */
double median(double *values, size_t count);

/* Slope of log y over log x by least squares: the exponent with which y grows. */
double growth(const double *x, const double *y, size_t count);

#endif
