/* SPDX-License-Identifier: MIT */
/* The three files of the binder: bind.c does maps and rules, bind_value.c leaves, bind_list.c
 * lists. */
#ifndef MBL_PARTS_BIND_H
#define MBL_PARTS_BIND_H

#include "parts/schema.h"

/* Binds one node against a field of any leaf kind; err->path is relative to the node. */
MBL_NODISCARD mbl_status mbl_bind_value(const mbl_field *field, const mbl_node *raw,
                                        mbl_node **bound, mbl_error *err);

MBL_NODISCARD mbl_status mbl_bind_numbers(const mbl_field *field, const mbl_node *raw,
                                          mbl_node **bound, mbl_error *err);
MBL_NODISCARD mbl_status mbl_bind_curve(const mbl_field *field, const mbl_node *raw,
                                        mbl_node **bound, mbl_error *err);

/* Turns a function into the list of pairs it is at MBL_CURVE_MAX points; *made is unbound. */
MBL_NODISCARD mbl_status mbl_bind_sample(const mbl_field *field, const mbl_node *raw,
                                         mbl_node **made, mbl_error *err);

MBL_NODISCARD mbl_status mbl_bind_film(const mbl_field *field, const mbl_node *raw,
                                       mbl_node **bound, mbl_error *err);

/* Is this node a function? */
bool mbl_bind_is_function(const mbl_node *raw);

/* Reads a number of a quantity into SI and, if asked, holds it against the range of the field. */
MBL_NODISCARD mbl_status mbl_bind_read(const mbl_field *field, mbl_quantity quantity, bool ranged,
                                       const mbl_node *raw, double *si, mbl_error *err);

/* The bound form of a number: `raw` itself when it is that already. */
MBL_NODISCARD mbl_status mbl_bind_keep(const mbl_node *raw, double si, mbl_node **bound,
                                       mbl_error *err);

/* Binds one item of a list for mbl_bind_list. */
typedef mbl_status (*mbl_bind_item)(const mbl_field *field, const mbl_node *raw, mbl_node **bound,
                                    mbl_error *err);

/*
 * Binds a list item by item, checking how many there are; `noun` is what one item is called.
 * When no item changes, the raw list itself is kept.
 */
MBL_NODISCARD mbl_status mbl_bind_list(const mbl_field *field, const mbl_node *raw,
                                       const char *noun, mbl_bind_item item, mbl_node **bound,
                                       mbl_error *err);

/* Fails with "expected <what>, found <the node>". */
mbl_status mbl_bind_wrong(mbl_error *err, const mbl_node *raw, const char *format, ...)
    MBL_PRINTF(3, 4);

/* Fails with MBL_MEMORY. */
mbl_status mbl_bind_memory(mbl_error *err);

/* The most items a list field takes. */
size_t mbl_field_most(const mbl_field *field);

/* Bytes of the char array of a text field, its last zero included. */
size_t mbl_field_room(const mbl_field *field);

/* Has the field a range? */
bool mbl_field_ranged(const mbl_field *field);

#endif
