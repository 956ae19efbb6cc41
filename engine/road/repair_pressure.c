/* SPDX-License-Identifier: MIT */
/*
 * Pressure that is no braking: where the sensor rests while the car gains speed, which nobody
 * does on the brakes for long, and what the foot does while the car stands.
 */
#include "road/repair.h"

#include "road/select.h"

#include <math.h>
#include <string.h>

/* m/s2 and m/s: gaining speed by more, faster than this, the driver is off the brakes. */
#define PULLING 0.5
#define MOVING  3.0

/* s over which the gain is taken. */
#define WINDOW 0.3

/* Rows that must tell the resting level; else the lowest tenth of all moving rows does. */
#define FEWEST 20

/* Pa: an offset that nobody would see. */
#define NO_OFFSET 1e3

/* m/s: the car stands; Pa: the foot is on the pedal. */
#define STANDS 0.5
#define HELD   5e4

/* Level of a sensor at rest; NAN when the log cannot tell. */
static double resting_level(const mbl_table *table, const double *pressure)
{
    const double *v = table->x[MBL_LOG_SPEED];
    size_t n = 0;
    for (size_t i = 0, k = 0; i < table->n; i++) {
        while (k < table->n && table->t[k] < table->t[i] + WINDOW)
            k++;
        if (k == table->n)
            break;
        double gain = (v[k] - v[i]) / (table->t[k] - table->t[i]);
        if (gain > PULLING && v[i] > MOVING && table->t[k] - table->t[i] < 4 * WINDOW)
            table->work[n++] = pressure[i];
    }
    if (n >= FEWEST)
        return mbl_median(table->work, n);
    n = 0;
    for (size_t i = 0; i < table->n; i++)
        if (v[i] > MOVING)
            table->work[n++] = pressure[i];
    return n > 0 ? mbl_select(table->work, n, n / 10) : NAN;
}

static void take_off_rest(mbl_table *table, mbl_log_role role)
{
    double *pressure = table->x[role];
    double rest = resting_level(table, pressure);
    mbl_repair *repair = &table->repair[MBL_REPAIR_OFFSET];
    if (isnan(rest) || fabs(rest) < NO_OFFSET)
        rest = 0;
    if (rest != 0) {
        repair->count++;
        repair->first_line = table->line[0];
        repair->last_line = table->line[table->n - 1];
        if (fabs(rest) > fabs(repair->amount))
            repair->amount = rest;
    }
    for (size_t i = 0; i < table->n; i++)
        pressure[i] = fmax(0, pressure[i] - rest);
}

/* Clears pressure while the car stands, and counts the stands with a foot on the pedal. */
static void let_go(mbl_table *table)
{
    static const mbl_log_role roles[] = {MBL_LOG_PRESSURE_FRONT, MBL_LOG_PRESSURE_REAR};
    const double *v = table->x[MBL_LOG_SPEED];
    mbl_repair *repair = &table->repair[MBL_REPAIR_HELD];
    bool before = false;
    for (size_t i = 0; i < table->n; i++) {
        bool held = false;
        for (size_t k = 0; k < 2; k++) {
            double *pressure = table->x[roles[k]];
            if (pressure == NULL || v[i] >= STANDS)
                continue;
            held = held || pressure[i] > HELD;
            pressure[i] = 0;
        }
        if (held) {
            double time = before ? table->t[i] - table->t[i - 1] : 0;
            size_t count = repair->count;
            mbl_repair_note(repair, table->line[i], time);
            repair->count = before ? count : count + 1;
        }
        before = held;
    }
}

void mbl_repair_pressures(mbl_table *table)
{
    if (table->x[MBL_LOG_PRESSURE_FRONT] != NULL)
        take_off_rest(table, MBL_LOG_PRESSURE_FRONT);
    if (table->x[MBL_LOG_PRESSURE_REAR] != NULL)
        take_off_rest(table, MBL_LOG_PRESSURE_REAR);
    let_go(table);
}
