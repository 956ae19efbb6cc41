/* SPDX-License-Identifier: MIT */
/*
 * What the fuzz targets share. A target is one function over bytes; libFuzzer calls it with bytes
 * of its making, replay.c with those of files. A broken promise aborts.
 */
#ifndef MBL_TESTS_FUZZ_H
#define MBL_TESTS_FUZZ_H

#include "base/base.h"
#include "road/log.h"

#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Says what is broken and aborts. */
#define must(condition)                                                                            \
    do {                                                                                           \
        if (!(condition)) {                                                                        \
            fprintf(stderr, "%s:%d: broken: %s\n", __FILE__, __LINE__, #condition);                \
            abort();                                                                               \
        }                                                                                          \
    } while (0)

/* Memory that is counted and capped: small input must not take much, and all of it comes back. */
typedef struct fuzz_memory {
    mbl_alloc alloc; /* pass &memory.alloc to the engine */
    size_t used, cap;
} fuzz_memory;

void fuzz_memory_init(fuzz_memory *memory, size_t cap);

/* A failure has its status and says something; success says nothing. */
void fuzz_check_error(mbl_status status, const mbl_error *err);

/* Assembles a log, makes its trace and checks what is promised of both. */
void fuzz_drive(const uint8_t *data, size_t size, const mbl_log_wish *wish);

#endif
