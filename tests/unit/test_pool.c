/* SPDX-License-Identifier: MIT */
#include "base/pool.h"
#include "support/random.h"
#include "support/test.h"
#include "support/test_alloc.h"

#include <errno.h>
#include <pthread.h>
#include <signal.h>
#include <time.h>
#include <unistd.h>

enum { MOST_ITEMS = 400, NEVER = MOST_ITEMS };

static const int crews[] = {0, 1, 2, 3, 8};
#define CREWS (sizeof crews / sizeof crews[0])

/* The linker sends the engine's calls here (--wrap), so that threads can be refused on order. */
static int threads_to_have = INT16_MAX;
static int threads_made;
int __real_pthread_create(pthread_t *, const pthread_attr_t *, void *(*)(void *), void *);
int __wrap_pthread_create(pthread_t *, const pthread_attr_t *, void *(*)(void *), void *);
int __wrap_pthread_create(pthread_t *thread, const pthread_attr_t *attr, void *(*fn)(void *),
                          void *arg)
{
    if (threads_made >= threads_to_have)
        return EAGAIN;
    threads_made++;
    return __real_pthread_create(thread, attr, fn, arg);
}

static void sleep_ms(long ms)
{
    struct timespec t = {ms / 1000, ms % 1000 * 1000000L};
    nanosleep(&t, NULL);
}

/*
 * A job that keeps books. Slots and the rows of items are plain memory on purpose: were the pool to
 * hand one to two threads at once, the thread sanitizer would say so.
 */
typedef struct books {
    mbl_pool_job job;
    size_t slots[MOST_ITEMS]; /* what `work` left for `take`: 3 i + 1 */
    int worked[MOST_ITEMS];   /* times */
    long naps[MOST_ITEMS];    /* ms that work on it takes */
    size_t give_ends;         /* give says there is no more */
    size_t give_fails;        /* these fail at this item; NEVER */
    size_t take_fails;
    bool work_fails[MOST_ITEMS];
    size_t stop_at_take;   /* raise the flag within this take */
    size_t signal_at_work; /* raise it by a signal while this item is worked */
    size_t gather;         /* work waits until so many items are in work */
    char calls[8192];      /* on the caller's thread: g0 g1 t0 ... */
    pthread_t caller;
    pthread_mutex_t lock;
    pthread_cond_t gathered;
    size_t taken, begun, in_work, most_in_work;
    int wrong_slot, wrong_thread, beyond_window, wrong_worker, unblocked;
    int crew;
} books;

static volatile sig_atomic_t flag;
static volatile sig_atomic_t handled_elsewhere;
static pthread_t handler_belongs;

static void on_signal(int number)
{
    (void)number;
    flag = 1;
    if (!pthread_equal(pthread_self(), handler_belongs))
        handled_elsewhere = 1;
}

static void tally(books *b, int *count, bool wrong)
{
    pthread_mutex_lock(&b->lock);
    *count += wrong;
    pthread_mutex_unlock(&b->lock);
}

static void note(books *b, char what, size_t i)
{
    size_t n = strlen(b->calls);
    snprintf(b->calls + n, sizeof b->calls - n, "%s%c%zu", n == 0 ? "" : " ", what, i);
    tally(b, &b->wrong_thread, !pthread_equal(pthread_self(), b->caller));
}

static mbl_status give(void *ctx, size_t i, bool *more, mbl_error *err)
{
    books *b = ctx;
    note(b, 'g', i);
    if (i == b->give_fails)
        return mbl_fail(err, MBL_FILE, "give %zu", i);
    *more = i < b->give_ends;
    if (*more)
        b->slots[i % b->job.window] = i;
    return MBL_OK;
}

