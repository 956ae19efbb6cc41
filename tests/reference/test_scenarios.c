/* SPDX-License-Identifier: MIT */
/*
 * Standard scenarios from log to temperature: a speed written as a log, read, made a trace and
 * channels, and driven through the test car's network. The expected figures are those of a rotor
 * as one lump; the bands beside them are what one lump leaves out.
 */
#include "reference/bench.h"
#include "road/road.h"
#include "support/coupe.h"
#include "support/validation.h"

enum { ROOM = 60000, SNUBS = 15 };

static const double ambient = 293.15;
static const double pressure = 101325;

/* 1600 kg and nothing else that slows it, as the published energies have it. */
static const mbl_vehicle bare = {.mass = 1600};

static double kmh(double v)
{
    return v / 3.6;
}

/* ---- from a log to channels ---- */

/* Speed (m/s) and altitude (m) at time t. */
typedef void (*profile)(double t, double *speed, double *altitude);

static const mbl_channels *read_as_log(profile at, double duration)
{
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_text_print(&text, "Time (s),Speed (m/s),Altitude (m)\n");
    for (int i = 0; i <= (int)lround(20 * duration); i++) {
        double v;
        double z;
        at(0.05 * i, &v, &z);
        mbl_text_print(&text, "%.2f,%.6f,%.5f\n", 0.05 * i, v, z);
    }
    mbl_error err = {0};
    mbl_log *log = NULL;
    mbl_trace *trace = NULL;
    assert_ok(mbl_log_parse(&mbl_alloc_libc, "scenario", mbl_text_get(&text), text.length,
                            &(mbl_log_wish){0}, &log, &err),
              err);
    assert_ok(mbl_trace_make(&mbl_alloc_libc, log, &trace, &err), err);
    static double time[ROOM + 1], speed[ROOM + 1], power[ROOM];
    static mbl_channels c;
    c = (mbl_channels){.room = ROOM, .time = time, .speed = speed, .power = power};
    mbl_channels_lap(trace, 0, duration, 1, &bare, 0, &bare, 0.05, &c);
    mbl_trace_drop(trace);
    mbl_log_free(log);
    mbl_text_free(&text);
    return &c;
}

/* ---- the car, and its front rotor as one lump ---- */

/* Friction that does not change: each axle's share of the heat is fixed. */
static mbl_car steady_car(void)
{
    mbl_car car = test_coupe();
    car.front.pad.friction.n = 1;
    car.rear.pad.friction.n = 1;
    return car;
}

/* Share of the car's heat in one front wheel. */
static double front_wheel(const mbl_car *car)
{
    double front = mbl_axle_gain(&car->front, car->tyre.radius) * car->front.pad.friction.y[0];
    double rear = mbl_axle_gain(&car->rear, car->tyre.radius) * car->rear.pad.friction.y[0];
    return 0.5 * front / (front + rear);
}

static mbl_block *start(const mbl_car *car)
{
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    assert_int_equal(mbl_corner_build(&net, car, ambient, pressure, NULL, NULL), MBL_OK);
    return bench_block(&net, ambient);
}

/* Temperature of the front ring if its heat were spread evenly, K. */
static double ring_mean(const mbl_block *b)
{
    double heat = 0;
    double mass = 0;
    for (int i = MBL_FACE; i <= MBL_CORE; i++) {
        heat += b->H[i];
        mass += b->model[0]->node[i].scale;
    }
    double T = 300;
    for (int i = 0; i < 20; i++)
        T += (heat / mass - mbl_iron_enthalpy(T)) / mbl_iron_specific_heat(T);
    return T;
}

/* Loss of the front rotor at one temperature, W; of the ring alone, less what the pads cover,
 * when `ring_alone`. */
static double rotor_loss(const mbl_car *car, double speed, double T, bool ring_alone)
{
    const mbl_brake *b = &car->front;
    mbl_ring ring = mbl_ring_of(&b->rotor);
    mbl_surroundings at = {.brake = b,
                           .tyre_radius = car->tyre.radius,
                           .ambient = ambient,
                           .p = pressure,
                           .vanes = ring.channels};
    mbl_rotor_cooling c = mbl_rotor_cools(&at, speed, T);
    if (!ring_alone)
        return c.watts;
    double black = MBL_STEFAN_BOLTZMANN * (T * T + ambient * ambient) * (T + ambient);
    double covered = 2 * b->pad.area * (c.faces + b->rotor.face_emissivity * black);
    double hat = mbl_rotor_areas_of(&b->rotor, &ring).hat *
                 (mbl_surface_film(&at, MBL_SURFACE_RIM, speed, T) + b->rotor.emissivity * black);
    return c.watts - (covered + hat) * (T - ambient);
}

/* ---- the fade test ---- */

static const double brake_for = 100 / 3.6 / 3 * 0.6; /* s, 120 to 60 km/h at 3 m/s2 */
static const double cycle = 45;

