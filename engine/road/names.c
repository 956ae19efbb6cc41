/* SPDX-License-Identifier: MIT */
#include "road/names.h"

#include "parts/units.h"

#include <stdio.h>
#include <string.h>

/*
 * Usual names, the likeliest first; compared without case, blanks and punctuation. A + in front:
 * only with a unit of the role. Axes called x and y are not here: which of them is along the car
 * differs between loggers.
 */
static const char *const usual[MBL_LOG_ROLES][32] = {
    [MBL_LOG_TIME] = {"time",         "t",         "elapsedtime", "elapsed",   "sessiontime",
                      "timestamp",    "logtime",   "recordtime",  "runtime",   "seconds",
                      "milliseconds", "timems",    "elapsedms",   "timeofday", "clock",
                      "clocktime",    "utctime",   "timeutc",     "utc",       "gpstime",
                      "gpsutc",       "datetime",  "dateandtime", "unixtime",  "unix",
                      "epoch",        "epochtime", "stamp",       "interval"},
    [MBL_LOG_SPEED] = {"speed", "velocity", "v", "gpsspeed", "speedgps", "vehiclespeed",
                       "groundspeed", "carspeed", "speedoverground", "sog", "gpsvelocity",
                       "velocitygps", "speed3d", "speed2d", "roadspeed", "wheelspeed",
                       "wheelbasedspeed", "obdspeed"},
    [MBL_LOG_LAP] = {"lap", "lapnumber", "lapno", "lapnum", "laps", "lapcount", "lapcounter",
                     "currentlap", "lapindex", "lapid"},
    [MBL_LOG_DISTANCE] = {"distance", "dist", "lapdistance", "distancelap", "lapdist",
                          "gpsdistance", "distancegps", "totaldistance", "distancetravelled",
                          "distancetraveled", "tripdistance", "cumulativedistance", "odometer"},
    [MBL_LOG_ALTITUDE] = {"altitude", "alt", "elevation", "ele", "height", "gpsaltitude",
                          "altitudegps", "gpsheight", "gpsalt", "gpselevation"},
    [MBL_LOG_PRESSURE_FRONT] = {"brakepressurefront",
                                "frontbrakepressure",
                                "brakepressfront",
                                "frontbrakepress",
                                "brakefrontpressure",
                                "brakepressuref",
                                "brakepressf",
                                "fbrakepressure",
                                "fbrakepress",
                                "pbrakefront",
                                "pbrakef",
                                "brakepfront",
                                "brakepf",
                                "brkpressfront",
                                "frontbrkpress",
                                "brkpressf",
                                "frontlinepressure",
                                "linepressurefront",
                                "frontpressure",
                                "pressurefront",
                                "+brakefront",
                                "+frontbrake",
                                "+brakef",
                                "+fbrake",
                                "brakepressure",
                                "brakepress",
                                "pbrake",
                                "linepressure",
                                "brakelinepressure",
                                "+brake",
                                "+brakes"},
    [MBL_LOG_PRESSURE_REAR] = {"brakepressurerear", "rearbrakepressure", "brakepressrear",
                               "rearbrakepress",    "brakerearpressure", "brakepressurer",
                               "brakepressr",       "rbrakepressure",    "rbrakepress",
                               "pbrakerear",        "pbraker",           "brakeprear",
                               "brakepr",           "brkpressrear",      "rearbrkpress",
                               "brkpressr",         "rearlinepressure",  "linepressurerear",
                               "rearpressure",      "pressurerear",      "+brakerear",
                               "+rearbrake",        "+braker",           "+rbrake"},
    [MBL_LOG_ACCEL_LONG] = {"longitudinalacceleration",
                            "longacceleration",
                            "longitudinalaccel",
                            "longitudinalacc",
                            "longaccel",
                            "longacc",
                            "accelerationlongitudinal",
                            "accelerationlong",
                            "accellongitudinal",
                            "accellong",
                            "acclongitudinal",
                            "acclong",
                            "inlineacceleration",
                            "inlineaccel",
                            "inlineacc",
                            "longitudinalg",
                            "longg",
                            "glong",
                            "inlineg",
                            "gforcelongitudinal",
                            "gforcelong",
                            "longitudinalgforce",
                            "longgforce",
                            "gpslongacc",
                            "+longitudinal",
                            "+long",
                            "+lon",
                            "+inline"},
    [MBL_LOG_LATERAL] = {"lateralacceleration",
                         "latacceleration",
                         "lateralaccel",
                         "lateralacc",
                         "lataccel",
                         "latacc",
                         "accelerationlateral",
                         "accelerationlat",
                         "accellateral",
                         "accellat",
                         "acclateral",
                         "acclat",
                         "lateralg",
                         "latg",
                         "glat",
                         "gforcelateral",
                         "gforcelat",
                         "lateralgforce",
                         "latgforce",
                         "gpslatacc",
                         "+lateral",
                         "+lat"},
    [MBL_LOG_YAW_RATE] = {"yawrate",     "rateofyaw",   "yawvelocity", "yawvel",  "gyroyaw",
                          "yawgyro",     "gyroyawrate", "yawrategyro", "rateyaw", "yawspeed",
                          "turnrate",    "rateofturn",  "+yaw",        "+gyroz",  "+zgyro",
                          "+gyroscopez", "+gyrz",       "+zrate",      "+ratez",  "+rotationratez",
                          "+rotationz"},
    [MBL_LOG_THROTTLE] = {"throttle", "throttleposition", "throttlepos", "throttlepedal",
                          "throttlepercent", "throttlepct", "tps", "acceleratorposition",
                          "acceleratorpedalposition", "acceleratorpedal", "acceleratorpos",
                          "acceleratorpedalpos", "accelpedal", "accelpedalposition", "aps",
                          "gaspedal"},
    [MBL_LOG_LATITUDE] = {"latitude", "lat", "gpslatitude", "latitudegps", "gpslat",
                          "positionlatitude", "poslat"},
    [MBL_LOG_LONGITUDE] = {"longitude", "lon", "long", "lng", "gpslongitude", "longitudegps",
                           "gpslon", "gpslong", "gpslng", "positionlongitude", "poslon", "poslong"},
};

