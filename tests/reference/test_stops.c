/* SPDX-License-Identifier: MIT */
/* Stops: what they put in, how it divides between rotor and pad, what presses the pads. */
#include "reference/bench.h"
#include "road/road.h"
#include "support/coupe.h"
#include "support/validation.h"

/* 1600 kg and nothing else that slows it. */
static const mbl_vehicle bare = {.mass = 1600};

static double kmh(double v)
{
    return v / 3.6;
}

/* Energy of a stop at 3 m/s2 by the channels that a stint is driven with, J. */
static double stop_energy(double speed, double *duration)
{
    enum { ROOM = 1000 };
    static double time[ROOM + 1], v[ROOM + 1], power[ROOM];
    mbl_channels c = {.room = ROOM, .time = time, .speed = v, .power = power};
    mbl_channels_stop(speed, 3, &bare, 0.05, &c);
    *duration = c.time[c.n];
    return c.energy;
}

static void a_stop_has_the_energy_of_the_car(void **state)
{
    (void)state;
    double from_120;
    double from_60;
    double from_100;
    double stop = stop_energy(kmh(100), &from_100);
    validate("1600 kg from 100 km/h to rest: energy, J", "m v^2/2, computed", 6.173e5, stop, 60);
    validate("of it to a front rotor (70 % in front, 0.95 to the rotor), J", "shares, computed",
             2.052e5, stop * 0.70 / 2 * 0.95, 60);
    double snub = stop_energy(kmh(120), &from_120) - stop_energy(kmh(60), &from_60);
    static const char fade[] = "Type-I test, directive 71/320/EEC II 1.3.1; m v^2/2, computed";
    validate("1600 kg, snub 120 to 60 km/h: energy, J", fade, 6.667e5, snub, 60);
    validate("the same at 3 m/s2: duration, s", fade, 5.556, from_120 - from_60, 6e-4);
    validate("15 of them each 45 s: mean power, W", fade, 14810, snub / 45, 10);
    validate("the same to a front rotor (72 % in front, 0.95 to the rotor), J", fade, 2.280e5,
             snub * 0.72 / 2 * 0.95, 30);
}

/* A road of 6 %: sine 0.05989. Force against the motion, times speed. */
static void a_descent_takes_its_power(void **state)
{
    (void)state;
    double v = kmh(30);
    validate("1600 kg down 6 % at 30 km/h without drag: power, W", "m g sin, computed", 7831,
             -mbl_vehicle_coast(&bare, v, -sin(atan(0.06))) * bare.mass * v, 1);
}

/* ---- an example from a textbook, as remembered ---- */

/*
 * Shigley's caliper brake: 24 stops an hour from 250 rev/min, 289 lbf in s2 on a steel disc of 6 in
 * by 1/4 in. Heat in Btu, temperature in F, so a node's capacity is in Btu/F; a linear network does
 * not mind.
 */
static void run_shigley(double film, double *before, double *after)
{
    double C = M_PI / 4 * 36 * 0.25 * 0.282 * 0.108;
    double omega = 250 * M_PI / 30;
    double heat = 0.5 * 289 * omega * omega / (778.2 * 12); /* lbf in to Btu */
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    int disc = mbl_network_node(&net, "disc", C);
    mbl_network_source(&net, disc);
    mbl_network_lose(&net, disc, film * 50, mbl_network_path(&net, "air"));
    mbl_block *b = bench_block(&net, 70);
    const double instant = 1e-6;
    double power = heat / instant;
    for (int i = 0; i < 60; i++) {
        *before = b->T[disc];
        bench_run(b, instant, 1, &power);
        *after = b->T[disc];
        bench_run(b, 0.25, 600, NULL);
    }
    mbl_block_free(b);
}

static void the_textbooks_caliper_brake_settles_where_it_says(void **state)
{
    (void)state;
    static const char first[] =
        "Shigley, caliper brake example, inputs from memory; first pass computed";
    static const char book[] =
        "Shigley, caliper brake example, answer as remembered; film implied by it, computed";
    double low;
    double high;
    run_shigley(12.6e-6, &low, &high);
    validate("Shigley, first pass: disc before a stop, F", first, 159.4, low, 0.1);
    validate("Shigley, first pass: disc after a stop, F", first, 208.7, high, 0.1);
    run_shigley(1.141e-5, &low, &high);
    validate("Shigley, converged: disc before a stop, F (remembered)", book, 171, low, 1);
    validate("Shigley, converged: disc after a stop, F (remembered)", book, 220, high, 1);
}

/* ---- pressure and torque ---- */

