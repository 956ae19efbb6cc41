/* SPDX-License-Identifier: MIT */
/* What is driven and judged: course, stint, limits, and the case they make with a car. */
#include "parts/rows.h"

/* ---- course ---- */

#define T mbl_course
static const mbl_field driver_fields[] = {
    NUMBER("corner", driver.corner, MBL_OPTIONAL, SHARE, 0.3, 1, NAN,
           "share of the sideways grip that is used; 95 % when not given", COMMON_PRACTICE),
    NUMBER("brake", driver.brake, MBL_OPTIONAL, SHARE, 0.3, 1, NAN,
           "share of the deceleration that tyres or brakes would give; 90 % when not given",
           COMMON_PRACTICE),
    NUMBER("power", driver.power, MBL_OPTIONAL, SHARE, 0.1, 1, NAN,
           "share of the acceleration that is used; all of it when not given", ""),
    NUMBER("early", driver.early, MBL_OPTIONAL, LENGTH, 0, 200, NAN,
           "distance by which braking begins before the last place for it; none when not given",
           ""),
};
static const mbl_schema driver_schema = {.name = "driver",
                                         .about = "What the driver of a layout uses of the car.",
                                         .size = sizeof(mbl_course),
                                         .fields = driver_fields,
                                         .nfields = COUNT_OF(driver_fields),
                                         .present = -1};

static const mbl_field course_fields[] = {
    TEXT("file", file, MBL_REQUIRED,
         "the logger's file, CSV or GPX, or a layout, YAML, beside the script or below the root"),
    TEXT("time", time, MBL_OPTIONAL, "name of the time column; guessed when not given"),
    TEXT("speed", speed, MBL_OPTIONAL, "name of the speed column; guessed when not given"),
    TEXT("lap", lap, MBL_OPTIONAL, "name of the lap number column; guessed when not given"),
    TEXT("distance", distance, MBL_OPTIONAL,
         "name of the distance column; guessed when not given; gives the speed where there is no "
         "other"),
    TEXT("altitude", altitude, MBL_OPTIONAL,
         "name of the altitude column; guessed when not given; gives the grade"),
    TEXT("pressure_front", pressure_front, MBL_OPTIONAL,
         "name of the column of front line pressure; guessed when not given; says when the brakes "
         "are on and how hard, where it explains the braking"),
    TEXT("pressure_rear", pressure_rear, MBL_OPTIONAL,
         "name of the column of rear line pressure; guessed when not given"),
    TEXT("latitude", latitude, MBL_OPTIONAL,
         "name of the latitude column; guessed when not given; with longitude gives the speed "
         "where there is no other, and laps for start_line"),
    TEXT("longitude", longitude, MBL_OPTIONAL,
         "name of the longitude column; guessed when not given"),
    TEXT("lateral", lateral, MBL_OPTIONAL,
         "name of the column of lateral acceleration; guessed when not given; tells how the "
         "course turns where neither positions nor yaw rate do"),
    TEXT("yaw_rate", yaw_rate, MBL_OPTIONAL,
         "name of the column of yaw rate; guessed when not given; tells how the course turns "
         "where there are no positions"),
    TEXT("time_unit", time_unit, MBL_OPTIONAL, "unit of time, whatever the file says"),
    TEXT("speed_unit", speed_unit, MBL_OPTIONAL, "unit of speed, whatever the file says"),
    TEXT("distance_unit", distance_unit, MBL_OPTIONAL, "unit of distance, whatever the file says"),
    TEXT("altitude_unit", altitude_unit, MBL_OPTIONAL, "unit of altitude, whatever the file says"),
    TEXT("pressure_front_unit", pressure_front_unit, MBL_OPTIONAL,
         "unit of front line pressure, whatever the file says"),
    TEXT("pressure_rear_unit", pressure_rear_unit, MBL_OPTIONAL,
         "unit of rear line pressure, whatever the file says"),
    TEXT("latitude_unit", latitude_unit, MBL_OPTIONAL,
         "unit of latitude, deg or min (of arc), whatever the file says"),
    TEXT("longitude_unit", longitude_unit, MBL_OPTIONAL,
         "unit of longitude, deg or min (of arc), whatever the file says"),
    TEXT("lateral_unit", lateral_unit, MBL_OPTIONAL,
         "unit of lateral acceleration, g or m/s2, whatever the file says"),
    TEXT("yaw_rate_unit", yaw_rate_unit, MBL_OPTIONAL,
         "unit of yaw rate, deg/s or rad/s, whatever the file says"),
    {.key = "start_line",
     .kind = MBL_FIELD_NUMBERS,
     .need = MBL_OPTIONAL,
     .offset = AT(T, start_line),
     .quantity = MBL_Q_COUNT,
     .lo = -180,
     .hi = 180,
     .least = 2,
     .most = 2,
     .about = "where laps begin: latitude and longitude in degrees, north and east positive: "
              "{ 12.5012, -34.2488 }",
     .source = ""},
    COUNT("hot_lap", hot_lap, MBL_DEFAULT, 0, 100000, 0,
          "number of the logged lap that is repeated; 0 for the hot lap of median time", ""),
    PART("of", of, MBL_OPTIONAL, &mbl_car_schema,
         "the car that made the log: decides where its brakes were on; the car of the run when "
         "not given"),
    INLINE("driver", MBL_DEFAULT, &driver_schema,
           "of a layout: what the driver uses of the car; a log has its own driver in it"),
    {.key = "layout",
     .kind = MBL_FIELD_HANDLE,
     .need = MBL_OPTIONAL,
     .offset = AT(T, layout),
     .about = "",
     .source = ""},
    {.key = "trace",
     .kind = MBL_FIELD_HANDLE,
     .need = MBL_OPTIONAL,
     .offset = AT(T, trace),
     .about = "",
     .source = ""},
};
#undef T

