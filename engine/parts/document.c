/* SPDX-License-Identifier: MIT */
/*
 * The only file that knows libyaml. Its event parser is used, and not its document loader, because
 * events carry a line and column each, and because limits and refusals then apply while reading:
 * a document built to be large is dropped at its first node too many.
 */
#include "parts/document.h"

#include "parts/say.h"

#include <stdio.h>
#include <string.h>
#include <yaml.h>

enum {
    MOST_BYTES = 4 * 1024 * 1024,
    MOST_LEVELS = 64,
    MOST_NODES = 100000,
    MOST_KEYS = 4096 /* in one map: it is kept sorted, and sorting in takes the square of this */
};

typedef struct reader {
    const mbl_alloc *alloc;
    const char *name;
    const char *bytes;
    yaml_parser_t parser;
    size_t nodes;
    mbl_error *err;
} reader;

static mbl_status refuse(reader *r, yaml_mark_t mark, const char *text)
{
    mbl_status status = mbl_fail(r->err, MBL_INPUT, "%s", text);
    mbl_error_at(r->err, r->name, (int)mark.line + 1, (int)mark.column + 1);
    return status;
}

static mbl_status no_memory(reader *r)
{
    mbl_status status = mbl_fail(r->err, MBL_MEMORY, "out of memory reading %s", r->name);
    mbl_error_at(r->err, r->name, 0, 0);
    return status;
}

/* The mark of a byte offset, for problems found before there are lines. */
static yaml_mark_t mark_of(const reader *r, size_t offset)
{
    yaml_mark_t mark = {.index = offset};
    for (size_t i = 0; i < offset; i++) {
        if (r->bytes[i] == '\n') {
            mark.line++;
            mark.column = 0;
        } else if (((unsigned char)r->bytes[i] & 0xC0) != 0x80) {
            mark.column++;
        }
    }
    return mark;
}

/* Turns the parser's own complaint into an error. */
static mbl_status refuse_syntax(reader *r)
{
    const yaml_parser_t *p = &r->parser;
    if (p->error == YAML_MEMORY_ERROR)
        return no_memory(r);
    const char *problem = p->problem != NULL ? p->problem : "it cannot be read";
    char text[256];
    if (p->error == YAML_READER_ERROR) {
        snprintf(text, sizeof text, "not UTF-8 text: %s", problem);
        return refuse(r, mark_of(r, p->problem_offset), text);
    }
    snprintf(text, sizeof text, "not valid YAML: %s%s%s", problem, p->context != NULL ? ", " : "",
             p->context != NULL ? p->context : "");
    return refuse(r, p->problem_mark, text);
}

static mbl_status next(reader *r, yaml_event_t *event)
{
    return yaml_parser_parse(&r->parser, event) ? MBL_OK : refuse_syntax(r);
}

/* Refuses what an event may carry besides its content. */
static mbl_status check_plain(reader *r, const yaml_event_t *event, int level)
{
    const yaml_char_t *anchor = NULL;
    const yaml_char_t *tag = NULL;
    if (event->type == YAML_SCALAR_EVENT) {
        anchor = event->data.scalar.anchor;
        tag = event->data.scalar.tag;
    } else if (event->type == YAML_SEQUENCE_START_EVENT) {
        anchor = event->data.sequence_start.anchor;
        tag = event->data.sequence_start.tag;
    } else if (event->type == YAML_MAPPING_START_EVENT) {
        anchor = event->data.mapping_start.anchor;
        tag = event->data.mapping_start.tag;
    } else {
        return refuse(r, event->start_mark, "an alias (*name) is not read; write the value out");
    }
    if (anchor != NULL)
        return refuse(r, event->start_mark, "an anchor (&name) is not read; remove it");
    if (tag != NULL)
        return refuse(r, event->start_mark, "a tag (!name) is not read; remove it");
    if (level > MOST_LEVELS)
        return refuse(r, event->start_mark, "more than 64 levels of nesting");
    if (++r->nodes > MOST_NODES)
        return refuse(r, event->start_mark, "more than 100000 values in one document");
    return MBL_OK;
}

static mbl_status read_node(reader *r, const yaml_event_t *event, int level, mbl_node **node);

static mbl_status read_scalar(reader *r, const yaml_event_t *event, mbl_node **node)
{
    const char *text = (const char *)event->data.scalar.value;
    size_t n = event->data.scalar.length;
    double number = 0.0;
    bool plain = event->data.scalar.style == YAML_PLAIN_SCALAR_STYLE;
    if (plain && mbl_number_read(text, n, &number))
        *node = mbl_node_number(r->alloc, number);
    else
        *node = mbl_node_text(r->alloc, text, n);
    return *node != NULL ? MBL_OK : no_memory(r);
}

static mbl_status read_list(reader *r, int level, mbl_node *list)
{
    for (;;) {
        yaml_event_t event;
        MBL_TRY(next(r, &event));
        bool end = event.type == YAML_SEQUENCE_END_EVENT;
        mbl_node *item = NULL;
        mbl_status status = end ? MBL_OK : read_node(r, &event, level + 1, &item);
        yaml_event_delete(&event);
        if (end || status != MBL_OK)
            return status;
        if (!mbl_node_append(list, item))
            return no_memory(r);
    }
}

