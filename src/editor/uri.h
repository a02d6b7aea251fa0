/* uri.h - file URIs and paths (RFC 8089, RFC 3986). */
#ifndef EDITOR_URI_H
#define EDITOR_URI_H

/* The path of a file URI; of another URI, which names no file on disk, the URI itself.  The caller
 * frees. */
char *uri_path(const char *uri);
/* The URI of an absolute path, and of another one itself.  The caller frees. */
char *uri_of_path(const char *path);

#endif
