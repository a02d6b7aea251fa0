/* receiver.c - the smallest buffers that the system gives: what lies in them is neither here nor
 * with the receiver. */
#include "play/receiver.h"

#include <arpa/inet.h>
#include <errno.h>
#include <fcntl.h>
#include <linux/sockios.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <unistd.h>

enum { SEND_BUFFER = 4096, PIPE_BUFFER = 4096 };

static bool fail(struct receiver *receiver, int error) {
  receiver->error = error;
  return false;
}

static bool read_port(const char *text, uint16_t *port) {
  char *end;
  unsigned long value = strtoul(text, &end, 10);
  *port = (uint16_t)value;
  return *text >= '0' && *text <= '9' && *end == '\0' && value <= 65535;
}

/* Loopback and nothing else: whoever wants rows on another machine has to say so there. */
static bool open_tcp(struct receiver *receiver, uint16_t port) {
  struct sockaddr_in address = {
      .sin_family = AF_INET, .sin_port = htons(port), .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
  socklen_t length = sizeof address;
  int on = 1;
  receiver->listener = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
  if (receiver->listener < 0 ||
      setsockopt(receiver->listener, SOL_SOCKET, SO_REUSEADDR, &on, sizeof on) != 0 ||
      bind(receiver->listener, (struct sockaddr *)&address, length) != 0 ||
      listen(receiver->listener, 1) != 0 ||
      getsockname(receiver->listener, (struct sockaddr *)&address, &length) != 0)
    return fail(receiver, errno);
  receiver->port = ntohs(address.sin_port);
  return true;
}

bool receiver_open(struct receiver *receiver, const char *to) {
  uint16_t port;
  struct stat found;
  *receiver = (struct receiver){.path = to, .listener = -1, .fd = -1};
  if (strncmp(to, "tcp:", 4) == 0) {
    receiver->kind = RECEIVER_TCP;
    return read_port(to + 4, &port) && open_tcp(receiver, port);
  }
  if (stat(to, &found) == 0) {
    receiver->kind = RECEIVER_PIPE;
    return S_ISFIFO(found.st_mode) || fail(receiver, S_ISREG(found.st_mode) ? EEXIST : 0);
  }
  receiver->kind = RECEIVER_FILE;
  receiver->fd = open(to, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
  return receiver->fd >= 0 || fail(receiver, errno);
}

static bool join_tcp(struct receiver *receiver) {
  receiver->fd = accept4(receiver->listener, NULL, NULL, SOCK_CLOEXEC | SOCK_NONBLOCK);
  if (receiver->fd < 0)
    return errno == EAGAIN || errno == EINTR || errno == ECONNABORTED ? false
                                                                      : fail(receiver, errno);
  int on = 1, size = SEND_BUFFER;
  setsockopt(receiver->fd, IPPROTO_TCP, TCP_NODELAY, &on, sizeof on);
  setsockopt(receiver->fd, SOL_SOCKET, SO_SNDBUF, &size, sizeof size);
  close(receiver->listener); /* one receiver, and no second one in a queue */
  receiver->listener = -1;
  return true;
}

static bool join_pipe(struct receiver *receiver) {
  receiver->fd = open(receiver->path, O_WRONLY | O_NONBLOCK | O_CLOEXEC);
  if (receiver->fd < 0)
    return errno == ENXIO || errno == EINTR ? false : fail(receiver, errno);
  fcntl(receiver->fd, F_SETPIPE_SZ, PIPE_BUFFER);
  return true;
}

bool receiver_join(struct receiver *receiver) {
  if (receiver->fd >= 0)
    return true;
  return receiver->kind == RECEIVER_TCP ? join_tcp(receiver) : join_pipe(receiver);
}

size_t receiver_send(struct receiver *receiver, const char *bytes, size_t length) {
  ssize_t sent = receiver->kind == RECEIVER_TCP
                     ? send(receiver->fd, bytes, length, MSG_NOSIGNAL | MSG_DONTWAIT)
                     : write(receiver->fd, bytes, length);
  if (sent >= 0)
    return (size_t)sent;
  if (errno == EPIPE || errno == ECONNRESET)
    receiver->is_gone = true;
  else if (errno != EAGAIN && errno != EINTR)
    receiver->error = errno;
  return 0;
}

void receiver_hear(struct receiver *receiver) {
  if (receiver->kind != RECEIVER_TCP)
    return;
  size_t room = sizeof receiver->answer - receiver->answered;
  if (room == 0) /* longer than any number */
    return;
  ssize_t got = recv(receiver->fd, receiver->answer + receiver->answered, room, MSG_DONTWAIT);
  if (got > 0)
    receiver->answered += (size_t)got;
  else if (got == 0 || (errno != EAGAIN && errno != EINTR))
    receiver->is_gone = true;
}

enum answer receiver_answer(struct receiver *receiver, uint64_t row) {
  char wanted[32];
  size_t length = (size_t)snprintf(wanted, sizeof wanted, "%llu\n", (unsigned long long)row);
  size_t known = receiver->answered < length ? receiver->answered : length;
  if (receiver->answered > length || memcmp(receiver->answer, wanted, known) != 0)
    return ANSWER_WRONG;
  if (known < length)
    return ANSWER_NONE;
  receiver->answered = 0;
  return ANSWER_RIGHT;
}

void receiver_finish(struct receiver *receiver) {
  if (receiver->kind == RECEIVER_TCP)
    shutdown(receiver->fd, SHUT_WR);
  else if (receiver->kind == RECEIVER_FILE && fsync(receiver->fd) != 0)
    receiver->error = errno;
}

/* Has it closed after the end?  Whatever it says now is of no account. */
static bool has_closed(struct receiver *receiver) {
  ssize_t got = recv(receiver->fd, receiver->answer, sizeof receiver->answer, MSG_DONTWAIT);
  receiver->is_gone = got < 0 && errno != EAGAIN && errno != EINTR;
  return got == 0;
}

bool receiver_has_all(struct receiver *receiver, bool acknowledged) {
  int unread = 0;
  switch (receiver->kind) {
  case RECEIVER_TCP:
    /* each row was answered: it is enough that the end line has arrived on the other side */
    return has_closed(receiver) ||
           (acknowledged && ioctl(receiver->fd, SIOCOUTQ, &unread) == 0 && unread == 0);
  case RECEIVER_PIPE:
    return ioctl(receiver->fd, FIONREAD, &unread) == 0 && unread == 0;
  case RECEIVER_FILE:
    break;
  }
  return receiver->error == 0;
}

void receiver_close(struct receiver *receiver) {
  if (receiver->listener >= 0)
    close(receiver->listener);
  if (receiver->fd >= 0 && close(receiver->fd) != 0 && receiver->kind == RECEIVER_FILE)
    receiver->error = errno;
  receiver->listener = receiver->fd = -1;
}
