/* SPDX-License-Identifier: MIT */
#include "support/drive_logger.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define TICK 0.001
#define TAU  6.283185307179586

/* Somewhere at sea. */
#define LATITUDE  (-38.2)
#define LONGITUDE (-15.4)

/* 2031-05-04T14:05:11Z, and the same of the day. */
#define UNIX   1935669911.0
#define OF_DAY 50711.0

/* N of the foot that holds the car. */
#define HOLDING 9000.0

/* ---- the drive ---- */

static void add_tick(drive_session *session, double v, double s, double force)
{
    if (session->n == session->room) {
        session->room *= 2;
        session->v = realloc(session->v, session->room * sizeof *session->v);
        session->s = realloc(session->s, session->room * sizeof *session->s);
        session->force = realloc(session->force, session->room * sizeof *session->force);
        session->lap = realloc(session->lap, session->room);
        if (session->v == NULL || session->s == NULL || session->force == NULL ||
            session->lap == NULL)
            abort();
    }
    session->v[session->n] = v;
    session->s[session->n] = s;
    session->force[session->n] = force;
    session->lap[session->n++] = (unsigned char)(session->laps - 1);
}

void drive_stop(drive_session *session, const drive_car *car, double standing)
{
    const mbl_vehicle *body = &car->body;
    double v = session->v[session->n - 1];
    double s = session->s[session->n - 1];
    double energy = 0;
    size_t last = session->laps - 1;
    while (v > 0) {
        double closed = 0.5 * body->air_density * body->drag_area * v * v +
                        body->mass * (9.80665 * body->rolling + body->engine_braking);
        double force = fmax(0, body->mass * (1 + body->rotating) * 3 - closed);
        double next = fmax(0, v - 3 * TICK);
        energy += force * 0.5 * (v + next) * TICK;
        session->braking_time[last] += TICK;
        s += 0.5 * (v + next) * TICK;
        v = next;
        add_tick(session, v, s, force);
    }
    for (double t = 0; t < standing; t += TICK)
        add_tick(session, 0, s, HOLDING);
    session->energy[last] += energy;
    session->total += energy;
}

/*
 * Metres in a degree at the latitude of the circle, by the series for the WGS 84 ellipsoid
 * (111132.92 - 559.82 cos 2p + 1.175 cos 4p and 111412.84 cos p - 93.5 cos 3p + 0.118 cos 5p;
 * values from memory).
 */
static double degree_north(void)
{
    double p = LATITUDE * TAU / 360;
    return 111132.92 - 559.82 * cos(2 * p) + 1.175 * cos(4 * p);
}

static double degree_east(void)
{
    double p = LATITUDE * TAU / 360;
    return 111412.84 * cos(p) - 93.5 * cos(3 * p) + 0.118 * cos(5 * p);
}

double drive_latitude(const drive_session *session, double s)
{
    double radius = session->lap_length / TAU;
    return LATITUDE + radius * sin(s / radius) / degree_north();
}

double drive_longitude(const drive_session *session, double s)
{
    double radius = session->lap_length / TAU;
    return LONGITUDE + radius * (1 - cos(s / radius)) / degree_east();
}

/* ---- samples ---- */

typedef struct sample {
    double t;        /* s, as it was */
    double stamp;    /* s, as it is written */
    double v;        /* km/h */
    double s;        /* m from the start */
    double pressure; /* bar */
    int lap;
    bool out; /* not in the file */
} sample;

typedef struct samples {
    size_t n;
    sample *at;
} samples;

/* Truth at time t, as the sensors have it. */
static sample sense(const drive_session *session, const drive_logger *f, double t, uint64_t *random)
{
    double held = f->sensor > 0 ? floor(t * f->sensor + 1e-9) / f->sensor : t;
    size_t now = (size_t)(t / TICK + 0.5);
    size_t i = (size_t)(held / TICK + 0.5);
    double noise = f->noise > 0 ? f->noise * drive_normal(random) : 0;
    double step = f->step > 0 ? f->step : 0.01;
    double bar = session->force[now] * DRIVE_PASCAL_PER_NEWTON / 1e5;
    if (f->sensor_noise > 0)
        bar += f->sensor_noise * drive_normal(random);
    return (sample){.t = t,
                    .stamp = t,
                    .v = floor(fmax(0, session->v[i] + noise) * 3.6 / step + 0.5) * step,
                    .s = session->s[i],
                    .pressure = bar + f->offset,
                    .lap = session->lap[i]};
}

