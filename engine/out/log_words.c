/* SPDX-License-Identifier: MIT */
#include "out/log_words.h"

/* One and many of each repair. */
static const char *const things[MBL_REPAIRS][2] = {
    [MBL_REPAIR_BLANK] = {"row without time or speed", "rows without time or speed"},
    [MBL_REPAIR_UNREADABLE] = {"unreadable cell", "unreadable cells"},
    [MBL_REPAIR_TORN] = {"row cut short", "rows cut short"},
    [MBL_REPAIR_MIDNIGHT] = {"midnight", "midnights"},
    [MBL_REPAIR_RESET] = {"clock begun again", "clocks begun again"},
    [MBL_REPAIR_BACK] = {"row back in time", "rows back in time"},
    [MBL_REPAIR_REBUILT] = {"stamp rebuilt", "stamps rebuilt"},
    [MBL_REPAIR_SPREAD] = {"stamp spread", "stamps spread"},
    [MBL_REPAIR_REPEATED] = {"repeated sample", "repeated samples"},
    [MBL_REPAIR_FROZEN] = {"frozen speed", "frozen speeds"},
    [MBL_REPAIR_SPIKE] = {"spike", "spikes"},
    [MBL_REPAIR_GAP] = {"gap", "gaps"},
    [MBL_REPAIR_OFFSET] = {"pressure offset", "pressure offsets"},
    [MBL_REPAIR_HELD] = {"pedal held at a standstill", "pedals held at a standstill"},
};

void mbl_out_log_guesses(const mbl_log *log, mbl_text *line)
{
    const char *between = "";
    for (int role = 0; role < MBL_LOG_ROLES; role++) {
        const mbl_log_column *c = &log->column[role];
        if (!c->present || !c->guessed || c->derived)
            continue;
        mbl_text_print(line, "%s%s", between, c->name);
        if (c->unit[0] != '\0')
            mbl_text_print(line, " in %s", c->unit);
        if (c->unit_assumed)
            mbl_text_print(line, " (unit assumed)");
        if (c->repeats > 0)
            mbl_text_print(line, " (first of %d)", c->repeats + 1);
        between = ", ";
    }
}

void mbl_out_log_repairs(const mbl_log *log, mbl_text *line)
{
    const char *between = "";
    for (int kind = 0; kind < MBL_REPAIRS; kind++) {
        size_t count = log->repair[kind].count;
        if (count == 0)
            continue;
        mbl_text_print(line, "%s%zu %s", between, count, things[kind][count != 1]);
        between = ", ";
    }
}
