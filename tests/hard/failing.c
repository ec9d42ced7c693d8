// Lets calls of the system fail on request, for paths below FAILING_ROOT: the file FAILING_CONTROL says which call, with
// which number, after how many that go well. Loaded before the C library of a server under test.
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/syscall.h>
#include <sys/uio.h>
#include <unistd.h>

static int failing(const char *call, const char *path) {
  const char *root = getenv("FAILING_ROOT"), *control = getenv("FAILING_CONTROL");
  if (!root || !control || strncmp(path, root, strlen(root)) != 0) return 0;
  int file = (int)syscall(SYS_openat, AT_FDCWD, control, O_RDWR);
  if (file < 0) return 0;
  char text[64] = {0}, wanted[16];
  int number = 0, after = 0;
  long length = syscall(SYS_pread64, file, text, sizeof text - 1, 0L);
  int is = length > 0 && sscanf(text, "%15s %d %d", wanted, &number, &after) == 3 && strcmp(wanted, call) == 0;
  if (is && after > 0) {
    int n = snprintf(text, sizeof text, "%s %d %06d", wanted, number, after - 1);
    syscall(SYS_pwrite64, file, text, (long)n, 0L);
    is = 0;
  }
  syscall(SYS_close, file);
  return is ? number : 0;
}

static int failingFile(const char *call, int file) {
  char link[64], path[PATH_MAX];
  snprintf(link, sizeof link, "/proc/self/fd/%d", file);
  ssize_t length = readlink(link, path, sizeof path - 1);
  if (length <= 0) return 0;
  path[length] = 0;
  return failing(call, path);
}

#define REAL(type, name, ...) \
  static type (*real)(__VA_ARGS__); \
  if (!real) real = (type(*)(__VA_ARGS__))dlsym(RTLD_NEXT, name)
#define FAIL(number) do { int n_ = (number); if (n_) { errno = n_; return -1; } } while (0)

ssize_t write(int f, const void *b, size_t n) { REAL(ssize_t, "write", int, const void *, size_t); FAIL(failingFile("write", f)); return real(f, b, n); }
ssize_t writev(int f, const struct iovec *v, int n) { REAL(ssize_t, "writev", int, const struct iovec *, int); FAIL(failingFile("write", f)); return real(f, v, n); }
ssize_t pwrite(int f, const void *b, size_t n, off_t o) { REAL(ssize_t, "pwrite", int, const void *, size_t, off_t); FAIL(failingFile("write", f)); return real(f, b, n, o); }
ssize_t pwrite64(int f, const void *b, size_t n, off64_t o) { REAL(ssize_t, "pwrite64", int, const void *, size_t, off64_t); FAIL(failingFile("write", f)); return real(f, b, n, o); }
int fsync(int f) { REAL(int, "fsync", int); FAIL(failingFile("sync", f)); return real(f); }
int fdatasync(int f) { REAL(int, "fdatasync", int); FAIL(failingFile("sync", f)); return real(f); }
int rename(const char *a, const char *b) { REAL(int, "rename", const char *, const char *); FAIL(failing("rename", b)); return real(a, b); }

#define OPENING(name) \
  int name(const char *path, int flags, ...) { \
    REAL(int, #name, const char *, int, ...); \
    va_list more; va_start(more, flags); int mode = va_arg(more, int); va_end(more); \
    FAIL((flags & O_ACCMODE) == O_RDONLY ? 0 : failing("open", path)); \
    return real(path, flags, mode); \
  }
OPENING(open)
OPENING(open64)
