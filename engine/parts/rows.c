/* SPDX-License-Identifier: MIT */
#include "parts/rows.h"

mbl_status mbl_rule_broken(mbl_error *err, const char *key, const char *text)
{
    mbl_status status = mbl_fail(err, MBL_INPUT, "%s", text);
    mbl_error_under(err, key);
    return status;
}
