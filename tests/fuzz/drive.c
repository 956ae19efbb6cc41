/* SPDX-License-Identifier: MIT */
#include "fuzz/fuzz.h"
#include "out/clean_log.h"
#include "out/log.h"
#include "road/trace.h"

#include <math.h>
#include <string.h>

/* Bytes of memory a target may use; a file of a few kilobytes needs a thousandth. */
#define CAP ((size_t)512 << 20)

static void check_log(const mbl_log *log)
{
    must(log->rows >= 2);
    must(log->t[0] == 0);
    must(isfinite(log->rate) && log->rate > 0);
    for (size_t i = 0; i < log->rows; i++) {
        must(isfinite(log->t[i]) && (i == 0 || log->t[i] > log->t[i - 1]));
        must(isfinite(log->v[i]) && log->v[i] >= 0);
        must(log->line[i] > 0);
    }
    double *const array[MBL_LOG_ROLES] = {
#define ARRAY(name, word, field) [MBL_LOG_##name] = log->field,
        MBL_LOG_ROLE_LIST(ARRAY)
#undef ARRAY
    };
    for (int role = 0; role < MBL_LOG_ROLES; role++)
        for (size_t i = 0; array[role] != NULL && i < log->rows; i++)
            must(isfinite(array[role][i]));
    for (int i = 0; i < MBL_REPAIRS; i++) {
        must(isfinite(log->repair[i].amount));
        must(log->repair[i].count == 0 || log->repair[i].first_line <= log->repair[i].last_line);
    }
    must(memchr(log->file, 0, sizeof log->file) != NULL);
}

static void check_trace(const mbl_trace *trace)
{
    must(trace->n >= 2 && trace->t[0] == 0);
    must(isfinite(trace->noise) && trace->noise >= 0);
    for (size_t i = 0; i < trace->n; i++) {
        must(isfinite(trace->t[i]) && (i == 0 || trace->t[i] > trace->t[i - 1]));
        must(isfinite(trace->v[i]) && trace->v[i] >= 0);
        must(i + 1 == trace->n || isfinite(trace->grade[i]));
    }
    must(trace->nlaps >= 1 && trace->median < trace->nlaps && trace->fastest < trace->nlaps);
    for (size_t i = 0; i < trace->nlaps; i++) {
        const mbl_lap *lap = &trace->laps[i];
        must(lap->start >= 0 && lap->end > lap->start && lap->end <= trace->t[trace->n - 1]);
        must(i == 0 || lap->start >= trace->laps[i - 1].end);
        must(isfinite(lap->top_speed) && lap->top_speed >= 0);
    }
}

/*
 * The report can be written, and the clean copy can be read back. A copy with gaps is left out:
 * it has thousands of rows, and within a long gap the trace may run to a speed that a reader
 * refuses.
 */
static void check_ways_out(const mbl_alloc *alloc, const mbl_log *log, const mbl_trace *trace)
{
    const mbl_log_wish none = {0};
    mbl_text text;
    mbl_log *again = NULL;
    mbl_error err = {0};
    mbl_text_init(&text, alloc);
    mbl_out_log(log, trace, MBL_UNITS_SI, &text);
    must(!text.failed && text.length > 0);
    mbl_text_free(&text);
    if (log->repair[MBL_REPAIR_GAP].count > 0)
        return;
    mbl_out_clean_text(log, trace, &text);
    must(!text.failed);
    mbl_status status =
        mbl_log_parse(alloc, "clean", mbl_text_get(&text), text.length, &none, &again, &err);
    if (status != MBL_OK)
        fprintf(stderr, "the clean copy: line %d: %s\n", err.line, err.text);
    must(status == MBL_OK);
    mbl_log_free(again);
    mbl_text_free(&text);
}

void fuzz_drive(const uint8_t *data, size_t size, const mbl_log_wish *wish)
{
    fuzz_memory memory;
    fuzz_memory_init(&memory, CAP);
    mbl_log *log = NULL;
    mbl_trace *trace = NULL;
    mbl_error err = {0};
    mbl_status status =
        mbl_log_parse(&memory.alloc, "fuzz", (const char *)data, size, wish, &log, &err);
    fuzz_check_error(status, &err);
    must((status == MBL_OK) == (log != NULL));
    if (status == MBL_OK) {
        check_log(log);
        status = mbl_trace_make(&memory.alloc, log, &trace, &err);
        fuzz_check_error(status, &err);
        must((status == MBL_OK) == (trace != NULL));
    }
    if (trace != NULL) {
        check_trace(trace);
        check_ways_out(&memory.alloc, log, trace);
    }
    must(status != MBL_MEMORY);
    mbl_trace_drop(trace);
    mbl_log_free(log);
    must(memory.used == 0);
}