static samples take(const drive_session *session, const drive_logger *f)
{
    double rate = f->rate > 0 ? f->rate : 20;
    uint64_t random = f->seed ^ UINT64_C(0x106);
    uint64_t noise = f->seed ^ UINT64_C(0x5EED);
    samples out = {0};
    out.at = calloc((size_t)((double)session->n * TICK * rate) + 2, sizeof *out.at);
    if (out.at == NULL)
        abort();
    for (size_t row = 0;; row++) {
        double t = (double)row / rate;
        if (t / TICK + 0.5 >= (double)session->n)
            break;
        sample got = sense(session, f, t, &noise);
        if (f->sensor > 0 && out.n > 0 &&
            floor(t * f->sensor + 1e-9) == floor((t - 1 / rate) * f->sensor + 1e-9))
            got.v = out.at[out.n - 1].v; /* noise and all */
        got.out = f->drop > 0 && drive_uniform(&random) < f->drop;
        out.at[out.n++] = got;
    }
    return out;
}

/* ---- what goes wrong ---- */

static void freeze(samples *all, double from, double to)
{
    double v = NAN;
    for (size_t i = 0; i < all->n; i++)
        if (all->at[i].t >= from && all->at[i].t < to) {
            v = isnan(v) ? all->at[i].v : v;
            all->at[i].v = v;
        }
}

/* Time at which lap `lap` begins. */
static double lap_start(const samples *all, int lap)
{
    size_t i = 0;
    while (i < all->n && all->at[i].lap < lap)
        i++;
    return i < all->n ? all->at[i].t : all->at[all->n - 1].t;
}

static void break_laps(const drive_session *session, const drive_logger *f, samples *all)
{
    uint64_t random = f->seed ^ UINT64_C(0xBAD);
    for (int lap = 0; lap < (int)session->laps; lap++) {
        double start = lap_start(all, lap);
        double duration = lap_start(all, lap + 1) - start;
        double at = start + duration * drive_uniform(&random) * 0.9;
        for (size_t i = 0; i < all->n; i++) {
            sample *s = &all->at[i];
            if (f->gap > 0 && s->t >= at && s->t < at + f->gap)
                s->out = true;
        }
        at = start + duration * drive_uniform(&random) * 0.9;
        if (f->frozen_lap > 0)
            freeze(all, at, at + f->frozen_lap);
        at = start + duration * drive_uniform(&random) * 0.9;
        size_t i = 0;
        while (i + 1 < all->n && all->at[i].t < at)
            i++;
        if (f->spike)
            all->at[i].v = all->at[i].v > 100 ? 12 : 230;
    }
}

static void restamp(const drive_logger *f, samples *all)
{
    uint64_t random = f->seed ^ UINT64_C(0xC10C);
    double start = 0;
    double sent = -1;
    int waiting = 0;
    for (size_t i = 0; i < all->n; i++) {
        sample *s = &all->at[i];
        if (f->lap_clock && i > 0 && s->lap != all->at[i - 1].lap)
            start = s->t;
        s->stamp = s->t - (f->lap_clock ? start : 0);
        if (f->block > 0)
            s->stamp = floor(s->stamp / f->block + 1e-9) * f->block;
        if (f->burst > 0) {
            double due = ceil(s->t / f->burst + 1e-9) * f->burst;
            waiting = due == sent ? waiting + 1 : 0;
            sent = due;
            s->stamp = due + 0.001 * waiting;
        }
    }
    for (size_t i = 0; i + 1 < all->n; i++)
        if (f->swap > 0 && drive_uniform(&random) < f->swap) {
            sample keep = all->at[i];
            all->at[i] = all->at[i + 1];
            all->at[i + 1] = keep;
            i++;
        }
}

/* ---- writing ---- */

typedef struct writer {
    const drive_session *session;
    const drive_logger *f;
    mbl_text *out;
    bool first;
} writer;

static void put(writer *w, const char *text)
{
    mbl_text_print(w->out, "%s%s", w->first ? "" : w->f->decimal_comma ? ";" : ",", text);
    w->first = false;
}

