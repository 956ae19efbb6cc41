/* SPDX-License-Identifier: MIT */
#include "host/wish.h"

#include "road/names.h"

#include <math.h>
#include <string.h>

/* A lap is a number and a throttle is used as logged: neither has a unit to give. */
static bool has_unit(int role)
{
    return role != MBL_LOG_LAP && role != MBL_LOG_THROTTLE;
}

void mbl_wish_of_course(const mbl_course *course, mbl_log_wish *wish)
{
    *wish = (mbl_log_wish){.column = {[MBL_LOG_TIME] = course->time,
                                      [MBL_LOG_SPEED] = course->speed,
                                      [MBL_LOG_LAP] = course->lap,
                                      [MBL_LOG_DISTANCE] = course->distance,
                                      [MBL_LOG_ALTITUDE] = course->altitude,
                                      [MBL_LOG_PRESSURE_FRONT] = course->pressure_front,
                                      [MBL_LOG_PRESSURE_REAR] = course->pressure_rear,
                                      [MBL_LOG_LATERAL] = course->lateral,
                                      [MBL_LOG_YAW_RATE] = course->yaw_rate,
                                      [MBL_LOG_LATITUDE] = course->latitude,
                                      [MBL_LOG_LONGITUDE] = course->longitude},
                           .unit = {[MBL_LOG_TIME] = course->time_unit,
                                    [MBL_LOG_SPEED] = course->speed_unit,
                                    [MBL_LOG_DISTANCE] = course->distance_unit,
                                    [MBL_LOG_ALTITUDE] = course->altitude_unit,
                                    [MBL_LOG_PRESSURE_FRONT] = course->pressure_front_unit,
                                    [MBL_LOG_PRESSURE_REAR] = course->pressure_rear_unit,
                                    [MBL_LOG_LATERAL] = course->lateral_unit,
                                    [MBL_LOG_YAW_RATE] = course->yaw_rate_unit,
                                    [MBL_LOG_LATITUDE] = course->latitude_unit,
                                    [MBL_LOG_LONGITUDE] = course->longitude_unit},
                           .start_line = course->start_line.n == 2,
                           .start_latitude = course->start_line.v[0],
                           .start_longitude = course->start_line.v[1]};
}

static mbl_status read_start(const char *value, mbl_log_wish *wish, mbl_error *err)
{
    const char *comma = strchr(value, ',');
    double latitude = NAN;
    double longitude = NAN;
    bool good = comma != NULL && mbl_number_read(value, (size_t)(comma - value), &latitude) &&
                mbl_number_read(comma + 1, strlen(comma + 1), &longitude) && fabs(latitude) <= 90 &&
                fabs(longitude) <= 180;
    if (!good)
        return mbl_fail(err, MBL_INPUT,
                        "start=%.60s: a start line is a latitude and a longitude in degrees, as "
                        "start=12.5012,-34.2488",
                        value);
    wish->start_line = true;
    wish->start_latitude = latitude;
    wish->start_longitude = longitude;
    return MBL_OK;
}

/* The nearest of all names that a word can begin with. */
static const char *nearest(const char *name, char meant[32])
{
    char known[2 * MBL_LOG_ROLES + 1][32];
    const char *names[2 * MBL_LOG_ROLES + 1];
    size_t n = 0;
    snprintf(known[n++], sizeof known[0], "start");
    for (int role = 0; role < MBL_LOG_ROLES; role++) {
        char key[32];
        mbl_names_key((mbl_log_role)role, key);
        snprintf(known[n++], sizeof known[0], "%.25s", key);
        if (has_unit(role))
            snprintf(known[n++], sizeof known[0], "%.25s_unit", key);
    }
    for (size_t i = 0; i < n; i++)
        names[i] = known[i];
    const char *near = mbl_nearest(name, names, n);
    if (near == NULL)
        return NULL;
    snprintf(meant, 32, "%s", near);
    return meant;
}

mbl_status mbl_wish_word(const char *word, mbl_log_wish *wish, mbl_error *err)
{
    const char *value = strchr(word, '=');
    char name[32] = "";
    char meant[32];
    if (value == NULL || value == word)
        return mbl_fail(err, MBL_INPUT, "after the file come wishes as name=value, not \"%.60s\"",
                        word);
    size_t n = (size_t)(value - word);
    snprintf(name, sizeof name, "%.*s", (int)(n < 31 ? n : 31), word);
    value++;
    if (*value == '\0')
        return mbl_fail(err, MBL_INPUT, "%s= needs a value", name);
    if (strcmp(name, "start") == 0)
        return read_start(value, wish, err);
    for (int role = 0; role < MBL_LOG_ROLES; role++) {
        char key[32];
        mbl_names_key((mbl_log_role)role, key);
        size_t k = strlen(key);
        if (strcmp(name, key) == 0) {
            wish->column[role] = value;
            return MBL_OK;
        }
        if (has_unit(role) && strncmp(name, key, k) == 0 && strcmp(name + k, "_unit") == 0) {
            wish->unit[role] = value;
            return MBL_OK;
        }
    }
    const char *near = nearest(name, meant);
    if (near != NULL)
        return mbl_fail(err, MBL_INPUT, "a log has no \"%s\"; did you mean \"%s\"?", name, near);
    return mbl_fail(err, MBL_INPUT,
                    "a log has no \"%s\"; a wish names a column (time=, speed=, lap= ...), its "
                    "unit (speed_unit= ...) or the start line (start=LAT,LON)",
                    name);
}

mbl_status mbl_wish_read(const mbl_alloc *alloc, const char *path, const mbl_log_wish *wish,
                         mbl_log **out, mbl_error *err)
{
    mbl_log *log = NULL;
    MBL_TRY(mbl_log_read(alloc, path, wish, &log, err));
    if (wish->start_line && (log->latitude == NULL || log->longitude == NULL)) {
        mbl_log_free(log);
        mbl_status status =
            mbl_fail(err, MBL_INPUT,
                     "a start line is given, but the log has no positions: name them with "
                     "latitude and longitude, or leave the start line out");
        mbl_error_at(err, path, 0, 0);
        return status;
    }
    *out = log;
    return MBL_OK;
}
