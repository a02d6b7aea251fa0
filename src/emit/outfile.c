/* outfile.c - a file is either there whole or not there.
 *
 * A name is given in the last step only, by link and rename in the target's own folder, so that no
 * reader, no crash and no full disk ever leaves half a program for a machine to run. */
#include "borelay/emit.h"

#include <assert.h>
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "borelay/crc32c.h"

enum { BUFFER_SIZE = 1 << 20, ROOM_MOST = 1 << 16, HIDDEN_TRIES = 100 };

static bool fail(struct outfile *file, int error) {
  if (!file->error)
    file->error = error ? error : EIO;
  return false;
}

static const char *last_part(const char *path) {
  const char *slash = strrchr(path, '/');
  return slash ? slash + 1 : path;
}

static char *folder_part(const char *path) {
  const char *name = last_part(path);
  return name == path ? strdup(".") : strndup(path, (size_t)(name - path));
}

/* A hidden name beside the target that nobody has yet; make() tries to take it.  The caller frees.
 * NULL: errno tells why. */
static char *take_hidden(struct outfile *file, int (*make)(struct outfile *, const char *)) {
  size_t size = strlen(file->target) + 32;
  char *name = malloc(size);
  if (!name)
    return NULL;
  int folder_length = (int)(last_part(file->target) - file->target);
  for (int try = 0; try < HIDDEN_TRIES; try++) {
    snprintf(name, size, "%.*s.%s.%ld.%d", folder_length, file->target, last_part(file->target),
             (long)getpid(), try);
    if (make(file, name) == 0)
      return name;
    if (errno != EEXIST)
      break;
  }
  int error = errno;
  free(name);
  errno = error;
  return NULL;
}

static bool hide(struct outfile *file, int (*make)(struct outfile *, const char *)) {
  file->hidden = take_hidden(file, make);
  return file->hidden || fail(file, errno);
}