/* Directive 71/320/EEC, annex II 1.3.1, M1: 120 to 60 km/h each 45 s, steady at 120 before. */
static void fade_profile(double t, double *speed, double *altitude)
{
    *altitude = 100;
    double u = t - 10 - cycle * floor((t - 10) / cycle);
    double back = kmh(60) / 2; /* s, at 2 m/s2 */
    if (t < 10 || u > brake_for + back)
        *speed = kmh(120);
    else if (u < brake_for)
        *speed = kmh(120) - 3 * u;
    else
        *speed = kmh(60) + 2 * (u - brake_for);
}

typedef struct snub {
    double before, after, energy;
} snub;

static void drive_fade(const mbl_car *car, const mbl_channels *c, snub snubs[SNUBS])
{
    mbl_block *b = start(car);
    mbl_inputs in = {.time = c->time, .speed = c->speed, .power = c->power};
    size_t done = 0;
    for (int n = 0; n < SNUBS; n++) {
        size_t from = (size_t)lround((10 + cycle * n) / 0.05) - 1;
        size_t to = (size_t)lround((10 + cycle * n + brake_for) / 0.05) + 1;
        mbl_block_run(b, &in, done, from, NULL);
        snubs[n].before = ring_mean(b);
        snubs[n].energy = 0;
        for (size_t k = from; k < to; k++)
            snubs[n].energy += c->power[k] * (c->time[k + 1] - c->time[k]);
        mbl_block_run(b, &in, from, to, NULL);
        snubs[n].after = ring_mean(b);
        done = to;
    }
    mbl_block_free(b);
}

/* How straight a line the net rise is over the temperature a snub begins at. */
static double correlation(const snub *s, int n)
{
    double x = 0, y = 0, xx = 0, yy = 0, xy = 0;
    for (int i = 0; i < n; i++) {
        double rise = s[i + 1].before - s[i].before;
        x += s[i].before / n;
        y += rise / n;
        xx += s[i].before * s[i].before / n;
        yy += rise * rise / n;
        xy += s[i].before * rise / n;
    }
    return (xy - x * y) / sqrt((xx - x * x) * (yy - y * y));
}

static void a_fade_test_climbs_by_the_lump_and_ever_more_slowly(void **state)
{
    (void)state;
    mbl_car car = steady_car();
    const mbl_channels *c = read_as_log(fade_profile, 10 + cycle * SNUBS);
    validate("fade test, 15 snubs 120 to 60 km/h, 1600 kg: energy from the log, J",
             "directive 71/320/EEC II 1.3.1; m v^2/2, computed", 1.0e7, c->energy, 1e4);
    snub s[SNUBS];
    drive_fade(&car, c, s);
    double share = front_wheel(&car);
    double mass = car.front.rotor.ring_mass;
    double least = INFINITY;
    double most = 0;
    for (int i = 0; i < SNUBS; i++) {
        double capacity = mass * mbl_iron_specific_heat(0.5 * (s[i].before + s[i].after));
        double lump = s[i].energy * share / capacity;
        double ratio = (s[i].after - s[i].before) / lump;
        printf("snub %2d: %.1f to %.1f C, %.1f K of the lump's %.1f (%.3f)\n", i + 1,
               celsius(s[i].before), celsius(s[i].after), s[i].after - s[i].before, lump, ratio);
        least = fmin(least, ratio);
        most = fmax(most, ratio);
        assert_close(s[i].energy, 6.667e5, 0.005);
        /* after the first, each adds less to the temperature the next begins at */
        if (i >= 2)
            assert_true(s[i].before - s[i - 1].before < s[i - 1].before - s[i - 2].before);
    }
    /* the lump keeps all heat; 0.90 to 0.97 of it is the usual share of a rotor, and what it
     * loses within the snub comes off, the more the hotter it is */
    static const char source[] = "energy over capacity; a rotor keeps 0.90 to 0.97 less losses "
                                 "(from memory)";
    validate_between("fade test, least rise of a snub over that of a lossless lump", source, 0.80,
                     1.0, least);
    validate_between("fade test, greatest rise of a snub over that of a lossless lump", source,
                     0.90, 1.0, most);
    validate_between("fade test, net rise over the temperature a snub begins at: correlation",
                     "SAE 970785, abstract: linear, and falling", -1, -0.97,
                     correlation(s + 1, SNUBS - 2));
}

/* ---- the long descent ---- */

/* 6 km of 6 % at 30 km/h. Altitude falls by speed times sine. */
static void descent_profile(double t, double *speed, double *altitude)
{
    *speed = kmh(30);
    *altitude = 500 - kmh(30) * t * 0.06 / sqrt(1 + 0.06 * 0.06);
}

