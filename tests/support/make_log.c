/* SPDX-License-Identifier: MIT */
/*
 * make_log OUTFILE writes the demo session: Harrow Vale, out-lap, thirteen hot laps, in-lap, as
 * a 20 Hz logger would, and prints the braking energy the drive truly had.
 */
#include "support/demo_log.h"

#include <stdio.h>
#include <stdlib.h>

int main(int argc, char **argv)
{
    if (argc != 2) {
        fprintf(stderr, "usage: make_log OUTFILE\n");
        return 2;
    }
    drive_session session;
    mbl_text text;
    demo_log(&session, &text);
    mbl_file file;
    mbl_error err = {0};
    if (text.failed || mbl_file_begin(&file, argv[1], &err) != MBL_OK) {
        fprintf(stderr, "make_log: %s\n", text.failed ? "out of memory" : err.text);
        return 1;
    }
    fwrite(mbl_text_get(&text), 1, text.length, file.stream);
    if (mbl_file_commit(&file, &err) != MBL_OK) {
        fprintf(stderr, "make_log: %s\n", err.text);
        return 1;
    }

    double mass = drive_coupe().body.mass;
    for (size_t lap = 0; lap < session.laps; lap++)
        printf("lap %2zu  %7.3f s  braking %9.1f kJ  %5.3f kJ/kg  on the brakes %4.1f %%\n", lap,
               session.lap_time[lap], session.energy[lap] / 1e3,
               session.energy[lap] / 1e3 / mass,
               100 * session.braking_time[lap] / session.lap_time[lap]);
    printf("total braking %.6e J\n", session.total);
    mbl_text_free(&text);
    drive_free(&session);
    return 0;
}