static mbl_status course_rules(const void *filled, mbl_error *err)
{
    const mbl_course *c = filled;
    if (c->start_line.n > 0 && fabs(c->start_line.v[0]) > 90)
        return mbl_rule_broken(err, "start_line[1]", "a latitude lies between -90 and 90 degrees");
    return MBL_OK;
}

SCHEMA(mbl_course_schema, "trace", mbl_course, course_fields, course_rules,
       "A course as one logged drive of it.");

/* ---- stint ---- */

static const char *const phase_words[] = {"out", "hot",  "traffic", "cool",
                                          "in",  "park", "logged",  NULL};
static const char *const judges[] = {"lesser", "present", NULL};

const char *mbl_phase_word(mbl_phase_kind kind)
{
    return phase_words[kind];
}

#define T mbl_phase
static const mbl_field phase_fields[] = {
    CHOICE(NULL, kind, MBL_REQUIRED, phase_words, 0, "what is driven", ""),
    COUNT("laps", laps, MBL_DEFAULT, 1, 500, 1, "how many laps of it", ""),
    NUMBER("time", time, MBL_OPTIONAL, TIME, 1, 86400, NAN, "how long, for park", ""),
    NUMBER("pace", pace, MBL_INFERRED, SHARE, 0.2, 1.2, NAN,
           "speed over that of the lap repeated; that of its kind when not given", ""),
};
#undef T

static mbl_status phase_rules(const void *filled, mbl_error *err)
{
    const mbl_phase *p = filled;
    bool park = p->kind == MBL_PHASE_PARK;
    if (park && isnan(p->time))
        return mbl_rule_broken(err, "time", "missing: how long the car is parked, as \"10 min\"");
    if (!park && !isnan(p->time))
        return mbl_rule_broken(err, "time", "only { \"park\" } has a time; laps have laps");
    if (park && p->laps != 1)
        return mbl_rule_broken(err, "laps", "a parked car drives no laps");
    if ((park || p->kind == MBL_PHASE_LOGGED) && !isnan(p->pace))
        return mbl_rule_broken(err, "pace", "only laps that are repeated have a pace");
    if (p->kind == MBL_PHASE_LOGGED && p->laps != 1)
        return mbl_rule_broken(err, "laps", "a logged session has the laps it has");
    return MBL_OK;
}

