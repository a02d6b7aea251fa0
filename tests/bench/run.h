/* run.h - times and memory of the program, run as its users run it. */
#ifndef TESTS_BENCH_RUN_H
#define TESTS_BENCH_RUN_H

#include <stddef.h>

struct measured {
  double wall, cpu; /* s */
  double peak_mib;  /* resident at most */
  int status;       /* exit status; -1: it did not end by itself */
};

/* Runs the words (the last one NULL) with standard output to /dev/null and waits. */
struct measured run_program(const char *const *words);

double cpu_now(void); /* s that this process has worked */

/* The middle one of count values (the lower of two); sorts them. */
double median(double *values, size_t count);

/* Slope of log y over log x by least squares: the exponent with which y grows. */
double growth(const double *x, const double *y, size_t count);

#endif
