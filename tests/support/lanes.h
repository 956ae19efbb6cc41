/* SPDX-License-Identifier: MIT */
/* Cars side by side in one block, and the state of a lane to the last bit. */
#ifndef MBL_TESTS_LANES_H
#define MBL_TESTS_LANES_H

#include "heat/heat.h"
#include "support/test.h"

enum { LANE_STATE = 1024 };

/* A block of `used` cars in air of 300 K and one atmosphere, by single precision or not. */
static inline mbl_block *lanes_made(const mbl_car cars[], int used, bool single)
{
    mbl_error err = {0};
    mbl_model *models[MBL_LANES_MOST] = {NULL};
    for (int w = 0; w < used; w++) {
        mbl_network net;
        mbl_network_init(&net, &mbl_alloc_libc);
        assert_ok(mbl_corner_build(&net, &cars[w], 300, 101325, NULL, &err), err);
        assert_ok(mbl_model_make(&net, 300, &models[w], &err), err);
        mbl_network_free(&net);
    }
    mbl_block *b = NULL;
    if (single)
        assert_ok(mbl_block_make_single(&mbl_alloc_libc, models, used, &b, &err), err);
    else
        assert_ok(mbl_block_make(&mbl_alloc_libc, models, used, &b, &err), err);
    for (int w = 0; w < used; w++)
        mbl_model_drop(models[w]);
    return b;
}

static inline mbl_block *lanes_of(const mbl_car cars[], int used)
{
    return lanes_made(cars, used, false);
}

/* Every bit that a result could be made of. */
static inline void lane_state(const mbl_block *b, int lane, double out[LANE_STATE])
{
    memset(out, 0, LANE_STATE * sizeof *out);
    assert_true(mbl_block_state_size(b) <= LANE_STATE);
    mbl_block_save(b, lane, out);
}

static inline void lane_same_bits(const double *a, const double *b)
{
    assert_memory_equal(a, b, LANE_STATE * sizeof *a);
}

/* What is worn off both axles of a lane comes off its pads, as at the end of a lap. */
static inline void lane_wear(mbl_block *b, int lane, const mbl_car *car)
{
    mbl_corner_wear(b, lane, 0, &car->front.pad);
    mbl_corner_wear(b, lane, 1, &car->rear.pad);
}

/* One step of dt at one speed and power. */
static inline void lanes_step(mbl_block *b, double dt, double speed, double power)
{
    double time[] = {0, dt};
    double speeds[] = {speed, speed};
    mbl_inputs in = {.time = time, .speed = speeds, .power = &power};
    mbl_block_run(b, &in, 0, 1, NULL);
}

/* Pulls and stops of 9 m/s2 with a car of 1420 kg, and a minute at rest. */
enum { LANE_STEPS = 400 };

static inline const mbl_inputs *lanes_drive(void)
{
    static double time[LANE_STEPS + 1], speed[LANE_STEPS + 1], power[LANE_STEPS];
    static mbl_inputs in = {.time = time, .speed = speed, .power = power};
    for (int k = 0; k <= LANE_STEPS; k++) {
        bool parked = k >= 300;
        int phase = k % 100;
        time[k] = k == 0 ? 0 : time[k - 1] + (parked ? 0.6 : 0.05);
        speed[k] = parked ? 0 : phase < 60 ? 15 + 0.75 * phase : 60 - 1.1 * (phase - 60);
        if (k < LANE_STEPS)
            power[k] = !parked && phase >= 60 ? 1420 * 9.0 * speed[k] : 0;
    }
    return &in;
}

#endif
