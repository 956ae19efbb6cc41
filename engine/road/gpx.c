/* SPDX-License-Identifier: MIT */
/*
 * Track points of a GPX file (topografix.com/GPX/1/1, an open schema). Every trkpt of every trkseg
 * and trk counts, in the order of the file; waypoints and routes do not. A speed counts only where
 * GPX 1.0 put it, a `speed` in m/s right below the point: what stands in `extensions` has no
 * schema, so its unit is anybody's guess, and positions give the speed instead.
 *
 * A stranger's XML gets no document type, hence no entities, and at most DEEPEST levels.
 */
#include "road/clock.h"
#include "road/import.h"

#include <expat.h>

#include <limits.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

enum { DEEPEST = 64, VALUE = 48, PIECE = 1 << 20 };

/* ---- memory ---- */

/*
 * Expat frees and resizes without telling sizes, and allocates without a context. The size stands
 * in front of each block; the allocator of the call at hand is in a variable of this thread, the
 * one such in the engine, since expat offers no other way. It is set while a file is read only.
 */
typedef union block {
    size_t size; /* bytes after this head */
    max_align_t align;
} block;

static _Thread_local const mbl_alloc *xml_alloc;

static void *xml_resize(void *p, size_t size)
{
    block *old = p != NULL ? (block *)p - 1 : NULL;
    size_t before = old != NULL ? sizeof *old + old->size : 0;
    if (size > SIZE_MAX - sizeof *old)
        return NULL;
    block *now = xml_alloc->fn(xml_alloc->ctx, old, before, sizeof *now + size);
    if (now == NULL)
        return NULL;
    now->size = size;
    return now + 1;
}

static void *xml_new(size_t size)
{
    return xml_resize(NULL, size);
}

static void xml_free(void *p)
{
    if (p != NULL)
        (void)xml_alloc->fn(xml_alloc->ctx, (block *)p - 1, sizeof(block) + ((block *)p - 1)->size,
                            0);
}

/* ---- points ---- */

/* What the text of the element at hand is for. */
typedef enum want { NOTHING, ELEVATION, TIME, SPEED } want;

typedef struct reading {
    mbl_import *out;
    XML_Parser xml;
    mbl_error *err;
    mbl_status status;
    int depth;
    int point_depth; /* of the trkpt that is open; 0 when none is */
    int point_line;
    bool placed; /* its lat and lon are numbers on this earth */
    double latitude, longitude;
    want want;
    bool overlong;
    size_t length;
    char text[VALUE];
    char elevation[VALUE], time[VALUE], speed[VALUE];
    mbl_clock clock;
    size_t points; /* taken */
} reading;

static int line_of(const reading *r)
{
    XML_Size line = XML_GetCurrentLineNumber(r->xml);
    return line < INT_MAX ? (int)line : INT_MAX;
}

/* Ends the parsing; the first reason stays. */
static void stop(reading *r, mbl_status status, const char *why)
{
    if (r->status != MBL_OK)
        return;
    r->status = mbl_fail(r->err, status, "%s", why);
    mbl_error_at(r->err, NULL, line_of(r), 0);
    XML_StopParser(r->xml, XML_FALSE);
}

/* Names may come with a prefix. */
static bool is_name(const char *element, const char *name)
{
    const char *colon = strrchr(element, ':');
    return strcmp(colon != NULL ? colon + 1 : element, name) == 0;
}

static bool read_number(const char *text, double least, double most, double *value)
{
    return mbl_number_read(text, strlen(text), value) && *value >= least && *value <= most;
}

static void open_point(reading *r, const char **attributes)
{
    bool got[2] = {false, false};
    r->point_depth = r->depth;
    r->point_line = line_of(r);
    r->elevation[0] = r->time[0] = r->speed[0] = '\0';
    for (; attributes[0] != NULL; attributes += 2) {
        if (strcmp(attributes[0], "lat") == 0)
            got[0] = read_number(attributes[1], -90, 90, &r->latitude);
        if (strcmp(attributes[0], "lon") == 0)
            got[1] = read_number(attributes[1], -180, 180, &r->longitude);
    }
    r->placed = got[0] && got[1];
}

