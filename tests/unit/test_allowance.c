/* SPDX-License-Identifier: MIT */
/* Whose processor time runs, and what becomes of a script that does not stop. */
#include "support/test.h"

#include "host/allowance.h"
#include "host/host.h"

#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

/* Takes this thread's processor time for `seconds`. */
static void burn(double seconds)
{
    struct timespec t;
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    double start = (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
    do {
        clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    } while ((double)t.tv_sec + 1e-9 * (double)t.tv_nsec - start < seconds);
}

static void the_time_of_the_script_counts(void **state)
{
    (void)state;
    mbl_allowance a;
    mbl_allowance_begin(&a, "s.lua", 0.02);
    assert_false(mbl_allowance_over(&a));
    burn(0.025);
    assert_true(mbl_allowance_over(&a));
}

static void the_time_of_the_engine_does_not(void **state)
{
    (void)state;
    mbl_allowance a;
    mbl_allowance_begin(&a, "s.lua", 0.02);
    mbl_allowance_engine_begin(&a);
    burn(0.03);
    assert_false(mbl_allowance_over(&a)); /* while it works */
    mbl_allowance_engine_begin(&a);       /* brackets nest */
    burn(0.01);
    mbl_allowance_engine_end(&a);
    burn(0.01);
    mbl_allowance_engine_end(&a);
    assert_false(mbl_allowance_over(&a)); /* and afterwards */
    burn(0.025);
    assert_true(mbl_allowance_over(&a));
}

static void a_call_back_into_the_script_is_the_script(void **state)
{
    (void)state;
    mbl_allowance a;
    mbl_allowance_begin(&a, "s.lua", 0.06);
    mbl_allowance_engine_begin(&a);
    mbl_allowance_engine_begin(&a);
    int depth = mbl_allowance_script_begin(&a);
    burn(0.03);
    mbl_allowance_engine_begin(&a); /* the callback asks the engine */
    burn(0.1);
    mbl_allowance_engine_end(&a);
    mbl_allowance_script_end(&a, depth);
    burn(0.1);
    assert_false(mbl_allowance_over(&a));
    mbl_allowance_engine_end(&a);
    burn(0.01);
    mbl_allowance_engine_end(&a); /* only now is it the script's again */
    assert_false(mbl_allowance_over(&a));
    burn(0.035);
    assert_true(mbl_allowance_over(&a));
}

static void a_bracket_that_an_error_left_open_ends_when_the_script_is_seen(void **state)
{
    (void)state;
    mbl_allowance a;
    mbl_allowance_begin(&a, "s.lua", 0.02);
    mbl_allowance_engine_begin(&a);
    mbl_allowance_seen(&a, 7);
    burn(0.025);
    assert_true(mbl_allowance_over(&a));
    mbl_allowance_engine_end(&a); /* one too many is none */
    assert_true(mbl_allowance_over(&a));
}

/* What a child that does `work` under the guard says before it ends, and its status. */
static int child_of(void (*work)(mbl_allowance *a), char said[600])
{
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        mbl_allowance a;
        close(ends[0]);
        (void)alarm(60);
        mbl_allowance_begin(&a, "s.lua", 0.05);
        if (!mbl_allowance_guard(&a, ends[1]))
            _exit(90);
        work(&a);
        mbl_allowance_end(&a);
        _exit(77);
    }
    close(ends[1]);
    size_t n = 0;
    for (;;) {
        ssize_t got = read(ends[0], said + n, 599 - n);
        if (got <= 0)
            break;
        n += (size_t)got;
    }
    said[n] = '\0';
    close(ends[0]);
    int status = 0;
    assert_int_equal(waitpid(child, &status, 0), child);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -WTERMSIG(status);
}

static void go_on_for_ever(mbl_allowance *a)
{
    (void)a;
    for (;;)
        burn(1);
}

static void be_asked_and_go_on(mbl_allowance *a)
{
    mbl_allowance_seen(a, 12);
    mbl_allowance_ask(a, "other.lua:4");
    go_on_for_ever(a);
}

static void be_seen_and_go_on(mbl_allowance *a)
{
    mbl_allowance_seen(a, 12);
    go_on_for_ever(a);
}

static void go_on_within_a_callback(mbl_allowance *a)
{
    mbl_allowance_engine_begin(a);
    burn(1.5);
    (void)mbl_allowance_script_begin(a);
    go_on_for_ever(a);
}

static void work_in_the_engine(mbl_allowance *a)
{
    mbl_allowance_engine_begin(a);
    burn(1.5);
    mbl_allowance_engine_end(a);
}

static void stop_within_the_grace(mbl_allowance *a)
{
    burn(0.3);
    if (!mbl_allowance_over(a))
        _exit(91);
}

static void a_script_that_does_not_stop_ends_the_process_with_one_line(void **state)
{
    (void)state;
    static const struct {
        void (*work)(mbl_allowance *a);
        const char *said;
    } cases[] = {
        {go_on_for_ever, "emberlap: s.lua: the script has run for too long and does not stop when "
                         "asked: its allowance is 0.05 s of processor time; --allowance SECONDS "
                         "gives it another\n"},
        {be_asked_and_go_on, "emberlap: other.lua:4: the script has run for too long and does not"},
        {be_seen_and_go_on, "emberlap: s.lua: last seen at line 12: the script has run for too"},
        {go_on_within_a_callback, "emberlap: s.lua: the script has run for too long and does not"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char said[600];
        assert_int_equal(child_of(cases[i].work, said), MBL_EXIT_WRONG);
        if (strncmp(said, cases[i].said, strlen(cases[i].said)) != 0)
            fail_msg("%zu: '%s'", i, said);
        assert_ptr_equal(strchr(said, '\n'), said + strlen(said) - 1);
    }
}

static void a_script_that_stops_and_an_engine_that_works_do_not(void **state)
{
    (void)state;
    char said[600];
    assert_int_equal(child_of(work_in_the_engine, said), 77);
    assert_string_equal(said, "");
    assert_int_equal(child_of(stop_within_the_grace, said), 77);
    assert_string_equal(said, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_time_of_the_script_counts),
        cmocka_unit_test(the_time_of_the_engine_does_not),
        cmocka_unit_test(a_call_back_into_the_script_is_the_script),
        cmocka_unit_test(a_bracket_that_an_error_left_open_ends_when_the_script_is_seen),
        cmocka_unit_test(a_script_that_does_not_stop_ends_the_process_with_one_line),
        cmocka_unit_test(a_script_that_stops_and_an_engine_that_works_do_not),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
