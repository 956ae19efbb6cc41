/* SPDX-License-Identifier: MIT */
#include "host/read_log.h"

#include "host/files.h"
#include "host/wish.h"

#include <string.h>

/* What is read, made and written for one report. */
typedef struct job {
    const mbl_host_options *options;
    const char *file;
    mbl_log_wish wish;
    mbl_log *log;
    mbl_trace *trace;
    mbl_text page;
    char saved[MBL_HOST_PATH]; /* "" when nothing is */
} job;

/* "logs/Session 2.csv" -> "Session 2_clean.csv" */
static void clean_name(const char *file, char name[MBL_HOST_PATH])
{
    const char *slash = strrchr(file, '/');
    const char *base = slash != NULL ? slash + 1 : file;
    const char *dot = strrchr(base, '.');
    size_t n = dot != NULL && dot > base ? (size_t)(dot - base) : strlen(base);
    snprintf(name, MBL_HOST_PATH, "%.*s_clean.csv", (int)(n < 300 ? n : 300), base);
}

static mbl_status save_clean(job *j, mbl_error *err)
{
    mbl_host host = {.options = j->options};
    char name[MBL_HOST_PATH];
    clean_name(j->file, name);
    mbl_text_init(&host.read, j->options->alloc);
    mbl_text_init(&host.written, j->options->alloc);
    mbl_files_note(&host.read, j->file);
    mbl_status status = mbl_files_place(&host, name, false, j->saved, err);
    mbl_text_free(&host.read);
    mbl_text_free(&host.written);
    if (status == MBL_OK)
        status = mbl_out_clean_log(j->log, j->trace, j->saved, err);
    return status;
}

static mbl_status make(job *j, mbl_error *err)
{
    MBL_TRY(mbl_wish_read(j->options->alloc, j->file, &j->wish, &j->log, err));
    MBL_TRY(mbl_trace_make(j->options->alloc, j->log, &j->trace, err));
    mbl_out_log(j->log, j->trace, j->options->units, &j->page);
    return j->page.failed ? mbl_fail(err, MBL_MEMORY, "out of memory") : MBL_OK;
}

static int show_error(const job *j, const mbl_error *err)
{
    char at[24] = "";
    if (err->line > 0)
        snprintf(at, sizeof at, ":%d", err->line);
    /* a file that cannot be opened or written is named in the text */
    bool named = err->line == 0 && (j->saved[0] != '\0' || strstr(err->text, j->file) != NULL);
    fprintf(j->options->notes, "emberlap: %s%s%s%s\n", named ? "" : j->file, at, named ? "" : ": ",
            err->text);
    return err->status == MBL_INPUT || err->status == MBL_FILE ? MBL_EXIT_WRONG : MBL_EXIT_FAILED;
}

static int print(const job *j)
{
    FILE *out = j->options->out;
    fputs(mbl_text_get(&j->page), out);
    if (j->saved[0] != '\0')
        fprintf(out, "\nSaved as %s.\n", j->saved);
    if (fflush(out) == 0 && !ferror(out))
        return MBL_EXIT_HOLDS;
    fprintf(j->options->notes, "emberlap: cannot write the output\n");
    return MBL_EXIT_FAILED;
}

int mbl_host_log(const mbl_host_options *options, const char *file, size_t nwords,
                 const char *const *words, bool save)
{
    job j = {.options = options, .file = file};
    mbl_error err = {0};
    mbl_text_init(&j.page, options->alloc);
    for (size_t i = 0; i < nwords; i++)
        if (mbl_wish_word(words[i], &j.wish, &err) != MBL_OK) {
            fprintf(options->notes, "emberlap: %s\n", err.text);
            return MBL_EXIT_WRONG;
        }
    mbl_status status = make(&j, &err);
    if (status == MBL_OK && save)
        status = save_clean(&j, &err);
    int code = status == MBL_OK ? print(&j) : show_error(&j, &err);
    mbl_text_free(&j.page);
    mbl_trace_drop(j.trace);
    mbl_log_free(j.log);
    return code;
}
