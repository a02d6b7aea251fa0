/* assets.h - the files of the page that the program carries in itself; the Makefile makes the
 * arrays from src/report/ and from the libraries of the system. */
#ifndef REPORT_ASSETS_H
#define REPORT_ASSETS_H

#include <stddef.h>

struct asset {
  const char *name; /* of the file, without its folder */
  const unsigned char *bytes;
  size_t length;
};
extern const struct asset REPORT_ASSETS[];
extern const size_t REPORT_ASSET_COUNT;

#endif
