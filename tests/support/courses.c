/* SPDX-License-Identifier: MIT */
/* The courses, the car and the stints that tests drive. All are inventions of this project. */
#include "support/drive.h"

const drive_course drive_harrow_vale = {
    .name = "Harrow Vale",
    .corners = 8,
    .corner = {{480, 24.5, 130},
               {60, 28, 200},
               {70, 31.5, 250},
               {60, 33.5, 220},
               {70, 35.5, 210},
               {640, 25, 130},
               {70, 29, 230},
               {60, 32, 290}},
    .run_in = 230,
};

const drive_course drive_long_mead = {
    .name = "Long Mead",
    .corners = 7,
    .corner = {{560, 48, 220},
               {330, 41, 180},
               {260, 52, 260},
               {480, 36, 150},
               {240, 45, 240},
               {520, 39, 190},
               {190, 43, 160}},
    .run_in = 310,
};

const drive_course drive_cold_quay = {
    .name = "Cold Quay",
    .corners = 10,
    .corner = {{310, 14, 30},
               {130, 18, 40},
               {240, 12, 25},
               {90, 20, 45},
               {350, 15, 30},
               {160, 13, 30},
               {210, 17, 35},
               {110, 16, 30},
               {280, 12.5, 28},
               {70, 21, 50}},
    .run_in = 120,
};

const drive_course drive_kestrel_rise = {
    .name = "Kestrel Rise",
    .corners = 8,
    .corner = {{380, 27, 90},
               {210, 34, 130},
               {300, 20, 50},
               {170, 30, 110},
               {460, 25, 70},
               {230, 39, 160},
               {280, 22, 60},
               {140, 31, 100}},
    .run_in = 180,
    .hill = {{14, 1, 0.1}, {6, 3, 0.45}, {2, 7, 0.8}},
};

drive_plan drive_stint(size_t hot, uint64_t seed)
{
    drive_plan plan = {.seed = seed, .laps = hot + 2, .variation = 0.012, .last = 0.93};
    for (size_t i = 0; i < plan.laps; i++)
        plan.pace[i] = 1;
    plan.pace[0] = 0.86;
    plan.pace[hot + 1] = 0.72;
    return plan;
}

drive_car drive_coupe(void)
{
    return (drive_car){
        .body = {.mass = 1420,
                 .rotating = 0.04,
                 .drag_area = 0.72,
                 .rolling = 0.013,
                 .engine_braking = 0.6,
                 .air_density = 1.2},
        .power = 260e3,
        .grip = 5.5,
        .deceleration = 10.3,
    };
}

static double between(uint64_t *random, double lo, double hi)
{
    return lo + (hi - lo) * drive_uniform(random);
}

drive_course drive_any_course(uint64_t seed)
{
    uint64_t random = seed;
    drive_course course = {.name = "any", .corners = 4 + drive_random(&random) % 9};
    double slow = between(&random, 11, 30);
    double fast = slow + between(&random, 6, 25);
    double reach = between(&random, 150, 600);
    for (size_t i = 0; i < course.corners; i++)
        course.corner[i] = (drive_corner){
            .straight = between(&random, 60, reach),
            .speed = between(&random, slow, fast),
            .length = between(&random, 25, 160),
        };
    course.run_in = between(&random, 60, 300);
    return course;
}
