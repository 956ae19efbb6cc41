/* SPDX-License-Identifier: MIT */
/* A course on paper from any bytes; what is read is mirrored, shifted, written and read again. */
#include "fuzz/fuzz.h"
#include "out/layout_yaml.h"
#include "road/layout_read.h"

/* Bytes of memory a target may use. */
#define CAP ((size_t)512 << 20)

static void change(const mbl_layout *layout)
{
    mbl_error err = {0};
    mbl_layout *mirrored = NULL;
    must(mbl_layout_mirror(layout, &mirrored, &err) == MBL_OK);
    must(mirrored->n == layout->n);
    mbl_layout_drop(mirrored);
    mbl_layout *shifted = NULL;
    mbl_status status = mbl_layout_shift(layout, layout->length / 3, &shifted, &err);
    must((status == MBL_OK) == layout->closed);
    mbl_layout_drop(shifted);
}

static void write_and_read(const mbl_layout *layout)
{
    mbl_error err = {0};
    mbl_text text;
    mbl_text_init(&text, layout->alloc);
    must(mbl_out_layout_text(layout, &text, &err) == MBL_OK);
    mbl_layout *again = NULL;
    mbl_status status =
        mbl_layout_parse(layout->alloc, "again", mbl_text_get(&text), text.length, &again, &err);
    /* at the very edge of what closes, rounding may decide otherwise */
    must(status == MBL_OK || (layout->closed && status == MBL_INPUT));
    if (status == MBL_OK)
        must(again->n == layout->n);
    mbl_layout_drop(again);
    mbl_text_free(&text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fuzz_memory memory;
    fuzz_memory_init(&memory, CAP);
    mbl_layout *layout = NULL;
    mbl_error err = {0};
    mbl_status status =
        mbl_layout_parse(&memory.alloc, "fuzz", (const char *)data, size, &layout, &err);
    fuzz_check_error(status, &err);
    must((status == MBL_OK) == (layout != NULL));
    if (layout != NULL) {
        change(layout);
        write_and_read(layout);
    }
    mbl_layout_drop(layout);
    must(status != MBL_MEMORY);
    must(memory.used == 0);
    return 0;
}