static void begin(books *b, size_t i, int worker)
{
    struct timespec until;
    clock_gettime(CLOCK_REALTIME, &until);
    until.tv_sec += 20;
    pthread_mutex_lock(&b->lock);
    b->begun++;
    b->in_work++;
    if (b->in_work > b->most_in_work)
        b->most_in_work = b->in_work;
    b->beyond_window += i >= b->taken + b->job.window;
    b->wrong_worker += worker < 0 || worker >= (b->crew > 1 ? b->crew : 1);
    bool on_caller = pthread_equal(pthread_self(), b->caller);
    b->wrong_thread += on_caller != (b->crew < 2);
    pthread_cond_broadcast(&b->gathered);
    while (b->most_in_work < b->gather)
        if (pthread_cond_timedwait(&b->gathered, &b->lock, &until) != 0)
            break;
    sigset_t mask;
    pthread_sigmask(SIG_SETMASK, NULL, &mask);
    b->unblocked += !on_caller && (!sigismember(&mask, SIGINT) || !sigismember(&mask, SIGUSR1) ||
                                   sigismember(&mask, SIGSEGV));
    pthread_mutex_unlock(&b->lock);
}

static mbl_status work(void *ctx, size_t i, int worker, mbl_error *err)
{
    books *b = ctx;
    begin(b, i, worker);
    if (i == b->signal_at_work)
        kill(getpid(), SIGUSR1);
    if (b->naps[i] > 0)
        sleep_ms(b->naps[i]);
    size_t *slot = &b->slots[i % b->job.window];
    tally(b, &b->wrong_slot, b->job.give != NULL && *slot != i);
    *slot = 3 * i + 1;
    b->worked[i]++;
    pthread_mutex_lock(&b->lock);
    b->in_work--;
    pthread_mutex_unlock(&b->lock);
    return b->work_fails[i] ? mbl_fail(err, MBL_NUMERIC, "work %zu", i) : MBL_OK;
}

static mbl_status take(void *ctx, size_t i, mbl_error *err)
{
    books *b = ctx;
    note(b, 't', i);
    tally(b, &b->wrong_slot, b->slots[i % b->job.window] != 3 * i + 1);
    if (i == b->take_fails)
        return mbl_fail(err, MBL_FILE, "take %zu", i);
    if (i == b->stop_at_take)
        flag = 1;
    pthread_mutex_lock(&b->lock);
    b->taken++;
    pthread_mutex_unlock(&b->lock);
    return MBL_OK;
}

static books *open_books(size_t items, size_t window, int crew)
{
    books *b = calloc(1, sizeof *b);
    assert_non_null(b);
    b->job = (mbl_pool_job){
        .items = items, .window = window, .work = work, .take = take, .ctx = b, .stop = &flag};
    b->give_ends = b->give_fails = b->take_fails = b->stop_at_take = b->signal_at_work = NEVER;
    b->caller = pthread_self();
    b->crew = crew;
    pthread_mutex_init(&b->lock, NULL);
    pthread_cond_init(&b->gathered, NULL);
    flag = 0;
    handled_elsewhere = 0;
    handler_belongs = b->caller;
    threads_made = 0;
    return b;
}

/* Runs it; whatever happened, the rules that always hold must have held. */
static mbl_status run(books *b, size_t *delivered, mbl_error *err)
{
    test_alloc t;
    test_alloc_init(&t);
    sigset_t before;
    sigset_t after;
    pthread_sigmask(SIG_SETMASK, NULL, &before);
    *err = (mbl_error){0};
    mbl_status status = mbl_pool_run(&t.alloc, b->crew, &b->job, delivered, err);
    pthread_sigmask(SIG_SETMASK, NULL, &after);
    for (int s = 1; s < 32; s++)
        assert_int_equal(sigismember(&before, s), sigismember(&after, s));
    assert_int_equal(err->status, status);
    assert_int_equal(t.live_bytes, 0);
    assert_int_equal(t.wrong_size, 0);
    assert_int_equal(*delivered, b->taken);
    assert_int_equal(b->in_work, 0);
    assert_int_equal(b->wrong_slot, 0);
    assert_int_equal(b->wrong_thread, 0);
    assert_int_equal(b->beyond_window, 0);
    assert_int_equal(b->wrong_worker, 0);
    assert_int_equal(b->unblocked, 0);
    assert_false(handled_elsewhere);
    size_t begun = 0;
    for (size_t i = 0; i < MOST_ITEMS; i++) {
        assert_in_range(b->worked[i], i < *delivered ? 1 : 0, 1);
        begun += (size_t)b->worked[i];
    }
    assert_int_equal(begun, b->begun);
    return status;
}

