/* SPDX-License-Identifier: MIT */
/* Public header of `study`: runs, checks, verdicts. */
#ifndef MBL_STUDY_H
#define MBL_STUDY_H

#include "study/assumptions.h"
#include "study/batch.h"
#include "study/checks.h"
#include "study/run.h"

#endif
