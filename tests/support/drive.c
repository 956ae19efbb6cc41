/* SPDX-License-Identifier: MIT */
#include "support/drive.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define G    9.80665
#define TICK 0.001
#define TAU  6.283185307179586

uint64_t drive_random(uint64_t *state)
{
    uint64_t z = (*state += UINT64_C(0x9E3779B97F4A7C15));
    z = (z ^ (z >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94D049BB133111EB);
    return z ^ (z >> 31);
}

double drive_uniform(uint64_t *state)
{
    return (double)(drive_random(state) >> 11) / 9007199254740992.0;
}

double drive_normal(uint64_t *state)
{
    double u = 1.0 - drive_uniform(state);
    return sqrt(-2.0 * log(u)) * cos(TAU * drive_uniform(state));
}

double drive_length(const drive_course *course)
{
    double length = course->run_in;
    for (size_t i = 0; i < course->corners; i++)
        length += course->corner[i].straight + course->corner[i].length;
    return length;
}

double drive_height(const drive_course *course, double s)
{
    double x = s / drive_length(course);
    double height = 0;
    for (size_t i = 0; i < DRIVE_HILLS; i++)
        height +=
            course->hill[i].height * sin(TAU * (course->hill[i].waves * x + course->hill[i].phase));
    return height;
}

double drive_grade(const drive_course *course, double s)
{
    double length = drive_length(course);
    double slope = 0;
    for (size_t i = 0; i < DRIVE_HILLS; i++)
        slope += course->hill[i].height * TAU * course->hill[i].waves / length *
                 cos(TAU * (course->hill[i].waves * s / length + course->hill[i].phase));
    return slope;
}

typedef enum phase { GO, LIFT, BRAKE, TRAIL, HOLD } phase;

/* The driver and the car between two ticks. */
typedef struct wheel {
    const drive_course *course;
    const drive_car *car;
    uint64_t random;
    phase phase;
    double v;
    double s;      /* m from the line */
    double entry;  /* m from the line to the next corner */
    size_t corner; /* the next or present one */
    double clock;  /* s in this phase */
    double pace;
    double target; /* m/s in the corner, on this lap */
    double full;   /* m/s2 of this braking */
    double lift;   /* s */
    double ramp;   /* s */
    double held;   /* N of braking when the release began */
    double wave;   /* phase of the small variations */
    double force;  /* N of braking now */
} wheel;

static const double RELEASE = 0.4; /* s from full brakes to none */

static double between(uint64_t *random, double lo, double hi)
{
    return lo + (hi - lo) * drive_uniform(random);
}

/* Draws what this lap's driver makes of the corner ahead. */
static void look_ahead(wheel *w, double variation)
{
    if (w->corner >= w->course->corners)
        return;
    const drive_corner *corner = &w->course->corner[w->corner];
    w->target = corner->speed * w->pace * (1 + variation * between(&w->random, -1, 1));
    w->full = w->car->deceleration * w->pace * w->pace * between(&w->random, 0.85, 1.05) *
              (1 + variation * between(&w->random, -1, 1));
    w->lift = between(&w->random, 0.10, 0.30);
    w->ramp = between(&w->random, 0.20, 0.30);
    w->wave = drive_uniform(&w->random);
}

/* N that slow the car with throttle and brakes released. */
static double resistance(const wheel *w, double closed)
{
    const mbl_vehicle *body = &w->car->body;
    double grade = drive_grade(w->course, w->s);
    return 0.5 * body->air_density * body->drag_area * w->v * w->v +
           body->mass * (G * (body->rolling + grade) + closed * body->engine_braking);
}

static void turn(wheel *w, phase next)
{
    w->phase = next;
    w->clock = 0;
}

static void decide(wheel *w, double variation)
{
    bool more = w->corner < w->course->corners;
    double over = w->v - w->target;
    switch (w->phase) {
    case GO:
        if (!more)
            break;
        double full = fmin(w->full, over / 0.8);
        double need = w->v * (w->lift + w->ramp / 2) + w->target * RELEASE / 2;
        if (over > 0)
            need += (w->v * w->v - w->target * w->target) / (2 * full);
        if (over > 1.5 && w->entry - w->s <= need) {
            w->full = full;
            turn(w, LIFT);
        } else if (w->s >= w->entry)
            turn(w, HOLD);
        break;
    case LIFT:
        if (w->clock >= w->lift)
            turn(w, BRAKE);
        break;
    case BRAKE:
        if (over <= w->full * RELEASE / 2) {
            w->held = w->force;
            turn(w, TRAIL);
        }
        break;
    case TRAIL:
        if (w->clock >= RELEASE)
            turn(w, HOLD);
        break;
    case HOLD:
        if (w->s >= w->entry + w->course->corner[w->corner].length) {
            w->entry += w->course->corner[w->corner].length;
            w->corner++;
            if (w->corner < w->course->corners)
                w->entry += w->course->corner[w->corner].straight;
            look_ahead(w, variation);
            turn(w, GO);
        }
        break;
    }
}

/* Deceleration (positive slows) of this tick; sets the braking force. */
static double act(wheel *w)
{
    const mbl_vehicle *body = &w->car->body;
    double inertia = body->mass * (1 + body->rotating);
    double closed = resistance(w, 1);
    double power = w->car->power * w->pace * w->pace;
    double pull = fmin(power / fmax(w->v, 1), body->mass * w->car->grip * w->pace);
    double wave = sin(TAU * (w->clock / 2.3 + w->wave));
    w->force = 0;
    switch (w->phase) {
    case GO:
        return (resistance(w, 0) - pull) / inertia;
    case LIFT:
        break;
    case BRAKE:
        w->force =
            fmin(1, w->clock / w->ramp) * fmax(0, inertia * w->full * (1 + 0.03 * wave) - closed);
        break;
    case TRAIL:
        w->force = w->held * fmax(0, 1 - w->clock / RELEASE);
        break;
    case HOLD: {
        double want = 1.5 * (w->v - w->target * (1 + 0.012 * wave));
        return fmax((resistance(w, 0) - 0.8 * pull) / inertia, fmin(want, closed / inertia));
    }
    }
    return (closed + w->force) / inertia;
}

static void record(drive_session *out, const wheel *w, size_t lap)
{
    if (out->n == out->room) {
        out->room = out->room == 0 ? 1u << 18 : out->room * 2;
        out->v = realloc(out->v, out->room * sizeof *out->v);
        out->s = realloc(out->s, out->room * sizeof *out->s);
        out->force = realloc(out->force, out->room * sizeof *out->force);
        out->lap = realloc(out->lap, out->room);
        if (out->v == NULL || out->s == NULL || out->force == NULL || out->lap == NULL)
            abort();
    }
    out->v[out->n] = w->v;
    out->s[out->n] = w->s + out->lap_length * (double)lap;
    out->force[out->n] = 0;
    out->lap[out->n] = (unsigned char)lap;
    out->n++;
}

void drive_run(const drive_course *course, const drive_car *car, const drive_plan *plan,
               drive_session *out)
{
    memset(out, 0, sizeof *out);
    out->course = course;
    out->lap_length = drive_length(course);
    out->laps = plan->laps;
    wheel w = {.course = course, .car = car, .random = plan->seed, .v = 12};
    for (size_t lap = 0; lap < plan->laps; lap++) {
        double end = out->lap_length * (lap + 1 == plan->laps ? plan->last : 1);
        w.corner = 0;
        w.entry = course->corner[0].straight;
        w.pace = plan->pace[lap];
        look_ahead(&w, plan->variation);
        turn(&w, GO);
        for (; w.s < end; w.clock += TICK) {
            record(out, &w, lap);
            decide(&w, plan->variation);
            double slowing = act(&w);
            out->force[out->n - 1] = w.force;
            double v = fmax(1, w.v - slowing * TICK);
            double mean = 0.5 * (w.v + v);
            out->energy[lap] += w.force * mean * TICK;
            out->braking_time[lap] += w.force > 0 ? TICK : 0;
            out->lap_time[lap] += TICK;
            w.s += mean * TICK;
            w.v = v;
        }
        w.s -= out->lap_length;
        out->total += out->energy[lap];
    }
}

void drive_free(drive_session *session)
{
    free(session->v);
    free(session->s);
    free(session->force);
    free(session->lap);
    memset(session, 0, sizeof *session);
}

/* Writes one cell: the delimiter before all but the first, quotes where wanted. */
static void cell(mbl_text *out, const drive_format *f, bool first, const char *text)
{
    char delimiter = f->delimiter == 0 ? ',' : f->delimiter;
    mbl_text_add(out, &delimiter, first ? 0 : 1);
    mbl_text_add(out, "\"", f->quoted);
    mbl_text_add(out, text, strlen(text));
    mbl_text_add(out, "\"", f->quoted);
}

static void name(mbl_text *out, const drive_format *f, bool first, const char *text,
                 const char *unit)
{
    char full[64];
    if (unit[0] == '\0' || f->header == 0 || f->header == 3)
        snprintf(full, sizeof full, "%s", text);
    else if (f->header == 1)
        snprintf(full, sizeof full, "%s [%s]", text, unit);
    else
        snprintf(full, sizeof full, "%s (%s)", text, unit);
    cell(out, f, first, full);
}

static void heading(mbl_text *out, const drive_format *f, const char *unit, const char *newline)
{
    name(out, f, true, "Time", "s");
    if (f->lap)
        name(out, f, false, "Lap", "");
    name(out, f, false, "Speed", unit);
    if (f->distance)
        name(out, f, false, "Distance", "m");
    if (f->altitude)
        name(out, f, false, "Altitude", "m");
    mbl_text_print(out, "%s", newline);
    if (f->header != 0)
        return;
    cell(out, f, true, "s");
    if (f->lap)
        cell(out, f, false, "");
    cell(out, f, false, unit);
    if (f->distance)
        cell(out, f, false, "m");
    if (f->altitude)
        cell(out, f, false, "m");
    mbl_text_print(out, "%s", newline);
}

void drive_write(const drive_session *session, const drive_format *f, mbl_text *out)
{
    const char *unit = f->unit == NULL ? "m/s" : f->unit;
    const char *newline = f->crlf ? "\r\n" : "\n";
    double per = strcmp(unit, "km/h") == 0 ? 3.6 : strcmp(unit, "mph") == 0 ? 1 / 0.44704 : 1;
    double rate = f->rate > 0 ? f->rate : 20;
    uint64_t random = f->seed ^ UINT64_C(0x5EED0F106);
    heading(out, f, unit, newline);
    for (size_t row = 0;; row++) {
        double t = (double)row / rate;
        size_t i = (size_t)(t / TICK + 0.5);
        if (i >= session->n)
            break;
        double lap_start = session->lap_length * session->lap[i];
        double v = session->v[i] + (f->noise > 0 ? f->noise * drive_normal(&random) : 0);
        double shown = fmax(0, v) * per;
        if (f->step > 0)
            shown = floor(shown / f->step + 0.5) * f->step;
        char text[40];
        snprintf(text, sizeof text, "%.3f", t);
        cell(out, f, true, text);
        if (f->lap) {
            snprintf(text, sizeof text, "%d", session->lap[i]);
            cell(out, f, false, text);
        }
        snprintf(text, sizeof text, "%.*f", f->decimals > 0 ? f->decimals : 4, shown);
        cell(out, f, false, text);
        if (f->distance) {
            snprintf(text, sizeof text, "%.1f", session->s[i] - lap_start);
            cell(out, f, false, text);
        }
        if (f->altitude) {
            snprintf(text, sizeof text, "%.1f",
                     100 + drive_height(session->course, session->s[i] - lap_start));
            cell(out, f, false, text);
        }
        mbl_text_add(out, newline, strlen(newline));
    }
}