static void close_books(books *b)
{
    pthread_mutex_destroy(&b->lock);
    pthread_cond_destroy(&b->gathered);
    free(b);
}

static void all_items_are_worked_once_and_taken_in_order(void **state)
{
    (void)state;
    char expected[8192] = "";
    for (size_t i = 0, n = 0; i < 200; i++)
        n += (size_t)snprintf(expected + n, sizeof expected - n, "%st%zu", i == 0 ? "" : " ", i);
    static const size_t windows[] = {1, 2, 7, 200, 5000};
    random_source random = {20};
    for (size_t c = 0; c < CREWS; c++)
        for (size_t w = 0; w < sizeof windows / sizeof windows[0]; w++) {
            books *b = open_books(200, windows[w], crews[c]);
            for (size_t i = 0; i < 200; i++)
                b->naps[i] = random_below(&random, 8) == 0 ? random_below(&random, 3) : 0;
            size_t delivered = 99;
            mbl_error err;
            assert_ok(run(b, &delivered, &err), err);
            assert_int_equal(delivered, 200);
            assert_int_equal(b->begun, 200);
            assert_string_equal(b->calls, expected);
            close_books(b);
        }
}

static void as_many_items_are_in_work_as_there_are_workers_and_the_window_lets(void **state)
{
    (void)state;
    static const struct {
        int crew;
        size_t items, window, at_once;
    } cases[] = {{0, 9, 4, 1},  {1, 9, 4, 1}, {2, 9, 4, 2},   {3, 9, 4, 3},
                 {8, 20, 4, 4}, {8, 5, 9, 5}, {8, 40, 40, 8}, {3, 9, 1, 1}};
    for (size_t c = 0; c < sizeof cases / sizeof cases[0]; c++) {
        books *b = open_books(cases[c].items, cases[c].window, cases[c].crew);
        b->gather = cases[c].at_once; /* the first ones wait for each other */
        size_t delivered = 0;
        mbl_error err;
        assert_ok(run(b, &delivered, &err), err);
        assert_int_equal(b->most_in_work, cases[c].at_once);
        assert_int_equal(threads_made, cases[c].crew < 2 ? 0 : cases[c].at_once);
        close_books(b);
    }
}

static void the_error_of_the_lowest_item_wins_and_all_before_it_are_taken(void **state)
{
    (void)state;
    random_source random = {7};
    for (int round = 0; round < 40; round++) {
        size_t items = 60;
        bool fails[MOST_ITEMS] = {false};
        size_t lowest = items;
        for (size_t i = 10; i < items; i++) {
            fails[i] = random_below(&random, 6) == 0;
            if (fails[i] && i < lowest)
                lowest = i;
        }
        for (size_t c = 0; c < CREWS && lowest < items; c++) {
            books *b = open_books(items, 20, crews[c]);
            memcpy(b->work_fails, fails, sizeof fails);
            b->naps[lowest] = 2; /* so that others fail before it does */
            size_t delivered = 0;
            mbl_error err;
            char text[32];
            snprintf(text, sizeof text, "work %zu", lowest);
            assert_int_equal(run(b, &delivered, &err), MBL_NUMERIC);
            assert_string_equal(err.text, text);
            assert_int_equal(delivered, lowest);
            close_books(b);
        }
    }
}

/* Item 0 holds everything up for half a second, in which the others would all be worked. */
static void nothing_is_begun_behind_a_failed_item_but_what_was_under_way(void **state)
{
    (void)state;
    for (size_t c = 0; c < CREWS; c++) {
        books *b = open_books(300, 300, crews[c]);
        for (size_t i = 0; i < 300; i++)
            b->naps[i] = i == 0 ? 500 : 2;
        b->naps[9] = 0;
        b->work_fails[9] = true;
        size_t delivered = 99;
        mbl_error err;
        assert_int_equal(run(b, &delivered, &err), MBL_NUMERIC);
        assert_int_equal(delivered, 9);
        assert_in_range(b->begun, 10, crews[c] < 2 ? 10 : 10 + 50);
        close_books(b);
    }
}

