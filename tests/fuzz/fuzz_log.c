/* SPDX-License-Identifier: MIT */
/*
 * A logger's file in any shape. The last two bits of its size choose what is wished for, so that
 * one corpus covers guesses, names, units and a start line.
 */
#include "fuzz/fuzz.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const mbl_log_wish wishes[4] = {
        {.start_line = false},
        {.unit = {[MBL_LOG_SPEED] = "km/h", [MBL_LOG_TIME] = "s"}},
        {.column = {[MBL_LOG_SPEED] = "Speed"}, .unit = {[MBL_LOG_SPEED] = "mph"}},
        {.start_line = true, .start_latitude = 10, .start_longitude = 20}};
    fuzz_drive(data, size, &wishes[size % 4]);
    return 0;
}
