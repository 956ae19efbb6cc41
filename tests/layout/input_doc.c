/* SPDX-License-Identifier: MIT */
/*
 * Writes docs/input.md from the field tables, or checks that the committed one is what they say.
 *
 *   input_doc FILE           writes it
 *   input_doc --check FILE   exit 1 when FILE differs
 */
#include "parts/parts.h"

#include <stdio.h>
#include <string.h>

static const char head[] =
    "# What can be given\n\n"
    "Written from the field tables in `engine/parts/define_*.c` by the build target\n"
    "`input_doc`; a test keeps it true. A value is text with its unit, or a bare number: SI, with\n"
    "levels of temperature in C, differences in K, gauge pressure in Pa, shares as 0 to 1.\n"
    "Keys marked *not yet modelled* are refused: a key is accepted only once it changes a result.\n";

static int check(const char *path, const mbl_text *text)
{
    char *data = NULL;
    size_t size = 0;
    mbl_error err = {0};
    if (mbl_file_read(&mbl_alloc_libc, path, 1 << 22, &data, &size, &err) != MBL_OK) {
        fprintf(stderr, "%s\n", err.text);
        return 1;
    }
    int same = size == text->length && memcmp(data, mbl_text_get(text), size) == 0;
    mbl_free(&mbl_alloc_libc, data, size + 1, 1);
    if (!same)
        fprintf(stderr, "%s is not what the field tables say; write it again with input_doc %s\n",
                path, path);
    return same ? 0 : 1;
}

int main(int argc, char **argv)
{
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_text_print(&text, "%s", head);
    for (size_t i = 0; mbl_schemas[i] != NULL; i++) {
        mbl_text_print(&text, "\n");
        mbl_schema_document(mbl_schemas[i], &text);
    }
    int status = 2;
    if (argc == 3 && strcmp(argv[1], "--check") == 0) {
        status = check(argv[2], &text);
    } else if (argc == 2) {
        mbl_file file;
        mbl_error err = {0};
        status = mbl_file_begin(&file, argv[1], &err) == MBL_OK &&
                         fwrite(mbl_text_get(&text), 1, text.length, file.stream) == text.length &&
                         mbl_file_commit(&file, &err) == MBL_OK
                     ? 0
                     : 1;
        if (status != 0)
            fprintf(stderr, "%s\n", err.text);
    } else {
        fprintf(stderr, "usage: input_doc [--check] FILE\n");
    }
    mbl_text_free(&text);
    return status;
}
