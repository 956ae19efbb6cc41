/* SPDX-License-Identifier: MIT */
#include "host/new.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <unistd.h>

/* new.lua as bytes, made from it by the build; not zero-terminated. */
extern const unsigned char mbl_new_text[];
extern const size_t mbl_new_size;

enum { NAME = 60, PATH = 512 };

/* What stands for the name in the text. */
static const char placeholder[] = "@NAME@";

/* Cuts .lua off; false when the rest is no plain name. */
static bool read_name(const char *text, char name[NAME + 1])
{
    size_t n = strlen(text);
    if (n > 4 && strcmp(text + n - 4, ".lua") == 0)
        n -= 4;
    if (n == 0 || n > NAME || text[0] == '-')
        return false;
    for (size_t i = 0; i < n; i++) {
        char c = text[i];
        bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
        if (!letter && !(c >= '0' && c <= '9') && c != '_' && c != '-')
            return false;
    }
    memcpy(name, text, n);
    name[n] = '\0';
    return true;
}

static void write_scenario(const char *name, mbl_text *text)
{
    size_t n = sizeof placeholder - 1;
    const char *bytes = (const char *)mbl_new_text;
    for (size_t i = 0; i < mbl_new_size;) {
        if (mbl_new_size - i >= n && memcmp(bytes + i, placeholder, n) == 0) {
            mbl_text_print(text, "%s", name);
            i += n;
        } else {
            mbl_text_add(text, bytes + i++, 1);
        }
    }
}

/* Writes a file that is not there yet: MBL_INPUT when it is, MBL_FILE when it cannot. */
static mbl_status put(const char *path, const mbl_text *text, mbl_error *err)
{
    if (text->failed)
        return mbl_fail(err, MBL_MEMORY, "out of memory writing %s", path);
    int fd = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (fd < 0 && errno == EEXIST)
        return mbl_fail(err, MBL_INPUT, "%s is there already, and new never overwrites", path);
    if (fd < 0)
        return mbl_fail(err, MBL_FILE, "cannot write %s: %s", path, strerror(errno));
    const char *bytes = mbl_text_get(text);
    size_t done = 0;
    int why = 0;
    while (done < text->length && why == 0) {
        ssize_t n = write(fd, bytes + done, text->length - done);
        if (n > 0)
            done += (size_t)n;
        else if (n == 0 || errno != EINTR)
            why = n == 0 ? ENOSPC : errno;
    }
    if (close(fd) != 0 && why == 0)
        why = errno;
    if (why == 0)
        return MBL_OK;
    (void)unlink(path);
    return mbl_fail(err, MBL_FILE, "cannot write %s: %s", path, strerror(why));
}

/* out_dir/NAME and an ending. */
static mbl_status join(const mbl_host_options *o, const char *name, const char *ending,
                       char path[PATH], mbl_error *err)
{
    const char *out = o->out_dir != NULL ? o->out_dir : "";
    const char *slash = out[0] != '\0' && out[strlen(out) - 1] != '/' ? "/" : "";
    int n = snprintf(path, PATH, "%s%s%s%s", out, slash, name, ending);
    if (n < 0 || n >= PATH)
        return mbl_fail(err, MBL_INPUT, "the path to %s is too long", name);
    return MBL_OK;
}

static mbl_status put_scenario(const mbl_host_options *o, const char *name, const char *path,
                               mbl_error *err)
{
    mbl_text text;
    mbl_text_init(&text, o->alloc);
    write_scenario(name, &text);
    mbl_status status = put(path, &text, err);
    mbl_text_free(&text);
    return status;
}

/* The log beside it, unless there is one. */
static mbl_status put_log(const mbl_host_options *o, const char *path, bool *kept, mbl_error *err)
{
    mbl_error there = {0};
    mbl_text text;
    mbl_text_init(&text, o->alloc);
    mbl_new_log(&text);
    mbl_status status = put(path, &text, &there);
    mbl_text_free(&text);
    *kept = status == MBL_INPUT;
    if (status == MBL_OK || *kept)
        return MBL_OK;
    *err = there;
    return status;
}

static mbl_status write_both(const mbl_host_options *o, const char *name, mbl_error *err)
{
    char script[PATH];
    char log[PATH];
    bool kept = false;
    MBL_TRY(join(o, name, ".lua", script, err));
    MBL_TRY(join(o, name, "_log.csv", log, err));
    MBL_TRY(put_scenario(o, name, script, err));
    mbl_status status = put_log(o, log, &kept, err);
    if (status != MBL_OK) {
        (void)unlink(script);
        return status;
    }
    fprintf(o->out, "%s is written; it reads %s, %s.\nNow: emberlap run %s\n", script, log,
            kept ? "which was there and is left as it is" : "an invented session", script);
    return MBL_OK;
}

int mbl_host_new(const mbl_host_options *o, const char *word)
{
    char name[NAME + 1];
    mbl_error err = {0};
    if (!read_name(word, name)) {
        fprintf(o->notes,
                "emberlap: \"%.80s\" is no name for a scenario: letters, digits, _ and -, %d at "
                "most; --out says in which folder\n",
                word, NAME);
        return MBL_EXIT_WRONG;
    }
    if (write_both(o, name, &err) == MBL_OK)
        return MBL_EXIT_HOLDS;
    fprintf(o->notes, "emberlap: %s\n", err.text);
    return err.status == MBL_MEMORY ? MBL_EXIT_FAILED : MBL_EXIT_WRONG;
}
