/* SPDX-License-Identifier: MIT */
#include "road/log.h"

#include "road/import.h"

/* The word of `k` in a list of texts. */
#define PICK(texts, k) ((size_t)(k) < sizeof(texts) / sizeof(texts)[0] ? (texts)[k] : "unknown")

const char *mbl_log_shape_text(mbl_log_shape shape)
{
    static const char *const texts[] = {
#define TEXT(name, text) text,
        MBL_LOG_SHAPE_LIST(TEXT)
#undef TEXT
    };
    return PICK(texts, (unsigned)shape);
}

const char *mbl_log_clock_text(mbl_log_clock clock)
{
    static const char *const texts[] = {
#define TEXT(name, text) text,
        MBL_LOG_CLOCK_LIST(TEXT)
#undef TEXT
    };
    return PICK(texts, (unsigned)clock);
}

const char *mbl_repair_text(mbl_repair_kind kind)
{
    static const char *const texts[] = {
#define TEXT(name, text, unit) text,
        MBL_REPAIR_LIST(TEXT)
#undef TEXT
    };
    return PICK(texts, (unsigned)kind);
}

const char *mbl_repair_unit(mbl_repair_kind kind)
{
    static const char *const units[] = {
#define UNIT(name, text, unit) unit,
        MBL_REPAIR_LIST(UNIT)
#undef UNIT
    };
    return (unsigned)kind < MBL_REPAIRS ? units[kind] : "";
}

mbl_status mbl_log_parse(const mbl_alloc *alloc, const char *name, const char *bytes, size_t size,
                         const mbl_log_wish *wish, mbl_log **out, mbl_error *err)
{
    static const mbl_log_wish none;
    if (wish == NULL)
        wish = &none;
    mbl_import import = {0};
    mbl_status status = mbl_import_parse(alloc, bytes, size, wish, &import, err);
    if (status == MBL_OK)
        status = mbl_log_assemble(&import, name, wish, out, err);
    mbl_import_free(&import);
    if (status != MBL_OK)
        mbl_error_at(err, name, 0, 0);
    return status;
}

mbl_status mbl_log_read(const mbl_alloc *alloc, const char *path, const mbl_log_wish *wish,
                        mbl_log **out, mbl_error *err)
{
    char *bytes = NULL;
    size_t size = 0;
    MBL_TRY(mbl_file_read(alloc, path, MBL_LOG_LIMIT, &bytes, &size, err));
    mbl_status status = mbl_log_parse(alloc, path, bytes, size, wish, out, err);
    mbl_free(alloc, bytes, size + 1, 1);
    return status;
}

void mbl_log_free(mbl_log *log)
{
    if (log != NULL)
        mbl_free(log->alloc, log, log->bytes, 1);
}
