/* SPDX-License-Identifier: MIT */
#include "host/files.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Most bytes of a name, and of a path without its name. */
enum { NAME = 200 };

static bool is_folder(const char *path)
{
    struct stat info;
    return stat(path, &info) == 0 && S_ISDIR(info.st_mode);
}

static void join(char out[MBL_HOST_PATH], const char *folder, const char *name)
{
    bool here = folder[0] == '\0' || strcmp(folder, ".") == 0;
    bool slash = !here && folder[strlen(folder) - 1] != '/';
    int n = snprintf(out, MBL_HOST_PATH, "%s%s%s", here ? "" : folder, slash ? "/" : "", name);
    if (n < 0 || n >= MBL_HOST_PATH)
        out[0] = '\0';
}

/* Cuts the working folder off an absolute path, so that messages read as people type. */
static void shorten(char path[MBL_HOST_PATH])
{
    char here[MBL_HOST_PATH];
    if (getcwd(here, sizeof here) == NULL)
        return;
    size_t n = strlen(here);
    if (strncmp(path, here, n) != 0)
        return;
    if (path[n] == '\0')
        snprintf(path, MBL_HOST_PATH, ".");
    else if (path[n] == '/')
        memmove(path, path + n + 1, strlen(path + n + 1) + 1);
}

/* The folder at or above the script that holds scripts/ and tracks/. */
static bool find_root(mbl_host *host)
{
    char *full = realpath(host->folder[0] != '\0' ? host->folder : ".", NULL);
    if (full == NULL)
        return false;
    bool found = false;
    for (size_t n = strlen(full); n > 0 && n < MBL_HOST_PATH - 16 && !found;) {
        char part[MBL_HOST_PATH];
        snprintf(part, sizeof part, "%.480s/scripts", full);
        bool both = is_folder(part);
        snprintf(part, sizeof part, "%.480s/tracks", full);
        found = both && is_folder(part);
        if (found)
            snprintf(host->root, sizeof host->root, "%.480s", full);
        while (n > 0 && full[n - 1] != '/')
            n--;
        n = n > 0 ? n - 1 : 0;
        full[n] = '\0';
    }
    free(full);
    if (found)
        shorten(host->root);
    return found;
}

/* The folder that was installed with this very program. */
static void find_share(mbl_host *host)
{
    char program[MBL_HOST_PATH];
    char share[MBL_HOST_PATH + sizeof MBL_SHARE];
    ssize_t n = readlink("/proc/self/exe", program, sizeof program - 1);
    if (n <= 0 || n >= (ssize_t)sizeof program - 1)
        return;
    program[n] = '\0';
    char *slash = strrchr(program, '/');
    if (slash == NULL)
        return;
    slash[1] = '\0';
    snprintf(share, sizeof share, "%s%s", program, MBL_SHARE);
    char *full = realpath(share, NULL);
    if (full != NULL && is_folder(full) && strlen(full) < sizeof host->root)
        snprintf(host->root, sizeof host->root, "%s", full);
    free(full);
}

void mbl_files_begin(mbl_host *host, const char *path)
{
    snprintf(host->script, sizeof host->script, "%s", path);
    snprintf(host->folder, sizeof host->folder, "%s", path);
    char *slash = strrchr(host->folder, '/');
    if (slash != NULL && slash > host->folder)
        *slash = '\0';
    else if (slash != NULL)
        slash[1] = '\0';
    else
        snprintf(host->folder, sizeof host->folder, ".");
    if (host->options->root != NULL)
        snprintf(host->root, sizeof host->root, "%s", host->options->root);
    else if (!find_root(host))
        find_share(host);
}