/* What is called on the caller's thread, for every crew. */
static void assert_calls(void (*set)(books *), mbl_status status, const char *text,
                         size_t delivered, const char *calls)
{
    for (size_t c = 0; c < CREWS; c++)
        for (int round = 0; round < 5; round++) {
            books *b = open_books(SIZE_MAX, 3, crews[c]);
            b->job.give = give;
            for (size_t i = 0; i < 10; i++)
                b->naps[i] = (long)(i * 7 + (size_t)round) % 4;
            set(b);
            size_t got = 99;
            mbl_error err;
            assert_int_equal(run(b, &got, &err), status);
            assert_string_equal(err.text, text);
            assert_int_equal(got, delivered);
            assert_string_equal(b->calls, calls);
            close_books(b);
        }
}

static void six_items(books *b)
{
    b->give_ends = 6;
}

static void no_items(books *b)
{
    b->give_ends = 0;
}

static void at_most_four(books *b)
{
    b->job.items = 4;
}

static void work_fails_at_two(books *b)
{
    b->work_fails[2] = b->work_fails[3] = true;
    b->naps[3] = 0;
}

static void take_fails_at_one(books *b)
{
    b->take_fails = 1;
    b->work_fails[2] = true;
}

static void give_fails_at_four(books *b)
{
    b->give_fails = 4;
}

static void work_fails_before_give_does(books *b)
{
    b->give_fails = 4;
    b->work_fails[3] = true;
}

static void giving_and_taking_follow_one_order_whatever_the_workers(void **state)
{
    (void)state;
    assert_calls(six_items, MBL_OK, "", 6, "g0 g1 g2 t0 g3 t1 g4 t2 g5 t3 g6 t4 t5");
    assert_calls(no_items, MBL_OK, "", 0, "g0");
    assert_calls(at_most_four, MBL_OK, "", 4, "g0 g1 g2 t0 g3 t1 t2 t3");
    assert_calls(work_fails_at_two, MBL_NUMERIC, "work 2", 2, "g0 g1 g2 t0 g3 t1 g4");
    assert_calls(take_fails_at_one, MBL_FILE, "take 1", 1, "g0 g1 g2 t0 g3 t1");
    assert_calls(give_fails_at_four, MBL_FILE, "give 4", 4, "g0 g1 g2 t0 g3 t1 g4 t2 t3");
    assert_calls(work_fails_before_give_does, MBL_NUMERIC, "work 3", 3, "g0 g1 g2 t0 g3 t1 g4 t2");
}

static mbl_status fail_silently(void *ctx, size_t i, int worker, mbl_error *err)
{
    (void)worker;
    (void)err;
    return i == *(const size_t *)ctx ? MBL_FILE : MBL_OK;
}

static mbl_status take_anything(void *ctx, size_t i, mbl_error *err)
{
    (void)ctx;
    (void)i;
    (void)err;
    return MBL_OK;
}

static void an_error_without_a_story_gets_one(void **state)
{
    (void)state;
    size_t which = 5;
    mbl_pool_job job = {
        .items = 9, .window = 4, .work = fail_silently, .take = take_anything, .ctx = &which};
    size_t delivered = 0;
    mbl_error err = {0};
    assert_int_equal(mbl_pool_run(&mbl_alloc_libc, 3, &job, &delivered, &err), MBL_FILE);
    assert_has(err.text, "item 5");
    assert_int_equal(delivered, 5);
    /* and nobody has to ask for it */
    assert_int_equal(mbl_pool_run(&mbl_alloc_libc, 3, &job, &delivered, NULL), MBL_FILE);
}

static void an_error_that_is_there_already_is_kept(void **state)
{
    (void)state;
    size_t which = 0;
    mbl_pool_job job = {
        .items = 2, .window = 4, .work = fail_silently, .take = take_anything, .ctx = &which};
    size_t delivered = 9;
    mbl_error err = {0};
    (void)mbl_fail(&err, MBL_INPUT, "earlier");
    assert_int_equal(mbl_pool_run(&mbl_alloc_libc, 2, &job, &delivered, &err), MBL_FILE);
    assert_string_equal(err.text, "earlier");
}