static const char *const words[MBL_LOG_ROLES] = {
#define WORD(name, word, field) [MBL_LOG_##name] = word,
    MBL_LOG_ROLE_LIST(WORD)
#undef WORD
};

/* What a role is measured as. Positions, laps and throttle are no quantity of the parts. */
static const struct {
    bool known;
    mbl_quantity quantity;
    const char *assumed;
    const char *example;
} measure[MBL_LOG_ROLES] = {
    [MBL_LOG_TIME] = {true, MBL_Q_TIME, "s", "s"},
    [MBL_LOG_SPEED] = {true, MBL_Q_SPEED, NULL, "km/h"},
    [MBL_LOG_LAP] = {false, MBL_Q_COUNT, "", ""},
    [MBL_LOG_DISTANCE] = {true, MBL_Q_LENGTH, "m", "m"},
    [MBL_LOG_ALTITUDE] = {true, MBL_Q_LENGTH, "m", "m"},
    [MBL_LOG_PRESSURE_FRONT] = {true, MBL_Q_PRESSURE, NULL, "bar"},
    [MBL_LOG_PRESSURE_REAR] = {true, MBL_Q_PRESSURE, NULL, "bar"},
    [MBL_LOG_ACCEL_LONG] = {true, MBL_Q_ACCELERATION, NULL, "g"},
    [MBL_LOG_LATERAL] = {true, MBL_Q_ACCELERATION, NULL, "g"},
    [MBL_LOG_YAW_RATE] = {true, MBL_Q_TURN_RATE, NULL, "deg/s"},
    [MBL_LOG_THROTTLE] = {false, MBL_Q_SHARE, "", "%"},
    [MBL_LOG_LATITUDE] = {false, MBL_Q_COUNT, "deg", "deg"},
    [MBL_LOG_LONGITUDE] = {false, MBL_Q_COUNT, "deg", "deg"},
};

