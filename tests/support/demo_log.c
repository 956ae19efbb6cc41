/* SPDX-License-Identifier: MIT */
#include "support/demo_log.h"

void demo_log(drive_session *session, mbl_text *text)
{
    drive_car car = drive_coupe();
    drive_plan plan = drive_stint(13, 20);
    drive_run(&drive_harrow_vale, &car, &plan, session);

    drive_format format = {.rate = 20,
                           .noise = 0.03,
                           .step = 0.01,
                           .unit = "km/h",
                           .decimals = 2,
                           .lap = true,
                           .distance = true,
                           .seed = 20};
    mbl_text_init(text, &mbl_alloc_libc);
    drive_write(session, &format, text);
}