SCHEMA(mbl_phase_schema, "phase", mbl_phase, phase_fields, phase_rules, "A phase of a stint.");

#define T mbl_stint
static const mbl_field pace_fields[] = {
    NUMBER("out", pace.out, MBL_DEFAULT, SHARE, 0.2, 1.2, 0.7, "out-laps", COMMON_PRACTICE),
    NUMBER("hot", pace.hot, MBL_DEFAULT, SHARE, 0.2, 1.2, 1, "hot laps", ""),
    NUMBER("traffic", pace.traffic, MBL_DEFAULT, SHARE, 0.2, 1.2, 0.78, "laps in traffic",
           "a slow lap takes 35 to 45 % less energy, computed from one public race log"),
    NUMBER("cool", pace.cool, MBL_DEFAULT, SHARE, 0.2, 1.2, 0.6, "cool-down and in-laps",
           COMMON_PRACTICE),
};
static const mbl_schema pace_schema = {
    .name = "pace",
    .about = "Speed over that of the lap repeated; time stretches by its inverse, deceleration "
             "goes with its square.",
    .size = sizeof(mbl_stint),
    .fields = pace_fields,
    .nfields = COUNT_OF(pace_fields),
    .present = -1};

static const mbl_field stint_fields[] = {
    {.key = NULL,
     .kind = MBL_FIELD_ITEMS,
     .need = MBL_OPTIONAL,
     .offset = AT(T, phases),
     .least = 1,
     .most = MBL_ITEMS_MAX,
     .sub = &mbl_phase_schema,
     .about = "the phases in order: { \"out\" }, { \"hot\", laps = 5 }, { \"park\", time = "
              "\"10 min\" }",
     .source = ""},
    COUNT("out", out, MBL_DEFAULT, 0, 20, 0, "out-laps", ""),
    COUNT("hot", hot, MBL_DEFAULT, 0, 1000, 0, "hot laps", ""),
    COUNT("cool", cool, MBL_DEFAULT, 0, 20, 0, "cool-down laps", ""),
    NUMBER("park", park, MBL_DEFAULT, TIME, 0, 86400, 0, "time parked at the end", ""),
    FLAG("logged", logged, 0, "drive the logged session as it is, in place of out, hot and cool"),
    ASSUMED("ambient", ambient, LEVEL, K(-30), K(60), K(25), K(15), K(35), "air temperature",
            COMMON_PRACTICE),
    NUMBER("altitude", altitude, MBL_DEFAULT, LENGTH, -500, 5000, 0,
           "height above the sea: thins the air and lowers boiling points", ""),
    NUMBER("start", start, MBL_INFERRED, LEVEL, K(-30), K(300), NAN,
           "temperature of every part at the start; ambient when not given", ""),
    CHOICE("judge", judge, MBL_DEFAULT, judges, MBL_JUDGE_LESSER,
           "which boiling point judges: the lesser of wet and present, or the present one", ""),
    ASSUMED("pit_speed", pit_speed, SPEED, 0, 40, 60 / 3.6, 40 / 3.6, 80 / 3.6,
            "speed from which the car stops before it parks", COMMON_PRACTICE),
    INLINE("pace", MBL_DEFAULT, &pace_schema, "pace of each kind of lap"),
};
#undef T