/* A plain relative name: no empty part, no "..", nothing that a terminal would act on. */
static mbl_status check_name(const char *what, const char *name, mbl_error *err)
{
    if (name[0] == '\0' || strlen(name) > NAME)
        return mbl_fail(err, MBL_INPUT, "the name of a %s has 1 to %d bytes", what, NAME);
    for (const char *c = name; *c != '\0'; c++)
        if ((unsigned char)*c < 0x20 || *c == 0x7f)
            return mbl_fail(err, MBL_INPUT, "the name of a %s holds a control character", what);
    if (name[0] == '/')
        return mbl_fail(err, MBL_INPUT,
                        "\"%s\" is an absolute path; name the %s relative to its folder", name,
                        what);
    for (const char *part = name;;) {
        size_t n = strcspn(part, "/");
        if (n == 2 && strncmp(part, "..", 2) == 0)
            return mbl_fail(err, MBL_INPUT, "\"%s\": a %s is not reached through \"..\"", name,
                            what);
        if (n == 0 || (n == 1 && part[0] == '.'))
            return mbl_fail(err, MBL_INPUT, "\"%s\" is not a plain name of a %s", name, what);
        if (part[n] == '\0')
            return MBL_OK;
        part += n + 1;
    }
}

/* Opens folder/name part by part, following no link below the folder; -1 and errno, or an fd. */
static int open_below(const char *folder, const char *name)
{
    int at = open(folder[0] != '\0' ? folder : ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    while (at >= 0) {
        char part[NAME + 1];
        size_t n = strcspn(name, "/");
        memcpy(part, name, n);
        part[n] = '\0';
        bool last = name[n] == '\0';
        int flags = O_RDONLY | O_NOFOLLOW | O_CLOEXEC | O_NONBLOCK | (last ? 0 : O_DIRECTORY);
        int next = openat(at, part, flags);
        int why = errno;
        close(at);
        errno = why;
        if (last || next < 0)
            return next;
        at = next;
        name += n + 1;
    }
    return -1;
}

/*
 * All bytes into the digest of what was read: here, because readers are of lower layers. What is
 * larger than any of them takes is refused by all.
 */
static mbl_status digest(int fd, const char *name, size_t size, mbl_digest *inputs, mbl_error *err)
{
    char some[16384];
    ssize_t n = 0;
    mbl_digest_count(inputs, size);
    for (size_t got = 0; got < size && size <= MBL_LOG_LIMIT; got += (size_t)n) {
        do
            n = pread(fd, some, sizeof some, (off_t)got);
        while (n < 0 && errno == EINTR);
        if (n < 0)
            return mbl_fail(err, MBL_FILE, "cannot read \"%s\": %s", name, strerror(errno));
        if (n == 0)
            break;
        mbl_digest_add(inputs, some, (size_t)n);
    }
    return MBL_OK;
}

/* MBL_OK with *found, or a failure when the name is there but not a regular file. */
static mbl_status look(const char *folder, const char *name, bool *found, mbl_digest *inputs,
                       mbl_error *err)
{
    *found = false;
    int fd = open_below(folder, name);
    if (fd < 0 && errno == ELOOP)
        return mbl_fail(err, MBL_FILE, "\"%s\" is a link; links are not followed", name);
    if (fd < 0 && errno != ENOENT && errno != ENOTDIR)
        return mbl_fail(err, MBL_FILE, "cannot open \"%s\": %s", name, strerror(errno));
    if (fd < 0)
        return MBL_OK;
    struct stat info;
    mbl_status status = MBL_OK;
    if (fstat(fd, &info) != 0 || !S_ISREG(info.st_mode))
        status = mbl_fail(err, MBL_FILE, "\"%s\" is not a regular file", name);
    else
        status = digest(fd, name, (size_t)info.st_size, inputs, err);
    close(fd);
    *found = status == MBL_OK;
    return status;
}

void mbl_files_note(mbl_text *list, const char *path)
{
    size_t n = strlen(path);
    const char *at = mbl_text_get(list);
    while (*at != '\0') {
        size_t line = strcspn(at, "\n");
        if (line == n && memcmp(at, path, n) == 0)
            return;
        at += line + 1;
    }
    mbl_text_print(list, "%s\n", path);
}

mbl_status mbl_files_find(mbl_host *host, const char *what, const char *name,
                          char path[MBL_HOST_PATH], mbl_error *err)
{
    MBL_TRY(check_name(what, name, err));
    const char *folders[2] = {host->folder, host->root};
    for (int i = 0; i < 2; i++) {
        bool found = false;
        if (folders[i][0] == '\0')
            continue;
        MBL_TRY(look(folders[i], name, &found, &host->inputs, err));
        if (!found)
            continue;
        join(path, folders[i], name);
        mbl_files_note(&host->read, path);
        return host->read.failed ? mbl_fail(err, MBL_MEMORY, "out of memory") : MBL_OK;
    }
    bool root = host->root[0] != '\0';
    return mbl_fail(err, MBL_FILE, "no %s \"%s\" beside the script (%s)%s%.200s%s", what, name,
                    host->folder, root ? " or in the root (" : "; there is no root folder",
                    root ? host->root : "", root ? ")" : "");
}

/* Is the file one of those in the list, by whatever name? */
static bool is_among(const mbl_text *list, const char *path)
{
    struct stat target;
    struct stat info;
    if (stat(path, &target) != 0)
        return false;
    const char *at = mbl_text_get(list);
    while (*at != '\0') {
        char one[MBL_HOST_PATH];
        size_t n = strcspn(at, "\n");
        snprintf(one, sizeof one, "%.*s", (int)n, at);
        if (stat(one, &info) == 0 && info.st_dev == target.st_dev && info.st_ino == target.st_ino)
            return true;
        at += n + 1;
    }
    return false;
}

/* Makes every folder of a path; below `fixed` bytes links are refused. */
static mbl_status make_folders(char *path, size_t fixed, mbl_error *err)
{
    for (char *slash = strchr(path + 1, '/'); slash != NULL; slash = strchr(slash + 1, '/')) {
        *slash = '\0';
        struct stat info;
        bool bad = mkdir(path, 0777) != 0 && errno != EEXIST;
        int why = errno;
        bool link = strlen(path) > fixed && lstat(path, &info) == 0 && S_ISLNK(info.st_mode);
        mbl_status status = MBL_OK;
        if (bad)
            status = mbl_fail(err, MBL_FILE, "cannot make the folder %s: %s", path, strerror(why));
        else if (link)
            status = mbl_fail(err, MBL_FILE, "the folder %s is a link", path);
        *slash = '/';
        MBL_TRY(status);
    }
    return MBL_OK;
}

void mbl_files_keep(mbl_host *host, const char *path)
{
    struct stat info;
    if (stat(path, &info) == 0)
        host->saved += (long long)info.st_size;
    host->files++;
    mbl_files_note(&host->written, path);
}

int mbl_files_saved(lua_State *L, const char *path, mbl_status status, mbl_error *err)
{
    if (status != MBL_OK) {
        mbl_error_under(err, "save");
        return mbl_host_raise(L, err);
    }
    mbl_files_keep(mbl_host_of(L), path);
    mbl_host_look(L);
    return 0;
}

mbl_status mbl_files_place(mbl_host *host, const char *name, bool dry, char path[MBL_HOST_PATH],
                           mbl_error *err)
{
    if (host->files >= MBL_HOST_FILES || host->saved > MBL_HOST_SAVED)
        return mbl_fail(err, MBL_INPUT,
                        "the script has saved too much: %d files or %lld GiB is "
                        "the most",
                        MBL_HOST_FILES, MBL_HOST_SAVED >> 30);
    MBL_TRY(check_name("file to save", name, err));
    const char *out = host->options->out_dir != NULL ? host->options->out_dir : ".";
    if (strlen(out) + strlen(name) + 2 > MBL_HOST_PATH)
        return mbl_fail(err, MBL_INPUT, "the path to \"%s\" is too long", name);
    join(path, out, name);
    if (is_among(&host->read, path))
        return mbl_fail(err, MBL_INPUT, "\"%s\" is a file this script has read; save elsewhere",
                        name);
    if (is_among(&host->journals, path))
        return mbl_fail(err, MBL_INPUT,
                        "\"%s\" is the journal of a sweep of this script; save elsewhere", name);
    return dry ? MBL_OK : make_folders(path, strlen(path) - strlen(name), err);
}

bool mbl_files_ends(const char *name, const char *ending)
{
    size_t n = strlen(name);
    size_t m = strlen(ending);
    return n > m && strcmp(name + n - m, ending) == 0;
}
