/* SPDX-License-Identifier: MIT */
#include "support/session.h"

#include "support/coupe.h"
#include "support/test.h"

mbl_trace *test_session(const drive_course *course, size_t hot)
{
    drive_car car = drive_coupe();
    drive_plan plan = drive_stint(hot, 7);
    drive_session session;
    drive_run(course, &car, &plan, &session);
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    drive_write(&session, &(drive_format){.rate = 20, .lap = true}, &text);
    drive_free(&session);
    mbl_error err = {0};
    mbl_log *log = NULL;
    mbl_trace *trace = NULL;
    assert_ok(mbl_log_parse(&mbl_alloc_libc, "session", mbl_text_get(&text), text.length,
                            &(mbl_log_wish){0}, &log, &err),
              err);
    assert_ok(mbl_trace_make(&mbl_alloc_libc, log, &trace, &err), err);
    mbl_log_free(log);
    mbl_text_free(&text);
    return trace;
}

mbl_case test_case(mbl_trace *trace, const char *stint_yaml)
{
    mbl_case c = {.car = test_coupe(), .limits = test_limits(), .event = test_event()};
    test_fill(&mbl_stint_schema, stint_yaml, &c.stint);
    test_fill(&mbl_course_schema, "{ file: session }", &c.course);
    c.course.trace = trace;
    return c;
}