#define DEGREE "\xC2\xB0"

/* Spellings that loggers use and people do not; lower case. */
static const char *const spelling[][2] = {
    {"kph", "km/h"},        {"kmh", "km/h"},      {"kmph", "km/h"},
    {"km/hr", "km/h"},      {"kmhr", "km/h"},     {"mi/h", "mph"},
    {"miles/h", "mph"},     {"mps", "m/s"},       {"m/sec", "m/s"},
    {"kt", "kn"},           {"kts", "kn"},        {"knot", "kn"},
    {"knots", "kn"},        {"sec", "s"},         {"secs", "s"},
    {"second", "s"},        {"seconds", "s"},     {"msec", "ms"},
    {"msecs", "ms"},        {"millis", "ms"},     {"milliseconds", "ms"},
    {"mins", "min"},        {"minutes", "min"},   {"feet", "ft"},
    {"foot", "ft"},         {"metre", "m"},       {"metres", "m"},
    {"meter", "m"},         {"meters", "m"},      {"kms", "km"},
    {"mile", "mi"},         {"miles", "mi"},      {"pa", "Pa"},
    {"kpa", "kPa"},         {"mpa", "MPa"},       {"psig", "psi"},
    {"barg", "bar"},        {"bars", "bar"},      {"bar(g)", "bar"},
    {"psi(g)", "psi"},      {"m/s^2", "m/s2"},    {"m/s/s", "m/s2"},
    {"mps2", "m/s2"},       {"m/ss", "m/s2"},     {"gs", "g"},
    {"g-force", "g"},       {"gforce", "g"},      {"dps", "deg/s"},
    {"deg/sec", "deg/s"},   {"rad/sec", "rad/s"}, {"degrees/s", "deg/s"},
    {DEGREE "/s", "deg/s"},
};

static const char *const degrees[] = {"deg",      "degs",    "degree",      "degrees",
                                      "dd",       "decimal", "decimal deg", "decimal degrees",
                                      "\xC2\xB0", "\xC2\xBA"};

static const char *const arc_minutes[] = {"min", "mins", "minutes", "arcmin", "'"};

/* Units of what is logged beside the roles. */
static const char *const others[] = {
    "%",      "rpm",          "1/min",        "c",    "f",         "k",     "degc",
    "degf",   "\xC2\xB0\x63", "\xC2\xB0\x66", "v",    "mv",        "a",     "ma",
    "nm",     "kg",           "kg/h",         "l",    "l/h",       "deg/s", "\xC2\xB0/s",
    "rad",    "rad/s",        "hz",           "#",    "no",        "kw",    "hp",
    "lambda", "afr",          "ratio",        "bool", "hpa",       "mbar",  "inhg",
    "count",  "counts",       "g/s",          "-",    "unix time", "utc",   "hh:mm:ss",
    "hhmmss", "h:m:s"};

#define COUNT(list) (sizeof(list) / sizeof((list)[0]))

const char *mbl_log_role_word(mbl_log_role role)
{
    return (unsigned)role < MBL_LOG_ROLES ? words[role] : "unknown";
}

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

bool mbl_names_alike(const char *a, const char *b)
{
    for (; *a != '\0' && lower(*a) == lower(*b);) {
        a++;
        b++;
    }
    return lower(*a) == lower(*b);
}

static bool is_filler(char c)
{
    unsigned char u = (unsigned char)c;
    return u < 0x80 && !(c >= '0' && c <= '9') && !(lower(c) >= 'a' && lower(c) <= 'z');
}

bool mbl_names_spell(const char *name, const char *plain)
{
    for (; *name != '\0'; name++) {
        if (is_filler(*name))
            continue;
        if (lower(*name) != *plain)
            return false;
        plain++;
    }
    return *plain == '\0';
}

const char *mbl_names_usual(mbl_log_role role, size_t k, bool *unit)
{
    const char *name = k < COUNT(usual[role]) ? usual[role][k] : NULL;
    *unit = name != NULL && name[0] == '+';
    return *unit ? name + 1 : name;
}