static mbl_status stint_rules(const void *filled, mbl_error *err)
{
    const mbl_stint *s = filled;
    if (s->phases.n > 0) {
        if (s->out > 0 || s->hot > 0 || s->cool > 0 || s->park > 0 || s->logged)
            return mbl_rule_broken(err,
                                   s->hot > 0    ? "hot"
                                   : s->park > 0 ? "park"
                                   : s->out > 0  ? "out"
                                   : s->cool > 0 ? "cool"
                                                 : "logged",
                                   "a stint is either a list of phases or out, hot, cool and park");
        bool drives = false;
        for (size_t i = 0; i < s->phases.n; i++)
            drives = drives || s->phases.v[i].kind != MBL_PHASE_PARK;
        return drives ? MBL_OK : mbl_rule_broken(err, "", "nothing is driven in this stint");
    }
    if (s->logged && (s->out > 0 || s->hot > 0 || s->cool > 0))
        return mbl_rule_broken(err, "logged",
                               "a logged session takes the place of out, hot and cool");
    if (!s->logged && s->out + s->hot + s->cool == 0)
        return mbl_rule_broken(err, "hot", "missing: how many laps are driven, as hot = 12");
    return MBL_OK;
}

SCHEMA(mbl_stint_schema, "stint", mbl_stint, stint_fields, stint_rules,
       "What is driven, in which air.");

/* ---- limits ---- */

#define T mbl_limits
static const mbl_field limits_fields[] = {
    NUMBER("rotor", rotor, MBL_DEFAULT, LEVEL, K(100), K(1000), K(700),
           "highest core temperature of a rotor",
           "trade articles put the limit of iron at 650 to 700 C"),
    NUMBER("caliper", caliper, MBL_DEFAULT, LEVEL, K(80), K(350), K(200),
           "highest temperature of a caliper's body: seals and boots", COMMON_PRACTICE),
    NUMBER(
        "gradient", gradient, MBL_DEFAULT, RISE, 20, 800, 330,
        "widest a rubbed face may stand above its rotor's core: it is the gradient that cracks",
        "trade articles: cracks when a face rises by 330 K in some 3 s and the vanes by less than "
        "55 K"),
    NUMBER("gradient_band", gradient_band, MBL_DEFAULT, RISE, 0, 300, 75,
           "margin below which the gradient is marginal", COMMON_PRACTICE),
    NUMBER("rotor_band", rotor_band, MBL_DEFAULT, RISE, 0, 300, 75,
           "margin below which a rotor is marginal", COMMON_PRACTICE),
    NUMBER("pad_band", pad_band, MBL_DEFAULT, RISE, 0, 300, 50,
           "margin below which a pad is marginal", COMMON_PRACTICE),
    NUMBER("cold_band", cold_band, MBL_DEFAULT, RISE, 0, 300, 30,
           "margin above the lower end of its window below which a pad is cold", COMMON_PRACTICE),
    NUMBER("hose_band", hose_band, MBL_DEFAULT, RISE, 0, 300, 50,
           "margin below which a hose is marginal", COMMON_PRACTICE),
    NUMBER("caliper_band", caliper_band, MBL_DEFAULT, RISE, 0, 300, 25,
           "margin below which a caliper is marginal", COMMON_PRACTICE),
    NUMBER("panic", panic, MBL_DEFAULT, FORCE, 300, 3000, 1330,
           "what a frightened leg gives, which hoses, calipers and masters must bear",
           "trade articles: some 300 lbf"),
    NUMBER("pressure", pressure, MBL_DEFAULT, PRESSURE, 2e6, 4e7, 2e7,
           "highest line pressure of hoses, masters and calipers without a rating of their own",
           COMMON_PRACTICE),
    NUMBER("pressure_band", pressure_band, MBL_DEFAULT, PRESSURE, 0, 1e7, 1.5e6,
           "margin below which the panic pressure is marginal", COMMON_PRACTICE),
    NUMBER("effort_band", effort_band, MBL_DEFAULT, FORCE, 0, 500, 80,
           "margin to pedal.effort_limit below which the effort is marginal", COMMON_PRACTICE),
    NUMBER("travel_band", travel_band, MBL_DEFAULT, SHARE, 0, 0.9, 0.3,
           "share of a master's stroke left at the hardest stop below which travel is marginal",
           COMMON_PRACTICE),
    NUMBER("balance_band", balance_band, MBL_DEFAULT, SHARE, 0, 0.2, 0.02,
           "front share above the ideal one below which the balance is marginal",
           "trade articles set 2 to 5 points forward of ideal"),
    NUMBER("grip_band", grip_band, MBL_DEFAULT, ACCELERATION, 0, 5, 0.3,
           "deceleration left to the first lock below which the grip is marginal", COMMON_PRACTICE),
    NUMBER("bite", bite, MBL_DEFAULT, SHARE, 0.1, 1, 0.7,
           "least share of the steady deceleration that a stab of the pedal reaches before a wheel "
           "locks",
           COMMON_PRACTICE),
    NUMBER("bite_band", bite_band, MBL_DEFAULT, SHARE, 0, 0.5, 0.05,
           "margin below which the bite is marginal", COMMON_PRACTICE),
    NUMBER("pad_left_band", pad_left_band, MBL_DEFAULT, LENGTH, 0, 0.01, 1e-3,
           "friction material left above worn_at after the event below which it is marginal",
           COMMON_PRACTICE),
    NUMBER("rotor_left_band", rotor_left_band, MBL_DEFAULT, LENGTH, 0, 0.005, 2e-4,
           "iron left above the minimum after the event below which it is marginal",
           COMMON_PRACTICE),
    NUMBER("fluid_band", fluid_band, MBL_DEFAULT, RISE, 0, 300, 30,
           "margin below which a fluid is marginal", COMMON_PRACTICE),
};
#undef T