static void XMLCALL open_element(void *ctx, const char *name, const char **attributes)
{
    reading *r = ctx;
    r->want = NOTHING;
    if (++r->depth > DEEPEST) {
        stop(r, MBL_INPUT, "elements inside each other more than 64 deep");
    } else if (r->depth == 1) {
        if (!is_name(name, "gpx"))
            stop(r, MBL_INPUT, "this is XML, but no GPX: its outermost element is not gpx");
    } else if (r->point_depth == 0) {
        if (is_name(name, "trkpt"))
            open_point(r, attributes);
    } else if (r->depth == r->point_depth + 1) {
        r->want = is_name(name, "ele")     ? ELEVATION
                  : is_name(name, "time")  ? TIME
                  : is_name(name, "speed") ? SPEED
                                           : NOTHING;
        r->length = 0;
        r->overlong = false;
    }
}

static void XMLCALL take_text(void *ctx, const char *text, int n)
{
    reading *r = ctx;
    for (int i = 0; i < n && r->want != NOTHING; i++) {
        char c = text[i];
        bool blank = c == ' ' || c == '\t' || c == '\n' || c == '\r';
        if (blank && r->length == 0)
            continue;
        if (r->length + 1 >= sizeof r->text)
            r->overlong = true;
        else
            r->text[r->length++] = blank ? ' ' : c;
    }
}

static void keep_text(reading *r)
{
    char *to = r->want == ELEVATION ? r->elevation : r->want == TIME ? r->time : r->speed;
    while (r->length > 0 && r->text[r->length - 1] == ' ')
        r->length--;
    r->text[r->length] = '\0';
    memcpy(to, r->overlong ? "?" : r->text, r->overlong ? 2 : r->length + 1);
    r->want = NOTHING;
}

static bool add(reading *r, mbl_log_role role, double t, double x)
{
    return mbl_import_add(r->out, role, t, x, r->point_line);
}

static void close_point(reading *r)
{
    double t = 0;
    double value = 0;
    bool midnight = false;
    r->point_depth = 0;
    r->out->rows++;
    if (r->time[0] == '\0') {
        mbl_repair_note(&r->out->repair[MBL_REPAIR_BLANK], r->point_line, 0);
        return;
    }
    const mbl_csv_cell stamp = {r->time, strlen(r->time)};
    if (!r->placed || !mbl_clock_read(&r->clock, stamp, &t, &midnight)) {
        mbl_repair_note(&r->out->repair[MBL_REPAIR_UNREADABLE], r->point_line, 0);
        return;
    }
    bool good =
        add(r, MBL_LOG_LATITUDE, t, r->latitude) && add(r, MBL_LOG_LONGITUDE, t, r->longitude);
    if (good && read_number(r->elevation, -1e5, 1e5, &value))
        good = add(r, MBL_LOG_ALTITUDE, t, value);
    if (good && read_number(r->speed, -1e5, 1e5, &value))
        good = add(r, MBL_LOG_SPEED, t, value);
    r->points++;
    if (!good)
        stop(r, MBL_MEMORY, "out of memory reading track points");
}

static void XMLCALL close_element(void *ctx, const char *name)
{
    reading *r = ctx;
    (void)name;
    if (r->want != NOTHING)
        keep_text(r);
    else if (r->point_depth == r->depth)
        close_point(r);
    r->depth--;
}

static void XMLCALL refuse_type(void *ctx, const char *name, const char *system, const char *public,
                                int internal)
{
    (void)name, (void)system, (void)public, (void)internal;
    stop(ctx, MBL_INPUT, "a document type is declared: GPX has none, and entities are not read");
}

/* ---- the file ---- */

static mbl_status wrong_xml(reading *r)
{
    if (r->status != MBL_OK)
        return r->status;
    enum XML_Error code = XML_GetErrorCode(r->xml);
    if (code == XML_ERROR_NO_MEMORY)
        return mbl_fail(r->err, MBL_MEMORY, "out of memory reading XML");
    r->status = mbl_fail(r->err, MBL_INPUT, "the XML is broken: %s", XML_ErrorString(code));
    mbl_error_at(r->err, NULL, line_of(r), 0);
    return r->status;
}

