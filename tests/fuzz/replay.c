/* SPDX-License-Identifier: MIT */
/*
 * Runs a fuzz target over the files of a corpus without a fuzzer, in the order of their names:
 * what was found once stays found. Usage: replay_TARGET FOLDER
 */
#include "fuzz/fuzz.h"

#include <dirent.h>
#include <string.h>

static int play(const char *folder, const char *name)
{
    char path[1024];
    char *bytes = NULL;
    size_t size = 0;
    mbl_error err = {0};
    snprintf(path, sizeof path, "%s/%s", folder, name);
    if (mbl_file_read(&mbl_alloc_libc, path, (size_t)16 << 20, &bytes, &size, &err) != MBL_OK) {
        fprintf(stderr, "%s\n", err.text);
        return 1;
    }
    printf("%s, %zu bytes\n", name, size);
    fflush(stdout);
    LLVMFuzzerTestOneInput((const uint8_t *)bytes, size);
    mbl_free(&mbl_alloc_libc, bytes, size + 1, 1);
    return 0;
}

int main(int argc, char **argv)
{
    struct dirent **entries = NULL;
    int bad = 0;
    int played = 0;
    if (argc != 2) {
        fprintf(stderr, "usage: %s FOLDER\n", argv[0]);
        return 2;
    }
    int n = scandir(argv[1], &entries, NULL, alphasort);
    for (int i = 0; i < n; i++) {
        if (entries[i]->d_name[0] != '.') {
            bad += play(argv[1], entries[i]->d_name);
            played++;
        }
        free(entries[i]);
    }
    free(entries);
    printf("%d files played\n", played);
    return bad == 0 && played > 0 ? 0 : 1;
}
