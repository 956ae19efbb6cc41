/* SPDX-License-Identifier: MIT */
/*
 * Track points, handed to the reader of GPX whatever the bytes begin with: fuzz_log would need to
 * find its first element before it came here.
 */
#include "fuzz/fuzz.h"
#include "road/import.h"

#include <math.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const mbl_log_wish wishes[2] = {
        {.start_line = false}, {.start_line = true, .start_latitude = 10, .start_longitude = 20}};
    const mbl_log_wish *wish = &wishes[size % 2];
    fuzz_memory memory;
    fuzz_memory_init(&memory, (size_t)512 << 20);
    mbl_import import = {.alloc = &memory.alloc};
    mbl_error err = {0};
    mbl_status status = mbl_import_gpx((const char *)data, size, wish, &import, &err);
    fuzz_check_error(status, &err);
    must(status == MBL_OK || status == MBL_INPUT);
    for (int role = 0; role < MBL_LOG_ROLES; role++) {
        const mbl_series *s = &import.series[role];
        for (size_t i = 0; i < s->n; i++)
            must(isfinite(s->t[i]) && isfinite(s->x[i]) && s->line[i] > 0);
    }
    mbl_import_free(&import);
    must(memory.used == 0);
    if (status == MBL_OK)
        fuzz_drive(data, size, wish);
    return 0;
}
