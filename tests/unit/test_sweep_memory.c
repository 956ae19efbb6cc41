/* SPDX-License-Identifier: MIT */
/*
 * Every allocation failed in turn while a script loads a log, compiles, sweeps two rows and saves:
 * an error that says so, nothing leaked, and files whole or not there. The short tier fails every
 * third; MBL_CASES of more than 1000 fails them all.
 */
#include "host/host.h"
#include "support/random_car.h"
#include "support/test.h"
#include "support/test_alloc.h"

#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static const char script[] =
    "local el = require 'emberlap'\n"
    "local m = require 'modules.coupe'\n"
    "local grid = el.sweep {\n"
    "  over = { ring = { '7 kg', '8 kg' } }, measures = { 'front.fluid.margin' },\n"
    "  case = function(x) return { course = m.course, stint = { hot = 1, park = '1 min' },\n"
    "    car = m.car:with { front = { rotor = { ring_mass = x.ring } } } } end,\n"
    "}\n"
    "grid:save 'grid.csv'\n"
    "grid:save 'grid.json'\n"
    "print(#grid, grid[1].reason)\n";

typedef struct outcome {
    int code;
    char *out, *notes;
    size_t sizes[2];
} outcome;

static char folder[] = "/tmp/mbl_sweep_memory_XXXXXX";

static outcome run_script(test_alloc *t)
{
    outcome r = {0};
    FILE *out = open_memstream(&r.out, &r.sizes[0]);
    FILE *notes = open_memstream(&r.notes, &r.sizes[1]);
    assert_true(out != NULL && notes != NULL);
    mbl_host_options o = {.alloc = &t->alloc,
                          .out = out,
                          .notes = notes,
                          .out_dir = folder,
                          .allowance = 1000,
                          .workers = 0};
    r.code = mbl_host_text(&o, MBL_SOURCE_DIR "/tests/script/memory.lua", script, strlen(script));
    fclose(out);
    fclose(notes);
    return r;
}

static void forget(outcome *r)
{
    free(r->out);
    free(r->notes);
}

static char *contents(const char *name)
{
    char path[128];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *f = fopen(path, "rb");
    if (f == NULL)
        return NULL;
    char *bytes = calloc(1, 1 << 16);
    assert_non_null(bytes);
    assert_true(fread(bytes, 1, (1 << 16) - 1, f) > 0);
    fclose(f);
    unlink(path);
    return bytes;
}

/* A file that is there is as it was when all went well. */
static void same_or_none(const char *name, const char *whole)
{
    char *bytes = contents(name);
    if (bytes != NULL)
        assert_string_equal(bytes, whole);
    free(bytes);
}

static void every_allocation_of_a_sweep_can_fail(void **state)
{
    (void)state;
    test_alloc t;
    test_alloc_init(&t);
    assert_non_null(mkdtemp(folder));
    outcome whole = run_script(&t);
    if (whole.code != 0 || strcmp(whole.out, "2\tnil\n") != 0)
        fail_msg("exit %d: %s%s", whole.code, whole.out, whole.notes);
    char *csv = contents("grid.csv");
    char *json = contents("grid.json");
    assert_true(csv != NULL && json != NULL);
    size_t calls = t.calls;
    size_t refused = 0;
    size_t stride = random_cases(1) > 1000 ? 1 : 3;
    for (size_t k = 1; k <= calls; k += stride) {
        test_alloc_init(&t);
        t.fail_at = k;
        outcome r = run_script(&t);
        /* Lua asks again after collecting, so that some failures pass unnoticed */
        if (r.code == 0)
            assert_string_equal(r.out, whole.out);
        else
            assert_has(r.notes, "memory");
        refused += r.code != 0;
        same_or_none("grid.csv", csv);
        same_or_none("grid.json", json);
        assert_int_equal(t.live_bytes, 0);
        assert_int_equal(t.wrong_size, 0);
        forget(&r);
    }
    printf("%zu allocations, every %zu. failed, %zu ended the script\n", calls, stride, refused);
    assert_true(refused > calls / stride / 2);
    assert_int_equal(rmdir(folder), 0);
    free(csv);
    free(json);
    forget(&whole);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_allocation_of_a_sweep_can_fail)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
