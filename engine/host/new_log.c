/* SPDX-License-Identifier: MIT */
/*
 * Low Cinder, a course that does not exist, driven by a car that brakes late enough for every
 * corner. Only sums, products and square roots are used, so every machine writes the same bytes.
 */
#include "host/new.h"

#include <math.h>

/* From the line on: a straight of so many metres, then a corner of so many at that speed, m/s. */
static const struct {
    double straight, corner, speed;
} course[] = {{520, 90, 25}, {230, 120, 30}, {430, 70, 19}, {270, 150, 34}, {560, 80, 21}};
enum { CORNERS = sizeof course / sizeof course[0] };

/* The laps, and how fast each is driven over the fastest. */
static const double paces[] = {0.82, 0.98, 1, 0.99, 0.75};
enum { LAPS = sizeof paces / sizeof paces[0], PER_ROW = 10 };

static const double step = 0.01;   /* s */
static const double power = 60;    /* W/kg at the wheels */
static const double pull = 4.2;    /* m/s2, most that the tyres pass on */
static const double drag = 3.2e-4; /* 1/m, deceleration over the square of the speed */
static const double braking = 8.2; /* m/s2, at full pace */

/* The most that the car may do `at` metres into the lap and still make every corner, m/s. */
static double fastest(double at, double pace)
{
    double most = INFINITY;
    double begin = 0;
    /* twice round: the first corners of the next lap are ahead too */
    for (int i = 0; i < 2 * CORNERS; i++) {
        double entry = begin + course[i % CORNERS].straight;
        double v = course[i % CORNERS].speed * pace;
        begin = entry + course[i % CORNERS].corner;
        if (at < entry)
            v = sqrt(v * v + 2 * braking * pace * pace * (entry - at));
        if (at < begin)
            most = fmin(most, v);
    }
    return most;
}

static double length_of_lap(void)
{
    double sum = 0;
    for (int i = 0; i < CORNERS; i++)
        sum += course[i].straight + course[i].corner;
    return sum;
}

void mbl_new_log(mbl_text *text)
{
    double length = length_of_lap();
    double at = 0;
    double v = 12; /* m/s, out of the pits */
    int lap = 0;
    mbl_text_print(text, "Time [s],Speed [km/h],Lap\n");
    for (int k = 0; lap < LAPS; k++) {
        if (k % PER_ROW == 0)
            mbl_text_print(text, "%.1f,%.1f,%d\n", k * step, v * 3.6, lap + 1);
        double a = fmin(pull, power / v) - drag * v * v;
        v = fmin(v + a * paces[lap] * step, fastest(at, paces[lap]));
        at += v * step;
        if (at >= length) {
            at -= length;
            lap++;
        }
    }
}