static void after_a_stop_what_is_under_way_is_finished_and_taken(void **state)
{
    (void)state;
    for (size_t c = 0; c < CREWS; c++)
        for (int streamed = 0; streamed < 2; streamed++) {
            books *b = open_books(streamed ? SIZE_MAX : 300, 10, crews[c]);
            b->job.give = streamed ? give : NULL;
            for (size_t i = 0; i < 300; i++)
                b->naps[i] = 1;
            b->stop_at_take = 20;
            size_t delivered = 0;
            mbl_error err;
            assert_int_equal(run(b, &delivered, &err), MBL_STOPPED);
            assert_has(err.text, "interrupted");
            assert_in_range(delivered, 21, crews[c] < 2 ? 21 : 21 + 10);
            assert_int_equal(delivered, b->begun);
            assert_null(strstr(b->calls, "g31")); /* 20 + 10 was given before take 20 or never */
            close_books(b);
        }
}

static void an_error_under_way_at_a_stop_is_told(void **state)
{
    (void)state;
    books *b = open_books(300, 10, 3);
    for (size_t i = 0; i < 300; i++)
        b->naps[i] = 400;
    b->gather = 3;
    b->signal_at_work = 0;
    b->work_fails[1] = true;
    size_t delivered = 0;
    mbl_error err;
    assert_int_equal(run(b, &delivered, &err), MBL_NUMERIC);
    assert_string_equal(err.text, "work 1");
    assert_int_equal(delivered, 1);
    assert_int_equal(b->begun, 3); /* the stop was seen before the failure was */
    close_books(b);
}

static void a_stop_with_nothing_left_to_do_is_no_stop(void **state)
{
    (void)state;
    for (size_t c = 0; c < CREWS; c++) {
        books *b = open_books(30, 10, crews[c]);
        b->stop_at_take = 29;
        size_t delivered = 0;
        mbl_error err;
        assert_ok(run(b, &delivered, &err), err);
        assert_int_equal(delivered, 30);
        close_books(b);
    }
}

static void a_stop_beforehand_begins_nothing(void **state)
{
    (void)state;
    for (size_t c = 0; c < CREWS; c++) {
        books *b = open_books(SIZE_MAX, 10, crews[c]);
        b->job.give = give;
        flag = 1;
        size_t delivered = 9;
        mbl_error err;
        assert_int_equal(run(b, &delivered, &err), MBL_STOPPED);
        assert_int_equal(delivered, 0);
        assert_string_equal(b->calls, "");
        close_books(b);
    }
}

/* Both workers are busy for 0.8 s when the signal comes: without a look at the flag meanwhile they
 * would begin the next items before the caller's thread is awake. */
static void a_signal_is_handled_by_the_caller_and_seen_within_a_fifth_of_a_second(void **state)
{
    (void)state;
    books *b = open_books(50, 20, 2);
    for (size_t i = 0; i < 50; i++)
        b->naps[i] = 800;
    b->gather = 2;
    b->signal_at_work = 1;
    size_t delivered = 0;
    mbl_error err;
    mbl_status status = run(b, &delivered, &err);
    assert_int_equal(status, MBL_STOPPED);
    assert_int_equal(delivered, 2);
    assert_int_equal(b->begun, 2);
    close_books(b);
}

static void no_items_are_no_work(void **state)
{
    (void)state;
    for (size_t c = 0; c < CREWS; c++) {
        books *b = open_books(0, 10, crews[c]);
        size_t delivered = 9;
        mbl_error err;
        assert_ok(run(b, &delivered, &err), err);
        assert_int_equal(delivered, 0);
        assert_int_equal(b->begun + (size_t)threads_made, 0);
        close_books(b);
    }
}

static void a_window_of_nothing_is_refused(void **state)
{
    (void)state;
    books *b = open_books(10, 0, 2);
    size_t delivered = 9;
    mbl_error err = {0};
    assert_int_equal(mbl_pool_run(&mbl_alloc_libc, 2, &b->job, &delivered, &err), MBL_INTERNAL);
    assert_int_equal(delivered, 0);
    close_books(b);
}

