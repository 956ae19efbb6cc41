/* SPDX-License-Identifier: MIT */
#include "out/layout_yaml.h"

#include "out/units.h"
#include "road/layout_read.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define TURN 6.283185307179586 /* rad */

/* What an arc is read with; what bends or turns less, or turns more, is written as a curve. */
#define TIGHTEST   3.0 /* m */
#define WIDEST     1e5 /* m */
#define LEAST_TURN (TURN / 360000)

/* ---- values ---- */

/* Without what a division left behind 90 or 45, where that is all that goes. */
static double tidied(double number)
{
    char digits[32];
    snprintf(digits, sizeof digits, "%.12g", number);
    double tidy = strtod(digits, NULL);
    return fabs(tidy - number) <= 1e-15 * fabs(number) ? tidy : number;
}

static void add_value(mbl_text *text, const char *key, double number, const char *unit)
{
    char digits[32];
    mbl_number_write(number, digits);
    mbl_text_print(text, "%s: %s%s%s", key, digits, unit[0] != '\0' ? " " : "", unit);
}

static void add_share(mbl_text *text, const char *key, double share)
{
    add_value(text, key, tidied(mbl_out_convert(MBL_SHOW_SHARE, MBL_UNITS_SI, share)), "%");
}

static void add_angle(mbl_text *text, const char *key, double rad)
{
    add_value(text, key, tidied(mbl_out_convert(MBL_SHOW_ANGLE, MBL_UNITS_SI, rad)), "deg");
}

/* In double quotes, in which YAML takes all but these two as they are. */
static void add_quoted(mbl_text *text, const char *key, const char *words)
{
    mbl_text_print(text, "%s: \"", key);
    for (; *words != '\0'; words++) {
        if (*words == '"' || *words == '\\')
            mbl_text_add(text, "\\", 1);
        bool control = (unsigned char)*words < ' ' || *words == 0x7f;
        mbl_text_add(text, control ? " " : words, 1);
    }
    mbl_text_print(text, "\"\n");
}

/* ---- pieces ---- */

static void add_manner(mbl_text *text, const mbl_stretch *s, double bank)
{
    if (s->grade != 0) {
        mbl_text_print(text, ", ");
        add_share(text, "grade", s->grade);
    }
    if (bank != 0) {
        mbl_text_print(text, ", ");
        add_angle(text, "bank", bank);
    }
    if (s->surface != 1) {
        mbl_text_print(text, ", ");
        add_value(text, "surface", s->surface, "");
    }
    mbl_text_print(text, " }\n");
}

static void add_straight(mbl_text *text, const mbl_stretch *s)
{
    mbl_text_print(text, "  - straight: { ");
    add_value(text, "length", s->length, "m");
    add_manner(text, s, s->bank);
}

static void add_arc(mbl_text *text, const mbl_stretch *s, double radius, double angle)
{
    bool left = s->curvature > 0;
    mbl_text_print(text, "  - arc: { ");
    add_value(text, "radius", radius, "m");
    mbl_text_print(text, ", ");
    add_angle(text, "angle", angle);
    mbl_text_print(text, ", turn: %s", left ? "left" : "right");
    add_manner(text, s, left ? s->bank : -s->bank);
}

static void add_curve(mbl_text *text, const mbl_stretch *s)
{
    mbl_text_print(text, "  - curve: { ");
    add_value(text, "length", s->length, "m");
    mbl_text_print(text, ", ");
    add_value(text, "from", s->curvature, "");
    mbl_text_print(text, ", ");
    add_value(text, "to", s->bends_to, "");
    add_manner(text, s, s->bank);
}

static void add_piece(mbl_text *text, const mbl_stretch *s)
{
    if (s->curvature != s->bends_to) {
        add_curve(text, s);
    } else if (s->curvature == 0) {
        add_straight(text, s);
    } else {
        double radius = tidied(1 / fabs(s->curvature));
        double angle = s->length / radius;
        if (radius >= TIGHTEST && radius <= WIDEST && angle >= LEAST_TURN && angle <= TURN)
            add_arc(text, s, radius, angle);
        else
            add_curve(text, s);
    }
}

mbl_status mbl_out_layout_text(const mbl_layout *layout, mbl_text *text, mbl_error *err)
{
    if (layout->n > MBL_LAYOUT_PIECES)
        return mbl_fail(err, MBL_INPUT,
                        "a course of %zu stretches is not written, as at most %d are read",
                        layout->n, (int)MBL_LAYOUT_PIECES);
    add_quoted(text, "name", layout->name);
    if (layout->note[0] != '\0')
        add_quoted(text, "note", layout->note);
    mbl_text_print(text, "closed: %s\n", layout->closed ? "true" : "false");
    if (!isnan(layout->pit_entry)) {
        add_value(text, "pit_entry", layout->pit_entry, "m");
        mbl_text_print(text, "\n");
    }
    for (size_t i = 0; i < layout->nsplits; i++) {
        char digits[32];
        mbl_number_write(layout->split[i], digits);
        mbl_text_print(text, "%s%s m%s", i == 0 ? "splits: [ " : ", ", digits,
                       i + 1 == layout->nsplits ? " ]\n" : "");
    }
    mbl_text_print(text, "pieces:\n");
    for (size_t i = 0; i < layout->n; i++)
        add_piece(text, &layout->stretch[i]);
    return MBL_OK;
}

static mbl_status put(const mbl_text *text, const char *path, mbl_error *err)
{
    if (text->failed)
        return mbl_fail(err, MBL_MEMORY, "no memory for the text of a course");
    mbl_file file;
    MBL_TRY(mbl_file_begin(&file, path, err));
    /* a write that fails is found by the commit */
    (void)fwrite(mbl_text_get(text), 1, text->length, file.stream);
    return mbl_file_commit(&file, err);
}

mbl_status mbl_out_layout(const mbl_layout *layout, const char *path, mbl_error *err)
{
    mbl_text text;
    mbl_text_init(&text, layout->alloc);
    mbl_status status = mbl_out_layout_text(layout, &text, err);
    if (status == MBL_OK)
        status = put(&text, path, err);
    mbl_text_free(&text);
    return status;
}