static void pressure_makes_clamp_torque_and_force(void **state)
{
    (void)state;
    static const char source[] = "statics, computed";
    mbl_brake b = {.effective_radius = 0.125};
    b.caliper.pistons = (mbl_numbers){2, {0.038, 0.038}};
    b.pad.friction = (mbl_curve){.n = 1, .x = {293.15}, .y = {0.42}};
    double p = 6.031e6; /* 400 N, ratio 4.5, 0.95, into 19 mm */
    double area = mbl_caliper_area(&b.caliper);
    double mu = mbl_friction_at(&b.pad, 500, 20, p);
    validate("opposed 4 x 38 mm: area of one side, m2", source, 2.268e-3, area, 1e-6);
    validate("the same at 6.031 MPa: clamp of one side, N", source, 1.368e4, p * area, 5);
    validate("the same, friction 0.42 at 125 mm: torque of one rotor, Nm", source, 1436,
             2 * mu * p * area * mbl_effective_radius(&b), 1);
    validate("the same, tyre 310 mm: force of both fronts, N", source, 9267,
             mbl_axle_gain(&b, 0.31) * mu * p, 2);
}

/* ---- rotor and pad ---- */

/* Share of a stop's heat that stays in rotor, hat and hub of the front, 4 s from 60 kW a wheel. */
static double share_of_rotor(double k, double density, double specific_heat)
{
    mbl_car car = test_coupe();
    car.front.pad.conductivity = k;
    car.front.pad.density = density;
    car.front.pad.specific_heat = specific_heat;
    /* rear brakes that take next to nothing, so that the front's heat is known */
    car.rear.caliper.pistons = (mbl_numbers){1, {1e-4}};
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    assert_int_equal(mbl_corner_build(&net, &car, 293.15, 101325, NULL, NULL), MBL_OK);
    mbl_block *b = bench_block(&net, 293.15);
    double before[MBL_CORNER_NODES];
    memcpy(before, b->H, sizeof before);
    enum { STEPS = 160 };
    double time[STEPS + 1];
    double speed[STEPS + 1];
    double power[STEPS];
    for (int i = 0; i <= STEPS; i++) {
        time[i] = 4.0 * i / STEPS;
        speed[i] = 50 * (1 - 0.75 * i / STEPS);
        if (i > 0)
            power[i - 1] = 240e3 * (1 - 0.75 * (i - 0.5) / STEPS);
    }
    mbl_inputs in = {.time = time, .speed = speed, .power = power};
    mbl_block_run(b, &in, 0, STEPS, NULL);
    double in_rotor = 0;
    double in_all = 0;
    for (int i = 0; i < MBL_CORNER_NODES; i++) {
        in_all += b->H[i] - before[i];
        in_rotor += i <= MBL_HUB ? b->H[i] - before[i] : 0;
    }
    mbl_block_free(b);
    return in_rotor / in_all;
}

/*
 * The effusivity formulas (Charron 1943; area weighted) are for bodies that touch perfectly; the
 * engine has a contact layer and layers of finite depth, and the pads never leave the heat that the
 * turning ring is swept away from. The two formulas are a band; that the rotor's share falls as
 * the pad conducts better is held strictly.
 */
static void heat_divides_near_the_effusivity_formula(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        double k, density, specific_heat, equal;
    } pads[] = {{"organic", 0.9, 2200, 1100, 0.9009},
                {"low-metallic", 1.5, 2500, 1000, 0.8739},
                {"semi-metallic", 3.0, 2700, 900, 0.8325},
                {"sintered", 12, 5500, 480, 0.7045}};
    mbl_car car = test_coupe();
    double ratio = mbl_ring_of(&car.front.rotor).area / car.front.pad.area;
    const double disc = sqrt(50.0 * 7200 * 500);
    double before = 1;
    for (int i = 0; i < 4; i++) {
        double pad = sqrt(pads[i].k * pads[i].density * pads[i].specific_heat);
        double equal = disc / (disc + pad);
        double weighted = disc * ratio / (disc * ratio + pad);
        assert_near(equal, pads[i].equal, 6e-5);
        double got = share_of_rotor(pads[i].k, pads[i].density, pads[i].specific_heat);
        printf("%s: area-weighted %.4f, engine %.4f\n", pads[i].name, weighted, got);
        char what[96];
        snprintf(what, sizeof what, "share of a stop's heat in the rotor, %s pad", pads[i].name);
        validate_between(what,
                         "Charron 1943, from memory, computed: from equal areas to area-weighted, "
                         "0.01 beyond",
                         equal, weighted + 0.01, got);
        assert_true(got < before && got > 0 && got < 1);
        before = got;
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_stop_has_the_energy_of_the_car),
        cmocka_unit_test(a_descent_takes_its_power),
        cmocka_unit_test(the_textbooks_caliper_brake_settles_where_it_says),
        cmocka_unit_test(pressure_makes_clamp_torque_and_force),
        cmocka_unit_test(heat_divides_near_the_effusivity_formula),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