static void every_allocation_may_fail(void **state)
{
    (void)state;
    for (size_t c = 0; c < CREWS; c++) {
        size_t fail_at = 0;
        mbl_status status = MBL_MEMORY;
        while (status == MBL_MEMORY) {
            fail_at++;
            books *b = open_books(20, 5, crews[c]);
            test_alloc t;
            test_alloc_init(&t);
            t.fail_at = fail_at;
            size_t delivered = 9;
            mbl_error err = {0};
            status = mbl_pool_run(&t.alloc, crews[c], &b->job, &delivered, &err);
            assert_int_equal(err.status, status);
            assert_int_equal(delivered, status == MBL_OK ? 20 : 0);
            assert_int_equal(b->begun, status == MBL_OK ? 20 : 0);
            assert_int_equal(t.live_bytes, 0);
            assert_int_equal(t.wrong_size, 0);
            close_books(b);
        }
        assert_int_equal(status, MBL_OK);
        assert_int_equal(fail_at, 3); /* slots and workers can fail */
    }
}

static void a_window_larger_than_memory_is_an_error(void **state)
{
    (void)state;
    books *b = open_books(SIZE_MAX, SIZE_MAX, 2);
    b->job.give = give;
    test_alloc t;
    test_alloc_init(&t);
    t.fail_at = 1; /* the sanitizers' allocators would end the program over the size */
    size_t delivered = 9;
    mbl_error err = {0};
    assert_int_equal(mbl_pool_run(&t.alloc, 2, &b->job, &delivered, &err), MBL_MEMORY);
    assert_int_equal(delivered, 0);
    assert_string_equal(b->calls, "");
    close_books(b);
}

static void a_system_short_of_threads_gets_the_work_done(void **state)
{
    (void)state;
    for (int have = 0; have < 4; have++) {
        books *b = open_books(100, 10, have == 0 ? 0 : 3);
        threads_to_have = have;
        size_t delivered = 0;
        mbl_error err = {0};
        test_alloc t;
        test_alloc_init(&t);
        assert_ok(mbl_pool_run(&t.alloc, 3, &b->job, &delivered, &err), err);
        threads_to_have = INT16_MAX;
        assert_int_equal(threads_made, have);
        assert_int_equal(delivered, 100);
        assert_int_equal(b->wrong_thread, 0); /* with none, the caller's own works */
        assert_int_equal(t.live_bytes, 0);
        close_books(b);
    }
}

static void there_is_a_processor(void **state)
{
    (void)state;
    assert_in_range(mbl_cpu_count(), 1, 100000);
}

int main(void)
{
    struct sigaction action = {.sa_handler = on_signal, .sa_flags = SA_RESTART};
    sigemptyset(&action.sa_mask);
    sigaction(SIGUSR1, &action, NULL);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_items_are_worked_once_and_taken_in_order),
        cmocka_unit_test(as_many_items_are_in_work_as_there_are_workers_and_the_window_lets),
        cmocka_unit_test(the_error_of_the_lowest_item_wins_and_all_before_it_are_taken),
        cmocka_unit_test(nothing_is_begun_behind_a_failed_item_but_what_was_under_way),
        cmocka_unit_test(giving_and_taking_follow_one_order_whatever_the_workers),
        cmocka_unit_test(an_error_without_a_story_gets_one),
        cmocka_unit_test(an_error_that_is_there_already_is_kept),
        cmocka_unit_test(after_a_stop_what_is_under_way_is_finished_and_taken),
        cmocka_unit_test(an_error_under_way_at_a_stop_is_told),
        cmocka_unit_test(a_stop_with_nothing_left_to_do_is_no_stop),
        cmocka_unit_test(a_stop_beforehand_begins_nothing),
        cmocka_unit_test(a_signal_is_handled_by_the_caller_and_seen_within_a_fifth_of_a_second),
        cmocka_unit_test(no_items_are_no_work),
        cmocka_unit_test(a_window_of_nothing_is_refused),
        cmocka_unit_test(every_allocation_may_fail),
        cmocka_unit_test(a_window_larger_than_memory_is_an_error),
        cmocka_unit_test(a_system_short_of_threads_gets_the_work_done),
        cmocka_unit_test(there_is_a_processor),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
