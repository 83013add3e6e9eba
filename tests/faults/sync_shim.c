/*
 * Watches the calls that make a journal durable; preloaded into a station under test.
 *
 * Appends a line "<monotonic ns> <what> <number>" to the file $SHIM_MARKS for each of
 *   W  bytes go to the log; the number is the highest piece number among them, or 0
 *   B  a sync of the log begins
 *   E  it has ended; the number is what it returned
 *   O  a line that shows a counted piece goes to standard output; its number
 * and sleeps for $SHIM_WRITE_US before each W is carried out, $SHIM_BEFORE_US between B and the
 * real sync, $SHIM_AFTER_US between the real sync and E, so that a kill can land there.
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>
#include <time.h>
#include <unistd.h>

static int marks = -1;
static long write_us, before_us, after_us;

static long setting(const char *name)
{
    const char *text = getenv(name);
    return text ? atol(text) : 0;
}

__attribute__((constructor)) static void begin(void)
{
    const char *path = getenv("SHIM_MARKS");
    if (path)
        marks = open(path, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
    write_us = setting("SHIM_WRITE_US");
    before_us = setting("SHIM_BEFORE_US");
    after_us = setting("SHIM_AFTER_US");
}

static ssize_t plain_write(int fd, const void *bytes, size_t n)
{
    static ssize_t (*real)(int, const void *, size_t);
    if (!real)
        real = dlsym(RTLD_NEXT, "write");
    return real(fd, bytes, n);
}

static void mark(char what, long number)
{
    struct timespec now;
    char line[64];
    int length;
    if (marks < 0)
        return;
    clock_gettime(CLOCK_MONOTONIC, &now);
    length = snprintf(line, sizeof line, "%lld %c %ld\n",
                      now.tv_sec * 1000000000LL + now.tv_nsec, what, number);
    if (plain_write(marks, line, length) != length)
        abort();
}

static void pause_us(long us)
{
    struct timespec span = {us / 1000000, us % 1000000 * 1000};
    if (us > 0)
        nanosleep(&span, NULL);
}

static int is_log(int fd)
{
    char link[64], path[4096];
    ssize_t length;
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    length = readlink(link, path, sizeof path);
    return length > 4 && memcmp(path + length - 4, "-wal", 4) == 0;
}

/* The highest number that follows the key anywhere in the bytes, or 0. */
static long highest(const char *bytes, size_t n, const char *key)
{
    const char *end = bytes + n, *at = bytes;
    size_t length = strlen(key);
    long most = 0;
    while ((at = memmem(at, end - at, key, length))) {
        long number = 0;
        for (at += length; at < end && *at >= '0' && *at <= '9'; at++)
            number = 10 * number + (*at - '0');
        if (number > most)
            most = number;
    }
    return most;
}

static void before_log(int fd, const void *bytes, size_t n)
{
    if (is_log(fd)) {
        mark('W', highest(bytes, n, "\"number\":"));
        pause_us(write_us);
    }
}

ssize_t pwrite(int fd, const void *bytes, size_t n, off_t at)
{
    static ssize_t (*real)(int, const void *, size_t, off_t);
    if (!real)
        real = dlsym(RTLD_NEXT, "pwrite");
    before_log(fd, bytes, n);
    return real(fd, bytes, n, at);
}

ssize_t pwrite64(int fd, const void *bytes, size_t n, off64_t at)
{
    static ssize_t (*real)(int, const void *, size_t, off64_t);
    if (!real)
        real = dlsym(RTLD_NEXT, "pwrite64");
    before_log(fd, bytes, n);
    return real(fd, bytes, n, at);
}

ssize_t write(int fd, const void *bytes, size_t n)
{
    if (fd == STDOUT_FILENO && memmem(bytes, n, "\"event\": \"piece\"", 16))
        mark('O', highest(bytes, n, "\"number\": "));
    else
        before_log(fd, bytes, n);
    return plain_write(fd, bytes, n);
}

static int watched_sync(int fd, int (*real)(int))
{
    int result;
    if (!is_log(fd))
        return real(fd);
    mark('B', 0);
    pause_us(before_us);
    result = real(fd);
    pause_us(after_us);
    mark('E', result);
    return result;
}

int fsync(int fd)
{
    static int (*real)(int);
    if (!real)
        real = dlsym(RTLD_NEXT, "fsync");
    return watched_sync(fd, real);
}

int fdatasync(int fd)
{
    static int (*real)(int);
    if (!real)
        real = dlsym(RTLD_NEXT, "fdatasync");
    return watched_sync(fd, real);
}