static int make_named(struct outfile *file, const char *name) {
  file->fd = open(name, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
  return file->fd < 0 ? -1 : 0;
}

static void own_path(int fd, char *path, size_t size) {
  snprintf(path, size, "/proc/self/fd/%d", fd);
}

static int link_nameless(struct outfile *file, const char *name) {
  char self[64];
  own_path(file->fd, self, sizeof self);
  return linkat(AT_FDCWD, self, AT_FDCWD, name, AT_SYMLINK_FOLLOW);
}

/* A file without a name vanishes by itself, whatever ends the process.  It can be named later only
 * through /proc. */
static bool open_nameless(struct outfile *file, const char *folder) {
#ifdef O_TMPFILE
  file->fd = open(folder, O_TMPFILE | O_WRONLY | O_CLOEXEC, 0666);
  if (file->fd < 0)
    return false;
  char self[64];
  own_path(file->fd, self, sizeof self);
  if (access(self, F_OK) == 0)
    return true;
  close(file->fd);
  file->fd = -1;
#else
  (void)file, (void)folder;
#endif
  return false;
}

static bool open_beside(struct outfile *file, const char *path) {
  file->target = realpath(path, NULL); /* through a symbolic link to what it names */
  if (!file->target)
    file->target = strdup(path);
  char *folder = file->target ? folder_part(file->target) : NULL;
  if (!folder)
    return fail(file, ENOMEM);
  file->folder = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  bool done =
      file->folder < 0 ? fail(file, errno) : open_nameless(file, folder) || hide(file, make_named);
  free(folder);
  return done;
}

static bool open_straight(struct outfile *file, const char *path) {
  file->fd = open(path, O_WRONLY | O_CLOEXEC);
  return file->fd >= 0 || fail(file, errno);
}

bool outfile_open(struct outfile *file, const char *path) {
  *file = (struct outfile){.path = path, .fd = -1, .folder = -1};
  file->buffer = malloc(BUFFER_SIZE);
  if (!file->buffer)
    return fail(file, ENOMEM);
  if (strcmp(path, "-") == 0) {
    file->fd = STDOUT_FILENO;
    return true;
  }
  struct stat found;
  if (stat(path, &found) != 0 || S_ISREG(found.st_mode))
    return open_beside(file, path);
  return S_ISDIR(found.st_mode) ? fail(file, EISDIR) : open_straight(file, path);
}

static void write_all(struct outfile *file, const char *bytes, size_t length) {
  while (length > 0 && !file->error) {
    ssize_t wrote = write(file->fd, bytes, length);
    if (wrote < 0 && errno == EINTR)
      continue;
    if (wrote < 0) {
      fail(file, errno);
      return;
    }
    bytes += wrote;
    length -= (size_t)wrote;
  }
}

static void flush(struct outfile *file) {
  if (!file->error) {
    if (!file->unsummed)
      file->crc32c = crc32c_more(file->crc32c, file->buffer, file->used);
    write_all(file, file->buffer, file->used);
  }
  file->used = 0;
}

char *outfile_room(struct outfile *file, size_t room) {
  if (BUFFER_SIZE - file->used < room)
    flush(file);
  return file->buffer + file->used;
}

void outfile_took(struct outfile *file, size_t bytes) {
  file->used += bytes;
}

void outfile_put(struct outfile *file, const char *bytes, size_t length) {
  while (length > 0 && !file->error) {
    size_t step = length < ROOM_MOST ? length : ROOM_MOST;
    memcpy(outfile_room(file, step), bytes, step);
    outfile_took(file, step);
    bytes += step;
    length -= step;
  }
}

void outfile_pass(struct outfile *file, const char *bytes, size_t length, uint32_t crc32c) {
  flush(file);
  if (file->error)
    return;
  if (!file->unsummed)
    file->crc32c = crc32c_join(file->crc32c, crc32c, length);
  write_all(file, bytes, length);
}

void outfile_text(struct outfile *file, const char *text) {
  outfile_put(file, text, strlen(text));
}

void outfile_format(struct outfile *file, const char *format, ...) {
  enum { LINE = 1024 };
  if (file->error)
    return;
  va_list arguments;
  va_start(arguments, format);
  int length = vsnprintf(outfile_room(file, LINE), LINE, format, arguments);
  va_end(arguments);
  if (length < 0 || length >= LINE)
    fail(file, EOVERFLOW);
  else
    outfile_took(file, (size_t)length);
}

uint32_t outfile_crc32c(struct outfile *file) {
  assert(!file->unsummed);
  flush(file);
  return file->crc32c;
}

/* A pipe or a terminal cannot be synced, and need not. */
static bool sync_descriptor(struct outfile *file, int fd) {
  if (fsync(fd) == 0 || errno == EINVAL || errno == EROFS || errno == ENOTSUP)
    return true;
  return fail(file, errno);
}

static bool name_file(struct outfile *file) {
  if (!file->hidden && !hide(file, link_nameless))
    return false;
  if (rename(file->hidden, file->target) != 0)
    return fail(file, errno);
  free(file->hidden);
  file->hidden = NULL;
  file->is_named = true;
  return sync_descriptor(file, file->folder);
}

static void close_descriptor(struct outfile *file) {
  if (file->fd >= 0 && file->fd != STDOUT_FILENO && close(file->fd) != 0)
    fail(file, errno);
  file->fd = -1;
}

bool outfile_sync(struct outfile *file) {
  if (file->error)
    return false;
  flush(file);
  return !file->error && sync_descriptor(file, file->fd);
}

bool outfile_commit(struct outfile *file) {
  if (outfile_sync(file) && file->target)
    name_file(file);
  close_descriptor(file);
  outfile_abandon(file);
  return file->error == 0;
}

/* -- several together ---------------------------------------------------------------------------
 */

static int link_target(struct outfile *file, const char *name) {
  return link(file->target, name);
}

/* A second name for what stands at the target.  Where a file system has none, it cannot be put
 * back. */
static void keep_before(struct outfile *file) {
  file->replaces = access(file->target, F_OK) == 0;
  if (file->replaces)
    file->before = take_hidden(file, link_target);
}

static void forget_before(struct outfile *file) {
  if (file->before)
    unlink(file->before);
  free(file->before);
  file->before = NULL;
}

static void take_back(struct outfile *file) {
  if (!file->is_named || !file->target)
    return;
  if (file->before)
    rename(file->before, file->target);
  else if (!file->replaces)
    unlink(file->target);
}

static size_t count_targets(const struct outfile *files, size_t count) {
  size_t targets = 0;
  for (size_t i = 0; i < count; i++)
    targets += files[i].target != NULL;
  return targets;
}

size_t outfiles_commit(struct outfile *files, size_t count) {
  bool are_several = count_targets(files, count) > 1;
  size_t failed = count;
  for (size_t i = count; i-- > 0 && failed == count;) {
    struct outfile *file = &files[i];
    if (file->fd < 0)
      continue; /* none was asked for */
    if (are_several && file->target)
      keep_before(file);
    if (outfile_sync(file) && file->target)
      name_file(file);
    close_descriptor(file);
    if (file->error)
      failed = i;
  }
  for (size_t i = 0; i < count; i++) {
    if (failed < count)
      take_back(&files[i]);
    forget_before(&files[i]);
    outfile_abandon(&files[i]);
  }
  return failed;
}

void outfile_abandon(struct outfile *file) {
  if (file->fd >= 0 && file->fd != STDOUT_FILENO)
    close(file->fd);
  file->fd = -1;
  if (file->folder >= 0)
    close(file->folder);
  file->folder = -1;
  if (file->hidden)
    unlink(file->hidden);
  free(file->hidden);
  free(file->target);
  free(file->buffer);
  file->hidden = file->target = file->buffer = NULL;
  file->used = 0;
}