static void put_number(writer *w, int decimals, double value)
{
    char text[48];
    snprintf(text, sizeof text, "%.*f", decimals, value);
    char *point = strchr(text, '.');
    if (w->f->decimal_comma && point != NULL)
        *point = ',';
    put(w, text);
}

static void put_stamp(writer *w, double t)
{
    char text[48];
    double day = OF_DAY + t;
    switch (w->f->clock) {
    case DRIVE_SECONDS:
        put_number(w, 3, t);
        return;
    case DRIVE_MS:
        put_number(w, 0, 1000 * t);
        return;
    case DRIVE_UNIX_MS:
        put_number(w, 0, 1000 * (UNIX + t));
        return;
    case DRIVE_HMS:
        break;
    }
    snprintf(text, sizeof text, "%02d:%02d:%06.3f", (int)(day / 3600), (int)fmod(day / 60, 60),
             fmod(day, 60));
    put(w, text);
}

static void end_line(writer *w)
{
    mbl_text_print(w->out, "\n");
    w->first = true;
}

static double lap_distance(const writer *w, const sample *s)
{
    double step = w->f->distance_step > 0 ? w->f->distance_step : 0.1;
    double metres = s->s - w->session->lap_length * s->lap;
    return floor(metres / step + 0.5) * step;
}

static double height(const writer *w, const sample *s)
{
    return 100 + drive_height(w->session->course, s->s);
}

static void put_name(writer *w, const char *name, const char *unit, int row)
{
    char text[64];
    if (row == 0 && w->f->shape == DRIVE_NAMES && unit[0] != '\0')
        snprintf(text, sizeof text, "%s [%s]", name, unit);
    else
        snprintf(text, sizeof text, "%s", row == 0 ? name : unit);
    put(w, text);
}

static void write_wide(writer *w, const samples *all)
{
    static const char *const clocks[] = {"s", "ms", "hh:mm:ss", "ms"};
    const drive_logger *f = w->f;
    for (int row = 0; row < (f->shape == DRIVE_NAMES ? 1 : 2); row++) {
        put_name(w, "Time",
                 f->clock == DRIVE_HMS && f->shape == DRIVE_NAMES ? "" : clocks[f->clock], row);
        if (f->lap)
            put_name(w, "Lap", "", row);
        if (!f->no_speed)
            put_name(w, "Speed", "km/h", row);
        if (f->distance)
            put_name(w, "Distance", "m", row);
        if (f->altitude)
            put_name(w, "Altitude", "m", row);
        if (f->position) {
            put_name(w, "Latitude", "deg", row);
            put_name(w, "Longitude", "deg", row);
        }
        if (f->pressure)
            put_name(w, "Brake Pressure Front", "bar", row);
        end_line(w);
    }
    for (size_t i = 0; i < all->n; i++) {
        const sample *s = &all->at[i];
        if (s->out)
            continue;
        put_stamp(w, s->stamp);
        if (f->lap)
            put_number(w, 0, s->lap);
        if (!f->no_speed)
            put_number(w, 2, s->v);
        if (f->distance)
            put_number(w, 2, lap_distance(w, s));
        if (f->altitude)
            put_number(w, 1, height(w, s));
        if (f->position) {
            put_number(w, 7, drive_latitude(w->session, s->s));
            put_number(w, 7, drive_longitude(w->session, s->s));
        }
        if (f->pressure)
            put_number(w, 2, s->pressure);
        end_line(w);
    }
}

static void iso(double t, char text[48])
{
    double day = OF_DAY + t;
    snprintf(text, 48, "2031-05-04T%02d:%02d:%06.3fZ", (int)(day / 3600), (int)fmod(day / 60, 60),
             fmod(day, 60));
}

