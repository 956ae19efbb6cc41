/* SPDX-License-Identifier: MIT */
#include "out/json_parts.h"

#include "out/assumed.h"
#include "out/words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

void mbl_json_put(mbl_json *j, json_t *object, const char *key, json_t *value)
{
    if (json_object_set_new(object, key, value) != 0)
        j->failed = true;
}

void mbl_json_push(mbl_json *j, json_t *array, json_t *value)
{
    if (json_array_append_new(array, value) != 0)
        j->failed = true;
}

json_t *mbl_json_number(double number)
{
    return isfinite(number) ? json_real(number) : json_null();
}

json_t *mbl_json_level(double kelvin)
{
    return mbl_json_number(mbl_out_convert(MBL_SHOW_LEVEL, MBL_UNITS_SI, kelvin));
}

json_t *mbl_json_text(const char *text)
{
    json_t *value = json_string(text);
    /* not UTF-8, or out of memory for a moment: that must not change the text */
    if (value == NULL)
        value = json_string(text);
    if (value != NULL)
        return value;
    char ascii[MBL_TEXT_FIELD];
    size_t n = 0;
    for (; text[n] != '\0' && n + 1 < sizeof ascii; n++)
        ascii[n] = (char)((unsigned char)text[n] < 0x80 ? text[n] : '?');
    ascii[n] = '\0';
    return json_string(ascii);
}

json_t *mbl_json_sentences(mbl_json *j, const char *const *sentences)
{
    json_t *list = json_array();
    for (size_t i = 0; sentences[i] != NULL; i++)
        mbl_json_push(j, list, json_string(sentences[i]));
    return list;
}

static json_t *bound_number(mbl_quantity quantity, double si)
{
    return quantity == MBL_Q_LEVEL ? mbl_json_level(si) : mbl_json_number(si);
}

/* A list of numbers, or of pairs of them, as it is in the tree. */
static json_t *bound_list(mbl_json *j, const mbl_field *field, const mbl_node *node)
{
    json_t *list = json_array();
    for (size_t i = 0; i < node->count; i++) {
        const mbl_node *item = node->items[i];
        if (field->kind == MBL_FIELD_CURVE && item->kind == MBL_NODE_LIST && item->count == 2) {
            json_t *pair = json_array();
            mbl_json_push(j, pair, bound_number(field->quantity, item->items[0]->number));
            mbl_json_push(j, pair, mbl_json_number(item->items[1]->number));
            mbl_json_push(j, list, pair);
        } else {
            mbl_json_push(j, list, bound_number(field->quantity, item->number));
        }
    }
    return list;
}

static json_t *given(mbl_json *j, const mbl_field *field, const mbl_node *node)
{
    switch (field->kind) {
    case MBL_FIELD_COUNT:
        return json_integer((json_int_t)node->number);
    case MBL_FIELD_FLAG:
        return json_boolean(strcmp(node->text, "true") == 0);
    case MBL_FIELD_NUMBERS:
    case MBL_FIELD_CURVE:
        return bound_list(j, field, node);
    case MBL_FIELD_CHOICE:
    case MBL_FIELD_TEXT:
        return mbl_json_text(node->text);
    case MBL_FIELD_NUMBER:
        return bound_number(field->quantity, node->number);
    case MBL_FIELD_FILM:
        return json_string("a law of the script's own");
    case MBL_FIELD_GROUP:
    case MBL_FIELD_PART:
    case MBL_FIELD_ITEMS:
    case MBL_FIELD_HANDLE:
    case MBL_FIELD_LATER:
        break;
    }
    return json_null();
}

static json_t *fallback(const mbl_field *field)
{
    switch (field->kind) {
    case MBL_FIELD_COUNT:
        return json_integer((json_int_t)field->fallback);
    case MBL_FIELD_FLAG:
        return json_boolean(field->fallback != 0);
    case MBL_FIELD_CHOICE:
        return json_string(field->choices[(int)field->fallback]);
    case MBL_FIELD_TEXT:
        return json_string(field->choices != NULL ? field->choices[0] : "");
    case MBL_FIELD_NUMBER:
    case MBL_FIELD_NUMBERS:
        return bound_number(field->quantity, field->fallback);
    case MBL_FIELD_CURVE:
        return mbl_json_number(field->fallback);
    case MBL_FIELD_FILM:
    case MBL_FIELD_GROUP:
    case MBL_FIELD_PART:
    case MBL_FIELD_ITEMS:
    case MBL_FIELD_HANDLE:
    case MBL_FIELD_LATER:
        break;
    }
    return json_null();
}