/* One lump under constant heat, to `until`; loss of the ring or of the whole rotor, K. */
static double lump_after(const mbl_car *car, double heat, double until, double more_capacity,
                         double more_loss, bool ring_alone)
{
    double mass = car->front.rotor.ring_mass;
    double T = ambient;
    for (int i = 0; i < 10000; i++) {
        double capacity = mass * mbl_iron_specific_heat(T) + more_capacity;
        double loss = rotor_loss(car, kmh(30), T, ring_alone) + more_loss * (T - ambient);
        T += until / 10000 * (heat - loss) / capacity;
    }
    return T;
}

static void a_long_descent_ends_between_the_lumps(void **state)
{
    (void)state;
    mbl_car car = steady_car();
    const mbl_channels *c = read_as_log(descent_profile, 720);
    validate("descent of 6 km at 6 %, 1600 kg: energy from the log, J", "m g h, computed", 5.638e6,
             c->energy, 0.005 * 5.638e6);
    validate("descent at 30 km/h: mean power, W", "m g sin, computed", 7831, c->energy / 720,
             0.005 * 7831);
    mbl_block *b = start(&car);
    mbl_inputs in = {.time = c->time, .speed = c->speed, .power = c->power};
    mbl_block_run(b, &in, 0, c->n, NULL);
    double core = b->T[MBL_CORE];
    double heat = front_wheel(&car) * c->energy / 720;
    /* hottest: nothing but the ring takes or loses heat, and under the pads it loses none;
     * coolest: ring, hat, pads, plates and half of a caliper are one lump, all of it cooled */
    double hot = lump_after(&car, heat, 720, 0, 0, true);
    double hat = car.front.rotor.hat_mass * 930;
    double cool = lump_after(&car, heat, 720, hat + 700 + 0.5 * 3.4 * 930, 2.0, false);
    printf("descent: core %.1f C, lumps %.1f to %.1f C; mean of the ring %.1f C\n", celsius(core),
           celsius(cool), celsius(hot), celsius(ring_mean(b)));
    validate_between("descent of 6 km at 6 %: front core in the end over the warmest lump's rise",
                     "ring alone as a lump, computed", 0, 1, (core - ambient) / (hot - ambient));
    validate_between("descent of 6 km at 6 %: front core in the end over the coolest lump's rise",
                     "ring, hat, pads and half a caliper as a lump, computed", 1, INFINITY,
                     (core - ambient) / (cool - ambient));
    mbl_block_free(b);
}

/* ---- steady drag ---- */

/* Temperature at which the ring alone, or the whole rotor, loses `heat`, K. */
static double settled(const mbl_car *car, double speed, double heat, bool ring_alone)
{
    double low = ambient;
    double high = 1400;
    for (int i = 0; i < 60; i++) {
        double T = 0.5 * (low + high);
        if (rotor_loss(car, speed, T, ring_alone) > heat)
            high = T;
        else
            low = T;
    }
    return low;
}

static void drag_at(double speed, double power)
{
    mbl_car car = steady_car();
    mbl_block *b = start(&car);
    double before = 0;
    double rate = INFINITY;
    for (int i = 0; i < 7200; i++) {
        double time[] = {0, 1};
        double v[] = {speed, speed};
        mbl_inputs in = {.time = time, .speed = v, .power = &power};
        mbl_block_run(b, &in, 0, 1, NULL);
        /* towards the end it closes in on a level: never faster than the minute before */
        if (i % 60 == 59) {
            double now = ring_mean(b);
            if (i > 60 && before > 0)
                assert_true(now - before <= rate + 1e-9);
            rate = i > 60 ? now - before : INFINITY;
            before = now;
        }
    }
    assert_true(fabs(rate) < 0.01);
    double heat = front_wheel(&car) * power;
    double got = ring_mean(b);
    double hot = settled(&car, speed, heat, true);
    double cool = settled(&car, speed, heat, false);
    printf("drag at %g m/s, %g W: ring %.1f C, lumps %.1f to %.1f C\n", speed, power, celsius(got),
           celsius(cool), celsius(hot));
    char what[128];
    snprintf(what, sizeof what, "drag of %g kW at %.1f m/s for 2 h: front ring, 0 cool, 1 hot lump",
             power / 1e3, speed);
    /* hot: the ring loses all of it, and nothing under the pads; cool: the whole rotor does, bare
     * and at one temperature. Between them lie a hat that is cooler and pads that take a share. */
    validate_between(what, "loss of ring and of rotor as one lump equals the heat, computed", 0, 1,
                     (got - cool) / (hot - cool));
    double lost = 0;
    for (int p = 0; p < b->model[0]->npaths; p++)
        lost += b->lost[p];
    assert_true(lost < b->heat[0] && lost > 0.9 * b->heat[0]);
    mbl_block_free(b);
}

static void a_steady_drag_settles_near_the_lump(void **state)
{
    (void)state;
    drag_at(kmh(40), 8e3);
    drag_at(kmh(80), 20e3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_fade_test_climbs_by_the_lump_and_ever_more_slowly),
        cmocka_unit_test(a_long_descent_ends_between_the_lumps),
        cmocka_unit_test(a_steady_drag_settles_near_the_lump),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