static void write_tall(writer *w, const samples *all)
{
    mbl_text_print(w->out, "time,name,value\n");
    for (size_t i = 0; i < all->n; i++) {
        const sample *s = &all->at[i];
        char stamp[48];
        if (s->out)
            continue;
        iso(s->stamp, stamp);
        if (w->f->lap && (i == 0 || s->lap != all->at[i - 1].lap))
            mbl_text_print(w->out, "%s,lap,%d\n", stamp, s->lap);
        if (!w->f->no_speed)
            mbl_text_print(w->out, "%s,speed_kmh,%.2f\n", stamp, s->v);
        if (w->f->distance)
            mbl_text_print(w->out, "%s,lap_distance,%.2f\n", stamp, lap_distance(w, s));
        if (w->f->altitude && i % 4 == 0)
            mbl_text_print(w->out, "%s,altitude_m,%.1f\n", stamp, height(w, s));
        if (w->f->pressure)
            mbl_text_print(w->out, "%s,brake_pressure_bar,%.2f\n", stamp, s->pressure);
    }
}

static void write_sections(writer *w, const samples *all)
{
    mbl_text_print(w->out, "File created for a test\n\n[header]\ntime\nlatitude\nlongitude\n"
                           "velocity kmh\nheight\n\n[comments]\nA note, with a comma\n\n"
                           "[column names]\ntime lat long velocity height\n\n[data]\n");
    for (size_t i = 0; i < all->n; i++) {
        const sample *s = &all->at[i];
        double day = OF_DAY + s->stamp;
        if (!s->out)
            mbl_text_print(w->out, "%02d%02d%05.2f %+012.6f %+012.6f %07.3f %+09.2f\n",
                           (int)(day / 3600), (int)fmod(day / 60, 60), fmod(day, 60),
                           60 * drive_latitude(w->session, s->s),
                           -60 * drive_longitude(w->session, s->s), s->v, height(w, s));
    }
}

static void write_sparse(writer *w, const samples *all)
{
    mbl_text_print(w->out, "\"Interval\"|\"ms\"|0|0|1,\"Speed\"|\"km/h\"|0|300|20,"
                           "\"BrakeF\"|\"bar\"|0|150|10,\"LapCount\"|\"\"|0|0|1,"
                           "\"Altitude\"|\"m\"|0|4000|4\n");
    for (size_t i = 0; i < all->n; i++) {
        const sample *s = &all->at[i];
        if (s->out)
            continue;
        mbl_text_print(w->out, "%.0f,%.2f,", 104000 + 1000 * s->stamp, s->v);
        if (i % 2 == 0)
            mbl_text_print(w->out, "%.2f", s->pressure);
        mbl_text_print(w->out, ",");
        if (i % 20 == 0 || s->lap != all->at[i - 1].lap)
            mbl_text_print(w->out, "%d", s->lap);
        mbl_text_print(w->out, ",");
        if (i % 5 == 0)
            mbl_text_print(w->out, "%.1f", height(w, s));
        mbl_text_print(w->out, "\n");
    }
}

static void write_gpx(writer *w, const samples *all)
{
    mbl_text_print(w->out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" "
                           "creator=\"test\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n"
                           "<trk><trkseg>\n");
    for (size_t i = 0; i < all->n; i++) {
        const sample *s = &all->at[i];
        char stamp[48];
        iso(s->stamp, stamp);
        if (!s->out)
            mbl_text_print(w->out,
                           "<trkpt lat=\"%.7f\" lon=\"%.7f\"><ele>%.1f</ele><time>%s</time>"
                           "</trkpt>\n",
                           drive_latitude(w->session, s->s), drive_longitude(w->session, s->s),
                           height(w, s), stamp);
    }
    mbl_text_print(w->out, "</trkseg></trk>\n</gpx>\n");
}

void drive_log(const drive_session *session, const drive_logger *f, mbl_text *out)
{
    samples all = take(session, f);
    break_laps(session, f, &all);
    if (f->frozen > 0) {
        freeze(&all, 0, f->frozen);
        freeze(&all, all.at[all.n - 1].t - f->frozen, INFINITY);
    }
    restamp(f, &all);
    writer w = {session, f, out, true};
    switch (f->shape) {
    case DRIVE_WIDE:
    case DRIVE_NAMES:
        write_wide(&w, &all);
        break;
    case DRIVE_TALL:
        write_tall(&w, &all);
        break;
    case DRIVE_SECTIONS:
        write_sections(&w, &all);
        break;
    case DRIVE_SPARSE:
        write_sparse(&w, &all);
        break;
    case DRIVE_GPX:
        write_gpx(&w, &all);
        break;
    }
    free(all.at);
}
