/* SPDX-License-Identifier: MIT */
/* Text as a value of every quantity, and what is said about it. */
#include "fuzz/fuzz.h"
#include "parts/units.h"

#include <math.h>
#include <string.h>

static void check_quantity(mbl_quantity quantity, const char *text)
{
    mbl_error err = {0};
    double si = NAN;
    char shown[48];
    mbl_status status = mbl_units_read(quantity, text, &si, &err);
    fuzz_check_error(status, &err);
    must(status == MBL_OK || status == MBL_INPUT);
    if (status == MBL_OK) {
        must(isfinite(si));
        memset(shown, 'x', sizeof shown);
        mbl_units_show(quantity, si, shown);
        must(memchr(shown, 0, sizeof shown) != NULL);
    } else {
        must(isnan(si));
    }
    memset(shown, 'x', sizeof shown);
    if (mbl_units_slip_text(quantity, text, 0.1, 10, shown))
        must(memchr(shown, 0, sizeof shown) != NULL);
    double scale = NAN;
    double offset = NAN;
    if (mbl_units_find(quantity, text, &scale, &offset))
        must(isfinite(scale) && scale > 0 && isfinite(offset));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size > 4096)
        return 0;
    char *text = malloc(size + 1);
    if (text == NULL)
        return 0;
    memcpy(text, data, size);
    text[size] = '\0';
    for (int q = MBL_Q_SHARE; q <= MBL_Q_ENERGY; q++)
        check_quantity((mbl_quantity)q, text);
    double value = NAN;
    if (mbl_number_read(text, size, &value)) {
        must(isfinite(value));
        char written[32];
        double again = NAN;
        mbl_number_write(value, written);
        must(mbl_number_read(written, strlen(written), &again) && again == value);
    }
    free(text);
    return 0;
}