static mbl_status check_key(reader *r, const yaml_event_t *event, const mbl_node *map)
{
    if (event->type != YAML_SCALAR_EVENT && event->type != YAML_ALIAS_EVENT)
        return refuse(r, event->start_mark, "a key must be plain text");
    MBL_TRY(check_plain(r, event, 0));
    const char *key = (const char *)event->data.scalar.value;
    size_t n = event->data.scalar.length;
    if (n == 0 || !mbl_say_clean(key, n))
        return refuse(r, event->start_mark, "a key must be plain text");
    if (map->count >= MOST_KEYS)
        return refuse(r, event->start_mark, "more than 4096 keys in one map");
    const mbl_node *first = mbl_node_get(map, key);
    if (first == NULL)
        return MBL_OK;
    char said[MBL_SAY];
    char text[MBL_SAY + 64];
    mbl_say_text(key, said);
    snprintf(text, sizeof text, "the key %s is here twice; the first is on line %d", said,
             first->line);
    return refuse(r, event->start_mark, text);
}

/* Reads the value of a key and puts it into the map. */
static mbl_status read_value(reader *r, const char *key, int level, mbl_node *map)
{
    yaml_event_t event;
    MBL_TRY(next(r, &event));
    mbl_node *value = NULL;
    mbl_status status = read_node(r, &event, level + 1, &value);
    yaml_event_delete(&event);
    MBL_TRY(status);
    return mbl_node_put(map, key, value) ? MBL_OK : no_memory(r);
}

static mbl_status read_map(reader *r, int level, mbl_node *map)
{
    for (;;) {
        yaml_event_t event;
        MBL_TRY(next(r, &event));
        bool end = event.type == YAML_MAPPING_END_EVENT;
        mbl_status status = end ? MBL_OK : check_key(r, &event, map);
        if (!end && status == MBL_OK)
            status = read_value(r, (const char *)event.data.scalar.value, level, map);
        yaml_event_delete(&event);
        if (end || status != MBL_OK)
            return status;
    }
}

static mbl_status read_node(reader *r, const yaml_event_t *event, int level, mbl_node **node)
{
    MBL_TRY(check_plain(r, event, level));
    mbl_node *made = NULL;
    mbl_status status = MBL_OK;
    if (event->type == YAML_SCALAR_EVENT) {
        status = read_scalar(r, event, &made);
    } else {
        bool list = event->type == YAML_SEQUENCE_START_EVENT;
        made = list ? mbl_node_list(r->alloc) : mbl_node_map(r->alloc);
        if (made == NULL)
            return no_memory(r);
        status = list ? read_list(r, level, made) : read_map(r, level, made);
    }
    if (status != MBL_OK) {
        mbl_node_drop(made);
        return status;
    }
    made->line = (int)event->start_mark.line + 1;
    made->column = (int)event->start_mark.column + 1;
    *node = made;
    return MBL_OK;
}

/* Reads events up to the next one of type `want`; false in *there when another comes. */
static mbl_status expect(reader *r, yaml_event_type_t want, bool *there)
{
    yaml_event_t event;
    MBL_TRY(next(r, &event));
    *there = event.type == want;
    mbl_status status = MBL_OK;
    if (*there && want == YAML_DOCUMENT_START_EVENT &&
        event.data.document_start.tag_directives.start !=
            event.data.document_start.tag_directives.end)
        status = refuse(r, event.start_mark, "a tag directive (%TAG) is not read; remove it");
    if (!*there && event.type == YAML_DOCUMENT_START_EVENT)
        status = refuse(r, event.start_mark, "a second document begins; one is read");
    yaml_event_delete(&event);
    return status;
}

static mbl_status read_document(reader *r, mbl_node **root)
{
    bool there = false;
    yaml_mark_t start = {0};
    MBL_TRY(expect(r, YAML_STREAM_START_EVENT, &there));
    MBL_TRY(expect(r, YAML_DOCUMENT_START_EVENT, &there));
    if (!there)
        return refuse(r, start, "the document is empty");
    yaml_event_t event;
    MBL_TRY(next(r, &event));
    bool empty = event.type == YAML_SCALAR_EVENT && event.data.scalar.length == 0 &&
                 event.data.scalar.style == YAML_PLAIN_SCALAR_STYLE;
    mbl_status status = empty ? refuse(r, event.start_mark, "the document is empty")
                              : read_node(r, &event, 1, root);
    yaml_event_delete(&event);
    MBL_TRY(status);
    MBL_TRY(expect(r, YAML_DOCUMENT_END_EVENT, &there));
    return expect(r, YAML_STREAM_END_EVENT, &there);
}

mbl_status mbl_document_parse(const mbl_alloc *alloc, const char *name, const char *bytes,
                              size_t size, mbl_node **root, mbl_error *err)
{
    reader r = {.alloc = alloc, .name = name, .bytes = bytes, .err = err};
    if (size > MOST_BYTES) {
        mbl_status status =
            mbl_fail(err, MBL_INPUT, "%zu bytes; the most that is read is %d", size, MOST_BYTES);
        mbl_error_at(err, name, 0, 0);
        return status;
    }
    if (!yaml_parser_initialize(&r.parser))
        return no_memory(&r);
    yaml_parser_set_encoding(&r.parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&r.parser, (const unsigned char *)bytes, size);
    mbl_node *made = NULL;
    mbl_status status = read_document(&r, &made);
    yaml_parser_delete(&r.parser);
    if (status != MBL_OK) {
        mbl_node_drop(made);
        return status;
    }
    *root = made;
    return MBL_OK;
}

mbl_status mbl_document_read(const mbl_alloc *alloc, const char *path, mbl_node **root,
                             mbl_error *err)
{
    char *bytes = NULL;
    size_t size = 0;
    MBL_TRY(mbl_file_read(alloc, path, MOST_BYTES, &bytes, &size, err));
    mbl_status status = mbl_document_parse(alloc, path, bytes, size, root, err);
    mbl_free(alloc, bytes, size + 1, 1);
    return status;
}