static bool spells_one(const char *name, const char *const *list, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (mbl_names_spell(name, list[i]))
            return true;
    return false;
}

bool mbl_names_channel(const char *name)
{
    static const char *const list[] = {"name",        "channel", "channelname", "signal",
                                       "signalname",  "sensor",  "sensorname",  "parameter",
                                       "variable",    "key",     "field",       "item",
                                       "measurement", "metric",  "quantity"};
    return spells_one(name, list, COUNT(list));
}

bool mbl_names_value(const char *name)
{
    static const char *const list[] = {"value", "val", "reading", "data", "measuredvalue"};
    return spells_one(name, list, COUNT(list));
}

bool mbl_names_unit(const char *name)
{
    static const char *const list[] = {"unit", "units", "uom"};
    return spells_one(name, list, COUNT(list));
}

static bool listed(const char *unit, const char *const *list, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (strcmp(unit, list[i]) == 0)
            return true;
    return false;
}

/* The unit in lower case in out[32]; false when it is too long to be one. */
static bool lower_unit(const char *unit, char out[32])
{
    size_t n = strlen(unit);
    if (n >= 32)
        return false;
    for (size_t i = 0; i <= n; i++)
        out[i] = lower(unit[i]);
    return true;
}

bool mbl_names_scale(mbl_log_role role, const char *unit, double *scale)
{
    char plain[32];
    double offset = 0;
    if (!lower_unit(unit, plain) || (unsigned)role >= MBL_LOG_ROLES)
        return false;
    *scale = 1;
    if (role == MBL_LOG_LAP || role == MBL_LOG_THROTTLE)
        return true;
    if (role == MBL_LOG_LATITUDE || role == MBL_LOG_LONGITUDE) {
        bool minutes = listed(plain, arc_minutes, COUNT(arc_minutes));
        *scale = minutes ? 1.0 / 60 : 1;
        return minutes || listed(plain, degrees, COUNT(degrees));
    }
    if (role == MBL_LOG_TIME && (strcmp(plain, "us") == 0 || strcmp(plain, "\xC2\xB5s") == 0)) {
        *scale = 1e-6;
        return true;
    }
    /* m/s without its stroke, as in speed_ms: a speed is not in milliseconds */
    if (role == MBL_LOG_SPEED && strcmp(plain, "ms") == 0)
        return true;
    const char *known = plain;
    for (size_t i = 0; i < COUNT(spelling); i++)
        if (strcmp(plain, spelling[i][0]) == 0)
            known = spelling[i][1];
    return measure[role].known && mbl_units_find(measure[role].quantity, known, scale, &offset);
}

bool mbl_names_is_unit(const char *unit)
{
    static const mbl_log_role kinds[] = {MBL_LOG_SPEED,          MBL_LOG_TIME,
                                         MBL_LOG_DISTANCE,       MBL_LOG_ACCEL_LONG,
                                         MBL_LOG_PRESSURE_FRONT, MBL_LOG_LATITUDE};
    double scale = 0;
    for (size_t i = 0; i < COUNT(kinds); i++)
        if (mbl_names_scale(kinds[i], unit, &scale))
            return true;
    return false;
}

bool mbl_names_is_any_unit(const char *unit)
{
    char plain[32];
    return mbl_names_is_unit(unit) ||
           (lower_unit(unit, plain) && listed(plain, others, COUNT(others)));
}

const char *mbl_names_assumed(mbl_log_role role)
{
    return measure[role].assumed;
}

const char *mbl_names_example(mbl_log_role role)
{
    return measure[role].example;
}

void mbl_names_key(mbl_log_role role, char out[32])
{
    static const char *const names[MBL_LOG_ROLES] = {
#define NAME(name, word, field) [MBL_LOG_##name] = #name,
        MBL_LOG_ROLE_LIST(NAME)
#undef NAME
    };
    snprintf(out, 32, "%s", names[role]);
    for (char *c = out; *c != '\0'; c++)
        *c = lower(*c);
}
