/* SPDX-License-Identifier: MIT */
/* A YAML document, bound against every definition there is, and the structs filled from it. */
#include "fuzz/fuzz.h"
#include "parts/parts.h"

#include <string.h>

/* Bytes of memory a target may use. */
#define CAP ((size_t)512 << 20)

static void bind(const mbl_schema *schema, const mbl_node *root)
{
    mbl_node *bound = NULL;
    mbl_error err = {0};
    mbl_status status = mbl_bind(schema, root, &bound, &err);
    fuzz_check_error(status, &err);
    must((status == MBL_OK) == (bound != NULL));
    if (status != MBL_OK)
        return;
    void *filled = malloc(schema->size);
    if (filled != NULL)
        mbl_extract(schema, bound, filled);
    free(filled);
    mbl_node_drop(bound);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fuzz_memory memory;
    fuzz_memory_init(&memory, CAP);
    mbl_node *root = NULL;
    mbl_error err = {0};
    mbl_status status =
        mbl_document_parse(&memory.alloc, "fuzz", (const char *)data, size, &root, &err);
    fuzz_check_error(status, &err);
    must((status == MBL_OK) == (root != NULL));
    for (size_t i = 0; status == MBL_OK && mbl_schemas[i] != NULL; i++)
        bind(mbl_schemas[i], root);
    if (root != NULL)
        mbl_node_drop(root);
    must(status != MBL_MEMORY);
    must(memory.used == 0);
    return 0;
}