SCHEMA(mbl_limits_schema, "limits", mbl_limits, limits_fields, NULL,
       "What the checks compare with.");

/* ---- event ---- */

#define T mbl_event
static const mbl_field event_fields[] = {
    COUNT("sessions", sessions, MBL_DEFAULT, 1, 200, 1, "how often the stint is driven", ""),
    COUNT("bleeds", bleeds, MBL_DEFAULT, 0, 50, 1, "how often the car is bled for the event",
          COMMON_PRACTICE),
    NUMBER("bleed_volume", bleed_volume, MBL_DEFAULT, VOLUME, 5e-5, 5e-3, 5e-4,
           "fluid used in a bleed", COMMON_PRACTICE),
    NUMBER("labour_rate", labour_rate, MBL_DEFAULT, MONEY, 0, 1e4, 0, "price of an hour of labour",
           ""),
};
#undef T

SCHEMA(mbl_event_schema, "event", mbl_event, event_fields, NULL,
       "How often the stint is driven, and what work costs.");

/* ---- case ---- */

static const char *const modes[] = {"default", "fine", "screening", "reference", NULL};

#define T mbl_case
static const mbl_field case_fields[] = {
    PART("car", car, MBL_REQUIRED, &mbl_car_schema, "the car"),
    PART("course", course, MBL_REQUIRED, &mbl_course_schema, "the course, made by el.trace"),
    PART("stint", stint, MBL_REQUIRED, &mbl_stint_schema, "the stint"),
    GROUP("limits", limits, &mbl_limits_schema, "limits and marginal bands of the checks"),
    GROUP("event", event, &mbl_event_schema, "sessions of the event, and labour"),
    CHOICE(
        "mode", mode, MBL_DEFAULT, modes, 0,
        "how finely time is cut: default; fine; screening, in single precision, for long sweeps; "
        "reference, a fixed grid for comparison",
        ""),
    PART("base", base, MBL_OPTIONAL, &mbl_car_schema,
         "the car before the change: it is run too, and compared by name"),
};
#undef T

SCHEMA(mbl_case_schema, "run", mbl_case, case_fields, NULL, "One car, one course, one stint.");

const mbl_schema *const mbl_schemas[] = {&mbl_car_schema,   &mbl_pedal_schema, &mbl_brake_schema,
                                         &mbl_rotor_schema, &mbl_pad_schema,   &mbl_caliper_schema,
                                         &mbl_duct_schema,  &mbl_fluid_schema, &mbl_course_schema,
                                         &mbl_stint_schema, &mbl_phase_schema, &mbl_limits_schema,
                                         &mbl_event_schema, &mbl_case_schema,  NULL};