static mbl_status parse(reading *r, const char *bytes, size_t size)
{
    XML_SetUserData(r->xml, r);
    XML_SetElementHandler(r->xml, open_element, close_element);
    XML_SetCharacterDataHandler(r->xml, take_text);
    XML_SetStartDoctypeDeclHandler(r->xml, refuse_type);
    for (size_t at = 0; at < size || at == 0;) {
        size_t n = size - at < PIECE ? size - at : PIECE;
        if (XML_Parse(r->xml, bytes + at, (int)n, at + n == size) != XML_STATUS_OK)
            return wrong_xml(r);
        at += n;
        if (size == 0)
            break;
    }
    if (r->points == 0)
        return mbl_fail(r->err, MBL_INPUT,
                        "no track point has a time and a place (%zu points were seen)",
                        r->out->rows);
    return MBL_OK;
}

static void name_column(mbl_import *out, mbl_log_role role, const char *name, const char *unit)
{
    mbl_log_column *c = &out->column[role];
    c->present = true;
    c->index = (int)out->columns++;
    snprintf(c->name, sizeof c->name, "%s", name);
    snprintf(c->unit, sizeof c->unit, "%s", unit);
}

static bool given(const char *text)
{
    return text != NULL && text[0] != '\0';
}

/* A GPX file names its parts itself; wishes may only repeat that. */
static mbl_status check_wish(const mbl_import *out, const mbl_log_wish *wish, mbl_error *err)
{
    for (int i = 0; i < MBL_LOG_ROLES; i++) {
        const mbl_log_column *column = &out->column[i];
        const char *word = mbl_log_role_word((mbl_log_role)i);
        const char *name = wish->column[i];
        const char *unit = wish->unit[i];
        if (given(name) && (!column->present || strcmp(column->name, name) != 0))
            return mbl_fail(err, MBL_INPUT,
                            "no \"%.60s\" for %s: a GPX file has lat, lon, time and perhaps ele "
                            "and speed, and they need no naming",
                            name, word);
        if (given(unit) && (!column->present || strcmp(column->unit, unit) != 0))
            return mbl_fail(err, MBL_INPUT,
                            "\"%.30s\" for %s: the units of a GPX file are fixed, degrees, m, "
                            "m/s",
                            unit, word);
    }
    return MBL_OK;
}

static mbl_status finish(reading *r, const mbl_log_wish *wish)
{
    mbl_import *out = r->out;
    out->shape = MBL_SHAPE_GPX;
    out->clock = MBL_CLOCK_DATE;
    out->decimal = '.';
    name_column(out, MBL_LOG_LATITUDE, "lat", "deg");
    name_column(out, MBL_LOG_LONGITUDE, "lon", "deg");
    name_column(out, MBL_LOG_TIME, "time", "s");
    if (out->series[MBL_LOG_ALTITUDE].n > 0)
        name_column(out, MBL_LOG_ALTITUDE, "ele", "m");
    /* a speed here and there is less than what the positions tell */
    if (2 * out->series[MBL_LOG_SPEED].n < r->points)
        out->series[MBL_LOG_SPEED].n = 0;
    else
        name_column(out, MBL_LOG_SPEED, "speed", "m/s");
    return check_wish(out, wish, r->err);
}

mbl_status mbl_import_gpx(const char *bytes, size_t size, const mbl_log_wish *wish, mbl_import *out,
                          mbl_error *err)
{
    const XML_Memory_Handling_Suite suite = {xml_new, xml_resize, xml_free};
    const mbl_alloc *outer = xml_alloc;
    xml_alloc = out->alloc;
    reading r = {.out = out,
                 .err = err,
                 .clock = {.kind = MBL_CLOCK_DATE, .decimal = '.', .scale = 1},
                 .xml = XML_ParserCreate_MM(NULL, &suite, NULL)};
    mbl_status status = MBL_MEMORY;
    if (r.xml == NULL) {
        status = mbl_fail(err, MBL_MEMORY, "out of memory reading XML");
    } else {
        status = parse(&r, bytes, size);
        XML_ParserFree(r.xml);
    }
    xml_alloc = outer;
    return status == MBL_OK ? finish(&r, wish) : status;
}