static json_t *inferred(const mbl_run *run, const char *path, const mbl_field *field)
{
    double si = mbl_inferred_value(&run->setup, path);
    if (field->kind == MBL_FIELD_COUNT && isfinite(si))
        return json_integer((json_int_t)si);
    return bound_number(field->quantity, si);
}

/* The unit a value of this field has in the document; NULL when it has none. */
static const char *unit_of(const mbl_field *field)
{
    bool number = field->kind == MBL_FIELD_NUMBER || field->kind == MBL_FIELD_NUMBERS ||
                  field->kind == MBL_FIELD_CURVE;
    return number ? mbl_quantity_si(field->quantity) : NULL;
}

typedef struct walker {
    mbl_json *j;
    const mbl_run *run;
    json_t *list;
} walker;

static void visit(void *ctx, const char *path, const mbl_field *field, const mbl_node *node,
                  mbl_origin origin)
{
    walker *w = ctx;
    json_t *value = origin == MBL_GIVEN       ? given(w->j, field, node)
                    : origin == MBL_DEFAULTED ? fallback(field)
                                              : inferred(w->run, path, field);
    const char *unit = unit_of(field);
    const char *reason = origin == MBL_GIVEN || field->source == NULL ? "" : field->source;
    json_t *entry = json_object();
    mbl_json_put(w->j, entry, "path", json_string(path));
    mbl_json_put(w->j, entry, "value", value);
    mbl_json_put(w->j, entry, "unit", unit != NULL ? json_string(unit) : json_null());
    mbl_json_put(w->j, entry, "source", json_string(mbl_assumed_word(origin)));
    mbl_json_put(w->j, entry, "reason", json_string(reason));
    mbl_json_put(w->j, entry, "about", json_string(field->about));
    mbl_json_push(w->j, w->list, entry);
}

json_t *mbl_json_assumptions(mbl_json *j, const mbl_run *run)
{
    if (run->tree == NULL)
        return json_null();
    walker w = {.j = j, .run = run, .list = json_array()};
    mbl_schema_walk(&mbl_case_schema, run->tree, visit, &w);
    return w.list;
}

json_t *mbl_json_car(mbl_json *j, const mbl_run *run)
{
    const mbl_car *c = &run->setup.car;
    json_t *o = json_object();
    mbl_json_put(j, o, "mass", mbl_json_number(c->mass));
    mbl_json_put(j, o, "load",
                 mbl_json_number(c->load.passenger + c->load.luggage + c->load.ballast));
    mbl_json_put(j, o, "fuel_start", mbl_json_number(c->fuel.start));
    mbl_json_put(j, o, "fuel_per_lap", mbl_json_number(c->fuel.per_lap));
    mbl_json_put(j, o, "water", mbl_json_number(mbl_fluid_water(&c->fluid)));
    return o;
}

json_t *mbl_json_stint(mbl_json *j, const mbl_run *run)
{
    const mbl_stint *s = &run->setup.stint;
    json_t *o = json_object();
    mbl_json_put(j, o, "laps", json_integer(run->laps));
    mbl_json_put(j, o, "hot_laps", json_integer(run->drive->route->plan.hot_laps));
    mbl_json_put(j, o, "duration", mbl_json_number(run->duration));
    mbl_json_put(j, o, "ambient", mbl_json_level(s->ambient));
    mbl_json_put(j, o, "altitude", mbl_json_number(s->altitude));
    mbl_json_put(j, o, "logged", json_boolean(s->logged));
    mbl_json_put(j, o, "mode", json_string(mbl_mode_word(run->mode)));
    return o;
}

json_t *mbl_json_course(mbl_json *j, const mbl_run *run)
{
    const mbl_trace *t = run->trace;
    json_t *o = json_object();
    mbl_json_put(j, o, "file", mbl_json_text(run->setup.course.file));
    mbl_json_put(j, o, "duration", mbl_json_number(t->n > 0 ? t->t[t->n - 1] : 0));
    mbl_json_put(j, o, "knots", json_integer((json_int_t)t->n));
    mbl_json_put(j, o, "laps", json_integer((json_int_t)t->nlaps));
    mbl_json_put(j, o, "repeated_lap", json_integer(run->drive->route->plan.repeated.number));
    mbl_json_put(j, o, "speed_noise", mbl_json_number(t->noise));
    mbl_json_put(j, o, "distance_ratio", mbl_json_number(t->distance_ratio));
    mbl_json_put(j, o, "has_grade", json_boolean(t->has_grade));
    mbl_json_put(j, o, "braking_inferred_share", mbl_json_number(mbl_words_inferred(run)));
    return o;
}
